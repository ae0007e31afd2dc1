#include "alloc.h"
#include "check.h"
#include "rng.h"
#include "take/run.h"

#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/smf_read.h"
#include "take/smf_write.h"

#include <stdlib.h>

enum { DIVISION = 480, BAR = 4 * DIVISION };

// ---- A take of a conductor track, a melody and drums.

static void add(WaySmf* smf, uint32_t track, uint64_t tick, uint8_t a, uint8_t b,
                uint8_t c) {
  const uint8_t bytes[] = {a, b, c};
  assert_int_equal(way_smf_add(smf, track, tick, bytes, 3), WAY_OK);
}

static void note(WaySmf* smf, uint64_t tick, uint64_t length, uint8_t key) {
  add(smf, 1, tick, 0x90, key, 90);
  add(smf, 1, tick + length, 0x80, key, 64);
}

static void tempo(WaySmf* smf, uint64_t tick, uint32_t microseconds) {
  const uint8_t bytes[] = {0xFF, 0x51, (uint8_t)(microseconds >> 16),
                           (uint8_t)(microseconds >> 8), (uint8_t)microseconds};
  assert_int_equal(way_smf_add(smf, 0, tick, bytes, sizeof(bytes)), WAY_OK);
}

static WaySmf* empty_take(void) {
  WaySmf* const smf = way_smf_new(1, DIVISION);
  assert_non_null(smf);
  for (int t = 0; t < 3; ++t) assert_non_null(way_smf_add_track(smf));
  add(smf, 2, 7, 0x99, 36, 100); // drums end under running status
  add(smf, 2, 9, 0x99, 36, 0);
  return smf;
}

/// A file as it comes from disk.
typedef struct {
  uint8_t* bytes;
  size_t size;
  WaySmf* smf;
} File;

static File reread(uint8_t* bytes, size_t size) {
  File f = {bytes, size, NULL};
  assert_int_equal(way_smf_read(bytes, size, &f.smf, NULL), WAY_OK);
  return f;
}

/// Write and read; frees `smf`.
static File on_disk(WaySmf* smf) {
  uint8_t* bytes = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(smf, &bytes, &size), WAY_OK);
  way_smf_free(smf);
  return reread(bytes, size);
}

static void end_file(File* f) {
  way_smf_free(f->smf);
  free(f->bytes);
}

static WayTimeline* chart(const char* text) {
  WayChart* read = NULL;
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_read(way_text(text), &read, NULL), WAY_OK);
  assert_int_equal(way_chart_unroll(read, &t), WAY_OK);
  way_chart_free(read);
  return t;
}

static WayRunChoice choice_of(const WayTimeline* t) {
  WayRunChoice c = {.melody = {.track = -1}, .chords = {.track = -1}, .chart = t};
  c.settings = way_settings_default();
  return c;
}

/// Run, and read what came out; the run's bytes go with the file.
static File run_through(const File* in, const WayRunChoice* choice, WayRun** run) {
  WayError error = {.status = WAY_OK};
  assert_int_equal(way_run_new(in->bytes, in->smf, choice, run, &error), WAY_OK);
  uint8_t* const copy = malloc((*run)->size);
  assert_non_null(copy);
  memcpy(copy, (*run)->bytes, (*run)->size);
  return reread(copy, (*run)->size);
}

static void assert_same_events(const WaySmfTrack* a, const WaySmfTrack* b) {
  assert_int_equal(a->n, b->n);
  assert_int_equal(a->end, b->end);
  for (uint32_t i = 0; i < a->n; ++i) {
    assert_int_equal(a->events[i].tick, b->events[i].tick);
    assert_int_equal(a->events[i].size, b->events[i].size);
    assert_memory_equal(a->events[i].bytes, b->events[i].bytes, a->events[i].size);
  }
}

// ---- Tests.

static void test_what_passes_keeps_its_place(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  static const uint8_t exclusive[] = {0xF0, 0x7D, 1, 2, 0xF7};
  static const uint8_t escape[] = {0xF7, 0xFA};
  note(smf, 0, 100, 60);
  assert_int_equal(way_smf_add(smf, 1, 50, exclusive, sizeof(exclusive)), WAY_OK);
  assert_int_equal(way_smf_add(smf, 1, 50, escape, sizeof(escape)), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 1, 50, 5, "a lyric"), WAY_OK);
  add(smf, 1, 50, 0xB0, 1, 64);
  add(smf, 1, 51, 0xE0, 0, 65);
  note(smf, 101, 1, 61);
  const uint8_t end[] = {0xFF, 0x2F};
  assert_int_equal(way_smf_add(smf, 1, 5000, end, 2), WAY_OK);
  File in = on_disk(smf);
  WayTimeline* const t = chart("| C | F |");
  const WayRunChoice choice = choice_of(t);
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  assert_same_events(&in.smf->tracks[1], &out.smf->tracks[1]);
  assert_int_equal(run->notes_in, 2);
  assert_int_equal(run->notes_out, 2);
  way_run_free(run);
  end_file(&out);
  end_file(&in);
  way_timeline_free(t);
}

static void test_other_tracks_keep_their_bytes(void** state) {
  (void)state;
  // Format 1, two tracks; the second uses running status and an odd delta time.
  static const uint8_t bytes[] = {
      'M', 'T',  'h',  'd', 0,   0,   0,    6,    0, 1,    0,  2,  1,    0xE0, // header
      'M', 'T',  'r',  'k', 0,   0,   0,    11,   0, 0x90, 60, 90, 0x60, 60,   0,
      0,   0xFF, 0x2F, 0,   'M', 'T', 'r',  'k',  0, 0,    0,  12, 0,    0x99, 36,
      90,  0x80, 0x60, 36,  0,   0,   0xFF, 0x2F, 0};
  uint8_t* const copy = malloc(sizeof(bytes));
  assert_non_null(copy);
  memcpy(copy, bytes, sizeof(bytes));
  File in = reread(copy, sizeof(bytes));
  WayTimeline* const t = chart("| C |");
  const WayRunChoice choice = choice_of(t);
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  const uint8_t* const second = run->bytes + out.smf->tracks[1].offset;
  assert_memory_equal(second, copy + in.smf->tracks[1].offset, 20);
  assert_int_equal(out.smf->n_tracks, 3);
  assert_true(way_text_is(way_smf_track_name(&out.smf->tracks[2]), WAY_MARKS_TRACK));
  way_run_free(run);
  end_file(&out);
  end_file(&in);
  way_timeline_free(t);
}

static void test_changes_stand_exactly_on_their_beats_at_any_tempo(void** state) {
  (void)state;
  WayTimeline* const t = chart("| C F | G / / Am |\n| Dm | G7 |");
  static const uint64_t beats[] = {0, 2, 4, 7, 8, 12}; // of the chart above
  for (uint32_t seed = 1; seed <= 40; ++seed) {
    uint32_t rng = seed;
    WaySmf* const smf = empty_take();
    for (uint64_t tick = 0; tick < 8 * (uint64_t)BAR;) {
      tempo(smf, tick, 100000 + rng_below(&rng, 2000000));
      tick += 1 + rng_below(&rng, 3000);
    }
    note(smf, 8 * (uint64_t)BAR, 10, 60);
    File in = on_disk(smf);
    const WayRunChoice choice = choice_of(t);
    WayRun* run = NULL;
    File out = run_through(&in, &choice, &run);
    const WaySmfTrack* const marks = &out.smf->tracks[3];
    uint32_t n = 0;
    for (uint32_t i = 0; i < marks->n; ++i) {
      const WayText text = way_smf_meta_data(&marks->events[i]);
      if (text.size < 6 || memcmp(text.at, "change", 6)) continue;
      const uint64_t expected = (n / 6 * 16 + beats[n % 6]) * DIVISION;
      if (marks->events[i].tick != expected)
        fail_msg("seed %u: change %u at %lu, not %lu", seed, n,
                 (unsigned long)marks->events[i].tick, (unsigned long)expected);
      ++n;
    }
    assert_int_equal(n, 13); // two choruses and the top of the third
    way_run_free(run);
    end_file(&out);
    end_file(&in);
  }
  way_timeline_free(t);
}

static void test_the_start_bar_moves_the_form(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  note(smf, 2 * (uint64_t)BAR, 10, 64);
  File in = on_disk(smf);
  WayTimeline* const t = chart("| C | F |");
  WayRunChoice choice = choice_of(t);
  choice.settings.start_bar = 3;
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  const WayMark* role = NULL;
  for (uint32_t i = 0; i < run->n_marks; ++i)
    if (run->marks[i].kind == WAY_MARK_ROLE) role = &run->marks[i];
  assert_non_null(role);
  assert_int_equal(role->tick, 0);
  assert_int_equal(role->chorus, 0);
  assert_int_equal(role->role.interval, 4); // E over C, not over F
  assert_int_equal(run->top, 2 * 4 * WAY_TICKS_PER_QUARTER);
  way_run_free(run);
  end_file(&out);
  end_file(&in);
  way_timeline_free(t);
}

static void test_a_chord_track_is_heard_before_the_note_on_its_beat(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  assert_non_null(way_smf_add_track(smf));
  for (uint8_t i = 0; i < 2;
       ++i) { // C for a bar, then F; each a little before its beat
    static const uint8_t tones[2][3] = {{48, 52, 55}, {53, 57, 60}};
    for (int k = 0; k < 3; ++k) {
      add(smf, 3, i * (uint64_t)BAR, 0x91, tones[i][k], 80);
      add(smf, 3, (i + 1u) * (uint64_t)BAR - 1, 0x81, tones[i][k], 64);
    }
  }
  note(smf, DIVISION, 100, 64);
  note(smf, BAR + DIVISION, 100, 64);
  File in = on_disk(smf);
  WayRunChoice choice = choice_of(NULL);
  choice.settings.source = WAY_SOURCE_TRACK;
  choice.chords.track = 3;
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  int intervals[2] = {-1, -1}, n = 0;
  for (uint32_t i = 0; i < run->n_marks; ++i)
    if (run->marks[i].kind == WAY_MARK_ROLE && n < 2)
      intervals[n++] = run->marks[i].role.interval;
  assert_int_equal(intervals[0], 4);  // E over C
  assert_int_equal(intervals[1], 11); // E over F
  way_run_free(run);
  end_file(&out);
  end_file(&in);
}

static void test_nothing_is_told_of_what_comes_after_the_end(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  assert_non_null(way_smf_add_track(smf));
  add(smf, 3, BAR, 0x91, 60, 90); // a chord track that goes on
  add(smf, 3, 9 * (uint64_t)BAR, 0x81, 60, 90);
  tempo(smf, 5 * (uint64_t)BAR, 300000);
  note(smf, BAR, BAR, 64); // ends with the form and the track
  File in = on_disk(smf);
  WayTimeline* const t = chart("| C | F |");
  WayRunChoice choice = choice_of(t);
  choice.settings.source = WAY_SOURCE_CHART;
  choice.chords.track = 3;
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  assert_int_equal(out.smf->tracks[1].end, 2 * BAR);
  assert_true(run->n_marks > 0);
  for (uint32_t i = 0; i < run->n_marks; ++i)
    assert_true(run->marks[i].tick < 8 * WAY_TICKS_PER_QUARTER);
  way_run_free(run);
  end_file(&out);
  end_file(&in);
  way_timeline_free(t);
}

/// A major chord of bar `bar`, on track 3.
static void chord(WaySmf* smf, uint64_t bar, uint8_t root) {
  for (unsigned i = 0; i < 3; ++i) {
    const uint8_t key = (uint8_t)(root + (i == 2 ? 7 : 4 * i));
    add(smf, 3, bar * BAR, 0x91, key, 90);
  }
  for (unsigned i = 0; i < 3; ++i) {
    const uint8_t key = (uint8_t)(root + (i == 2 ? 7 : 4 * i));
    add(smf, 3, bar * BAR + 1900, 0x81, key, 90);
  }
}

/// What comes as the bar begins is not heard before the form is kept (docs/guide.md).
static void test_a_form_is_kept_where_its_bar_begins(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  assert_non_null(way_smf_add_track(smf));
  static const uint8_t roots[] = {48, 57, 53, 55}; // C A F G
  for (unsigned bar = 0; bar < 8; ++bar) chord(smf, bar, roots[bar % 4]);
  chord(smf, 8, 52); // E, where the form has a C
  for (uint64_t bar = 0; bar < 10; ++bar) note(smf, bar * BAR, 100, 72);
  File in = on_disk(smf);
  WayRunChoice choice = choice_of(NULL);
  choice.melody.track = 1;
  choice.chords.track = 3;
  choice.keep_bar = 9;
  WayRun* run = NULL;
  File out = run_through(&in, &choice, &run);
  assert_string_equal(run->learned, "time: 4/4\ntempo: 120\n\n| C | A | F | G |\n");
  way_run_free(run);
  end_file(&out);
  end_file(&in);
}

static void refused(const File* in, const WayRunChoice* choice, WayStatus status,
                    const char* message) {
  WayRun* run = NULL;
  WayError error = {.status = WAY_OK};
  assert_int_equal(way_run_new(in->bytes, in->smf, choice, &run, &error), status);
  assert_null(run);
  assert_non_null(strstr(error.message, message));
}

static void test_what_cannot_be_run_is_refused(void** state) {
  (void)state;
  WaySmf* smf = empty_take();
  note(smf, 0, 10, 64);
  File in = on_disk(smf);
  WayRunChoice choice = choice_of(NULL);
  choice.chords.track = 1;
  refused(&in, &choice, WAY_ERR_RANGE, "melody");
  choice = choice_of(NULL);
  choice.melody.track = 9;
  refused(&in, &choice, WAY_ERR_RANGE, "track");
  end_file(&in);
  smf = empty_take();
  note(smf, (uint64_t)1 << 40, 10, 64);
  in = on_disk(smf);
  choice = choice_of(NULL);
  refused(&in, &choice, WAY_ERR_RANGE, "longer");
  end_file(&in);
}

static void test_running_out_of_memory_anywhere_is_reported(void** state) {
  (void)state;
  WaySmf* const smf = empty_take();
  tempo(smf, 0, 400000);
  for (uint64_t i = 0; i < 300; ++i) note(smf, i * 100, 50, 60);
  File in = on_disk(smf);
  WayTimeline* const t = chart("| C | F |");
  const WayRunChoice choice = choice_of(t);
  for (long n = 1;; ++n) {
    WayRun* run = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_run_new(in.bytes, in.smf, &choice, &run, NULL);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    way_run_free(run);
    if (!failed) break;
  }
  end_file(&in);
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_passes_keeps_its_place),
      cmocka_unit_test(test_other_tracks_keep_their_bytes),
      cmocka_unit_test(test_changes_stand_exactly_on_their_beats_at_any_tempo),
      cmocka_unit_test(test_the_start_bar_moves_the_form),
      cmocka_unit_test(test_a_chord_track_is_heard_before_the_note_on_its_beat),
      cmocka_unit_test(test_nothing_is_told_of_what_comes_after_the_end),
      cmocka_unit_test(test_a_form_is_kept_where_its_bar_begins),
      cmocka_unit_test(test_what_cannot_be_run_is_refused),
      cmocka_unit_test(test_running_out_of_memory_anywhere_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
