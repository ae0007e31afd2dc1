#include "draw/fretboard.h"

#include "check.h"
#include "rng.h"

static WayFretboard random_board(uint32_t* rng) {
  WayFretboard b = {.tuning = way_tuning(rng_next(rng) % way_tuning_count())};
  b.capo = (uint8_t)(rng_next(rng) % 4 ? 0 : rng_next(rng) % 12);
  b.left = rng_next(rng) % 2;
  b.first = (uint8_t)(rng_next(rng) % 30);
  b.last = (uint8_t)(rng_next(rng) % 40);
  return b;
}

// Every place shown stands inside the box, apart from its neighbours.
static void test_places_lie_apart_inside_the_box(void** state) {
  (void)state;
  const WayBox box = {10, 20, 500, 150};
  for (uint32_t seed = 1; seed <= 500; ++seed) {
    uint32_t rng = seed;
    const WayFretboard b = random_board(&rng);
    const WayFretLayout l = way_fret_layout(&b, box);
    assert_true(l.board.first >= l.board.capo && l.board.last >= l.board.first);
    double before = -1;
    for (unsigned fret = l.board.first; fret <= l.board.last; ++fret)
      for (unsigned s = 0; s < l.board.tuning.n; ++s) {
        const double x = way_fret_x(&l, fret), y = way_fret_y(&l, s);
        if (!way_box_has(way_box_inset(box, l.radius - 0.01), x, y))
          fail_msg("seed %u: string %u fret %u is outside", seed, s, fret);
        if (s) assert_true(way_fret_y(&l, s - 1) - y > 2 * l.radius);
        if (!s && before >= 0)
          assert_true((l.board.left ? before - x : x - before) > 2 * l.radius);
        if (!s) before = x;
      }
    assert_true(l.radius * 2 < l.gap && l.radius * 2 < l.cell);
    assert_true(l.number_y + l.number / 2 <= way_box_bottom(box) + 1);
  }
}

// The high strings are at the top, as on the page of a tablature (common practice).
static void test_the_first_string_lies_lowest(void** state) {
  (void)state;
  const WayFretboard b = way_fretboard_default();
  const WayFretLayout l = way_fret_layout(&b, (WayBox){0, 0, 300, 100});
  assert_true(way_fret_y(&l, 0) > way_fret_y(&l, 5));
  assert_true(way_fret_x(&l, 1) < way_fret_x(&l, 2));
  assert_true(way_fret_x(&l, 0) < way_fret_wire(&l, 0));
  assert_true(way_fret_wire(&l, 0) < way_fret_x(&l, 1));
}

static void test_places_of_a_pitch(void** state) {
  (void)state;
  WayFretboard b = way_fretboard_default();
  WayFretPlace places[WAY_STRINGS_MAX];
  WayFretLayout l = way_fret_layout(&b, (WayBox){0, 0, 300, 100});
  // E4: open first string, fifth fret of the B string, ninth of the G string ...
  const WayFretPlace hand = {3, 9};
  assert_int_equal(way_fret_places(&l, 64, &hand, places), 3);
  assert_int_equal(places[0].string * 100 + places[0].fret, 309);
  assert_int_equal(places[1].string * 100 + places[1].fret, 405);
  assert_int_equal(places[2].string * 100 + places[2].fret, 500);
  b.capo = 2;
  l = way_fret_layout(&b, (WayBox){0, 0, 300, 100});
  assert_int_equal(way_fret_places(&l, 64, &hand, places), 2);
  assert_int_equal(way_fret_places(&l, 20, &hand, places), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_places_lie_apart_inside_the_box),
      cmocka_unit_test(test_the_first_string_lies_lowest),
      cmocka_unit_test(test_places_of_a_pitch),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
