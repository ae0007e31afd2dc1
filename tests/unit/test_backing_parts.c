#include "take/backing_parts.h"

#include "alloc.h"
#include "chart/chart_unroll.h"
#include "check.h"

#define QUARTER ((WayTick)WAY_TICKS_PER_QUARTER)

static WayTimeline* form_of(const char* text) {
  WayTimeline* t = NULL;
  assert_int_equal(way_timeline_read(way_text(text), &t, NULL), WAY_OK);
  return t;
}

static bool strikes(const WayPartNotes* p, WayTick start, WayPc pc) {
  for (uint32_t i = 0; i < p->n; ++i)
    if (p->notes[i].start == start && way_pc(p->notes[i].key) == pc) return true;
  return false;
}

static void test_the_bass_plays_the_bass_as_each_chord_comes(void** state) {
  (void)state;
  static const struct {
    int quarter;
    WayPc pc;
  } expected[] = {{0, 4}, {4, 10}, {6, 2}, {12, 7}};
  WayTimeline* const t = form_of("| C/E | Bb7 D | N.C. | Gm |");
  for (unsigned feel = 0; feel < WAY_FEEL_COUNT; ++feel) {
    WayBackingChoice choice = way_backing_default();
    choice.feel = (WayFeel)feel;
    WayPartNotes parts[WAY_PART_COUNT];
    assert_int_equal(way_backing_parts(t, &choice, parts), WAY_OK);
    const WayPartNotes* const bass = &parts[WAY_PART_BASS];
    for (size_t i = 0; i < WAY_COUNT(expected); ++i)
      if (!strikes(bass, expected[i].quarter * QUARTER, expected[i].pc))
        fail_msg("%s: chord %zu", way_feel_name((WayFeel)feel), i);
    for (uint32_t i = 0; i < bass->n; ++i) // nothing under N.C.
      assert_true(bass->notes[i].end <= 8 * QUARTER ||
                  bass->notes[i].start >= 12 * QUARTER);
    way_backing_parts_clear(parts);
  }
  way_timeline_free(t);
}

static void test_notes_rise_and_stay_in_the_form(void** state) {
  (void)state;
  WayTimeline* const t = form_of("time: 5/4\n| Dm7 / / G7 / | C | F#m7b5 |");
  const WayBackingChoice choice = way_backing_default();
  WayPartNotes parts[WAY_PART_COUNT];
  assert_int_equal(way_backing_parts(t, &choice, parts), WAY_OK);
  for (int p = 0; p < WAY_PART_COUNT; ++p) {
    assert_true(parts[p].n > 0);
    WayTick before = 0;
    for (uint32_t i = 0; i < parts[p].n; ++i) {
      const WayPartNote* const n = &parts[p].notes[i];
      assert_true(n->start >= before && n->end > n->start && n->end <= t->length);
      before = n->start;
    }
  }
  assert_int_equal(parts[WAY_PART_CLICK].n, 15);
  way_backing_parts_clear(parts);
  way_timeline_free(t);
}

static void test_the_first_beat_clicks_higher_and_louder(void** state) {
  (void)state;
  const WayBackingChoice choice = way_backing_default();
  const WayPartNote first =
      way_backing_click(&choice, 8 * QUARTER, (WayMetre){6, 8}, 0);
  const WayPartNote third =
      way_backing_click(&choice, 8 * QUARTER, (WayMetre){6, 8}, 2);
  assert_int_equal(first.start, 8 * QUARTER);
  assert_int_equal(third.start, 9 * QUARTER);
  assert_true(first.velocity > third.velocity);
  assert_int_equal(first.key, 76); // General MIDI: high wood block
  assert_int_equal(third.key, 77); // low wood block
}

static void test_out_of_memory_is_reported(void** state) {
  (void)state;
  WayTimeline* const t = form_of("| C | F |");
  const WayBackingChoice choice = way_backing_default();
  bool failed = true;
  for (long n = 1; failed; ++n) {
    WayPartNotes parts[WAY_PART_COUNT];
    alloc_fail_at(n);
    const WayStatus st = way_backing_parts(t, &choice, parts);
    failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    way_backing_parts_clear(parts);
    assert_in_range(n, 1, 100);
  }
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_bass_plays_the_bass_as_each_chord_comes),
      cmocka_unit_test(test_notes_rise_and_stay_in_the_form),
      cmocka_unit_test(test_the_first_beat_clicks_higher_and_louder),
      cmocka_unit_test(test_out_of_memory_is_reported),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
