#include "draw/spread.h"

#include "check.h"
#include "rng.h"

#include <math.h>
#include <stdbool.h>

#define N 6u

static double random_up_to(uint32_t* rng, uint32_t most) {
  return rng_below(rng, 10 * most) / 10.0;
}

// They stand in order within the room without overlapping; what is in nobody's way
// stands where it would like to.
static void test_things_side_by_side(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    uint32_t rng = seed;
    double at[N], width[N], x[N], all = 0, next = 0;
    for (unsigned i = 0; i < N; ++i) {
      at[i] = next;
      next += random_up_to(&rng, 30);
      width[i] = random_up_to(&rng, 30);
      all += width[i];
    }
    const double room = 1 + random_up_to(&rng, 150);
    const double scale = way_spread(at, width, N, room, x);
    if (all <= room ? scale < 1 : fabs(scale * all - room) > 1e-6)
      fail_msg("seed %u: scale %g", seed, scale);
    bool free = true;
    for (unsigned i = 0; i < N; ++i) {
      const double end = i + 1 < N ? x[i + 1] : room;
      if (x[i] < -1e-6 || x[i] + scale * width[i] > end + 1e-6)
        fail_msg("seed %u: %u stands at %g", seed, i, x[i]);
      free &= at[i] + width[i] <= (i + 1 < N ? at[i + 1] : room);
    }
    for (unsigned i = 0; free && i < N; ++i) assert_near(x[i], at[i], 1e-9);
  }
}

static void check_row(const double* wants, unsigned n, const double* expected) {
  double got[N];
  way_spread_row(wants, n, 4, 100, got);
  for (unsigned i = 0; i < n; ++i)
    if (fabs(got[i] - expected[i]) > 1e-6)
      fail_msg("cell %u of %u: %g, not %g", i, n, got[i], expected[i]);
}

static void test_rows(void** state) {
  (void)state;
  check_row((double[]){10, 20, 25, 0}, 4, (double[]){25, 25, 25, 25});
  check_row((double[]){10, 40, 10, 10}, 4, (double[]){20, 40, 20, 20});
  check_row((double[]){10, 40, 22, 10}, 4, (double[]){19, 40, 22, 19});
  check_row((double[]){100, 50, 25, 25}, 4, (double[]){50, 25, 12.5, 12.5});
  check_row((double[]){10, 10}, 2, (double[]){25, 25});
  check_row((double[]){10, 60}, 2, (double[]){25, 60});
  check_row((double[]){20, 180}, 2, (double[]){10, 90});
}

static void test_the_first_are_kept(void** state) {
  (void)state;
  static const double widths[] = {10, 20, 5};
  assert_int_equal(way_spread_keep(widths, 3, 35), 3);
  assert_int_equal(way_spread_keep(widths, 3, 34), 2);
  assert_int_equal(way_spread_keep(widths, 3, 29),
                   1); // 5 would fit, but 20 is before it
  assert_int_equal(way_spread_keep(widths, 3, 9), 0);
}

static void test_rows_are_equally_full(void** state) {
  (void)state;
  for (unsigned most = 1; most < 13; ++most)
    for (unsigned n = 1; n < 100; ++n) {
      const unsigned each = way_spread_even(n, most);
      const unsigned rows = (n + each - 1) / each, last = n - (rows - 1) * each;
      assert_true(each >= 1 && each <= most);
      assert_int_equal(rows, (n + most - 1) / most);
      assert_true(each - last < rows); // moving one from each row would not help
    }
  assert_int_equal(way_spread_even(14, 12), 7);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_things_side_by_side),
      cmocka_unit_test(test_rows),
      cmocka_unit_test(test_the_first_are_kept),
      cmocka_unit_test(test_rows_are_equally_full),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
