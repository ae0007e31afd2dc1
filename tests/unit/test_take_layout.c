#include "draw/take_layout.h"

#include "check.h"
#include "played.h"
#include "rng.h"

static const WayTakeFrame paper = {36, 520, 100, 500, 36, 800, 1, 1};

static WayTakeLayout laid_out(const Reviewed* r, const WayTakeFrame* frame) {
  WayTakeLayout l;
  assert_int_equal(way_take_layout(r->review, frame, &l), WAY_OK);
  return l;
}

/// Systems follow each other in time and on their pages, and have room for each note.
static void check_layout(const WayReview* r, const WayTakeLayout* l) {
  uint32_t next = 0;
  for (uint32_t i = 0; i < l->n; ++i) {
    const WayTakeSystem* const s = &l->systems[i];
    const bool same = i && s->page == s[-1].page;
    assert_true(s->end > s->start);
    if (i) assert_true(s->start == s[-1].end);
    if (same) assert_true(s->y >= s[-1].y + s[-1].height - 1e-9);
    if (i && !same) assert_int_equal(s->page, s[-1].page + 1);
    assert_true(s->y + s->height <=
                (s->page ? l->frame.bottom_next : l->frame.bottom) + 1e-9);
    assert_true(way_take_x(l, s, s->end) <= l->frame.left + l->frame.width + 1e-9);
    assert_int_equal(s->first, next);
    for (; next < s->first + s->n; ++next) {
      const double y = way_take_y(l, s, r->take->notes[next].pitch);
      assert_true(y > s->y + l->lane && y < s->y + s->height - l->brackets);
      assert_in_range(r->take->notes[next].pitch, s->low, s->high);
    }
  }
  assert_int_equal(next, r->take->n);
  if (l->n) assert_int_equal(l->n_pages, l->systems[l->n - 1].page + 1);
}

static void test_any_take_has_its_place(void** state) {
  (void)state;
  static const char* const charts[] = {
      "key: D major\n[A]\n| D | G | A | D | G |\n[B]\n| Bm | A |\n",
      "key: C\ntime: 6/8\n| C | F G | C |\n", "key: C\ntime: 2/4\n| C | F | G7 | C |\n",
      "key: C\ntime: 11/4\n| C |\n"};
  for (uint32_t seed = 1; seed <= 100; ++seed) {
    uint32_t rng = seed;
    Played notes[200];
    const uint32_t n = rng_below(&rng, 200);
    double at = 0;
    for (uint32_t i = 0; i < n; ++i) {
      at += (double)(rng_below(&rng, 30)) / 10;
      const double length = (double)(1 + rng_below(&rng, 80)) / 10;
      notes[i] = (Played){at, length, (int)(rng_below(&rng, 128))};
    }
    const Reviewed r =
        reviewed(charts[seed % WAY_COUNT(charts)], seed % 3, 0, notes, n);
    WayTakeLayout l = laid_out(&r, &paper);
    check_layout(r.review, &l);
    way_take_layout_free(&l);
    reviewed_free(r);
  }
}

static void test_sections_and_choruses_begin_a_system(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: D\n[A]\n| D | G | A | D | G |\n[B]\n| Bm | A |\n",
                              0, 0, {0, 1, 62}, {30, 1, 62});
  WayTakeLayout l = laid_out(&r, &paper);
  static const int bars[] = {0, 4, 5, 7, 8}; // in the second chorus the take ends
  assert_int_equal(l.n, 4);
  for (uint32_t i = 0; i < l.n; ++i)
    assert_true(l.systems[i].start == bars[i] * 4 * WAY_TICKS_PER_QUARTER);
  way_take_layout_free(&l);
  reviewed_free(r);
}

static void test_dense_notes_have_fewer_bars_aside(void** state) {
  (void)state;
  Played sparse[32], dense[256];
  for (int i = 0; i < 32; ++i) sparse[i] = (Played){0.5 * i, 0.5, 60 + i % 5};
  for (int i = 0; i < 256; ++i) dense[i] = (Played){0.125 * i, 0.125, 60 + i % 5};
  const char chart[] = "key: C\n| C | F | G7 | C | C | F | G7 | C |\n";
  const Reviewed a = reviewed(chart, 0, 0, sparse, 32);
  const Reviewed b = reviewed(chart, 0, 0, dense, 256);
  WayTakeLayout l = laid_out(&a, &paper), m = laid_out(&b, &paper);
  assert_int_equal(l.n, 1);
  assert_int_equal(m.n, 4);
  way_take_layout_free(&l);
  way_take_layout_free(&m);
  reviewed_free(a);
  reviewed_free(b);
}

static void test_endless_takes_are_refused(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: C\n| C |\n", 0, 0, {0, 1, 60}, {1e6, 1, 60});
  WayTakeLayout l;
  assert_int_equal(way_take_layout(r.review, &paper, &l), WAY_ERR_RANGE);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_any_take_has_its_place),
      cmocka_unit_test(test_sections_and_choruses_begin_a_system),
      cmocka_unit_test(test_dense_notes_have_fewer_bars_aside),
      cmocka_unit_test(test_endless_takes_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
