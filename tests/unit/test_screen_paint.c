#include "draw/screen_paint.h"

#include "canvas.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "screen_model.h"

#define WIDTH 600
#define HEIGHT 300

static WayTimeline* tune(void) {
  WayChart* const c =
      chart_of("key: D\ntempo: 92\n[A]\n| D | F#m | G>3 | A |\n"
               "| D/F# G | Em / / A7 | D | % |\n[B]\n| Bm | G | A7 | N.C. |\n");
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_chart_free(c);
  return t;
}

static void paint(const State* s, const WayScreenLayout* l, Canvas* c,
                  unsigned regions) {
  way_screen_paint(c->cr, &s->model, l, regions);
  cairo_surface_flush(c->surface);
}

static bool same(const Canvas* a, const Canvas* b) {
  return !memcmp(cairo_image_surface_get_data(a->surface),
                 cairo_image_surface_get_data(b->surface),
                 (size_t)cairo_image_surface_get_stride(a->surface) * HEIGHT);
}

/// Paint the regions whose stamps differ over an older picture.
static void renew(const State* s, const WayScreenLayout* l, Canvas* c,
                  uint64_t* stamps) {
  uint64_t fresh[WAY_REGION_COUNT];
  unsigned regions = 0;
  way_screen_stamps(&s->model, l, fresh);
  for (unsigned r = 0; r < WAY_REGION_COUNT; ++r)
    if (fresh[r] != stamps[r]) regions |= 1u << r;
  memcpy(stamps, fresh, sizeof(fresh));
  paint(s, l, c, regions);
}

// Painting what changed gives the same picture as painting everything.
static void test_parts_painted_alone_make_the_whole(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  for (uint32_t seed = 1; seed <= 40; ++seed) {
    State s;
    state_fill(&s, t, seed);
    uint32_t rng = seed;
    WayScreenLayout l = way_screen_layout(&s.model, WIDTH, HEIGHT);
    uint64_t stamps[WAY_REGION_COUNT];
    Canvas kept = canvas_of(WIDTH, HEIGHT, (WayColour){0, 0, 0});
    way_screen_stamps(&s.model, &l, stamps);
    paint(&s, &l, &kept, WAY_REGIONS_ALL);
    for (int step = 0; step < 6; ++step) {
      const WayTick on = (WayTick)(rng_next(&rng) % 3000);
      way_screen_follow(&s.model, t, s.model.tick + (step == 3 ? -on - 9000 : on));
      s.model.rolling = rng_next(&rng) % 3;
      if (rng_next(&rng) % 2) s.model.n_sounding = rng_next(&rng) % 3;
      if (rng_next(&rng) % 4 == 0) s.model.material = WAY_MATERIAL_BLUES;
      l = way_screen_layout(&s.model, WIDTH, HEIGHT);
      renew(&s, &l, &kept, stamps);
      Canvas whole = canvas_of(WIDTH, HEIGHT, (WayColour){0, 0, 0});
      paint(&s, &l, &whole, WAY_REGIONS_ALL);
      if (!same(&kept, &whole)) fail_msg("seed %u step %d", seed, step);
      canvas_free(whole);
    }
    canvas_free(kept);
  }
  way_timeline_free(t);
}

// No state and no size stops the painter, and no part paints outside its box.
static void test_any_state_at_any_size(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  for (uint32_t seed = 1; seed <= 40; ++seed) {
    uint32_t rng = seed;
    State s;
    state_fill(&s, t, seed);
    const int width = (int)(120 + rng_below(&rng, 700));
    const int height = (int)(120 + rng_below(&rng, 400));
    const WayScreenLayout l = way_screen_layout(&s.model, width, height);
    const unsigned region = rng_below(&rng, WAY_REGION_COUNT);
    const WayBox box = l.box[region];
    const WayColour blank = {1, 0, 1};
    Canvas c = canvas_of(width, height, blank);
    way_screen_paint(c.cr, &s.model, &l, 1u << region);
    const int left = canvas_count(&c, 0, 0, width, height, blank);
    assert_int_equal(left, (int)(width * height - box.width * box.height));
    way_screen_paint(c.cr, &s.model, &l, WAY_REGIONS_ALL);
    assert_int_equal(cairo_status(c.cr), CAIRO_STATUS_SUCCESS);
    assert_int_equal(canvas_count(&c, 0, 0, width, height, blank), 0);
    canvas_free(c);
  }
  way_timeline_free(t);
}

static void test_an_empty_model_is_a_picture_too(void** state) {
  (void)state;
  for (int view = 0; view < WAY_VIEW_COUNT; ++view) {
    const WayScreenModel m = {
        .look = {.view = (WayView)view, .frets = way_fretboard_default()}};
    const WayScreenLayout l = way_screen_layout(&m, WIDTH, HEIGHT);
    Canvas c = canvas_of(WIDTH, HEIGHT, (WayColour){0, 0, 0});
    way_screen_paint(c.cr, &m, &l, WAY_REGIONS_ALL);
    assert_int_equal(canvas_at(&c, 1, 1),
                     colour_of(way_theme(WAY_THEME_LIGHT)->ground));
    canvas_free(c);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_parts_painted_alone_make_the_whole),
      cmocka_unit_test(test_any_state_at_any_size),
      cmocka_unit_test(test_an_empty_model_is_a_picture_too),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
