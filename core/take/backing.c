#include "take/backing.h"

#include "base/midi.h"
#include "chart/chart_walk.h"
#include "take/backing_chords.h"
#include "take/backing_voicing.h"
#include "theory/chord_write.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/// How each part is played.
typedef struct {
  const char *name, *track;
  uint8_t channel, program, volume; ///< General MIDI; programs counted from 0
} Part;

static const Part parts[] = {
    [WAY_PART_COMPING] = {"comping", "Comping", 0, 4, 100}, // electric piano
    [WAY_PART_BASS] = {"bass", "Bass", 1, 32, 100},         // acoustic bass
    [WAY_PART_CLICK] = {"click", "Click", WAY_MIDI_DRUMS, 0, 100},
    [WAY_PART_CHORDS] = {"chords", "Chords", 3, 0, 0},
};

/// How hard notes are struck at level 100, and the keys of the click (General MIDI:
/// high and low wood block).
enum {
  LOUD = 90,
  SOFT = 74,
  BASS_VELOCITY = 100,
  CLICK_LOUD = 84,
  CLICK_SOFT = 66,
  CHORDS_VELOCITY = 64,
  CLICK_FIRST = 76,
  CLICK_OTHER = 77,
};

/// Range of the bass, E1 to E3, and about where it begins.
enum { BASS_LOW = 28, BASS_HIGH = 52, BASS_MIDDLE = 38 };

const char* way_part_name(WayPart part) {
  return (unsigned)part < WAY_PART_COUNT ? parts[part].name : "";
}

const char* way_click_name(WayClick click) {
  static const char* const names[] = {"off", "count-in", "beats"};
  return (unsigned)click < WAY_CLICK_COUNT ? names[click] : "";
}

WayBackingChoice way_backing_default(void) {
  return (WayBackingChoice){WAY_FEEL_COUNT, 3, 2, WAY_CLICK_BEATS, 60};
}

/// One note of a chorus.
typedef struct {
  WayTick start, end; ///< From the top
  uint8_t key, velocity;
} Note;

/// What is written once for each chorus.
typedef struct {
  const WayChart* chart;
  const WayTimeline* t;
  const WayBackingChoice* choice;
  WaySmf* smf;
  WayTick start;  ///< Of the first chorus
  bool key_given; ///< The chart gives a key
  uint32_t n[WAY_PART_COUNT], room[WAY_PART_COUNT];
  Note* notes[WAY_PART_COUNT]; ///< By start
} Maker;

static uint32_t track_of(WayPart part) { return 1 + (uint32_t)part; }

static uint8_t velocity(const Maker* m, int at_full) {
  const int v = at_full * m->choice->level / 100;
  return (uint8_t)(v < 1 ? 1 : v);
}

static WayStatus add_note(Maker* m, WayPart part, Note note) {
  if (m->n[part] == m->room[part]) {
    const uint32_t room = m->room[part] ? 2 * m->room[part] : 64;
    Note* const more = realloc(m->notes[part], room * sizeof(*more));
    if (!more) return WAY_ERR_NO_MEMORY;
    m->notes[part] = more;
    m->room[part] = room;
  }
  m->notes[part][m->n[part]++] = note;
  return WAY_OK;
}

static const WayChord* chord_of(const Maker* m, uint32_t span) {
  return &way_timeline_harmony(m->t, span)->chord;
}

static WayTick end_of(const Maker* m, uint32_t span) {
  return way_timeline_span_end(m->t, span);
}

// ---- Hits: where a pattern strikes each chord.

/// Hits of the whole form, chord after chord.
typedef struct {
  WayHit* hits;    ///< By start
  uint32_t* first; ///< By span, and one more: its first hit
  uint32_t n, room;
} Hits;

static void hits_free(Hits* h) {
  free(h->hits);
  free(h->first);
}

static WayStatus add_hit(Hits* h, WayHit hit) {
  if (h->n == h->room) {
    const uint32_t room = h->room ? 2 * h->room : 64;
    WayHit* const more = realloc(h->hits, room * sizeof(*more));
    if (!more) return WAY_ERR_NO_MEMORY;
    h->hits = more;
    h->room = room;
  }
  h->hits[h->n++] = hit;
  return WAY_OK;
}

static WayFeel feel_of(const Maker* m, WayMetre metre) {
  return m->choice->feel == WAY_FEEL_COUNT ? way_feel_of_metre(metre) : m->choice->feel;
}

/// All hits of the patterns, bar after bar.
static WayStatus list_pattern(const Maker* m, WayFeelPart part, Hits* out) {
  for (uint32_t b = 0; b < m->t->n_bars; ++b) {
    const WayBar* const bar = &m->t->bars[b];
    const uint32_t in_section = b - m->t->sections[bar->section].first_bar;
    WayHit hits[WAY_HITS_MAX];
    const unsigned n =
        way_feel_bar(feel_of(m, bar->metre), part, bar->metre, in_section, hits);
    for (unsigned i = 0; i < n; ++i) {
      hits[i].start += bar->start;
      if (add_hit(out, hits[i])) return WAY_ERR_NO_MEMORY;
    }
  }
  return WAY_OK;
}

/// Deal the hits of a pattern out to the chords.  A chord that would wait for longer
/// than `patience` for its first hit is struck as it comes, and no hit goes on past its
/// chord.
static WayStatus deal(const Maker* m, const Hits* pattern, WayTick patience,
                      Hits* out) {
  uint32_t next = 0;
  out->first = malloc((m->t->n_spans + (size_t)1) * sizeof(*out->first));
  if (!out->first) return WAY_ERR_NO_MEMORY;
  for (uint32_t s = 0; s < m->t->n_spans; ++s) {
    const WayTick start = m->t->spans[s].start, end = end_of(m, s);
    out->first[s] = out->n;
    const WayTick first = next < pattern->n && pattern->hits[next].start < end
                              ? pattern->hits[next].start
                              : end;
    const WayHit own = {start, first - start, true, WAY_BASS_ROOT};
    if ((first - start > patience || first == end) && add_hit(out, own))
      return WAY_ERR_NO_MEMORY;
    for (; next < pattern->n && pattern->hits[next].start < end; ++next) {
      WayHit hit = pattern->hits[next];
      if (hit.start + hit.length > end) hit.length = end - hit.start;
      if (add_hit(out, hit)) return WAY_ERR_NO_MEMORY;
    }
  }
  out->first[m->t->n_spans] = out->n;
  return WAY_OK;
}

static WayStatus make_hits(const Maker* m, WayFeelPart part, WayTick patience,
                           Hits* out) {
  Hits pattern = {0};
  WayStatus st = list_pattern(m, part, &pattern);
  if (!st) st = deal(m, &pattern, patience, out);
  hits_free(&pattern);
  return st;
}

// ---- Comping.

static WayStatus comp_hits(Maker* m, const Hits* hits, const WayVoicing* voicings) {
  for (uint32_t s = 0; s < m->t->n_spans; ++s)
    for (uint32_t h = hits->first[s]; h < hits->first[s + 1]; ++h) {
      const WayHit* const hit = &hits->hits[h];
      for (unsigned v = 0; v < voicings[s].n; ++v) {
        const Note note = {hit->start, hit->start + hit->length, voicings[s].pitch[v],
                           velocity(m, hit->accent ? LOUD : SOFT)};
        if (add_note(m, WAY_PART_COMPING, note)) return WAY_ERR_NO_MEMORY;
      }
    }
  return WAY_OK;
}

static WayStatus make_comping(Maker* m) {
  const uint32_t n = m->t->n_spans;
  const WayChord** const chords = malloc(n * sizeof(const WayChord*)); // NOLINT
  WayVoicing* const voicings = malloc(n * sizeof(*voicings));
  Hits hits = {0};
  WayStatus st = chords && voicings ? WAY_OK : WAY_ERR_NO_MEMORY;
  for (uint32_t s = 0; !st && s < n; ++s) chords[s] = chord_of(m, s);
  if (!st) st = way_voicings_lead(chords, n, voicings);
  if (!st) st = make_hits(m, WAY_FEEL_COMPING, WAY_TICKS_PER_QUARTER, &hits);
  if (!st) st = comp_hits(m, &hits, voicings);
  free(chords);
  free(voicings);
  hits_free(&hits);
  return st;
}

// ---- Bass.

/// The pitch of a class nearest to `from` within the bass's range; of two the lower.
static int bass_near(WayPc pc, int from) {
  int best = BASS_LOW + way_pc(pc - BASS_LOW);
  for (int p = best; p <= BASS_HIGH; p += 12)
    if (abs(p - from) < abs(best - from)) best = p;
  return best;
}

static WayPc bass_pc(const WayChord* c) { return way_spelling_pc(c->bass); }

/// The first tone with one of some numbers, as a pitch class; else the bass.
static WayPc tone_pc(const WayChord* c, const char* numbers) {
  for (; *numbers; ++numbers) {
    const WayDegree* const d = way_chord_tone_numbered(c, *numbers - '0');
    if (d) return way_pc(way_spelling_pc(c->root) + way_degree_pc(*d));
  }
  return bass_pc(c);
}

/// The chord after span `s`; the form goes round.
static const WayChord* chord_after(const Maker* m, uint32_t s) {
  return chord_of(m, (s + 1) % m->t->n_spans);
}

static int bass_pitch(const Maker* m, uint32_t s, const WayHit* hit, int root) {
  const WayChord* const c = chord_of(m, s);
  const WayChord* const after = chord_after(m, s);
  const bool last = hit->start + hit->length == end_of(m, s);
  switch ((WayBassTone)hit->tone) {
  case WAY_BASS_THIRD: return bass_near(tone_pc(c, "342"), root + 4);
  case WAY_BASS_OCTAVE: return root + 12 <= BASS_HIGH ? root + 12 : root;
  case WAY_BASS_APPROACH:
    if (last && !way_chord_is_none(after)) {
      const int next = bass_near(bass_pc(after), root);
      return next + (next > root || next == BASS_LOW ? -1 : 1);
    }
    return bass_near(tone_pc(c, "5"), root + 7);
  case WAY_BASS_FIFTH: return bass_near(tone_pc(c, "5"), root + 7);
  default: return root;
  }
}

static WayStatus make_bass(Maker* m) {
  Hits hits = {0};
  WayStatus st = make_hits(m, WAY_FEEL_BASS, 0, &hits);
  int root = BASS_MIDDLE;
  for (uint32_t s = 0; !st && s < m->t->n_spans; ++s) {
    if (way_chord_is_none(chord_of(m, s))) continue;
    root = bass_near(bass_pc(chord_of(m, s)), root);
    for (uint32_t h = hits.first[s]; !st && h < hits.first[s + 1]; ++h) {
      WayHit hit = hits.hits[h];
      if (h == hits.first[s]) hit.tone = WAY_BASS_ROOT;
      const int key = bass_pitch(m, s, &hit, root);
      st = add_note(m, WAY_PART_BASS,
                    (Note){hit.start, hit.start + hit.length, (uint8_t)key,
                           velocity(m, BASS_VELOCITY)});
    }
  }
  hits_free(&hits);
  return st;
}

// ---- Click, and the chords for the guide.

static Note click_of(const Maker* m, WayTick bar, WayMetre metre, int beat) {
  const WayTick length = way_metre_beat(metre), start = bar + beat * length;
  return (Note){start, start + length / 2, beat ? CLICK_OTHER : CLICK_FIRST,
                velocity(m, beat ? CLICK_SOFT : CLICK_LOUD)};
}

static WayStatus make_click(Maker* m) {
  WayStatus st = WAY_OK;
  for (uint32_t b = 0; b < m->t->n_bars; ++b) {
    const WayBar* const bar = &m->t->bars[b];
    for (int beat = 0; !st && beat < bar->metre.beats; ++beat)
      st = add_note(m, WAY_PART_CLICK, click_of(m, bar->start, bar->metre, beat));
  }
  return st;
}

static WayStatus make_chords(Maker* m) {
  WayBlockEar ear = {0};
  for (uint32_t s = 0; s < m->t->n_spans; ++s) {
    const WayBlock block = way_block_of(chord_of(m, s), &m->t->key, &ear);
    for (unsigned i = 0; i < block.n; ++i) {
      const Note note = {m->t->spans[s].start, end_of(m, s), block.key[i],
                         CHORDS_VELOCITY};
      if (add_note(m, WAY_PART_CHORDS, note)) return WAY_ERR_NO_MEMORY;
    }
  }
  return WAY_OK;
}

// ---- Writing.

static WayStatus put(Maker* m, WayPart part, WayTick tick, uint8_t status, uint8_t a,
                     uint8_t b) {
  const uint8_t bytes[] = {(uint8_t)(status | parts[part].channel), a, b};
  return way_smf_add(m->smf, track_of(part), (uint64_t)tick, bytes,
                     status == WAY_MIDI_PROGRAM ? 2 : 3);
}

static int by_end(const void* a, const void* b) {
  const Note *x = a, *y = b;
  if (x->end != y->end) return x->end < y->end ? -1 : 1;
  return x->key - y->key;
}

/// The notes of a part by their ends.
static Note* sorted_by_end(const Note* notes, uint32_t n) {
  Note* const ends = malloc((n + (size_t)1) * sizeof(*ends));
  if (!ends || !n) return ends;
  memcpy(ends, notes, n * sizeof(*ends));
  qsort(ends, n, sizeof(*ends), by_end);
  return ends;
}

/// Write notes, moved by `at`: every note-off before the note-ons of its tick.
static WayStatus put_notes(Maker* m, WayPart part, const Note* notes, const Note* ends,
                           uint32_t n, WayTick at) {
  WayStatus st = WAY_OK;
  for (uint32_t on = 0, off = 0; !st && off < n;) {
    if (on < n && notes[on].start < ends[off].end) {
      st = put(m, part, at + notes[on].start, WAY_MIDI_NOTE_ON, notes[on].key,
               notes[on].velocity);
      ++on;
    } else {
      st = put(m, part, at + ends[off].end, WAY_MIDI_NOTE_OFF, ends[off].key, 0);
      ++off;
    }
  }
  return st;
}

static WayTick chorus_start(const Maker* m, uint32_t chorus) {
  return m->start + chorus * m->t->length;
}

/// Write a part's notes: once for each chorus, the click as asked for.
static WayStatus put_part(Maker* m, WayPart part) {
  const bool click = part == WAY_PART_CLICK;
  Note* const notes = m->notes[part];
  Note* const ends = sorted_by_end(notes, m->n[part]);
  WayStatus st = ends ? WAY_OK : WAY_ERR_NO_MEMORY;
  for (uint32_t c = 0; !st && c < m->choice->choruses; ++c)
    if (!click || m->choice->click == WAY_CLICK_BEATS)
      st = put_notes(m, part, notes, ends, m->n[part], chorus_start(m, c));
  free(ends);
  return st;
}

static WayStatus put_text(Maker* m, uint32_t track, WayTick tick, uint8_t type,
                          const char* text) {
  return way_smf_add_text(m->smf, track, (uint64_t)tick, type, text);
}

/// Name a part's track and choose its sound.
static WayStatus head(Maker* m, WayPart part) {
  const Part* const p = &parts[part];
  if (!way_smf_add_track(m->smf)) return WAY_ERR_NO_MEMORY;
  WayStatus st = put_text(m, track_of(part), 0, WAY_META_NAME, p->track);
  if (!st) st = put(m, part, 0, WAY_MIDI_CONTROLLER, WAY_CONTROLLER_VOLUME, p->volume);
  if (!st) st = put(m, part, 0, WAY_MIDI_PROGRAM, p->program, 0);
  return st;
}

/// The same signature with at most seven accidentals.
static int8_t signature_of(WayKey key) {
  const int fifths = way_key_signature(key);
  return (int8_t)(fifths > 7 ? fifths - 12 : fifths < -7 ? fifths + 12 : fifths);
}

static WayStatus put_key(Maker* m, WayTick tick, WayKey key) {
  const uint8_t meta[] = {WAY_MIDI_META, WAY_META_KEY, (uint8_t)signature_of(key),
                          way_key_is_minor(key)};
  const WayStatus st = way_smf_add(m->smf, 0, (uint64_t)tick, meta, sizeof(meta));
  if (st || !m->key_given) return st;
  char text[WAY_NAME_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, "key: ");
  way_key_write(key, &out);
  return put_text(m, 0, tick, WAY_META_TEXT, text);
}

/// What is in force while the first track is written.
typedef struct {
  WayMetre metre;
  WayKey key;
} Force;

static WayStatus put_form_bar(Maker* m, WayTick at, uint32_t b, Force* force) {
  const WayBar* const bar = &m->t->bars[b];
  const WaySection* const s = &m->t->sections[bar->section];
  WayStatus st = WAY_OK;
  if (!way_metre_equal(bar->metre, force->metre))
    st = way_smf_add_metre(m->smf, 0, (uint64_t)(at + bar->start), bar->metre);
  force->metre = bar->metre;
  if (st || s->first_bar != b) return st;
  const uint32_t section = way_chart_form_section(m->chart, bar->section);
  const WayKey key = m->chart->sections[section].key;
  if (!way_key_equal(key, force->key)) st = put_key(m, at + bar->start, key);
  force->key = key;
  if (st || !s->name[0]) return st;
  char text[WAY_NAME_MAX + 2];
  snprintf(text, sizeof(text), "[%s]", s->name);
  return put_text(m, 0, at + bar->start, WAY_META_MARKER, text);
}

/// Name a chord on the first track and on that of the chords; tell its target.
static WayStatus put_chord(Maker* m, WayTick at, uint32_t span) {
  const WaySpan* const s = &m->t->spans[span];
  char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(chord_of(m, span), &out);
  WayStatus st = put_text(m, 0, at + s->start, WAY_META_MARKER, text);
  if (!st)
    st = put_text(m, track_of(WAY_PART_CHORDS), at + s->start, WAY_META_TEXT, text);
  if (st || !s->target.number) return st;
  out = way_out(text, sizeof(text));
  way_out_str(&out, "target: ");
  way_degree_write(s->target, &out);
  return put_text(m, 0, at + s->start, WAY_META_TEXT, text);
}

/// Metres, keys, sections, chord names and targets of one chorus.
static WayStatus put_form(Maker* m, uint32_t chorus, Force* force) {
  const WayTick at = chorus_start(m, chorus);
  char text[WAY_SYMBOL_MAX];
  snprintf(text, sizeof(text), "top chorus %u", chorus + 1);
  WayStatus st = put_text(m, 0, at, WAY_META_MARKER, text);
  for (uint32_t b = 0; !st && b < m->t->n_bars; ++b) st = put_form_bar(m, at, b, force);
  for (uint32_t s = 0; !st && s < m->t->n_spans; ++s) st = put_chord(m, at, s);
  return st;
}

static WayStatus put_head(Maker* m, Force* force) {
  *force = (Force){m->t->bars[0].metre, m->chart->key};
  m->key_given = m->chart->key_given;
  for (uint32_t i = 0; i < m->chart->n_sections; ++i)
    m->key_given |= m->chart->sections[i].key_given;
  if (!way_smf_add_track(m->smf)) return WAY_ERR_NO_MEMORY;
  WayStatus st =
      m->chart->title[0] ? put_text(m, 0, 0, WAY_META_NAME, m->chart->title) : WAY_OK;
  if (!st) st = way_smf_add_tempo(m->smf, 0, 0, m->t->tempo);
  if (!st) st = way_smf_add_metre(m->smf, 0, 0, force->metre);
  if (!st) st = put_key(m, 0, force->key);
  if (!st && m->choice->count_in) st = put_text(m, 0, 0, WAY_META_MARKER, "count-in");
  for (int p = 0; !st && p < WAY_PART_COUNT; ++p) st = head(m, (WayPart)p);
  return st;
}

/// Click the count-in, in the metre of the first bar.
static WayStatus put_count_in(Maker* m) {
  const WayMetre metre = m->t->bars[0].metre;
  WayStatus st = WAY_OK;
  if (m->choice->click == WAY_CLICK_OFF) return st;
  for (uint32_t b = 0; b < m->choice->count_in; ++b)
    for (int beat = 0; !st && beat < metre.beats; ++beat) {
      const Note note = click_of(m, b * way_metre_bar(metre), metre, beat);
      st = put_notes(m, WAY_PART_CLICK, &note, &note, 1, 0);
    }
  return st;
}

static WayStatus end_tracks(Maker* m) {
  const uint8_t end[] = {WAY_MIDI_META, WAY_META_END};
  WayStatus st = WAY_OK;
  for (uint32_t t = 0; !st && t < m->smf->n_tracks; ++t)
    st = way_smf_add(m->smf, t, (uint64_t)chorus_start(m, m->choice->choruses), end, 2);
  return st;
}

static WayStatus write_all(Maker* m) {
  Force force;
  WayStatus st = put_head(m, &force);
  if (!st) st = put_count_in(m);
  for (uint32_t c = 0; !st && c < m->choice->choruses; ++c) st = put_form(m, c, &force);
  for (int p = 0; !st && p < WAY_PART_COUNT; ++p) st = put_part(m, (WayPart)p);
  return st ? st : end_tracks(m);
}

WayStatus way_backing_new(const WayChart* chart, const WayTimeline* timeline,
                          const WayBackingChoice* choice, WayTick* start,
                          WaySmf** out) {
  if ((uint64_t)choice->choruses * timeline->n_bars > WAY_CHART_UNROLLED_MAX)
    return WAY_ERR_FULL;
  Maker m = {.chart = chart,
             .t = timeline,
             .choice = choice,
             .start = choice->count_in * way_metre_bar(timeline->bars[0].metre),
             .smf = way_smf_new(1, WAY_TICKS_PER_QUARTER)};
  WayStatus st = m.smf ? WAY_OK : WAY_ERR_NO_MEMORY;
  if (!st) st = make_comping(&m);
  if (!st) st = make_bass(&m);
  if (!st) st = make_click(&m);
  if (!st) st = make_chords(&m);
  if (!st) st = write_all(&m);
  for (int p = 0; p < WAY_PART_COUNT; ++p) free(m.notes[p]);
  if (st) {
    way_smf_free(m.smf);
    return st;
  }
  if (start) *start = m.start;
  *out = m.smf;
  return WAY_OK;
}

static WayStatus copy_track(const WaySmfTrack* from, WaySmf* to) {
  const uint32_t track = to->n_tracks;
  const uint8_t end[] = {WAY_MIDI_META, WAY_META_END};
  if (!way_smf_add_track(to)) return WAY_ERR_NO_MEMORY;
  WayStatus st = WAY_OK;
  for (uint32_t i = 0; !st && i < from->n; ++i)
    st = way_smf_add(to, track, from->events[i].tick, from->events[i].bytes,
                     from->events[i].size);
  return st ? st : way_smf_add(to, track, from->end, end, sizeof(end));
}

WaySmf* way_backing_stem(const WaySmf* backing, WayPart part) {
  WaySmf* const stem = way_smf_new(1, backing->division);
  if (!stem) return NULL;
  if (!copy_track(&backing->tracks[0], stem) &&
      !copy_track(&backing->tracks[track_of(part)], stem))
    return stem;
  way_smf_free(stem);
  return NULL;
}
