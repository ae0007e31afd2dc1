#include "live/engine.h"

#include "base/midi.h"
#include "live/plain.h"
#include "live/snap.h"
#include "live/sounding.h"
#include "theory/guide_line.h"

#include <string.h>

// The chord in force.

/// Whether chords are heard, not read from the chart.
static bool hears(const WayEngine* e) {
  if (e->learning.learn.ready && e->settings.source != WAY_SOURCE_CHART)
    return e->hearing.listen.known && !e->learning.learn.agrees;
  if (e->settings.source == WAY_SOURCE_AUTO) return e->hearing.listen.known;
  return e->settings.source != WAY_SOURCE_CHART;
}

/// The harmony now, or NULL.
static const WayHarmony* harmony_now(const WayEngine* e) {
  if (hears(e)) return e->hearing.listen.known ? &e->heard : NULL;
  const WayTimeline* const t = e->follow.timeline;
  if (!t || e->follow.before) return NULL;
  return way_timeline_harmony(t, e->follow.place.span);
}

/// Work out how long notes are plain.
static void plan_plain(WayEngine* e) {
  const bool plain = e->intake.plain && e->now && way_settling_none(&e->settling);
  const int64_t until = e->due < e->early_frame ? e->due : e->early_frame;
  e->plain_until = plain ? until : INT64_MIN;
}

/// Work out the first frame at which anything is due, and where the early window opens.
static void plan(WayEngine* e) {
  e->early_frame = hears(e) ? INT64_MAX : e->follow.early_frame;
  e->due = e->follow.due;
  if (e->hearing.settle_due < e->due) e->due = e->hearing.settle_due;
  if (e->hearing.forget_due < e->due) e->due = e->hearing.forget_due;
  if (e->settling.due < e->due) e->due = e->settling.due;
  if (e->waiting.due < e->due) e->due = e->waiting.due;
  if (e->learning.due < e->due) e->due = e->learning.due;
  if (e->click.due < e->due) e->due = e->click.due;
  if (e->click.ends < e->due) e->due = e->click.ends;
  plan_plain(e);
}

/// Write down the chord heard, which was read at `read`.
static void learn_chord(WayEngine* e, int64_t read) {
  if (!way_learning_on(&e->learning, &e->settings)) return;
  const WayListen* const l = &e->hearing.listen;
  const int64_t began =
      way_hearing_began(&e->hearing, &e->follow, read, e->settings.strum * 0.001);
  way_learning_hear(&e->learning, &e->follow, began, &l->chord,
                    way_form_sound(l->notes, l->bass), e->hearing.again);
}

/// Work out what the chord heard means in the key of the chart, or in its own.
static void hear(WayEngine* e) {
  if (!e->hearing.listen.known) return;
  const WayTimeline* const t = e->follow.timeline;
  const WayKey key = t ? t->key : way_listen_key(&e->hearing.listen.chord);
  e->heard = way_harmony(&e->hearing.listen.chord, key, t ? &t->loop_pcs : NULL);
}

static void settle(WayEngine* e) {
  const WayTimeline* const t = e->follow.timeline;
  const int64_t read = e->hearing.settle_due;
  if (!way_hearing_settle(&e->hearing, t ? &t->key : NULL)) return;
  way_hearing_fade(&e->hearing, &e->follow, read, e->settings.chord_stays);
  hear(e);
  learn_chord(e, read);
}

/// Leave the chord heard if its keys have been up for long enough.
/// @return Whether there was one.
static bool forget_if_silent(WayEngine* e) {
  const bool chart_waits = e->settings.source == WAY_SOURCE_AUTO && e->follow.timeline;
  if (!way_hearing_silent(&e->hearing) ||
      (!chart_waits && !(e->settings.chord_stays > 0)))
    return false;
  e->hearing.listen.known = false;
  return true;
}

// Marks.

static const WayChord no_chord;

void way_engine_place(const WayEngine* e, WayMark* m) {
  m->tick = way_follow_tick(&e->follow, m->frame);
  if (!e->follow.timeline) return;
  const WayPlace place =
      way_timeline_at(e->follow.timeline, m->tick - e->follow.origin);
  m->chorus = place.chorus;
  m->bar = place.bar;
}

/// Fill in where in the music a mark is, and hand it over.
static void mark_in_place(WayEngine* e, const WaySink* sink, WayMark* m) {
  way_engine_place(e, m);
  sink->mark(sink->to, m);
}

static void mark_place(WayEngine* e, const WaySink* sink, int64_t frame,
                       WayMarkKind kind) {
  if (!sink->mark) return;
  WayMark m = {.frame = frame,
               .chord = e->now ? &e->now->chord : &no_chord,
               .kind = (uint8_t)kind,
               .bars = kind == WAY_MARK_LEARNED ? e->learning.learn.form.bars : 0};
  mark_in_place(e, sink, &m);
}

/// The tone planned for the landing on the chord now, or on the next one.
static WayDegree target_of(const WayEngine* e, bool early) {
  const WayTimeline* const t = e->follow.timeline;
  if (!t || hears(e)) return (WayDegree){0, 0};
  return t->spans[early ? e->follow.place.next : e->follow.place.span].target;
}

static WAY_NOINLINE void mark_landing(WayEngine* e, const WaySink* sink, int64_t frame,
                                      const WayHarmony* h, const WaySounding* s) {
  if (!sink->mark) return;
  WayMark m = way_sounding_landing_mark(s, h, frame, target_of(e, s->early));
  mark_in_place(e, sink, &m);
}

/// A note with a role has begun.
static inline void note_began(WayEngine* e, const WaySink* sink, int64_t frame,
                              const WayHarmony* h, WaySounding s) {
  e->last_pitch = s.pitch;
  e->last_role = *s.role;
  if (!sink->mark) return;
  const WayMark m = way_sounding_mark(&s, h, frame, WAY_MARK_ROLE);
  sink->mark(sink->to, &m);
}

/// Tell that a note resolved a chromatic one.
static WAY_NOINLINE void mark_resolution(const WaySink* sink, int64_t frame,
                                         const WayHarmony* h, const WaySounding* s) {
  if (!sink->mark) return;
  const WayMark m = way_sounding_mark(s, h, frame, WAY_MARK_RESOLUTION);
  sink->mark(sink->to, &m);
}

/// Whether a note that begins now is the landing its chord waits for; then it no longer
/// waits.
static bool take_landing(WayEngine* e, const WayHarmony* h, bool early) {
  if (way_chord_is_none(&h->chord)) return false;
  bool* const open = &e->landing_open;
  if (!early) {
    const bool lands = *open;
    *open = false;
    return lands;
  }
  if (e->landed_early) return false;
  const WayTimeline* const t = e->follow.timeline;
  e->landed_early = true;
  e->early_chord = t->spans[e->follow.place.next].harmony;
  return true;
}

// Changes.

/// How a key's note of this number sounds.
static inline uint8_t bent(const WayEngine* e, WayKeyIndex key, unsigned number) {
  return way_bends_pitch(&e->bends, way_key_channel(key), number);
}

/// The number that makes a key's note sound at `pitch`.
static inline uint8_t unbent(const WayEngine* e, WayKeyIndex key, unsigned pitch) {
  return way_bends_number(&e->bends, way_key_channel(key), pitch);
}

/// A key's note as it is to sound at `pitch`: tagged with the role it then has.
/// @param number The note to send for it.
static inline WaySounding tagged(const WayEngine* e, const WayHarmony* h,
                                 WayKeyIndex key, uint8_t number, uint8_t pitch,
                                 bool early) {
  const WayRoleOf* const role = &h->roles[pitch % 12u];
  const uint8_t channel =
      way_handle_channel(e->intake.tag_channel, role->role, way_key_channel(key));
  return (WaySounding){.note = way_key_index(channel, number),
                       .pitch = pitch,
                       .early = early,
                       .role = role};
}

/// Let go of a held note, or move it, if it is outside the new material.
static void revise_held(WayEngine* e, const WaySink* sink, int64_t frame,
                        const WayHarmony* h, WayKeyIndex key) {
  const WayPcSet set = h->material[e->settings.material];
  const WayHeldKey* const k = &e->ledger.keys[key];
  const uint8_t pitch = bent(e, key, way_key_number(k->note));
  if (e->settings.held == WAY_HELD_KEEP || way_pcs_has(set, way_pc(pitch))) return;
  if (e->settings.held == WAY_HELD_RELEASE) {
    way_ledger_end(&e->ledger, sink, frame, key);
    return;
  }
  const uint8_t to = way_snap_pitch(pitch, set, WAY_SNAP_NEAREST, pitch);
  const WaySounding moved = tagged(e, h, key, unbent(e, key, to), to, false);
  if (way_ledger_move(&e->ledger, sink, frame, key, moved.note))
    note_began(e, sink, frame, h, moved);
}

/// Look at every held note of the melody at a change.
/// @return The one struck last of those that still sound, or #WAY_NO_KEY.
static WayKeyIndex revise_all_held(WayEngine* e, const WaySink* sink, int64_t frame,
                                   const WayHarmony* h) {
  WayKeyIndex last = WAY_NO_KEY;
  const WayHeldKey* const keys = e->ledger.keys;
  for (WayKeyIndex key = e->ledger.oldest; key != WAY_NO_KEY; key = keys[key].newer) {
    if (!keys[key].melody || keys[key].note == WAY_NO_KEY) continue;
    revise_held(e, sink, frame, h, key);
    if (keys[key].note != WAY_NO_KEY) last = key;
  }
  return last;
}

/// Whether the chord that arrives had its landing in the early window.
static bool had_landing(const WayEngine* e) {
  if (!e->landed_early || hears(e)) return false;
  const WayFollow* const f = &e->follow;
  return f->timeline->spans[f->place.span].harmony == e->early_chord;
}

/// Note that a note has begun, in case its chord is heard late.
static WAY_NOINLINE void remember(WayEngine* e, int64_t frame, WayKeyIndex note,
                                  uint8_t pitch) {
  way_recent_add(&e->recent, (WayRecentNote){frame, note, pitch});
}

/// Tell what the notes are that began since a heard chord did; the first is its
/// landing.
static void tell_recent(WayEngine* e, const WaySink* sink, int64_t frame,
                        const WayHarmony* h) {
  const int64_t began =
      e->hearing.struck_first < frame ? e->hearing.struck_first : frame;
  const double grace = e->settings.grace * 0.001;
  for (unsigned i = 0; i < WAY_RECENT; ++i) {
    const WayRecentNote* const r = way_recent_at(&e->recent, i);
    if (r->frame == INT64_MIN) continue;
    if (r->frame < began &&
        (!(grace > 0) || began >= way_follow_later(&e->follow, r->frame, grace)))
      continue;
    WaySounding late = way_sounding(h, r->note, r->pitch);
    late.again = true;
    note_began(e, sink, frame, h, late);
    if (!e->landing_open) continue;
    e->landing_open = false;
    mark_landing(e, sink, frame, h, &late);
  }
}

// Click.

/// Work out where the next click is, from `frame` on.
static void plan_click(WayEngine* e, int64_t frame) {
  way_click_plan(&e->click, &e->follow, &e->settings, hears(e), frame);
  plan(e);
}

static void end_click(WayEngine* e, const WaySink* sink, int64_t frame) {
  e->click.ends = INT64_MAX;
  way_ledger_forget(&e->ledger, sink, frame, WAY_LEDGER_OWN);
}

static void click(WayEngine* e, const WaySink* sink, int64_t frame, uint8_t pitch) {
  const WaySettings* const s = &e->settings;
  end_click(e, sink, frame);
  if (pitch == WAY_LINE_SILENT) return;
  e->click.pitch = pitch;
  const WayKeyIndex note = way_key_index(s->click_channel - 1u, pitch);
  if (way_ledger_strike(&e->ledger, sink, frame, WAY_LEDGER_OWN, note,
                        s->click_velocity, false))
    e->click.ends = way_follow_later(&e->follow, frame, s->click_length * 0.001);
  plan(e);
}

static void click_heard(WayEngine* e, const WaySink* sink, int64_t frame) {
  click(e, sink, frame, way_click_tone(&e->heard.chord, e->click.pitch));
}

/// The click that is due, or the end of the last one.
static void click_if_due(WayEngine* e, const WaySink* sink, int64_t frame) {
  if (e->click.ends <= frame) end_click(e, sink, frame);
  if (e->click.due <= frame) {
    const WayTimeline* const t = e->follow.timeline;
    e->click.last = e->click.tick;
    // A chord that is heard clicks when it comes, wherever the chart's changes are.
    if (!hears(e))
      click(e, sink, frame,
            t->spans[way_click_span(t, e->settings.click_lead, e->click.tick)].line);
    else if (e->settings.click != WAY_CLICK_AT_CHANGES)
      click_heard(e, sink, frame);
    plan_click(e, frame);
  }
  plan(e);
}

/// Another chord is in force.
static void arrive(WayEngine* e, const WaySink* sink, int64_t frame,
                   const WayHarmony* h) {
  e->told = h->chord;
  e->has_told = true;
  e->landing_open = !way_chord_is_none(&h->chord) && !had_landing(e);
  e->landed_early = false;
  mark_place(e, sink, frame, WAY_MARK_CHANGE);
  if (e->settings.click == WAY_CLICK_AT_CHANGES && hears(e))
    click_heard(e, sink, frame);
  if (e->intake.remembers && hears(e)) tell_recent(e, sink, frame, h);
  const WayKeyIndex key = revise_all_held(e, sink, frame, h);
  if (!e->landing_open || key == WAY_NO_KEY) return;
  e->landing_open = false;
  const WayHeldKey* const k = &e->ledger.keys[key];
  const uint8_t pitch = bent(e, key, way_key_number(k->note));
  WaySounding held = way_sounding(h, k->note, pitch);
  held.held_over = true;
  mark_landing(e, sink, frame, h, &held);
}

/// After anything that may have brought another chord.
/// @param news A set of #WayNews.
static void refresh(WayEngine* e, const WaySink* sink, int64_t frame, unsigned news) {
  if (news & WAY_NEWS_JUMP) way_click_jump(&e->click);
  plan_click(e, frame);
  const WayHarmony* const h = harmony_now(e);
  e->now = e->settings.enabled ? h : NULL;
  plan_plain(e);
  if (news & WAY_NEWS_TOP && e->settings.enabled && frame != e->top_marked) {
    e->top_marked = frame;
    mark_place(e, sink, frame, WAY_MARK_TOP);
  }
  if (!e->now || (!hears(e) && !way_follow_rolls(&e->follow))) {
    e->has_told = e->landing_open = false;
    if (!e->settings.enabled || !way_follow_rolls(&e->follow)) e->landed_early = false;
    return;
  }
  const bool anew = news & WAY_NEWS_START || (news & WAY_NEWS_CHANGE && !hears(e));
  if (anew || !e->has_told || !way_chord_equal(&e->told, &h->chord))
    arrive(e, sink, frame, h);
  else if (news & WAY_NEWS_JUMP && frame < e->early_frame)
    e->landed_early = false; // that change never came
}

// Bends.

/// Whether a held key is a note of the melody that sounds on a channel.
static bool sounds_on(const WayEngine* e, WayKeyIndex key, unsigned channel) {
  const WayHeldKey* const k = &e->ledger.keys[key];
  return k->melody && k->note != WAY_NO_KEY && way_key_channel(key) == channel;
}

/// A key is about to begin while its bend is another than was told: alone on its
/// channel, it begins with the bend as it is.
static WAY_NOINLINE void begin_bent(WayEngine* e, WayKeyIndex key) {
  const unsigned channel = way_key_channel(key);
  for (WayKeyIndex k = e->ledger.oldest; k != WAY_NO_KEY; k = e->ledger.keys[k].newer)
    if (sounds_on(e, k, channel)) return;
  way_settling_tell(&e->settling, &e->bends, channel);
  plan(e);
}

/// The bends of some channels may be others: see whether they are to settle.
static void follow_bends(WayEngine* e, int64_t frame, uint16_t channels) {
  const int64_t settled = way_follow_later(&e->follow, frame, WAY_BEND_SETTLES);
  way_settling_follow(&e->settling, &e->bends, channels, settled);
  plan(e);
}

/// A bend has settled on another pitch: tell what the notes on its channel are now.
static void settle_bend(WayEngine* e, const WaySink* sink, int64_t frame,
                        unsigned channel) {
  way_settling_tell(&e->settling, &e->bends, channel);
  if (!e->now) return;
  const WayHeldKey* const keys = e->ledger.keys;
  for (WayKeyIndex key = e->ledger.oldest; key != WAY_NO_KEY; key = keys[key].newer) {
    if (!sounds_on(e, key, channel)) continue;
    const uint8_t pitch = bent(e, key, way_key_number(keys[key].note));
    WaySounding told = way_sounding(e->now, keys[key].note, pitch);
    told.again = true;
    note_began(e, sink, frame, e->now, told);
  }
}

static void settle_bends(WayEngine* e, const WaySink* sink, int64_t frame) {
  for (unsigned c = 0; c < 16; ++c)
    if (e->settling.dues[c] <= frame) settle_bend(e, sink, frame, c);
  plan(e);
}

// Outside notes that wait for their resolution.

/// Let an outside note wait.  @return Whether there was room.
static bool wait_for(WayEngine* e, int64_t frame, WayKeyIndex key, uint8_t pitch) {
  const int64_t due = way_follow_beats_later(&e->follow, frame, e->settings.approach);
  const WayWaitingNote note = {due, key, pitch};
  const bool waits = way_waiting_add(&e->waiting, note);
  plan(e);
  return waits;
}

/// A note has waited in vain: handle it now, if it still sounds.
static void handle_late(WayEngine* e, const WaySink* sink, int64_t frame,
                        const WayWaitingNote* w) {
  const WayHeldKey* const k = &e->ledger.keys[w->key];
  if (!e->now || !k->melody || !k->strikes || k->note == WAY_NO_KEY) return;
  const uint8_t pitch = bent(e, w->key, way_key_number(k->note));
  uint8_t velocity = k->velocity;
  const uint8_t to = way_handle_note(&e->settings, e->now, pitch, pitch, &velocity);
  if (to == WAY_UNHELD) {
    way_ledger_end(&e->ledger, sink, frame, w->key);
  } else if (to != pitch) {
    const WaySounding moved =
        tagged(e, e->now, w->key, unbent(e, w->key, to), to, false);
    if (way_ledger_move(&e->ledger, sink, frame, w->key, moved.note))
      note_began(e, sink, frame, e->now, moved);
  }
}

static void handle_waiting(WayEngine* e, const WaySink* sink, int64_t frame) {
  for (WayWaitingNote note; way_waiting_take(&e->waiting, frame, &note);)
    handle_late(e, sink, frame, &note);
  plan(e);
}

// Learning.

/// Work out the frame of the next bar line.
static void plan_learn(WayEngine* e) {
  way_learning_plan(&e->learning, &e->settings, &e->follow);
  plan(e);
}

/// Whether chord keys are held.
static bool holds_chord(const WayEngine* e) { return e->hearing.listen.held.n != 0; }

/// Follow the timeline that is wanted, from here on.  @return A set of #WayNews.
static unsigned follow_wanted(WayEngine* e, const WaySink* sink, int64_t frame) {
  const WayTimeline* const t = way_learning_wanted(&e->learning, &e->settings);
  WayLearn* const learn = &e->learning.learn;
  const bool learned = t && !e->learning.chart;
  const WayTick origin = learned ? learn->form.origin : 0;
  const unsigned news = way_follow_chart(&e->follow, t, origin, frame);
  e->landed_early = false;
  way_learn_use(learn, learned, way_follow_tick(&e->follow, frame));
  hear(e);
  if (learned && e->form_told != learn->number) {
    e->form_told = learn->number;
    if (e->settings.enabled) mark_place(e, sink, frame, WAY_MARK_LEARNED);
  }
  return news;
}

/// Something may have changed about the form.  @return A set of #WayNews.
static unsigned learn_on(WayEngine* e, const WaySink* sink, int64_t frame) {
  const bool other =
      way_learning_wanted(&e->learning, &e->settings) != e->follow.timeline;
  const unsigned news = other ? follow_wanted(e, sink, frame) : WAY_NEWS_NONE;
  plan_learn(e);
  return news;
}

/// Learn from here on, or stop learning.
static void begin_learning(WayEngine* e, int64_t frame) {
  way_learning_begin(&e->learning, &e->settings, &e->follow, frame, holds_chord(e));
  plan(e);
}

/// A bar line has come.  @return A set of #WayNews.
static unsigned learn_bar(WayEngine* e, const WaySink* sink, int64_t frame) {
  way_learning_step(&e->learning, &e->follow, holds_chord(e));
  return learn_on(e, sink, frame);
}

/// Do what is due first.
static WAY_NOINLINE void step(WayEngine* e, const WaySink* sink) {
  const int64_t frame = e->due;
  unsigned news = WAY_NEWS_NONE;
  if (e->hearing.settle_due <= frame) settle(e);
  bool forgot = false;
  if (e->hearing.forget_due <= frame) {
    e->hearing.forget_due = INT64_MAX;
    forgot = forget_if_silent(e);
  }
  if (forgot && way_learning_on(&e->learning, &e->settings))
    way_learning_hear(&e->learning, &e->follow, e->hearing.silent_since, &no_chord, 0,
                      false);
  if (e->follow.due <= frame) news = way_follow_step(&e->follow);
  if (e->learning.due <= frame) news |= learn_bar(e, sink, frame);
  refresh(e, sink, frame, news);
  if (forgot && !e->now && e->settings.enabled)
    mark_place(e, sink, frame, WAY_MARK_CHANGE);
  if (e->settling.due <= frame) settle_bends(e, sink, frame);
  if (e->waiting.due <= frame) handle_waiting(e, sink, frame);
  if (e->click.due <= frame || e->click.ends <= frame) click_if_due(e, sink, frame);
}

void way_engine_advance(WayEngine* e, int64_t frame, const WaySink* sink) {
  while (e->due < frame) step(e, sink);
}

// Messages.

static WAY_NOINLINE void chord_strike(WayEngine* e, int64_t frame, WayKeyIndex key) {
  way_hearing_strike(&e->hearing, &e->follow, frame, way_key_channel(key),
                     way_key_number(key), e->settings.strum * 0.001);
  plan(e);
}

static WAY_NOINLINE void chord_lift(WayEngine* e, int64_t frame, WayKeyIndex key) {
  way_hearing_lift(&e->hearing, &e->follow, frame, way_key_channel(key),
                   way_key_number(key), e->settings.chord_stays);
  plan(e);
}

static void chord_pedal(WayEngine* e, int64_t frame, uint8_t channel, bool down) {
  way_hearing_pedal(&e->hearing, &e->follow, frame, channel, down,
                    e->settings.chord_stays);
  plan(e);
}

static void chord_clear(WayEngine* e, int64_t frame, uint8_t channel) {
  way_hearing_clear(&e->hearing, &e->follow, frame, channel, e->settings.chord_stays);
  plan(e);
}

/// Settings or bends may be others: lay out what they say of notes.
static void take_in(WayEngine* e) {
  e->intake = way_intake(&e->settings, &e->bends);
  plan_plain(e);
}

/// Whether a note that begins now is one of those to be handled.
static bool in_scope(const WayEngine* e, int64_t frame, bool early) {
  switch (e->settings.scope) {
  case WAY_SCOPE_BEATS: return way_follow_on_beat(&e->follow, frame, false);
  case WAY_SCOPE_STRONG: return way_follow_on_beat(&e->follow, frame, true);
  case WAY_SCOPE_LANDINGS: return early ? !e->landed_early : e->landing_open;
  case WAY_SCOPE_EVERY:
  case WAY_SCOPE_COUNT: break;
  }
  return true;
}

/// What becomes of a note of the melody.
/// @param pitch As it sounds.  @return As way_handle_note() does.
static WAY_NOINLINE uint8_t handled(WayEngine* e, int64_t frame, const WayHarmony* h,
                                    bool early, WayKeyIndex key, uint8_t pitch,
                                    uint8_t* velocity) {
  if (e->waiting.due != INT64_MAX) {
    const WayPcSet set = h->material[e->settings.material];
    way_waiting_resolve(&e->waiting, key, pitch, way_pcs_has(set, way_pc(pitch)));
    plan(e);
  }
  if (!in_scope(e, frame, early)) return pitch;
  uint8_t handled_velocity = *velocity;
  const uint8_t to =
      way_handle_note(&e->settings, h, pitch, e->line, &handled_velocity);
  if (to != pitch && e->settings.approach > 0 && wait_for(e, frame, key, pitch))
    return pitch;
  *velocity = handled_velocity;
  return to;
}

/// A note of the melody begins, over a chord (which need not be the one in force).
static inline void strike_over(WayEngine* e, const WaySink* sink, int64_t frame,
                               const WayHarmony* h, bool early, WayKeyIndex key,
                               uint8_t velocity) {
  uint8_t number = way_key_number(key);
  uint8_t pitch = bent(e, key, number);
  if (e->intake.handling != WAY_HANDLING_TAG) {
    const uint8_t played = pitch;
    pitch = handled(e, frame, h, early, key, pitch, &velocity);
    if (pitch == WAY_UNHELD) {
      way_ledger_mute(&e->ledger, sink, frame, key);
      return;
    }
    number = way_midi_nearest(number + pitch - played);
  }
  const unsigned channel = way_key_channel(key);
  if (e->bends.steps[channel] != e->settling.told[channel] ||
      e->settling.dues[channel] != INT64_MAX)
    begin_bent(e, key);
  const WaySounding begun = tagged(e, h, key, number, pitch, early);
  if (!way_ledger_strike(&e->ledger, sink, frame, key, begun.note, velocity, true))
    return;
  e->line = pitch;
  if (e->intake.remembers) remember(e, frame, begun.note, pitch);
  const bool resolution = way_engine_resolves(e, pitch, begun.role);
  note_began(e, sink, frame, h, begun);
  if (resolution) mark_resolution(sink, frame, h, &begun);
  if ((early || e->landing_open) && take_landing(e, h, early))
    mark_landing(e, sink, frame, h, &begun);
}

static void melody_strike(WayEngine* e, const WaySink* sink, int64_t frame,
                          WayKeyIndex key, uint8_t velocity) {
  const bool early = frame >= e->early_frame && e->settings.enabled;
  const WayHarmony* const h =
      early ? way_timeline_harmony(e->follow.timeline, e->follow.place.next) : e->now;
  if (h) {
    strike_over(e, sink, frame, h, early, key, velocity);
  } else if (way_ledger_strike(&e->ledger, sink, frame, key, key, velocity, true)) {
    e->line = bent(e, key, way_key_number(key));
    e->last_pitch = WAY_UNHELD;
    if (e->intake.remembers) remember(e, frame, key, e->line);
  }
}

/// A note message on the melody input.
static void note_message(WayEngine* e, const WaySink* sink, int64_t frame,
                         const uint8_t bytes[3]) {
  const WayKeyIndex key = way_key_index(bytes[0], bytes[1]);
  if (!(bytes[0] & 0x10) || !bytes[2]) {
    if (e->intake.chord_channels) chord_lift(e, frame, key);
    way_ledger_lift(&e->ledger, sink, frame,
                    way_note_word(bytes[0], bytes[1], bytes[2]));
    return;
  }
  const bool chord = way_intake_is_chord(&e->intake, key);
  if (!chord && way_intake_is_melody(&e->intake, key)) {
    while (e->due <= frame) step(e, sink);
    melody_strike(e, sink, frame, key, bytes[2]);
    return;
  }
  if (chord) chord_strike(e, frame, key);
  way_ledger_strike(&e->ledger, sink, frame, key, key, bytes[2], false);
}

static void chord_message(WayEngine* e, int64_t frame, const uint8_t* bytes,
                          uint32_t size, bool is_note) {
  if (way_intake_has_chords(&e->settings)) return;
  const WayKeyIndex key = is_note ? way_key_index(bytes[0], bytes[1]) : 0;
  if (way_midi_is_all_off(bytes, size))
    chord_clear(e, frame, way_midi_channel(bytes));
  else if (way_midi_pedals(bytes, size) & WAY_PEDAL_SUSTAIN)
    chord_pedal(e, frame, way_midi_channel(bytes), way_midi_is_pedal_down(bytes));
  else if (is_note && way_midi_is_note_on(bytes))
    chord_strike(e, frame, key);
  else if (is_note)
    chord_lift(e, frame, key);
}

/// The pedal of a channel of the melody input; that of a zone's master holds the notes
/// of all its members (RP-053).
static void melody_pedal(WayEngine* e, int64_t frame, const uint8_t bytes[3]) {
  const unsigned channel = bytes[0] & 15u;
  const unsigned all = 1u << channel | way_bends_zone(&e->bends, channel);
  for (uint8_t c = 0; c < WAY_MIDI_CHANNELS; ++c)
    if (all & e->intake.chord_channels & 1u << c)
      chord_pedal(e, frame, c, way_midi_is_pedal_down(bytes));
}

/// A message on the melody input that is not a note.
static void other_message(WayEngine* e, const WaySink* sink, int64_t frame,
                          const uint8_t* bytes, uint32_t size) {
  const bool ends = way_midi_is_all_off(bytes, size);
  if (ends) {
    const uint8_t channel = way_midi_channel(bytes);
    way_ledger_clear_channel(&e->ledger, sink, frame, channel);
    if (way_intake_has_chords(&e->settings)) chord_clear(e, frame, channel);
  }
  way_ledger_pass(&e->ledger, sink, frame, bytes, size);
  way_lending_send(&e->lending, &e->ledger, sink, frame,
                   way_intake_tags(&e->intake, way_midi_channel(bytes)), bytes, size);
  if (size != 3 || bytes[0] >= WAY_MIDI_SYSEX) return;
  if (way_midi_pedals(bytes, size) & WAY_PEDAL_SUSTAIN) melody_pedal(e, frame, bytes);
  follow_bends(e, frame, way_bends_hear(&e->bends, bytes));
  take_in(e);
}

/// A message that is no note of the melody input.
static WAY_NOINLINE void side_message(WayEngine* e, WayInput input, int64_t frame,
                                      const uint8_t* bytes, uint32_t size,
                                      const WaySink* sink) {
  const bool is_note = (bytes[0] & 0xE0u) == WAY_MIDI_NOTE_OFF;
  if (is_note && (size != 3 || (bytes[1] | bytes[2]) & 0x80)) return;
  way_engine_advance(e, frame, sink);
  if (input == WAY_INPUT_CHORDS)
    chord_message(e, frame, bytes, size, is_note);
  else
    other_message(e, sink, frame, bytes, size);
}

void way_engine_midi(WayEngine* e, WayInput input, int64_t frame, const uint8_t* bytes,
                     uint32_t size, const WaySink* sink) {
  if (input == WAY_INPUT_MELODY && size == 3 &&
      (bytes[0] & 0xE0) == WAY_MIDI_NOTE_OFF && !((bytes[1] | bytes[2]) & 0x80)) {
    while (e->due < frame) step(e, sink);
    note_message(e, sink, frame, bytes);
  } else if (size) {
    side_message(e, input, frame, bytes, size, sink);
  }
}

// The rest of the interface.

void way_engine_init(WayEngine* e, double rate) {
  memset(e, 0, sizeof(*e));
  e->settings = way_settings_default();
  way_click_init(&e->click);
  way_settling_init(&e->settling);
  way_waiting_init(&e->waiting);
  way_bends_init(&e->bends, e->settings.bend_range);
  e->top_marked = INT64_MIN;
  e->line = e->last_pitch = WAY_UNHELD;
  way_follow_init(&e->follow, rate);
  way_ledger_init(&e->ledger);
  way_hearing_init(&e->hearing);
  way_learning_init(&e->learning);
  take_in(e);
  way_recent_init(&e->recent);
  plan(e);
}

void way_engine_set(WayEngine* e, const WaySettings* s, int64_t frame,
                    const WaySink* sink) {
  way_engine_advance(e, frame, sink);
  const WaySettings before = e->settings;
  e->settings = way_settings_clamped(s);
  if (before.bend_range < e->settings.bend_range ||
      before.bend_range > e->settings.bend_range) {
    way_bends_set_range(&e->bends, e->settings.bend_range);
    follow_bends(e, frame, UINT16_MAX);
  }
  take_in(e);
  if (!e->intake.remembers) way_recent_init(&e->recent);
  if (!e->settings.enabled || e->intake.handling == WAY_HANDLING_TAG ||
      !(e->settings.approach > 0))
    way_waiting_init(&e->waiting);
  if (way_intake_moves_chords(&before, &e->settings)) way_hearing_init(&e->hearing);
  if (e->settings.early < before.early || e->settings.early > before.early)
    way_follow_early(&e->follow, e->settings.early);
  if (e->settings.chord_stays < before.chord_stays ||
      e->settings.chord_stays > before.chord_stays)
    way_hearing_stay(&e->hearing, &e->follow, frame, e->settings.chord_stays);
  if (!e->settings.learn && before.learn) way_learn_forget(&e->learning.learn);
  if (e->settings.learn != before.learn || e->settings.source != before.source)
    begin_learning(e, frame);
  if (e->settings.keep != before.keep)
    way_learn_keep(&e->learning.learn, e->settings.keep,
                   way_follow_tick(&e->follow, frame));
  forget_if_silent(e);
  refresh(e, sink, frame, learn_on(e, sink, frame));
}

const WayTimeline* way_engine_chart(WayEngine* e, const WayTimeline* t, int64_t frame,
                                    const WaySink* sink) {
  way_engine_advance(e, frame, sink);
  const WayTimeline* const before = e->learning.chart;
  e->learning.chart = t;
  const unsigned news = follow_wanted(e, sink, frame);
  forget_if_silent(e);
  begin_learning(e, frame);
  refresh(e, sink, frame, news);
  return before;
}

bool way_engine_learned(WayEngine* e, uint32_t number, const WayTimeline* t,
                        int64_t frame, const WaySink* sink) {
  if (!way_learning_wants(&e->learning, number)) return false;
  way_engine_advance(e, frame, sink);
  way_learning_take(&e->learning, number, t);
  refresh(e, sink, frame, learn_on(e, sink, frame));
  return true;
}

void way_engine_recall(WayEngine* e, const WayForm* form, const WayTimeline* t,
                       int64_t frame, const WaySink* sink) {
  way_engine_advance(e, frame, sink);
  way_learning_recall(&e->learning, form, t);
  e->form_told = e->learning.learn.number;
  refresh(e, sink, frame, follow_wanted(e, sink, frame));
  plan_learn(e);
}

void way_engine_metre(WayEngine* e, WayMetre metre, int64_t frame,
                      const WaySink* sink) {
  const bool unmeasured = !way_metre_valid(metre);
  if (unmeasured == e->learning.unmeasured &&
      (unmeasured || way_metre_equal(metre, e->learning.learn.metre)))
    return;
  way_engine_advance(e, frame, sink);
  e->learning.unmeasured = unmeasured;
  if (!unmeasured) e->learning.learn.metre = metre;
  begin_learning(e, frame);
  refresh(e, sink, frame, learn_on(e, sink, frame));
}

void way_engine_transport(WayEngine* e, const WayClock* clock, const WaySink* sink) {
  way_engine_advance(e, clock->frame, sink);
  const int64_t frame = clock->frame;
  const WayTick from = way_follow_tick(&e->follow, frame);
  const bool rolled = way_follow_rolls(&e->follow);
  unsigned news = way_follow_line(&e->follow, clock);
  if (news & WAY_NEWS_JUMP && way_learning_on(&e->learning, &e->settings))
    way_learning_jump(&e->learning, &e->follow, frame, from, rolled, holds_chord(e));
  news |= learn_on(e, sink, frame);
  refresh(e, sink, frame, news);
}

void way_engine_flush(WayEngine* e, int64_t frame, const WaySink* sink) {
  way_ledger_flush(&e->ledger, sink, frame);
}

void way_engine_silence(WayEngine* e, int64_t frame, const WaySink* sink) {
  way_engine_advance(e, frame, sink);
  way_ledger_clear(&e->ledger, sink, frame);
  way_hearing_init(&e->hearing);
  way_recent_init(&e->recent);
  way_waiting_init(&e->waiting);
  e->click.ends = INT64_MAX;
  e->line = e->last_pitch = WAY_UNHELD;
  refresh(e, sink, frame, WAY_NEWS_NONE);
}

WayGuideView way_engine_view(const WayEngine* e, int64_t frame) {
  const WayTimeline* const t = e->follow.timeline;
  WayGuideView v = {.rolling = way_follow_rolls(&e->follow),
                    .now = harmony_now(e),
                    .last = e->last_role,
                    .last_pitch = e->last_pitch};
  v.has_chord = v.now != NULL;
  if (!t) return v;
  const WayTick tick = way_clock_tick(&e->follow.clock, frame);
  v.place = way_timeline_at(t, tick);
  const WayTick until = tick < 0 ? -tick : v.place.until;
  if (hears(e) || !until) return v;
  v.next = way_timeline_harmony(t, tick < 0 ? 0 : v.place.next);
  const WayTick beat = way_metre_beat(t->bars[v.place.bar].metre);
  v.beats_to_change = (double)until / (double)beat;
  return v;
}
