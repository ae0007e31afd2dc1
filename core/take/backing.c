#include "take/backing.h"

#include "base/midi.h"
#include "chart/chart_walk.h"
#include "take/backing_parts.h"
#include "theory/chord_write.h"

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

/// What is written once for each chorus.
typedef struct {
  const WayChart* chart;
  const WayTimeline* t;
  const WayBackingChoice* choice;
  WaySmf* smf;
  WayTick start;  ///< Of the first chorus
  bool key_given; ///< The chart gives a key
  WayPartNotes parts[WAY_PART_COUNT];
} Maker;

static uint32_t track_of(WayPart part) { return 1 + (uint32_t)part; }

static WayStatus put(Maker* m, WayPart part, WayTick tick, uint8_t status, uint8_t a,
                     uint8_t b) {
  const uint8_t bytes[] = {(uint8_t)(status | parts[part].channel), a, b};
  return way_smf_add(m->smf, track_of(part), (uint64_t)tick, bytes,
                     status == WAY_MIDI_PROGRAM ? 2 : 3);
}

static int by_end(const void* a, const void* b) {
  const WayPartNote *x = a, *y = b;
  if (x->end != y->end) return x->end < y->end ? -1 : 1;
  return x->key - y->key;
}

/// The notes of a part by their ends.
static WayPartNote* sorted_by_end(const WayPartNote* notes, uint32_t n) {
  WayPartNote* const ends = malloc((n + (size_t)1) * sizeof(*ends));
  if (!ends || !n) return ends;
  memcpy(ends, notes, n * sizeof(*ends));
  qsort(ends, n, sizeof(*ends), by_end);
  return ends;
}

/// Write notes, moved by `at`: every note-off before the note-ons of its tick.
static WayStatus put_notes(Maker* m, WayPart part, const WayPartNote* notes,
                           const WayPartNote* ends, uint32_t n, WayTick at) {
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
  const WayPartNotes* const all = &m->parts[part];
  WayPartNote* const ends = sorted_by_end(all->notes, all->n);
  WayStatus st = ends ? WAY_OK : WAY_ERR_NO_MEMORY;
  for (uint32_t c = 0; !st && c < m->choice->choruses; ++c)
    if (!click || m->choice->click == WAY_CLICK_BEATS)
      st = put_notes(m, part, all->notes, ends, all->n, chorus_start(m, c));
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
  way_chord_write(&way_timeline_harmony(m->t, span)->chord, &out);
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
      const WayPartNote note =
          way_backing_click(m->choice, b * way_metre_bar(metre), metre, beat);
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
  if (!st) st = way_backing_parts(timeline, choice, m.parts);
  if (!st) st = write_all(&m);
  way_backing_parts_clear(m.parts);
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
