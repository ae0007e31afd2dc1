#include "alloc.h"
#include "chart/chart_unroll.h"
#include "check.h"
#include "take/heard.h"
#include "theory/chord_write.h"

#include <stdlib.h>

static WaySmf* new_file(void) {
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  return smf;
}

static void check_chord(const WayHeard* h, uint32_t i, WayTick quarter,
                        const char* name) {
  assert_in_range(i, 0, h->n - 1);
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  way_chord_write(&h->chords[i].chord, &out);
  assert_string_equal(symbol, name);
  assert_int_equal(h->chords[i].tick, quarter * WAY_TICKS_PER_QUARTER);
}

static void add_text(WaySmf* smf, uint64_t quarter, uint8_t type, const char* text) {
  assert_int_equal(way_smf_add_text(smf, 0, quarter * 480, type, text), WAY_OK);
}

static void test_names_among_markers(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 6, "top");
  add_text(smf, 0, 6, " Dm7 ");
  add_text(smf, 2, 6, "Dm7");
  add_text(smf, 4, 6, "G7");
  add_text(smf, 6, 1, "Eb"); // a text: markers come first
  add_text(smf, 8, 6, "N.C.");
  WayHeard h = {0, NULL};
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  assert_int_equal(h.n, 3);
  check_chord(&h, 0, 0, "Dm7");
  check_chord(&h, 1, 4, "G7");
  check_chord(&h, 2, 8, "N.C.");
  free(h.chords);
  way_smf_free(smf);
}

static void test_names_among_texts_and_lyrics(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  WayHeard h = {0, NULL};
  WayError e;
  assert_int_equal(way_heard_names(smf, &h, &e), WAY_ERR_RANGE);
  assert_string_equal(e.message, "no chord names among its markers, texts or lyrics");
  add_text(smf, 1, 5, "F#m7b5");
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  check_chord(&h, 0, 1, "F#m7b5");
  free(h.chords);
  add_text(smf, 2, 1, "Bb");
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  assert_int_equal(h.n, 1);
  check_chord(&h, 0, 2, "Bb");
  free(h.chords);
  way_smf_free(smf);
}

/// A chord of up to four keys (0: none), each a little later than the one before.
static void strum(WaySmf* smf, uint64_t from, uint64_t to, const uint8_t keys[4]) {
  for (uint8_t i = 0; i < 4 && keys[i]; ++i) {
    assert_int_equal(way_smf_add(smf, 0, from * 480 + i * 10,
                                 (const uint8_t[]){0x90, keys[i], 80}, 3),
                     WAY_OK);
    assert_int_equal(
        way_smf_add(smf, 0, to * 480, (const uint8_t[]){0x80, keys[i], 0}, 3), WAY_OK);
  }
  assert_int_equal(way_smf_sort(smf), WAY_OK);
}

static const WayTakeChoice first = {0, NULL, 0};

static void test_chords_of_a_track(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  strum(smf, 0, 4, (const uint8_t[]){48, 52, 55, 0});
  strum(smf, 4, 8, (const uint8_t[]){43, 47, 50, 53});
  strum(smf, 8, 10, (const uint8_t[]){48, 52, 55, 0});
  strum(smf, 10, 12, (const uint8_t[]){48, 52, 55, 0});
  WayHeard h = {0, NULL};
  assert_int_equal(way_heard_track(smf, &first, &h, NULL), WAY_OK);
  assert_int_equal(h.n, 3);
  check_chord(&h, 0, 0, "C");
  check_chord(&h, 1, 4, "G7");
  check_chord(&h, 2, 8, "C");
  free(h.chords);
  way_smf_free(smf);
}

static void test_a_track_without_chords(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  strum(smf, 0, 1, (const uint8_t[]){60, 0, 0, 0});
  strum(smf, 1, 2, (const uint8_t[]){62, 0, 0, 0});
  WayHeard h = {0, NULL};
  WayError e;
  assert_int_equal(way_heard_track(smf, &first, &h, &e), WAY_ERR_RANGE);
  assert_string_equal(e.message, "no chords in the track");
  const WayTakeChoice absent = {4, NULL, 0};
  assert_int_equal(way_heard_track(smf, &absent, &h, &e), WAY_ERR_RANGE);
  assert_null(h.chords);
  way_smf_free(smf);
}

static void check_span(const WayTimeline* t, uint32_t i, WayTick quarter,
                       const char* name) {
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  assert_in_range(i, 0, t->n_spans - 1);
  way_chord_write(&way_timeline_harmony(t, i)->chord, &out);
  assert_string_equal(symbol, name);
  assert_int_equal(t->spans[i].start, quarter * WAY_TICKS_PER_QUARTER);
}

static void test_a_chart_of_heard_chords(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  const uint8_t three[] = {0xFF, 0x58, 3, 2, 24, 8};
  assert_int_equal(way_smf_add(smf, 0, 12 * 480, three, 6), WAY_OK);
  assert_int_equal(way_smf_add(smf, 0, 18 * 480, (const uint8_t[]){0xFF, 0x2F}, 2),
                   WAY_OK);
  add_text(smf, 5, 6, "Am");
  add_text(smf, 8, 6, "F");
  // A little behind its beat, and a little before.
  assert_int_equal(way_smf_add_text(smf, 0, 10 * 480 + 30, 6, "G/B"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 0, 7135, 6, "C"), WAY_OK);
  WayHeard h = {0, NULL};
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  WayChart* chart = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_heard_chart(smf, &h, 4 * WAY_TICKS_PER_QUARTER, false, &chart, &e))
    fail_msg("%s", e.message);
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  assert_int_equal(t->n_bars, 4); // two of four beats, two of three
  assert_int_equal(t->bars[2].metre.beats, 3);
  assert_int_equal(t->n_spans, 5);
  check_span(t, 0, 0, "N.C.");
  check_span(t, 1, 1, "Am");
  check_span(t, 2, 4, "F");
  check_span(t, 3, 6, "G/B");
  check_span(t, 4, 11, "C");
  way_timeline_free(t);
  way_chart_free(chart);
  free(h.chords);
  way_smf_free(smf);
}

/// Learn the form of chords that stand a bar each, `-` for the chord before.
static void check_learned(const char* const* bars, uint32_t n, const char* expected) {
  WaySmf* const smf = new_file();
  for (uint32_t i = 0; i < n; ++i)
    if (*bars[i] != '-') add_text(smf, 4 * (uint64_t)i, 6, bars[i]);
  assert_int_equal(
      way_smf_add(smf, 0, 4 * 480 * (uint64_t)n, (const uint8_t[]){0xFF, 0x2F}, 2),
      WAY_OK);
  WayHeard h = {0, NULL};
  assert_int_equal(way_heard_names(smf, &h, NULL), WAY_OK);
  WayChart* chart = NULL;
  assert_int_equal(way_heard_chart(smf, &h, 0, true, &chart, NULL), WAY_OK);
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  char text[256] = "";
  WayOut out = way_out(text, sizeof(text));
  for (uint32_t i = 0; i < t->n_bars; ++i) {
    if (i) way_out_char(&out, ' ');
    const uint32_t span = way_timeline_at(t, t->bars[i].start).span;
    way_chord_write(&way_timeline_harmony(t, span)->chord, &out);
  }
  assert_string_equal(text, expected);
  way_timeline_free(t);
  way_chart_free(chart);
  free(h.chords);
  way_smf_free(smf);
}
#define LEARNED(expected, ...)                                                         \
  check_learned((const char* const[]){__VA_ARGS__},                                    \
                WAY_COUNT(((const char* const[]){__VA_ARGS__})), expected)

static void test_a_form_that_comes_round_is_learned(void** state) {
  (void)state;
  LEARNED("C Am F G7", "C", "Am", "F", "G7", "C", "Am", "F", "G7", "C", "Am", "F", "G7",
          "C");
  // Twelve bars, the second time with another chord in bar 10.
  LEARNED("C F C C F F C C G7 F C G7", "C", "F", "C", "-", "F", "-", "C", "-", "G7",
          "F", "C", "G7", "C", "F", "C", "-", "F", "-", "C", "-", "G7", "Dm7", "C",
          "G7", "C", "F", "C", "-", "F", "-", "C", "-", "G7", "F", "C", "G7");
}

static void test_a_short_loop_makes_four_bars(void** state) {
  (void)state;
  LEARNED("Dm7 G7 Dm7 G7", "Dm7", "G7", "Dm7", "G7", "Dm7", "G7", "Dm7", "G7");
  LEARNED("E7 E7 E7 E7", "E7", "-", "-", "-", "-", "-", "-", "-", "-");
}

static void test_a_form_heard_once_stays_whole(void** state) {
  (void)state;
  // Sections return, but no chorus does.
  LEARNED("C Am F G7 C Am F G7 Em A7 Dm G7 C Am F G7", "C", "Am", "F", "G7", "C", "Am",
          "F", "G7", "Em", "A7", "Dm", "G7", "C", "Am", "F", "G7");
  LEARNED("Dm Dm Dm Dm Eb Eb Dm Dm", "Dm", "-", "-", "-", "Eb", "-", "Dm", "-");
}

static void test_chords_are_found_anywhere(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  WayHeard h = {0, NULL};
  WayError e;
  assert_int_equal(way_heard_anywhere(smf, &h, &e), WAY_ERR_RANGE);
  assert_memory_equal(e.message, "no chords in it", 15);
  add_text(smf, 0, 6, "Am");
  assert_int_equal(way_heard_anywhere(smf, &h, NULL), WAY_OK);
  check_chord(&h, 0, 0, "Am");
  free(h.chords);
  add_text(smf, 0, 3, "Backing");
  strum(smf, 0, 4, (const uint8_t[]){48, 52, 55, 0});
  assert_int_equal(way_heard_anywhere(smf, &h, NULL), WAY_OK);
  check_chord(&h, 0, 0, "C");
  free(h.chords);
  assert_non_null(way_smf_add_track(smf));
  assert_int_equal(way_smf_add_text(smf, 1, 0, 3, "chords"), WAY_OK);
  const uint8_t on[][3] = {{0x90, 50, 80}, {0x90, 53, 80}, {0x90, 57, 80}};
  for (size_t i = 0; i < WAY_COUNT(on); ++i)
    assert_int_equal(way_smf_add(smf, 1, 0, on[i], 3), WAY_OK);
  assert_int_equal(way_heard_anywhere(smf, &h, NULL), WAY_OK);
  check_chord(&h, 0, 0, "Dm");
  free(h.chords);
  way_smf_free(smf);
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
  assert_int_equal(way_heard_chart(smf, &h, 0, false, &chart, &e), WAY_ERR_UNSUPPORTED);
  assert_string_equal(e.message, "more bars than a chart can have");
  assert_null(chart);
  free(h.chords);
  way_smf_free(smf);
}

static void test_memory_running_out(void** state) {
  (void)state;
  WaySmf* const smf = new_file();
  add_text(smf, 0, 6, "C");
  add_text(smf, 4, 6, "F");
  strum(smf, 0, 4, (const uint8_t[]){48, 52, 55, 0});
  for (long n = 1; n < 100; ++n) {
    WayHeard names = {0, NULL}, notes = {0, NULL};
    WayChart* chart = NULL;
    alloc_fail_at(n);
    WayStatus st = way_heard_names(smf, &names, NULL);
    if (!st) st = way_heard_track(smf, &first, &notes, NULL);
    if (!st) st = way_heard_chart(smf, &names, 0, true, &chart, NULL);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    way_chart_free(chart);
    free(names.chords);
    free(notes.chords);
    if (!failed) break;
  }
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names_among_markers),
      cmocka_unit_test(test_names_among_texts_and_lyrics),
      cmocka_unit_test(test_chords_of_a_track),
      cmocka_unit_test(test_a_track_without_chords),
      cmocka_unit_test(test_a_chart_of_heard_chords),
      cmocka_unit_test(test_a_form_that_comes_round_is_learned),
      cmocka_unit_test(test_a_short_loop_makes_four_bars),
      cmocka_unit_test(test_a_form_heard_once_stays_whole),
      cmocka_unit_test(test_chords_are_found_anywhere),
      cmocka_unit_test(test_a_file_of_ages_is_refused),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
