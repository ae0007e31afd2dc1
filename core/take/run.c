#include "take/run.h"

#include "base/midi.h"
#include "chart/chart_unroll.h"
#include "take/bars.h"
#include "take/splice.h"
#include "take/tempo_map.h"

#include <math.h>
#include <stdlib.h>

/// Virtual frames a second.  So many that a frame is finer than a tick of music up to
/// 15000 quarter notes a minute.
#define RATE 960000.0

enum { OUT_MELODY, OUT_MARKS, OUT_TRACKS };

/// What happens at one place of the file.  At equal places the new tempo comes first,
/// and a chord before the melody note that belongs to it.
typedef enum { STEP_TEMPO, STEP_CHORDS, STEP_MELODY, STEP_KINDS } StepKind;

/// Walks through the file's tempos, chord track and melody at once.
typedef struct {
  const WaySmfTrack* track[STEP_KINDS]; ///< NULL where there is none
  uint32_t next[STEP_KINDS];
} Walk;

typedef struct {
  const WaySmf* smf;
  WayTempoMap* tempo;
  WayEngine* engine;
  WayTimeline* learned;    ///< Of the form learned; NULL for none
  uint32_t learned_number; ///< The form it is of
  uint64_t keep;           ///< Place in the file; UINT64_MAX for none
  WayClock clock;
  WaySink sink;
  WaySmf* tempos; ///< One track of tempo changes
  WaySmf* out;    ///< Melody and marks
  WayRun* run;
  uint64_t end;     ///< Of the melody's track
  uint32_t room;    ///< For marks
  int64_t frame;    ///< Of the event in hand
  uint64_t tick;    ///< Its place in the file
  uint64_t written; ///< Place of the newest message written
  WayStatus status; ///< First failure inside the sink
} Runner;

// ---- Places.

static int64_t frame_of(const Runner* r, uint64_t tick) {
  return llround(way_tempo_map_seconds(r->tempo, tick) * RATE);
}

/// The place in the file of a frame: exactly that of the event in hand at its frame.
static uint64_t file_tick(const Runner* r, int64_t frame) {
  if (frame >= r->frame) return r->tick;
  const WayTick music = way_clock_tick(&r->clock, frame) + r->run->top;
  const uint64_t tick = music > 0 ? way_smf_file_tick(r->smf, music) : 0;
  return tick < r->tick ? tick : r->tick;
}

// ---- The sink.

static bool is_note_on(const uint8_t* bytes, uint32_t size) {
  return size == 3 && way_midi_is_note_on(bytes);
}

static void keep(Runner* r, WayStatus status) {
  if (!r->status) r->status = status;
}

static void write_melody(Runner* r, uint64_t tick, const uint8_t* bytes,
                         uint32_t size) {
  if (tick > r->written) r->written = tick; // never back in time
  keep(r, way_smf_add(r->out, OUT_MELODY, r->written, bytes, size));
}

static bool take_midi(void* to, int64_t frame, const uint8_t* bytes, uint32_t size) {
  Runner* const r = to;
  write_melody(r, file_tick(r, frame), bytes, size);
  return true;
}

static bool take_note(void* to, int64_t frame, WayNoteWord note) {
  Runner* const r = to;
  uint8_t bytes[3];
  way_note_bytes(note, bytes);
  r->run->notes_out += is_note_on(bytes, sizeof(bytes));
  return take_midi(to, frame, bytes, sizeof(bytes));
}

/// Make room for more marks; false if out of memory.
static bool make_room(Runner* r) {
  WayRun* const run = r->run;
  const uint32_t room = r->room ? 2 * r->room : 256;
  WayMark* const marks = realloc(run->marks, room * sizeof(*marks));
  if (marks) run->marks = marks;
  WayChord* const chords = realloc(run->chords, room * sizeof(*chords));
  if (chords) run->chords = chords;
  if (!marks || !chords) return false;
  r->room = room;
  return true;
}

static void take_mark(void* to, const WayMark* mark) {
  Runner* const r = to;
  WayRun* const run = r->run;
  // A chord that arrives as the take ends is not of this take.
  const WayTick end = way_smf_music_tick(r->smf, r->end);
  if (mark->kind != WAY_MARK_ROLE && mark->kind != WAY_MARK_RESOLUTION &&
      mark->tick + run->top >= end)
    return;
  if (run->n_marks == r->room && !make_room(r)) {
    keep(r, WAY_ERR_NO_MEMORY);
    return;
  }
  run->chords[run->n_marks] = *mark->chord;
  WayMark* const kept = &run->marks[run->n_marks++];
  *kept = *mark;
  if (mark->kind == WAY_MARK_ROLE || mark->kind == WAY_MARK_RESOLUTION)
    way_engine_place(r->engine, kept);
  char text[WAY_MARK_TEXT_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_mark_write(mark, &out);
  keep(r, way_smf_add_text(r->out, OUT_MARKS, file_tick(r, mark->frame),
                           WAY_META_MARKER, text));
}

// ---- The walk.

/// The next event in order of place, then of kind; NULL at the end.
static const WaySmfEvent* walk_on(Walk* w, StepKind* kind) {
  const WaySmfEvent* first = NULL;
  for (int k = 0; k < STEP_KINDS; ++k) {
    if (!w->track[k] || w->next[k] == w->track[k]->n) continue;
    const WaySmfEvent* const e = &w->track[k]->events[w->next[k]];
    if (first && first->tick <= e->tick) continue;
    first = e;
    *kind = (StepKind)k;
  }
  if (first) ++w->next[*kind];
  return first;
}

/// Make the event at `tick` the one in hand.
static void move_to(Runner* r, uint64_t tick) {
  r->frame = frame_of(r, tick);
  r->tick = tick;
}

/// Make a timeline of a form that was just learned.
static void take_form(Runner* r, int64_t frame) {
  const WayLearn* const l = way_engine_learn(r->engine);
  if (!l->known || l->number == r->learned_number) return;
  r->learned_number = l->number;
  way_timeline_free(r->learned);
  r->learned = NULL;
  free(r->run->learned);
  char* const text = r->run->learned = malloc(WAY_FORM_TEXT_MAX);
  if (!text) {
    keep(r, WAY_ERR_NO_MEMORY);
    return;
  }
  WayOut out = way_out(text, WAY_FORM_TEXT_MAX);
  way_form_write(&l->form, &out);
  keep(r, way_timeline_read(way_text(text), &r->learned, NULL));
  if (r->learned) way_engine_learned(r->engine, l->number, r->learned, frame, &r->sink);
}

/// Do what is due before the event in hand; forms are made as they are found.
static void advance(Runner* r) {
  for (int64_t due; (due = way_engine_due(r->engine)) < r->frame;) {
    way_engine_advance(r->engine, due + 1, &r->sink);
    take_form(r, due + 1);
  }
}

/// Roll on from here at the tempo in force here.
static void roll(Runner* r) {
  advance(r); // while the clock so far holds
  const double seconds = way_tempo_map_seconds(r->tempo, r->tick);
  const double tempo = (double)way_tempo_map_at(r->tempo, r->tick);
  const double speed = WAY_TICKS_PER_QUARTER * 1e6 / tempo / RATE;
  const double music =
      (double)r->tick * WAY_TICKS_PER_QUARTER / r->smf->division - (double)r->run->top;
  // A frame is a whole number, so it stands a little beside the tick.
  const double beside = (double)r->frame - seconds * RATE;
  r->clock = (WayClock){r->frame, music + beside * speed, speed};
  way_engine_transport(r->engine, &r->clock, &r->sink);
  take_form(r, r->frame);
}

/// The player keeps what was heard, if it is time before the event at `tick`: as in a
/// host, where a block begins with its settings.
static void keep_before(Runner* r, uint64_t tick) {
  if (r->keep > tick) return;
  move_to(r, r->keep);
  r->keep = UINT64_MAX;
  advance(r);
  WaySettings kept = r->engine->settings;
  kept.keep = true;
  way_engine_set(r->engine, &kept, r->frame, &r->sink);
  take_form(r, r->frame);
}

static void step(Runner* r, StepKind kind, const WaySmfEvent* e) {
  keep_before(r, e->tick);
  move_to(r, e->tick);
  advance(r);
  const uint8_t status = e->bytes[0];
  if (kind == STEP_TEMPO) {
    roll(r);
  } else if (status < WAY_MIDI_SYSEX || status == WAY_MIDI_SYSEX) {
    const bool melody = kind == STEP_MELODY;
    r->run->notes_in += melody && is_note_on(e->bytes, e->size);
    way_engine_midi(r->engine, melody ? WAY_INPUT_MELODY : WAY_INPUT_CHORDS, r->frame,
                    e->bytes, e->size, &r->sink);
    take_form(r, r->frame);
  } else if (kind == STEP_MELODY) { // of the file only: a live guide never sees these
    write_melody(r, r->tick, e->bytes, e->size);
  }
}

static void play(Runner* r, Walk* walk) {
  static const uint8_t end[] = {WAY_MIDI_META, WAY_META_END};
  StepKind kind = STEP_TEMPO;
  roll(r);
  for (const WaySmfEvent* e; !r->status && (e = walk_on(walk, &kind));) {
    if (e->tick > r->end) break;
    step(r, kind, e);
  }
  keep_before(r, r->end);
  move_to(r, r->end);
  advance(r);
  way_engine_silence(r->engine, r->frame, &r->sink);
  for (uint32_t t = 0; t < OUT_TRACKS; ++t)
    keep(r, way_smf_add(r->out, t, r->end, end, sizeof(end)));
}

// ---- All of it.

/// Everything a run needs for its time; false if out of memory.
static bool prepare(Runner* r) {
  r->engine = malloc(sizeof(*r->engine));
  r->tempo = way_tempo_map_new(r->smf);
  r->tempos = way_smf_metas(r->smf, WAY_META_TEMPO);
  r->out = way_smf_new(1, r->smf->division);
  r->run = calloc(1, sizeof(*r->run));
  if (!r->engine || !r->tempo || !r->tempos || !r->out || !r->run) return false;
  for (int t = 0; t < OUT_TRACKS; ++t)
    if (!way_smf_add_track(r->out)) return false;
  return !way_smf_add_text(r->out, OUT_MARKS, 0, WAY_META_NAME, WAY_MARKS_TRACK);
}

/// Find the tracks; `chords` receives -1 where no chord track is asked for.
static WayStatus choose(const WaySmf* smf, const WayRunChoice* choice, uint32_t* melody,
                        int64_t* chords, WayError* error) {
  WayStatus st = way_take_track(smf, &choice->melody, melody, error);
  if (st) return st;
  *chords = -1;
  if (choice->chords.track >= 0 || choice->chords.name) {
    uint32_t track = 0;
    st = way_take_track(smf, &choice->chords, &track, error);
    if (st) return st;
    if (track == *melody)
      return way_fail(WAY_ERR_RANGE, "the chord track is the melody's track", error);
    *chords = track;
  }
  if (way_smf_music_tick(smf, smf->tracks[*melody].end) > WAY_RUN_MAX)
    return way_fail(WAY_ERR_RANGE, "longer than a million quarter notes", error);
  return WAY_OK;
}

/// Find the place at which the player keeps what was heard.
static WayStatus find_keep(Runner* r, uint32_t bar, WayMetre metre) {
  WayTick tick = 0;
  const WayStatus st = way_bars_start(r->smf, bar, metre, &tick);
  if (!st) r->keep = way_smf_file_tick(r->smf, tick);
  return st;
}

static WayStatus run(Runner* r, const uint8_t* bytes, const WayRunChoice* choice,
                     uint32_t melody, int64_t chords) {
  if (!prepare(r)) return WAY_ERR_NO_MEMORY;
  const WayTimeline* const chart = choice->chart;
  WayMetre metre = chart ? chart->bars[0].metre : (WayMetre){4, 4};
  WayStatus st =
      way_bars_start(r->smf, (uint32_t)choice->settings.start_bar, metre, &r->run->top);
  if (!st && choice->keep_bar) st = find_keep(r, choice->keep_bar, metre);
  if (!st) st = way_bars_metre(r->smf, r->run->top, metre, &metre);
  if (st) return st;
  way_engine_init(r->engine, RATE);
  way_engine_set(r->engine, &choice->settings, 0, &r->sink);
  way_engine_metre(r->engine, metre, 0, &r->sink);
  way_engine_chart(r->engine, chart, 0, &r->sink);
  r->end = r->smf->tracks[melody].end;
  Walk walk = {.track = {&r->tempos->tracks[0],
                         chords < 0 ? NULL : &r->smf->tracks[chords],
                         &r->smf->tracks[melody]}};
  play(r, &walk);
  if (r->status) return r->status;
  for (uint32_t i = 0; i < r->run->n_marks; ++i) // they lie still only now
    r->run->marks[i].chord = &r->run->chords[i];
  return way_splice(bytes, r->smf, melody, r->out, &r->run->bytes, &r->run->size);
}

WayStatus way_run_new(const uint8_t* bytes, const WaySmf* smf,
                      const WayRunChoice* choice, WayRun** out, WayError* error) {
  uint32_t melody = 0;
  int64_t chords = -1;
  WayStatus st = choose(smf, choice, &melody, &chords, error);
  if (st) return st;
  Runner r = {.smf = smf, .keep = UINT64_MAX};
  r.sink = (WaySink){&r, take_note, take_midi, take_mark};
  st = run(&r, bytes, choice, melody, chords);
  free(r.engine);
  way_timeline_free(r.learned);
  way_tempo_map_free(r.tempo);
  way_smf_free(r.tempos);
  way_smf_free(r.out);
  if (st) {
    way_run_free(r.run);
    return way_fail(st, way_strerror(st), error);
  }
  *out = r.run;
  return WAY_OK;
}

void way_run_free(WayRun* run) {
  if (!run) return;
  free(run->bytes);
  free(run->marks);
  free(run->chords);
  free(run->learned);
  free(run);
}
