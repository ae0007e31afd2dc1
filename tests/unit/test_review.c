#include "alloc.h"
#include "check.h"
#include "played.h"
#include "rng.h"
#include "take/review.h"

// An invented tune: a bar each.
static const char lantern_row[] =
    "title: Lantern Row\nkey: C major\n\n[A]\n| C | Am | F | "
    "G7 |\n";

static void check_note(const WayReview* r, uint32_t i, int interval, WayRole role) {
  assert_int_equal(r->notes[i].role.interval, interval);
  assert_int_equal(r->notes[i].role.role, role);
}

static void test_each_note_is_set_against_its_chord(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(lantern_row, 0, 0, {0, 1, 64}, {4, 1, 64}, {8, 1, 64},
                              {12, 1, 64}, {13, 1, 61}, {16, 1, 64});
  check_note(r.review, 0, 4, WAY_ROLE_CHORD);     // E over C
  check_note(r.review, 1, 7, WAY_ROLE_CHORD);     // over Am
  check_note(r.review, 2, 11, WAY_ROLE_SCALE);    // over F
  check_note(r.review, 3, 9, WAY_ROLE_SCALE);     // over G7
  check_note(r.review, 4, 6, WAY_ROLE_CHROMATIC); // C# over G7
  check_note(r.review, 5, 4, WAY_ROLE_CHORD);     // over C, second chorus
  assert_int_equal(r.review->totals.roles[WAY_ROLE_CHORD], 3);
  assert_int_equal(r.review->totals.roles[WAY_ROLE_SCALE], 2);
  assert_int_equal(r.review->totals.roles[WAY_ROLE_CHROMATIC], 1);
  assert_int_equal(r.review->totals.basic, 3);
  assert_int_equal(r.review->totals.degrees[3][WAY_ALTER_MAX], 2);
  assert_true(r.review->notes[2].name.letter == 2 && !r.review->notes[2].name.alter);
  reviewed_free(r);
}

static void
test_a_note_before_a_change_belongs_to_the_chord_it_begins_on(void** state) {
  (void)state;
  const Played notes[] = {{3.75, 2, 57}};
  const Reviewed strict = reviewed(lantern_row, 0, 0, notes, 1);
  check_note(strict.review, 0, 9, WAY_ROLE_SCALE); // A over C
  reviewed_free(strict);
  const Reviewed early = reviewed(lantern_row, 0, 0.25, notes, 1);
  check_note(early.review, 0, 0, WAY_ROLE_CHORD); // A over Am
  reviewed_free(early);
  const Reviewed outside = reviewed(lantern_row, 0, 0.24, notes, 1);
  check_note(outside.review, 0, 9, WAY_ROLE_SCALE);
  reviewed_free(outside);
}

static void check_landing(const WayReview* r, uint32_t i, uint32_t held, uint32_t first,
                          WayArrival arrival) {
  assert_in_range(i, 0, r->n_landings - 1);
  const WayLandingSeen* const l = &r->landings[i];
  assert_int_equal(l->held_over, held);
  assert_int_equal(l->first_onset, first);
  assert_string_equal(way_arrival_name(l->arrival), way_arrival_name(arrival));
}

static void test_landings(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED(lantern_row, 0, 0, {0.1, 1, 60}, // on time: within half a sixteenth
               {3, 1.5, 57}, {3.5, 1.2, 60},    // both sound over the change to Am
               {9, 1, 65},                      // a beat after the change to F
               {13.2, 1, 67});                  // later than a beat after that to G7
  assert_int_equal(r.review->n_landings, 4);
  check_landing(r.review, 0, WAY_NO_NOTE, 0, WAY_ARRIVAL_ON_TIME);
  check_landing(r.review, 1, 2, WAY_NO_NOTE, WAY_ARRIVAL_HELD);
  check_landing(r.review, 2, WAY_NO_NOTE, 3, WAY_ARRIVAL_LATE);
  check_landing(r.review, 3, WAY_NO_NOTE, 4, WAY_ARRIVAL_NONE);
  assert_int_equal(r.review->landings[1].note, 2);
  assert_int_equal(r.review->landings[1].role.interval, 3); // C over Am
  assert_int_equal(r.review->totals.landed_chord, 4);
  reviewed_free(r);
}

static void test_a_note_that_ends_at_the_change_is_not_held_over(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(lantern_row, 0, 0, {3, 1, 60}, {5, 1, 60});
  check_landing(r.review, 1, WAY_NO_NOTE, 1, WAY_ARRIVAL_LATE);
  reviewed_free(r);
}

static void test_early_notes_land_on_the_next_chord(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(lantern_row, 0, 0.5, {2, 4, 64}, {3.75, 1, 57},
                              {4.5, 1, 60}, {11.5, 0.25, 71});
  check_landing(r.review, 0, WAY_NO_NOTE, 0, WAY_ARRIVAL_NONE);
  check_landing(r.review, 1, 0, 1, WAY_ARRIVAL_EARLY);
  check_landing(r.review, 3, WAY_NO_NOTE, 3,
                WAY_ARRIVAL_EARLY); // though it ends before
  assert_int_equal(r.review->n_landings, 4);
  reviewed_free(r);
}

static void test_landings_go_on_through_the_choruses(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(lantern_row, 0, 0, {0, 1, 60}, {32, 1, 60});
  assert_int_equal(r.review->n_landings, 9);
  assert_int_equal(r.review->landings[8].change, 32 * WAY_TICKS_PER_QUARTER);
  const WayReviewPlace p = way_review_place(r.timeline, r.review->landings[8].change);
  assert_int_equal(p.chorus, 3);
  assert_int_equal(p.bar, 1);
  assert_int_equal(r.review->totals.arrivals[WAY_ARRIVAL_NONE], 7);
  reviewed_free(r);
}

static void test_a_chord_that_stays_is_one_landing(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: C major\n| C | C | G | C |\n", 0, 0, {0, 1, 60}, {31, 1, 60});
  // C, G, C, and over the top of the form: G, C
  assert_int_equal(r.review->n_landings, 5);
  assert_int_equal(r.review->landings[3].change, 24 * WAY_TICKS_PER_QUARTER);
  reviewed_free(r);
}

static void test_targets(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C major\n| C>3 | Am>b7 | F | G>5 |\n", 0, 0,
                              {0, 1, 64}, {4, 1, 57}, {8, 1, 60}, {10, 3, 62});
  assert_true(r.review->landings[0].met);
  assert_false(r.review->landings[1].met);
  assert_false(r.review->landings[2].met);
  assert_true(r.review->landings[3].met); // held over
  assert_int_equal(r.review->totals.targets, 3);
  assert_int_equal(r.review->totals.targets_met, 2);
  reviewed_free(r);
}

static void test_nothing_planned_is_nothing_met(void** state) {
  (void)state;
  for (int pitch = 60; pitch < 72; ++pitch) {
    const Reviewed r = REVIEWED("key: C major\n| C |\n", 0, 0, {0, 1, pitch});
    assert_false(r.review->landings[0].met);
    reviewed_free(r);
  }
}

static void test_notes_before_the_chart(void** state) {
  (void)state;
  const Reviewed r = REVIEWED(lantern_row, 8, 0.25, {5, 1, 66}, {7, 1, 59},
                              {7.75, 0.5, 60}, {8, 1, 64});
  assert_int_equal(r.review->notes[0].harmony, WAY_NO_HARMONY);
  assert_int_equal(r.review->notes[0].role.role, WAY_ROLE_CHROMATIC);
  assert_int_equal(r.review->notes[1].role.role, WAY_ROLE_SCALE);
  check_note(r.review, 2, 0, WAY_ROLE_CHORD); // inside the early window
  assert_int_equal(r.review->totals.without_chord, 2);
  check_landing(r.review, 0, WAY_NO_NOTE, 2, WAY_ARRIVAL_EARLY);
  const WayReviewPlace p = way_review_place(r.timeline, way_review_onset(r.review, 0));
  assert_int_equal(p.chorus, 0);
  assert_int_equal(p.bar, 0);
  assert_int_equal(p.in_bar, WAY_TICKS_PER_QUARTER);
  assert_int_equal(way_review_place(r.timeline, -5 * WAY_TICKS_PER_QUARTER).bar, -1);
  reviewed_free(r);
}

static void test_silence_is_not_landed_on(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C major\n| C | N.C. | F | G |\n", 0, 0, {0, 1, 60},
                              {4, 1, 62}, {8, 1, 65}, {12, 1, 67});
  assert_int_equal(r.review->n_landings, 3);
  assert_int_equal(r.review->notes[1].role.role, WAY_ROLE_SCALE);
  assert_int_equal(r.review->totals.without_chord, 1);
  reviewed_free(r);
}

static void test_a_take_of_ages_is_refused(void** state) {
  (void)state;
  WayTimeline* const t = timeline_of(lantern_row);
  WayTake* const take = take_played((const Played[]){{0, 1, 60}, {1e9, 1, 60}}, 2);
  WayReview* r = NULL;
  assert_int_equal(way_review_new(take, t, 0, 0, &r), WAY_ERR_UNSUPPORTED);
  assert_null(r);
  way_take_free(take);
  way_timeline_free(t);
}

/// The landing at `change` found by looking at every note: what the walk must agree
/// with.
static void look_at_all(const WayReview* r, WayTick before, WayTick change,
                        WayTick next, uint32_t* held, uint32_t* first) {
  *held = *first = WAY_NO_NOTE;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick start = r->take->notes[i].start;
    // A note belongs to the chord it begins on, or to the next inside the window.
    const WayTick from = change - r->early > before ? change - r->early : before;
    const WayTick until = next - r->early > change ? next - r->early : change;
    if (start >= from && start < until && *first == WAY_NO_NOTE) *first = i;
    if (start < from && start + r->take->notes[i].length > change) *held = i;
  }
}

// Property: the walk finds the landings that looking at every note at every change
// finds.
static void test_landings_of_random_takes(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    Played notes[60];
    double at = 0;
    const uint32_t n = 1 + rng_below(&rng, 60);
    for (uint32_t i = 0; i < n; ++i) {
      at += rng_below(&rng, 8) / 4.0;
      notes[i].start = at;
      notes[i].length = rng_below(&rng, 40) / 4.0;
      notes[i].pitch = 48 + (int)rng_below(&rng, 24);
    }
    const double early = rng_below(&rng, 8) / 4.0;
    const Reviewed r =
        reviewed("key: C major\n| C G | Am / / F | C | G |\n", 0, early, notes, n);
    const WayTick far = INT64_MAX / 2;
    for (uint32_t k = 0; k < r.review->n_landings; ++k) {
      const WayLandingSeen* const l = &r.review->landings[k];
      uint32_t held, first;
      look_at_all(r.review, k ? l[-1].change : -far, l->change,
                  way_timeline_next_change(r.timeline, l->change), &held, &first);
      if (l->held_over != held || l->first_onset != first)
        fail_msg("seed %u, landing %u", seed, k);
    }
    reviewed_free(r);
  }
}

static void test_memory_running_out(void** state) {
  (void)state;
  WayTimeline* const t = timeline_of(lantern_row);
  WayTake* const take = take_played((const Played[]){{0, 1, 60}, {999, 1, 60}}, 2);
  for (long n = 1;; ++n) {
    WayReview* r = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_review_new(take, t, 0, 0, &r);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    way_review_free(r);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    if (!failed) break;
  }
  way_take_free(take);
  way_timeline_free(t);
}

static void test_notes_a_hair_early_are_counted(void** state) {
  (void)state;
  // Into the second chord: a hair early, a legato tail, a note held over for long.
  const Reviewed hair = REVIEWED("| C | G |\n", 0, 0, {0, 1, 60}, {3.95, 1, 71});
  assert_int_equal(hair.review->totals.hair_early, 1);
  reviewed_free(hair);
  const Reviewed tail = REVIEWED("| C | G |\n", 0, 0, {3.95, 0.1, 60}, {4.5, 1, 71});
  assert_int_equal(tail.review->totals.hair_early, 0);
  reviewed_free(tail);
  const Reviewed held = REVIEWED("| C | G |\n", 0, 0, {2, 3, 60});
  assert_int_equal(held.review->totals.hair_early, 0);
  reviewed_free(held);
  const Reviewed early = REVIEWED("| C | G |\n", 0, 0.13, {0, 1, 60}, {3.95, 1, 71});
  assert_int_equal(early.review->totals.hair_early, 0);
  reviewed_free(early);
}

static void test_a_tail_into_a_chord_is_no_landing(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("| C | G |\n", 0, 0, {0, 4.05, 60});
  assert_int_equal(r.review->n_landings, 1);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_each_note_is_set_against_its_chord),
      cmocka_unit_test(test_a_note_before_a_change_belongs_to_the_chord_it_begins_on),
      cmocka_unit_test(test_landings),
      cmocka_unit_test(test_a_note_that_ends_at_the_change_is_not_held_over),
      cmocka_unit_test(test_early_notes_land_on_the_next_chord),
      cmocka_unit_test(test_landings_go_on_through_the_choruses),
      cmocka_unit_test(test_a_chord_that_stays_is_one_landing),
      cmocka_unit_test(test_targets),
      cmocka_unit_test(test_nothing_planned_is_nothing_met),
      cmocka_unit_test(test_notes_before_the_chart),
      cmocka_unit_test(test_silence_is_not_landed_on),
      cmocka_unit_test(test_a_take_of_ages_is_refused),
      cmocka_unit_test(test_landings_of_random_takes),
      cmocka_unit_test(test_notes_a_hair_early_are_counted),
      cmocka_unit_test(test_a_tail_into_a_chord_is_no_landing),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
