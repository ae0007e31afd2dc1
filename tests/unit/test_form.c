#include "live/form.h"

#include "check.h"
#include "played.h"
#include "theory/chord_read.h"

#include <string.h>

static const char* written(const WayForm* f) {
  static char text[WAY_FORM_TEXT_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_form_write(f, &out);
  assert_false(out.cut);
  return text;
}

static WayForm form_of(const char* chart, WayTick origin) {
  WayTimeline* const t = timeline_of(chart);
  WayForm f;
  assert_true(way_form_of(t, origin, &f));
  way_timeline_free(t);
  return f;
}

static void test_a_chord_has_one_number(void** state) {
  (void)state;
  static const struct {
    const char* symbol;
    int number;
  } cases[] = {{"N.C.", 0},  {"C", 1}, {"Am7", 2}, {"C6/A", 2}, // sounds like Am7
               {"Am7/C", 3}, {"C", 1}, {"F#", 4},  {"Gb", 4},   {"C7", 5}};
  WayFormChords chords;
  way_form_chords_init(&chords);
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord c;
    assert_int_equal(way_chord_read(way_text(cases[i].symbol), &c, NULL), WAY_OK);
    const uint16_t sound = way_form_sound(way_chord_pcs(&c), way_spelling_pc(c.bass));
    assert_int_equal(way_form_enter(&chords, &c, sound), cases[i].number);
  }
  WayChord nine;
  assert_int_equal(way_chord_read(way_text("C7"), &nine, NULL), WAY_OK);
  assert_int_equal(way_form_enter(&chords, &nine, 0x0411), 5); // no fifth was struck
}

static void test_the_list_of_chords_ends(void** state) {
  (void)state;
  WayFormChords chords;
  way_form_chords_init(&chords);
  unsigned n = 0;
  for (int fifths = -7; fifths <= 7; ++fifths)
    for (int third = -1; third <= 1; ++third)
      for (int fifth = -1; fifth <= 1; ++fifth) {
        const WaySpelling root = way_spelling_at_fifths(fifths);
        const WayChord c = {.root = root,
                            .bass = root,
                            .tones = {{1, 0}, {3, (int8_t)third}, {5, (int8_t)fifth}},
                            .n_tones = 3,
                            .n_basic = 3};
        const uint8_t id = way_form_enter(&chords, &c, (uint16_t)++n);
        assert_int_equal(id, n < WAY_FORM_CHORDS_MAX ? n : WAY_FORM_CHORDS_MAX);
      }
}

static void test_charts_come_back(void** state) {
  (void)state;
  static const struct {
    const char* chart;
    int bar; // it begins in
    const char* text;
  } cases[] = {
      {"tempo: 92\n| C | F G | Am / / E7 | C |", 0,
       "time: 4/4\ntempo: 92\n\n| C | F G | Am / / E7 | C |\n"},
      {"time: 3/4\ntempo: 90.5\n| C | N.C. | G / C | C G7 C | F |", 2,
       "; begins in bar 3, counted from the start bar\ntime: 3/4\ntempo: 90.5\n\n"
       "| C | N.C. | G / C | C G7 C |\n| F |\n"},
      {"| Cm7 | F7 | A#maj7 | D#maj7/G |", 0, // heard without a key
       "time: 4/4\ntempo: 120\n\n| Cm7 | F7 | Bbmaj7 | Ebmaj7/G |\n"},
      {"| C | C | C F | C F | C F | C F |", 0, // a line begins with its chords
       "time: 4/4\ntempo: 120\n\n| C | % | C F | % |\n| C F | % |\n"},
      {"time: 12/8\n| C G |", 0, "time: 12/8\ntempo: 120\n\n| C G |\n"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayForm f = form_of(cases[i].chart, 0);
    WayForm moved = f;
    moved.origin = cases[i].bar * way_metre_bar(f.metre);
    assert_string_equal(written(&moved), cases[i].text);
    const WayForm again = form_of(written(&f), 0);
    assert_true(way_form_equal(&f, &again));
  }
}

static void test_what_does_not_fit_is_refused(void** state) {
  (void)state;
  static const char* const charts[] = {"[A]\ntime: 3/4\n| C |\n[B]\ntime: 4/4\n| F |"};
  for (size_t i = 0; i < WAY_COUNT(charts); ++i) {
    WayTimeline* const t = timeline_of(charts[i]);
    WayForm f = {.bars = 7};
    assert_false(way_form_of(t, 0, &f));
    assert_int_equal(f.bars, 7);
    way_timeline_free(t);
  }
  char text[WAY_FORM_BARS_MAX * 4 + 8] = "|";
  for (unsigned i = 0; i <= WAY_FORM_BARS_MAX; ++i) strcat(text, " C |");
  WayTimeline* const t = timeline_of(text);
  WayForm f;
  assert_false(way_form_of(t, 0, &f));
  way_timeline_free(t);
}

static void test_forms_repeat_both_ways(void** state) {
  (void)state;
  const WayForm f = form_of("| C | F | G |", 8 * 3840);
  for (int beat = -40; beat < 40; ++beat)
    assert_int_equal(way_form_at(&f, beat), f.beats[(beat + 48 - 8) % 12]);
  WayForm later = f; // the same form, begun one chorus on
  later.origin += 3 * way_metre_bar(f.metre);
  assert_true(way_form_equal(&f, &later));
  later.origin += way_metre_bar(f.metre);
  assert_false(way_form_equal(&f, &later));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_chord_has_one_number),
      cmocka_unit_test(test_the_list_of_chords_ends),
      cmocka_unit_test(test_charts_come_back),
      cmocka_unit_test(test_what_does_not_fit_is_refused),
      cmocka_unit_test(test_forms_repeat_both_ways),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
