#include "chart/chart_unroll.h"

#include "alloc.h"
#include "chart/chart_read.h"
#include "chart_text.h"
#include "check.h"
#include "theory/chord_write.h"

#include <stdio.h>
#include <stdlib.h>

#define BAR (4 * (WayTick)WAY_TICKS_PER_QUARTER)

static WayTimeline* unrolled(const char* text) {
  WayChart* const c = chart_of(text);
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_chart_free(c); // nothing of it is borrowed
  return t;
}

static void expect_span(const WayTimeline* t, uint32_t i, WayTick start,
                        const char* symbol, int target) {
  char text[WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_chord_write(&way_timeline_harmony(t, i)->chord, &out);
  assert_string_equal(text, symbol);
  assert_int_equal(t->spans[i].start, start);
  assert_int_equal(t->spans[i].target.number, target);
}

static void test_equal_neighbours_are_one_span(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("| C | C | C C>5 | % | F>3 | % | C |");
  assert_int_equal(t->n_bars, 7);
  assert_int_equal(t->n_spans, 4);
  expect_span(t, 0, 0, "C", 0);
  expect_span(t, 1, 2 * BAR + BAR / 2, "C", 5); // a landing of its own
  expect_span(t, 2, 4 * BAR, "F", 3);           // `%` rings on and lands no more
  expect_span(t, 3, 6 * BAR, "C", 0);
  way_timeline_free(t);
}

static void test_equal_chords_share_a_harmony(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: C\n| C | G7 | C | G7 | V7 |\n");
  assert_int_equal(t->n_spans, 4);
  assert_int_equal(t->n_harmonies, 2);
  assert_int_equal(t->spans[0].harmony, t->spans[2].harmony);
  way_timeline_free(t);
}

// Longer chords weigh more: G has the natural seventh of A minor, E7 the raised one.
static void test_the_loops_scales_go_by_how_long_chords_sound(void** state) {
  (void)state;
  WayTimeline* t = unrolled("key: A minor\n| Am | G | Am | Am E7 |\n");
  assert_string_equal(t->loop.parent.type->name, "minor");
  way_timeline_free(t);
  t = unrolled("key: A minor\n| Am | E7 | E7 | Am G |\n");
  assert_string_equal(t->loop.parent.type->name, "harmonic minor");
  way_timeline_free(t);
}

static void test_a_chord_is_heard_in_its_sections_key(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("key: C\n[A] | C | % |\n[B] key: F\n| C | F |");
  assert_int_equal(t->n_harmonies, 3);
  expect_span(t, 1, 2 * BAR, "C", 0);
  assert_int_equal(way_spelling_pc(way_timeline_harmony(t, 0)->key.tonic), 0);
  assert_int_equal(way_spelling_pc(way_timeline_harmony(t, 1)->key.tonic), 5);
  way_timeline_free(t);
}

static void test_a_chord_is_heard_in_the_key_found_for_its_part(void** state) {
  (void)state;
  static const char bars[] = "| C | Am7 | Dm7 | G7 | C | F | G7 | C |\n"
                             "| Fm7 | Bb7 | Ebmaj7 | Cm7 | Fm7 | Bb7 | Ebmaj7 | % |\n";
  char text[200];
  for (int given = 0; given < 2; ++given) {
    snprintf(text, sizeof(text), "%s%s", given ? "key: C\n" : "", bars);
    WayTimeline* const t = unrolled(text);
    const WayPlace last = way_timeline_at(t, t->length - 1);
    const WayKey key = way_timeline_harmony(t, last.span)->key;
    assert_int_equal(way_spelling_pc(key.tonic), given ? 0 : 3);
    way_timeline_free(t);
  }
}

static void test_a_section_keeps_its_own_key_where_others_are_found(void** state) {
  (void)state;
  WayTimeline* const t =
      unrolled("[A] | C | F | G7 | C |\n[B] key: Ab\n| C | G7 | C |");
  const WayPlace last = way_timeline_at(t, t->length - 1);
  assert_int_equal(way_spelling_pc(way_timeline_harmony(t, last.span)->key.tonic), 8);
  way_timeline_free(t);
}

/// Enough different chords that some fall into the same place of the hash table.
static void test_different_chords_keep_apart(void** state) {
  (void)state;
  static const char* const kinds[] = {"",     "m",   "7",    "maj7", "m7",  "m7b5",
                                      "dim7", "6",   "sus4", "9",    "13",  "7b9",
                                      "m9",   "aug", "maj9", "m11",  "7#5", "add9"};
  static const char* const alters[] = {"bb", "b", "", "#", "##"};
  static const char* const keys[] = {"C",  "Db", "D",  "Eb", "E",  "F",
                                     "Gb", "G",  "Ab", "A",  "Bb", "B"};
  char* const text = malloc(1 << 18);
  assert_non_null(text);
  char* at = text;
  for (size_t key = 0; key < WAY_COUNT(keys); ++key) {
    at += sprintf(at, "[%s] key: %s\n|", keys[key], keys[key]);
    for (const char* root = "CDEFGAB"; *root; ++root)
      for (size_t alter = 0; alter < WAY_COUNT(alters); ++alter)
        for (size_t kind = 0; kind < WAY_COUNT(kinds); ++kind)
          at += sprintf(at, " %c%s%s |", *root, alters[alter], kinds[kind]);
    at += sprintf(at, "\n");
  }
  WayChart* const c = chart_of(text);
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  assert_int_equal(t->n_spans, c->n_slots);
  assert_int_equal(t->n_harmonies, c->n_slots);
  for (uint32_t i = 0; i < t->n_spans; ++i) {
    const WayHarmony* const h = way_timeline_harmony(t, i);
    assert_true(way_chord_equal(&h->chord, &c->slots[i].chord));
    assert_int_equal(way_spelling_pc(h->key.tonic), i / (c->n_slots / 12));
  }
  way_timeline_free(t);
  way_chart_free(c);
  free(text);
}

static void test_bars_and_sections_follow_the_form(void** state) {
  (void)state;
  WayTimeline* const t = unrolled("tempo: 92\nform: A B A\n[A]\n|: C | 1. F :| 2. G |\n"
                                  "[B]\ntime: 3/4\n| Am | Em |");
  static const uint32_t first[] = {0, 4, 6};
  assert_int_equal(t->n_sections, 3);
  for (uint32_t i = 0; i < 3; ++i) assert_int_equal(t->sections[i].first_bar, first[i]);
  assert_string_equal(t->sections[2].name, "A");
  assert_int_equal(t->n_bars, 10);
  assert_int_equal(t->bars[5].start, 4 * BAR + BAR * 3 / 4);
  assert_int_equal(t->bars[5].metre.beats, 3);
  assert_int_equal(t->bars[5].section, 1);
  assert_int_equal(t->bars[6].metre.beats, 4);
  assert_int_equal(t->length, 8 * BAR + 2 * (BAR * 3 / 4));
  assert_true(t->tempo == 92);
  way_timeline_free(t);
}

static void test_a_long_form_is_unrolled(void** state) {
  (void)state;
  char* const text = malloc(1 << 20);
  assert_non_null(text);
  char* at = text;
  for (int i = 0; i < 250; ++i) at += sprintf(at, "| C%d | F G7 ", i % 2 ? 7 : 6);
  at += sprintf(at, "|\n");
  char* const form = malloc(1 << 20);
  assert_non_null(form);
  char* to = form + sprintf(form, "form:");
  for (int i = 0; i < 400; ++i) to += sprintf(to, " A");
  sprintf(to, "\n[A]\n%s", text);
  WayTimeline* const t = unrolled(form);
  assert_int_equal(t->n_bars, 200000);
  assert_int_equal(t->n_spans, 300000);
  assert_int_equal(t->n_harmonies, 4);
  free(form);
  free(text);
  way_timeline_free(t);
}

static void test_a_chart_without_bars_is_refused(void** state) {
  (void)state;
  const WayChart nothing = {.tempo = 120};
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(&nothing, &t), WAY_ERR_RANGE);
  assert_null(t);
}

static void test_no_memory_is_reported(void** state) {
  (void)state;
  WayChart* const c = chart_of("| C | F G7 |");
  for (long n = 1;; ++n) {
    WayTimeline* t = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_chart_unroll(c, &t);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    if (!failed) {
      assert_true(n > 7);
      assert_int_equal(st, WAY_OK);
      way_timeline_free(t);
      break;
    }
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_null(t);
  }
  way_chart_free(c);
  way_timeline_free(NULL);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_equal_neighbours_are_one_span),
      cmocka_unit_test(test_equal_chords_share_a_harmony),
      cmocka_unit_test(test_the_loops_scales_go_by_how_long_chords_sound),
      cmocka_unit_test(test_a_chord_is_heard_in_its_sections_key),
      cmocka_unit_test(test_a_chord_is_heard_in_the_key_found_for_its_part),
      cmocka_unit_test(test_a_section_keeps_its_own_key_where_others_are_found),
      cmocka_unit_test(test_different_chords_keep_apart),
      cmocka_unit_test(test_bars_and_sections_follow_the_form),
      cmocka_unit_test(test_a_long_form_is_unrolled),
      cmocka_unit_test(test_a_chart_without_bars_is_refused),
      cmocka_unit_test(test_no_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
