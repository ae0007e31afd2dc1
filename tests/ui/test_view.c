// Painting: what is painted again and again in parts is what would be painted at once.
#include "../../plugin/ui/view.h"
#include "canvas.h"
#include "quiet_host.h"
#include "rng.h"

#include <glib.h>
#include <stdlib.h>

static WayModel* model(const char* text) {
  WayModel* const m = quiet_model();
  assert_non_null(m);
  const WayNews chart = {.kind = WAY_NEWS_CHART_TEXT, .text = way_text(text)};
  way_model_news(m, &chart, 0);
  return m;
}

#define CHART "title: Rope Walk\nkey: G major\n[A]\n| G | D/F# | Em7 C>3 | D7 |\n"

static void press_key(WayModel* m, uint32_t key) {
  const WayUiInput in = {.kind = WAY_INPUT_KEY, .key = key};
  way_model_input(m, &in);
}

static void go_to(WayModel* m, WayTick tick, double now) {
  const WayNews news = {.kind = WAY_NEWS_PLACE,
                        .tick = tick,
                        .from = WAY_CHORD_FROM_CHART,
                        .n = 2,
                        .records = {{.kind = WAY_WIRE_ON, .pitch = 67},
                                    {.kind = WAY_WIRE_ROLE,
                                     .pitch = 67,
                                     .role = {.interval = 0, .degree = {1, 0}}}}};
  way_model_news(m, &news, now);
}

/// Points at which two pictures differ by more than smooth edges may: cairo rounds them
/// another way under a clip.
static size_t apart(cairo_surface_t* a, cairo_surface_t* b) {
  const int width = cairo_image_surface_get_width(a);
  const int height = cairo_image_surface_get_height(a);
  const size_t stride = (size_t)cairo_image_surface_get_stride(a);
  size_t n = 0;
  assert_int_equal(cairo_image_surface_get_width(b), width);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const size_t at = (size_t)y * stride + 4 * (size_t)x;
      for (int i = 0; i < 3; ++i)
        n += abs(cairo_image_surface_get_data(a)[at + (size_t)i] -
                 cairo_image_surface_get_data(b)[at + (size_t)i]) > 16;
    }
  return n;
}

/// Something a player or the guide does.
static void do_something(WayModel* m, uint32_t* rng, double now) {
  static const uint32_t keys[] = {'m',
                                  'h',
                                  'v',
                                  't',
                                  'n',
                                  'i',
                                  'f',
                                  '?',
                                  '/',
                                  'l',
                                  'c',
                                  WAY_KEY_TAB,
                                  WAY_KEY_ESCAPE,
                                  WAY_KEY_UP,
                                  '|',
                                  'H'};
  if (rng_below(rng, 2))
    press_key(m, keys[rng_below(rng, WAY_COUNT(keys))]);
  else
    go_to(m, (WayTick)rng_below(rng, 120000), now);
}

static void test_parts_make_the_whole(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 12; ++seed) {
    uint32_t rng = seed;
    WayModel* const m = model(CHART);
    WayPicture kept = {.image = NULL};
    for (int i = 0; i < 40; ++i) {
      const double now = i * 0.1;
      do_something(m, &rng, now);
      way_model_update(m, 640, 360, now);
      way_ui_view_paint(&kept, m);
      WayPicture fresh = {.image = NULL};
      way_ui_view_paint(&fresh, m);
      const size_t n = apart(kept.image, fresh.image);
      if (n) fail_msg("seed %u, step %d: %zu points differ", seed, i, n);
      way_ui_view_clear(&fresh);
    }
    way_ui_view_clear(&kept);
    way_model_free(m);
  }
}

static void test_nothing_new_paints_nothing(void** state) {
  (void)state;
  WayModel* const m = model(CHART);
  WayPicture v = {.image = NULL};
  go_to(m, 1000, 0);
  way_model_update(m, 900, 420, 0);
  WayViewChanges c = way_ui_view_paint(&v, m);
  assert_int_equal(c.n, 1); // all of it
  for (int i = 1; i < 20; ++i) {
    way_model_update(m, 900, 420, i);
    c = way_ui_view_paint(&v, m);
    assert_int_equal(c.n, 0);
  }
  press_key(m, '?');
  way_model_update(m, 900, 420, 20);
  c = way_ui_view_paint(&v, m);
  assert_int_equal(c.n, 1);
  way_model_update(m, 900, 420, 21);
  c = way_ui_view_paint(&v, m);
  assert_int_equal(c.n, 0);
  way_ui_view_clear(&v);
  way_model_free(m);
}

/// The rows of the settings, or the list that lies over all, say it as it comes.
static void test_tags_that_are_refused_are_painted(void** state) {
  (void)state;
  for (unsigned list = 0; list < 2; ++list) {
    WayModel* const m = model(CHART);
    WayPicture v = {.image = NULL};
    WayNews news = {.kind = WAY_NEWS_PLACE, .from = WAY_CHORD_FROM_CHART};
    way_model_news(m, &news, 0);
    if (list) press_key(m, '?');
    way_model_update(m, 900, 420, 0);
    way_ui_view_paint(&v, m);
    news.tags_refused = true;
    way_model_news(m, &news, 1);
    way_model_update(m, 900, 420, 1);
    const WayBox all = {0, 0, 900, 420}, items = m->layout.box[WAY_REGION_ITEMS];
    const WayBox expected = list ? all : items;
    const WayViewChanges c = way_ui_view_paint(&v, m);
    assert_int_equal(c.n, 1);
    assert_memory_equal(&c.boxes[0], &expected, sizeof(expected));
    way_ui_view_clear(&v);
    way_model_free(m);
  }
}

static void test_a_step_of_the_place_paints_a_part(void** state) {
  (void)state;
  WayModel* const m = model(CHART);
  WayPicture v = {.image = NULL};
  double painted = 0;
  for (int i = 0; i < 100; ++i) {
    const WayNews news = {
        .kind = WAY_NEWS_PLACE, .tick = 200 + i * 128, .from = WAY_CHORD_FROM_CHART};
    way_model_news(m, &news, i / 60.0);
    way_model_update(m, 900, 420, i / 60.0);
    const WayViewChanges c = way_ui_view_paint(&v, m);
    for (unsigned k = 0; i && k < c.n; ++k)
      painted += c.boxes[k].width * c.boxes[k].height;
  }
  assert_true(painted / 99 < 0.6 * 900 * 420);
  way_ui_view_clear(&v);
  way_model_free(m);
}

static void test_the_place_in_a_bad_chart_is_marked(void** state) {
  (void)state;
  WayModel* const m = model("");
  WayPicture v = {.image = NULL};
  press_key(m, '/');
  for (const char* c = "| D | H7 |"; *c; ++c) press_key(m, (unsigned char)*c);
  way_model_update(m, 900, 420, 0);
  way_ui_view_paint(&v, m);
  const Canvas canvas = {v.image, NULL};
  const WayOverLayout* const l = &m->over_layout;
  const WayColour mark = way_chip_colour(WAY_ROLE_CHROMATIC);
  const int there = canvas_count(&canvas, l->text.x, l->text.y, l->text.width,
                                 l->text.height + l->row, mark);
  assert_true(there > 20);
  press_key(m, WAY_KEY_BACKSPACE);
  for (int i = 0; i < 3; ++i) press_key(m, WAY_KEY_BACKSPACE);
  press_key(m, 'A');
  press_key(m, '|');
  way_model_update(m, 900, 420, 0);
  way_ui_view_paint(&v, m);
  const Canvas after = {v.image, NULL};
  assert_int_equal(canvas_count(&after, l->text.x, l->text.y, l->text.width,
                                l->text.height + l->row, mark),
                   0);
  way_ui_view_clear(&v);
  way_model_free(m);
}

static void test_any_size_can_be_painted(void** state) {
  (void)state;
  static const int sizes[][2] = {
      {1, 1}, {120, 120}, {480, 270}, {200, 1000}, {3840, 2160}};
  for (size_t i = 0; i < WAY_COUNT(sizes); ++i) {
    WayModel* const m = model(CHART);
    WayPicture v = {.image = NULL};
    static const uint32_t keys[] = {'t', '?', WAY_KEY_ESCAPE, '/', WAY_KEY_ESCAPE, 'v'};
    for (size_t k = 0; k < WAY_COUNT(keys); ++k) {
      press_key(m, keys[k]);
      way_model_update(m, sizes[i][0], sizes[i][1], 0);
      way_ui_view_paint(&v, m);
      assert_non_null(v.image);
      assert_int_equal(cairo_surface_status(v.image), CAIRO_STATUS_SUCCESS);
    }
    way_ui_view_clear(&v);
    way_model_free(m);
  }
}

/// Small windows, as one is dragged together and apart; what pango complains about ends
/// the test.
static void test_small_windows_leave_nothing_to_complain_about(void** state) {
  (void)state;
  const GLogLevelFlags before =
      g_log_set_always_fatal(G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
  WayModel* const m = model(CHART);
  WayPicture v = {.image = NULL};
  double now = 0;
  for (int width = 1; width < 260; width += 9)
    for (int height = 1; height < 260; height += 9) {
      go_to(m, 2500 * (width + height), now += 0.1);
      way_model_update(m, width, height, now);
      way_ui_view_paint(&v, m);
    }
  way_ui_view_clear(&v);
  way_model_free(m);
  g_log_set_always_fatal(before);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_parts_make_the_whole),
      cmocka_unit_test(test_nothing_new_paints_nothing),
      cmocka_unit_test(test_tags_that_are_refused_are_painted),
      cmocka_unit_test(test_a_step_of_the_place_paints_a_part),
      cmocka_unit_test(test_the_place_in_a_bad_chart_is_marked),
      cmocka_unit_test(test_any_size_can_be_painted),
      cmocka_unit_test(test_small_windows_leave_nothing_to_complain_about),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
