#include "alloc.h"
#include "chart/chart_transpose.h"
#include "chart/chart_unroll.h"
#include "chart/chart_write.h"
#include "chart_random.h"
#include "chart_text.h"
#include "check.h"
#include "take/backing.h"
#include "take/backing_chords.h"
#include "take/chart_from.h"
#include "take/smf_read.h"
#include "take/smf_write.h"
#include "theory/chord_write.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>

static WaySmf* new_file(void) {
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  return smf;
}

static void add_text(WaySmf* smf, uint64_t quarter, uint8_t type, const char* text) {
  assert_int_equal(way_smf_add_text(smf, 0, quarter * 480, type, text), WAY_OK);
}

static void end_at(WaySmf* smf, uint64_t quarter) {
  assert_int_equal(way_smf_add(smf, 0, quarter * 480, (const uint8_t[]){0xFF, 0x2F}, 2),
                   WAY_OK);
}

static void test_a_file_of_ages_is_refused(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 6, "C");
  add_text(smf, 1000000, 6, "F");
  WayHeard h = {0, NULL};
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  WayChart* chart = NULL;
  WayError e;
  assert_int_equal(way_chart_from(smf, &h, 0, &chart, &e), WAY_ERR_UNSUPPORTED);
  assert_string_equal(e.message, "more bars or sections than a chart can have");
  assert_null(chart);
  free(h.chords);
  way_smf_free(smf);
}

/// The chart text that comes of a file's names; to be freed with free().
static char* text_of(WaySmf* smf) {
  assert_int_equal(way_smf_sort(smf), WAY_OK);
  WayHeard h = {0, NULL};
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_chart_from_heard(smf, &h, &e) || way_chart_from(smf, &h, 0, &chart, &e))
    fail_msg("%s", e.message);
  char* text = NULL;
  assert_int_equal(way_chart_write(chart, &text), WAY_OK);
  way_chart_free(chart);
  free(h.chords);
  way_smf_free(smf);
  return text;
}

static void check_text(WaySmf* smf, const char* expected) {
  char* const text = text_of(smf);
  assert_string_equal(text, expected);
  free(text);
}

static void test_bars_divide_as_the_chords_stand(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  static const struct {
    uint64_t tick;
    const char* chord;
  } list[] = {{0, "C"},
              {480 * 4, "F"},
              {480 * 6, "G"},
              {480 * 8, "Am"},
              {480 * 11, "E7"},
              {480 * 12, "A"},
              {480 * 12 + 640, "B"},
              {480 * 12 + 1280, "C"}, // a third each
              {480 * 16, "D"},
              {480 * 17 + 240, "Em"}, // on an eighth
              {480 * 20 + 100, "Gm"},
              {480 * 23 - 90, "C7"}}; // by hand
  for (size_t i = 0; i < WAY_COUNT(list); ++i)
    assert_int_equal(way_smf_add_text(smf, 0, list[i].tick, 6, list[i].chord), WAY_OK);
  end_at(smf, 24);
  check_text(smf, "time: 4/4\ntempo: 120\n\n"
                  "| C | F G | Am / / E7 | A B C |\n"
                  "| D / / Em / / / / | Gm / / C7 |\n");
}

static void test_sections_title_keys_and_tempo(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 3, "Rope; [Walk]");
  assert_int_equal(way_smf_add_tempo(smf, 0, 0, 92.5), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 0, (const uint8_t[]){0xFF, 0x59, 0xFD, 1}, 4),
                   WAY_OK);
  assert_int_equal(way_smf_add_metre(smf, 0, 16 * 480, (WayMetre){3, 4}), WAY_OK);
  static const char* const names[] = {"Verse", "Verse", "Gate", "Verse"};
  for (unsigned i = 0; i < 4; ++i) {
    add_text(smf, i * 4 + (i == 3), 6, names[i]); // the last one is late
    add_text(smf, i * 4, 6, i == 2 ? "Ab" : "Cm");
  }
  add_text(smf, 16, 6, "G7");
  end_at(smf, 19);
  check_text(smf, "title: Rope Walk\nkey: C minor\ntime: 4/4\ntempo: 92.5\n"
                  "form: Verse Verse Gate Verse [bar 5]\n\n"
                  "[Verse]\n| Cm |\n\n[Gate]\n| Ab |\n\n[bar 5]\ntime: 3/4\n| G7 |\n");
}

static void test_equal_names_of_different_sections_count_up(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  static const char* const chords[] = {"C", "F", "C", "F", "G"};
  for (unsigned i = 0; i < 5; ++i) {
    add_text(smf, i * 4, 6, "Verse");
    add_text(smf, i * 4, 6, chords[i]);
  }
  end_at(smf, 20);
  check_text(smf, "time: 4/4\ntempo: 120\n"
                  "form: Verse [Verse 2] Verse [Verse 2] [Verse 3]\n\n"
                  "[Verse]\n| C |\n\n[Verse 2]\n| F |\n\n[Verse 3]\n| G |\n");
}

static void test_keys(void** state) {
  (void)state;
  WaySmf* smf = new_file();
  add_text(smf, 0, 6, "Dm7");
  assert_int_equal(way_smf_add(smf, 0, 0, (const uint8_t[]){0xFF, 0x59, 0, 0}, 4),
                   WAY_OK); // says nothing
  end_at(smf, 4);
  check_text(smf, "time: 4/4\ntempo: 120\n\n| Dm7 |\n");
  smf = new_file();
  add_text(smf, 0, 6, "Dm7");
  assert_int_equal(way_smf_add(smf, 0, 0, (const uint8_t[]){0xFF, 0x59, 0, 0}, 4),
                   WAY_OK);
  add_text(smf, 0, 1, "key: D dorian");
  end_at(smf, 4);
  check_text(smf, "key: D dorian\ntime: 4/4\ntempo: 120\n\n| Dm7 |\n");
}

static void test_targets(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 1, "target: 9"); // nothing has begun
  add_text(smf, 4, 6, "Dm7");
  assert_int_equal(way_smf_add_text(smf, 0, 4 * 480 + 20, 1, "target:b3"), WAY_OK);
  add_text(smf, 8, 1, "target: 5"); // the chord goes on
  add_text(smf, 10, 6, "G7");
  add_text(smf, 10, 1, "target: 3 or so");
  add_text(smf, 12, 6, "N.C.");
  add_text(smf, 12, 1, "target: 3");
  add_text(smf, 16, 6, "Cm");
  assert_int_equal(way_smf_add_text(smf, 0, 16 * 480 - 20, 1, "target: #11"), WAY_OK);
  end_at(smf, 24);
  check_text(smf, "time: 4/4\ntempo: 120\n\n"
                  "| N.C. | Dm7>b3 | Dm7>5 G7 | N.C. |\n"
                  "| Cm>#11 | % |\n");
}

static void test_chords_are_looked_for(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  WayHeard h = {0, NULL};
  WayError e;
  assert_int_equal(way_chart_from_heard(smf, &h, &e), WAY_ERR_RANGE);
  assert_string_equal(e.message, "no chord names, and no track with chords");
  for (uint32_t t = 1; t <= 3; ++t) { // a melody, C major, F major named as chords
    assert_non_null(way_smf_add_track(smf));
    for (uint8_t i = 0; i < (t == 1 ? 1 : 3); ++i) {
      const uint8_t key = (uint8_t)(60 + (t == 3 ? 5 : 0) +
                                    (i == 1   ? 4
                                     : i == 2 ? 7
                                              : 0));
      assert_int_equal(way_smf_add(smf, t, 0, (const uint8_t[]){0x90, key, 80}, 3), 0);
      assert_int_equal(way_smf_add(smf, t, 480, (const uint8_t[]){0x80, key, 0}, 3), 0);
    }
  }
  assert_int_equal(way_smf_sort(smf), WAY_OK);
  assert_int_equal(way_chart_from_heard(smf, &h, NULL), WAY_OK);
  assert_int_equal(way_spelling_pc(h.chords[0].chord.root), 0);
  free(h.chords);
  assert_int_equal(way_smf_add_text(smf, 3, 0, 3, "Chords"), WAY_OK);
  assert_int_equal(way_chart_from_heard(smf, &h, NULL), WAY_OK);
  assert_int_equal(way_spelling_pc(h.chords[0].chord.root), 5);
  free(h.chords);
  way_smf_free(smf);
}

// ---- Round trips: chart, backing, chart.

/// What was seen of chords heard in backings.
typedef struct {
  unsigned spans, heard, targets;
} Tally;

static WayTimeline* unrolled(const WayChart* chart) {
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  return t;
}

static WaySmf* backing_of(const WayChart* chart, const WayTimeline* t) {
  WayBackingChoice choice = way_backing_default();
  choice.choruses = 2;
  WaySmf *made = NULL, *read = NULL;
  uint8_t* bytes;
  size_t size;
  assert_int_equal(way_backing_new(chart, t, &choice, NULL, &made), WAY_OK);
  assert_int_equal(way_smf_write(made, &bytes, &size), WAY_OK);
  assert_int_equal(way_smf_read(bytes, size, &read, NULL), WAY_OK);
  free(bytes);
  way_smf_free(made);
  return read;
}

/// See that two forms are played alike.
static void check_form(const WayTimeline* a, const WayTimeline* b, const char* what) {
  if (a->length != b->length || a->n_bars != b->n_bars ||
      a->n_sections != b->n_sections)
    fail_msg("%s: %u bars in %u sections, then %u in %u", what, a->n_bars,
             a->n_sections, b->n_bars, b->n_sections);
  for (uint32_t i = 0; i < a->n_bars; ++i) {
    assert_int_equal(a->bars[i].start, b->bars[i].start);
    assert_int_equal(a->bars[i].metre.beats, b->bars[i].metre.beats);
    assert_int_equal(a->bars[i].metre.unit, b->bars[i].metre.unit);
    assert_int_equal(a->bars[i].section, b->bars[i].section);
  }
  for (uint32_t i = 0; i < a->n_sections; ++i)
    if (strncmp(a->sections[i].name, b->sections[i].name, 40))
      fail_msg("%s: section %s, then %s", what, a->sections[i].name,
               b->sections[i].name);
  if (a->tempo != b->tempo) fail_msg("%s: tempo %g, then %g", what, a->tempo, b->tempo);
}

static bool has_target(const WaySpan* s) { return s->target.number != 0; }

/// See that each chord of `a` sounds in `b` too, from the same place if a target is
/// planned for it, and with that target; returns how many targets there are.
static unsigned check_chords(const WayTimeline* a, const WayTimeline* b,
                             const char* what) {
  unsigned targets = 0;
  for (uint32_t i = 0; i < a->n_spans; ++i) {
    const WaySpan* const x = &a->spans[i];
    const uint32_t k = way_timeline_at(b, x->start).span;
    const WaySpan* const y = &b->spans[k];
    if (!way_chord_equal(&way_timeline_harmony(a, i)->chord,
                         &way_timeline_harmony(b, k)->chord))
      fail_msg("%s: chord %u", what, i);
    if (!has_target(x)) continue;
    ++targets;
    if (x->start != y->start || x->target.number != y->target.number ||
        x->target.alter != y->target.alter)
      fail_msg("%s: target of chord %u", what, i);
  }
  return targets;
}

/// The key of a section of the form as it is played.
static WayKey key_of(const WayChart* c, uint32_t i) {
  return c->sections[c->form ? c->form[i] : i].key;
}

/// By names a chart comes back as it was.
static void check_by_names(const WayChart* chart, const WayTimeline* t,
                           const WaySmf* smf, const char* what, Tally* tally) {
  WayHeard h = {0, NULL};
  WayChart* back = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_heard_names(smf, &h, &e) || way_chart_from(smf, &h, 0, &back, &e))
    fail_msg("%s: %s", what, e.message);
  WayTimeline* const u = unrolled(back);
  check_form(t, u, what);
  tally->targets += check_chords(t, u, what);
  check_chords(u, t, what);
  for (uint32_t i = 0; chart->key_given && i < t->n_sections; ++i) {
    const WayKey a = key_of(chart, i), b = key_of(back, i);
    if (a.mode != b.mode || !way_spelling_equal(a.tonic, b.tonic))
      fail_msg("%s: key of section %u", what, i);
  }
  way_timeline_free(u);
  way_chart_free(back);
  free(h.chords);
}

/// Whether another chord has the same keys over the same bass: nobody can hear which.
static bool sounds_alike(const WayChord* a, const WayChord* b) {
  const WayPcSet x = way_chord_pcs(a) | WAY_PC_BIT(way_spelling_pc(a->bass));
  const WayPcSet y = way_chord_pcs(b) | WAY_PC_BIT(way_spelling_pc(b->bass));
  return x == y && way_spelling_pc(a->bass) == way_spelling_pc(b->bass);
}

/// By notes, as the guide hears them with the chart's key or without, chords are the
/// same, or sound the same.
static void check_by_notes(const WayTimeline* t, const WaySmf* smf, const char* what,
                           Tally* tally) {
  WayHeard h = {0, NULL};
  const WayTakeChoice track = {-1, "Chords", 0};
  const WayTick start = 2 * way_metre_bar(t->bars[0].metre);
  if (way_heard_track(smf, &track, &h, NULL)) return; // nothing but silence
  for (uint32_t i = 0, k = 0; i < t->n_spans; ++i) {
    const WayChord* const written = &way_timeline_harmony(t, i)->chord;
    while (k + 1 < h.n && h.chords[k + 1].tick <= start + t->spans[i].start) ++k;
    if (way_chord_is_none(written)) continue;
    ++tally->spans;
    tally->heard += way_block_alike(written, &h.chords[k].chord);
    if (way_block_alike(written, &h.chords[k].chord)) continue;
    if (sounds_alike(written, &h.chords[k].chord)) continue;
    char a[WAY_SYMBOL_MAX], b[WAY_SYMBOL_MAX];
    WayOut out = way_out(a, sizeof(a));
    way_chord_write(written, &out);
    out = way_out(b, sizeof(b));
    way_chord_write(&h.chords[k].chord, &out);
    fail_msg("%s: %s is heard as %s", what, a, b);
  }
  free(h.chords);
}

static void go_round(const WayChart* chart, const char* what, Tally* tally) {
  WayTimeline* const t = unrolled(chart);
  WaySmf* const smf = backing_of(chart, t);
  check_by_names(chart, t, smf, what, tally);
  check_by_notes(t, smf, what, tally);
  way_smf_free(smf);
  way_timeline_free(t);
}

static void in_all_keys(const WayChart* chart, const char* what, Tally* tally) {
  for (int up = 0; up < 12; ++up) {
    WayChart* moved = NULL;
    const WaySpelling tonic = way_chart_tonic_moved(chart->key, up);
    if (way_chart_transpose(chart, tonic, &moved)) continue; // a numeral far out
    go_round(moved, what, tally);
    way_chart_free(moved);
  }
}

static char* read_file(const char* path) {
  FILE* const file = fopen(path, "rb");
  assert_non_null(file);
  char* const text = calloc(1, 1 << 16);
  assert_true(fread(text, 1, (1 << 16) - 1, file) > 0);
  fclose(file);
  return text;
}

static void test_demo_charts_come_back_in_all_keys(void** state) {
  (void)state;
  glob_t found;
  Tally tally = {0};
  assert_int_equal(glob(CHARTS "/*.chart", 0, NULL, &found), 0);
  for (size_t i = 0; i < found.gl_pathc; ++i) {
    char* const text = read_file(found.gl_pathv[i]);
    WayChart* const chart = chart_of(text);
    in_all_keys(chart, found.gl_pathv[i], &tally);
    way_chart_free(chart);
    free(text);
  }
  print_message("# %u chords heard, %u of them by name\n", tally.spans, tally.heard);
  assert_int_equal(tally.spans, tally.heard);
  globfree(&found);
}

static void test_random_charts_come_back_in_all_keys(void** state) {
  (void)state;
  Tally tally = {0};
  for (uint32_t seed = 1; seed <= 200; ++seed) {
    char text[8192], what[32];
    uint32_t rng = seed;
    chart_random(&rng, text, sizeof(text));
    snprintf(what, sizeof(what), "seed %u", seed);
    WayChart* const chart = chart_of(text);
    in_all_keys(chart, what, &tally);
    way_chart_free(chart);
  }
  print_message("# %u chords heard, %u of them by name\n", tally.spans, tally.heard);
  assert_true(tally.targets > 1000);
}

static void test_memory_running_out(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 6, "Verse");
  add_text(smf, 0, 6, "C");
  add_text(smf, 4, 6, "F");
  end_at(smf, 8);
  for (long n = 1; n < 200; ++n) {
    WayHeard h = {0, NULL};
    WayChart* chart = NULL;
    alloc_fail_at(n);
    WayStatus st = way_chart_from_heard(smf, &h, NULL);
    if (!st) st = way_chart_from(smf, &h, 0, &chart, NULL);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    way_chart_free(chart);
    free(h.chords);
    if (!failed) break;
  }
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_file_of_ages_is_refused),
      cmocka_unit_test(test_bars_divide_as_the_chords_stand),
      cmocka_unit_test(test_sections_title_keys_and_tempo),
      cmocka_unit_test(test_equal_names_of_different_sections_count_up),
      cmocka_unit_test(test_keys),
      cmocka_unit_test(test_targets),
      cmocka_unit_test(test_chords_are_looked_for),
      cmocka_unit_test(test_demo_charts_come_back_in_all_keys),
      cmocka_unit_test(test_random_charts_come_back_in_all_keys),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
