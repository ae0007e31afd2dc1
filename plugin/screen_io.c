#include "screen_io.h"

#include "theory/chord_write.h"

#include <string.h>

#define SYMBOL_MAX 64u

void way_screen_io_init(WayScreenIo* s, double rate, LV2_URID_Map* map) {
  memset(s, 0, sizeof(*s));
  s->rate = rate;
  s->step = (int64_t)(rate / WAY_SCREEN_RATE) + 1;
  s->lease = (int64_t)(rate * WAY_SCREEN_LEASE) + 1;
  lv2_atom_forge_init(&s->forge, map);
  way_screen_io_end(s);
}

void way_screen_io_ask(WayScreenIo* s, int64_t frame) {
  s->until = frame + s->lease;
  s->due = frame;
  s->fresh = true;
}

void way_screen_io_end(WayScreenIo* s) {
  s->until = INT64_MIN;
  s->due = INT64_MAX;
  s->n = 0;
}

static void add(WayScreenIo* s, WayTick tick, const WayWireRecord* r) {
  if (s->n == WAY_WIRE_RECORDS) {
    --s->n;
    memmove(s->records, s->records + 1, s->n * sizeof(*s->records));
    memmove(s->ticks, s->ticks + 1, s->n * sizeof(*s->ticks));
  }
  s->records[s->n] = *r;
  s->ticks[s->n++] = tick;
}

void way_screen_io_note(WayScreenIo* s, WayTick tick, WayNoteWord note) {
  uint8_t bytes[3];
  way_note_bytes(note, bytes);
  const bool on = (bytes[0] & 0xF0u) == 0x90 && bytes[2];
  add(s, tick,
      &(WayWireRecord){.kind = on ? WAY_WIRE_ON : WAY_WIRE_OFF,
                       .pitch = bytes[1] & 0x7Fu,
                       .channel = bytes[0] & 0x0Fu});
}

void way_screen_io_mark(WayScreenIo* s, WayTick tick, const WayMark* mark) {
  WayWireRecord r = {.pitch = mark->pitch, .role = mark->role};
  if (mark->kind == WAY_MARK_ROLE) {
    r.kind = WAY_WIRE_ROLE;
  } else if (mark->kind == WAY_MARK_LANDING) {
    r.kind = WAY_WIRE_LANDING;
    r.on_target = mark->landing == WAY_LANDING_TARGET;
    r.next = mark->early;
  } else {
    return;
  }
  add(s, tick, &r);
}

/// What there is to say at a frame.
static WayScreenSaid state_at(const WayScreenIo* s, const WayEngine* e,
                              const WayTimeline* t, const WayClock* clock,
                              int64_t frame) {
  WayScreenSaid now = {.tick = 0};
  const WayGuideView v = way_engine_view(e, frame);
  now.tick = way_clock_tick(clock, frame);
  now.speed = v.rolling ? clock->ticks_per_frame * s->rate : 0;
  now.tags_refused = way_engine_tags_refused(e);
  if (!v.now) return now;
  const bool in_chart =
      t && v.now >= t->harmonies && v.now < t->harmonies + t->n_harmonies;
  now.from = in_chart ? WAY_CHORD_FROM_CHART : WAY_CHORD_FROM_NOTES;
  if (in_chart) return now;
  now.chord = v.now->chord;
  now.key = v.now->key;
  return now;
}

/// Whether both say the same.
static bool same(const WayScreenSaid* a, const WayScreenSaid* b) {
  if (a->tick != b->tick || a->from != b->from || a->speed < b->speed ||
      a->speed > b->speed || a->tags_refused != b->tags_refused)
    return false;
  return a->from != WAY_CHORD_FROM_NOTES ||
         (way_chord_equal(&a->chord, &b->chord) && a->key.mode == b->key.mode &&
          way_spelling_pc(a->key.tonic) == way_spelling_pc(b->key.tonic) &&
          a->key.tonic.letter == b->key.tonic.letter);
}

static bool put_text(LV2_Atom_Forge* f, LV2_URID key, const WayOut* text) {
  return lv2_atom_forge_key(f, key) &&
         lv2_atom_forge_string(f, text->at, (uint32_t)text->size);
}

static bool put_chord(LV2_Atom_Forge* f, const WayUrids* u, const WayScreenSaid* now) {
  if (now->from != WAY_CHORD_FROM_NOTES) return true;
  char text[SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&now->chord, &out);
  if (!put_text(f, u->chord, &out)) return false;
  out = way_out(text, sizeof(text));
  way_key_write(now->key, &out);
  return put_text(f, u->key, &out);
}

static bool put_tags(LV2_Atom_Forge* f, const WayUrids* u, const WayScreenSaid* now) {
  return !now->tags_refused ||
         (lv2_atom_forge_key(f, u->tagsRefused) && lv2_atom_forge_bool(f, true));
}

static bool put_records(WayScreenIo* s, const WayUrids* u, WayTick tick) {
  if (!s->n) return true;
  int32_t ints[WAY_WIRE_RECORDS * WAY_WIRE_INTS];
  for (unsigned i = 0; i < s->n; ++i) {
    const WayTick ago = tick - s->ticks[i];
    s->records[i].ago = (int32_t)(ago > WAY_WIRE_FAR    ? WAY_WIRE_FAR
                                  : ago < -WAY_WIRE_FAR ? -WAY_WIRE_FAR
                                                        : ago);
    way_wire_pack(&s->records[i], ints + (size_t)i * WAY_WIRE_INTS);
  }
  return lv2_atom_forge_key(&s->forge, u->notes) &&
         lv2_atom_forge_vector(&s->forge, sizeof(int32_t), u->atom_Int,
                               s->n * WAY_WIRE_INTS, ints);
}

/// Append one message, whole or not at all.
static bool put_message(WayScreenIo* s, const WayUrids* u, const WayScreenSaid* now,
                        WayEventWriter* w, int64_t frame) {
  LV2_Atom_Forge* const f = &s->forge;
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_set_buffer(f, w->at, (size_t)(w->end - w->at));
  const bool whole =
      lv2_atom_forge_frame_time(f, way_writer_frame(w, frame)) &&
      lv2_atom_forge_object(f, &object, 0, u->Screen) &&
      lv2_atom_forge_key(f, u->tick) && lv2_atom_forge_long(f, now->tick) &&
      lv2_atom_forge_key(f, u->speed) && lv2_atom_forge_double(f, now->speed) &&
      lv2_atom_forge_key(f, u->chordFrom) && lv2_atom_forge_int(f, now->from) &&
      put_chord(f, u, now) && put_tags(f, u, now) && put_records(s, u, now->tick);
  if (whole) w->at += f->offset;
  return whole;
}

int64_t way_screen_io_tell(WayScreenIo* s, const WayUrids* u, const WayEngine* e,
                           const WayTimeline* t, const WayClock* clock,
                           WayEventWriter* w, int64_t end) {
  const WayScreenSaid now = state_at(s, e, t, clock, end - 1);
  const bool news = s->fresh || s->n || !same(&now, &s->said);
  if (end > s->until) {
    way_screen_io_end(s);
  } else if (!news) {
    s->due = now.speed > 0 ? s->soonest : s->until;
  } else if (end <= s->soonest) {
    s->due = s->soonest;
  } else {
    if (put_message(s, u, &now, w, end - 1)) {
      s->said = now;
      s->fresh = false;
      s->n = 0;
    }
    s->soonest = s->due = end + s->step;
  }
  return s->due;
}
