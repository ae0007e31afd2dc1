#include "draw/screen.h"

#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "screen_model.h"

#include <stdlib.h>

static WayTimeline* tune(void) {
  WayChart* const c =
      chart_of("key: Bb\ntempo: 132\nform: A A B A\n[A]\n"
               "| Cm7 | F7>3 | Bbmaj7>3 | Gm7 |\n| Em7b5 | A7b9 | Dm7 | G7 |\n"
               "[B]\n| Fm7 | Bb7 | Ebmaj7 | % |\n| Ebm7 | Ab7 | Dbmaj7 | Cm7 F7 |\n");
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_chart_free(c);
  return t;
}

/// Whether two boxes share any area.
static bool meet(WayBox a, WayBox b) {
  return a.x < way_box_right(b) && b.x < way_box_right(a) && a.y < way_box_bottom(b) &&
         b.y < way_box_bottom(a);
}

static void check_boxes(const WayScreenLayout* l, const char* what, int w, int h) {
  const WayBox all = {0, 0, w, h};
  for (int a = 0; a < WAY_REGION_COUNT; ++a) {
    const WayBox b = l->box[a];
    if (!(b.width > 0)) continue;
    if (b.x < 0 || b.y < 0 || way_box_right(b) > way_box_right(all) ||
        way_box_bottom(b) > way_box_bottom(all))
      fail_msg("%s %dx%d: region %d leaves the surface", what, w, h, a);
    for (int c = 0; c < a; ++c)
      if (l->box[c].width > 0 && meet(b, l->box[c]))
        fail_msg("%s %dx%d: regions %d and %d meet", what, w, h, a, c);
    assert_true(b.height > 0);
    assert_int_equal(way_screen_region_at(l, b.x + b.width / 2, b.y + b.height / 2), a);
  }
}

static void test_regions_share_nothing_at_any_size(void** state) {
  (void)state;
  static const int sizes[][2] = {{480, 270},   {900, 420},   {1280, 720}, {1920, 1080},
                                 {3840, 2160}, {600, 800},   {400, 400},  {2000, 300},
                                 {120, 120},   {1080, 1920}, {640, 240}};
  WayTimeline* const t = tune();
  for (size_t i = 0; i < WAY_COUNT(sizes); ++i)
    for (int view = 0; view < WAY_VIEW_COUNT; ++view) {
      State s;
      state_fill(&s, t, 5);
      s.model.look.view = (WayView)view;
      const WayScreenLayout l = way_screen_layout(&s.model, sizes[i][0], sizes[i][1]);
      check_boxes(&l, way_view_name((WayView)view), sizes[i][0], sizes[i][1]);
      assert_true(l.box[WAY_REGION_NOW].width > 0 && l.box[WAY_REGION_NEXT].width > 0);
      assert_true(l.box[WAY_REGION_INSTRUMENT].width > 0);
      assert_int_equal(l.box[WAY_REGION_RIBBON].width > 0, view == WAY_VIEW_FULL);
      assert_int_equal(l.box[WAY_REGION_TRAIL].width > 0, view == WAY_VIEW_FULL);
    }
  way_timeline_free(t);
}

static void test_following_a_form(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  WayScreenModel m = {0};
  way_screen_follow(&m, t, t->bars[1].start - way_metre_beat(t->bars[0].metre) / 2);
  assert_near(m.until, 0.5, 1e-9);
  assert_near(m.lasts, 4, 1e-9);
  assert_int_equal(m.target.number, 3);
  m.material = WAY_MATERIAL_CHORD_SCALE;
  const WayShown s = way_screen_shown(&m);
  assert_int_equal(s.targets, WAY_PC_BIT(9)); // the third of F7
  assert_true(s.closing > 0.8 && s.closing < 1);
  way_screen_follow(&m, NULL, 0);
  assert_null(m.now);
  assert_int_equal(way_screen_shown(&m).set, 0);
  way_timeline_free(t);
}

// A chord that goes on over the end of the form has just begun at its first top.
static void test_the_first_top(void** state) {
  (void)state;
  WayChart* const c = chart_of("key: C\n| C | F | G | C |\n");
  WayTimeline* t = NULL;
  WayScreenModel m = {0};
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  way_screen_follow(&m, t, 0);
  assert_near(m.until, 4, 1e-9);
  assert_near(m.lasts, 4, 1e-9);
  way_screen_follow(&m, t, t->length);
  assert_near(m.lasts, 8, 1e-9);
  way_timeline_free(t);
  way_chart_free(c);
}

// A group begins with the bar, wherever the change comes: seven eighths into a bar of
// 12/8, and then with the next bar.
static void test_beats_before_a_change_go_in_groups(void** state) {
  (void)state;
  WayChart* const c = chart_of("key: C\ntime: 12/8\n"
                               "| C7 / / / / / / F7 / / / / | C7 | F7 |\n");
  WayTimeline* t = NULL;
  WayScreenModel m = {0};
  assert_int_equal(way_chart_unroll(c, &t), WAY_OK);
  static const struct {
    WayTick beat;
    double until;
    unsigned into;
  } cases[] = {{-3, 3, 0}, {0, 7, 1}, {6, 1, 1}, {7, 5, 0}, {12, 12, 0}, {30, 6, 0}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    way_screen_follow(&m, t, cases[i].beat * WAY_TICKS_PER_QUARTER / 2);
    assert_near(m.until, cases[i].until, 1e-9); // in eighths: what is written
    assert_int_equal(m.pulse.group, 3);
    assert_int_equal(m.pulse.into, cases[i].into);
  }
  way_timeline_free(t);
  way_chart_free(c);
}

// No chord before the form; whole bars lead to its first.
static void test_before_the_form(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  WayScreenModel m = {.material = WAY_MATERIAL_TRIAD};
  way_screen_follow(&m, t, -5 * way_metre_beat(t->bars[0].metre));
  assert_null(m.now);
  assert_ptr_equal(m.next, way_timeline_harmony(t, 0));
  assert_near(m.until, 5, 1e-9);
  assert_near(m.lasts, 8, 1e-9);
  assert_int_equal(way_screen_shown(&m).set, way_timeline_harmony(t, 0)->material[0]);
  way_timeline_free(t);
}

static void test_settings_stand_side_by_side(void** state) {
  (void)state;
  const WayScreenItem items[] = {{"handling", "tag"},
                                 {"material", "chord-scale"},
                                 {"chords", "auto"},
                                 {"early window", "0.25"},
                                 {"click", "off"}};
  const WayScreenModel m = {.items = items, .n_items = WAY_COUNT(items)};
  for (int width = 130; width < 2000; width += 90) {
    const WayScreenLayout l = way_screen_layout(&m, width, 300);
    const WayBox all = l.body[WAY_REGION_ITEMS];
    double right = all.x, top = all.y;
    for (uint32_t i = 0; i < m.n_items; ++i) {
      const WayBox b = way_screen_item_box(&l, &m, i);
      if (b.y > top + 1e-6) { // the next row
        assert_near(b.y, top + b.height, 1e-6);
        right = all.x;
        top = b.y;
      }
      assert_near(b.x, right, 1e-6);
      assert_near(b.y, top, 1e-6);
      right = way_box_right(b);
      assert_true(right <= way_box_right(all) + 1e-6);
      assert_int_equal(
          way_screen_item_at(&l, &m, b.x + b.width / 2, b.y + b.height / 2), i);
    }
    assert_near(top + all.height / l.item_rows, way_box_bottom(all), 1e-6);
    assert_int_equal(way_screen_item_at(&l, &m, 1, 1), WAY_SCREEN_NO_ITEM);
  }
}

// In a narrow window they take another row rather than get small.
static void test_settings_stay_large(void** state) {
  (void)state;
  static const struct {
    int width, height;
    unsigned rows;
  } cases[] = {{900, 420, 1}, {480, 270, 2}, {240, 480, 3}};
  WayScreenItem items[10];
  for (unsigned i = 0; i < WAY_COUNT(items); ++i)
    items[i] = (WayScreenItem){"four", "some"};
  const WayScreenModel m = {.items = items, .n_items = WAY_COUNT(items)};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayScreenLayout l = way_screen_layout(&m, cases[i].width, cases[i].height);
    assert_int_equal(l.item_rows, cases[i].rows);
    assert_true(way_screen_items_unit(&l, &m) >= 0.85 * l.unit);
    check_boxes(&l, "settings", cases[i].width, cases[i].height);
  }
}

// Nothing changed: no stamp does.  What changes is seen by its region alone.
static void test_stamps_tell_what_changed(void** state) {
  (void)state;
  WayTimeline* const t = tune();
  State s;
  state_fill(&s, t, 3);
  s.model.look.view = WAY_VIEW_FULL;
  s.model.look.keyboard = false;
  WayScreenLayout l = way_screen_layout(&s.model, 900, 420);
  uint64_t a[WAY_REGION_COUNT], b[WAY_REGION_COUNT];
  way_screen_stamps(&s.model, &l, a);
  way_screen_stamps(&s.model, &l, b);
  assert_memory_equal(a, b, sizeof(a));
  s.model.n_sounding = 1;
  s.sounding[0] = (WaySounding){71, 0};
  way_screen_stamps(&s.model, &l, b);
  for (int r = 0; r < WAY_REGION_COUNT; ++r)
    assert_int_equal(a[r] != b[r], r == WAY_REGION_INSTRUMENT);
  // Another chart with as many bars and chords.
  WayTimeline other = *t;
  WaySpan* const spans = calloc(t->n_spans, sizeof(*spans));
  assert_non_null(spans);
  memcpy(spans, t->spans, t->n_spans * sizeof(*spans));
  spans[6].harmony = spans[5].harmony;
  other.spans = spans;
  s.model.timeline = &other;
  uint64_t c[WAY_REGION_COUNT];
  way_screen_stamps(&s.model, &l, c);
  assert_true(c[WAY_REGION_RIBBON] != b[WAY_REGION_RIBBON]);
  assert_true(c[WAY_REGION_HEADER] == b[WAY_REGION_HEADER]);
  s.model.timeline = t;
  free(spans);
  memcpy(a, b, sizeof(a));
  s.model.notice = "chart: line 3";
  way_screen_stamps(&s.model, &l, b);
  for (int r = 0; r < WAY_REGION_COUNT; ++r)
    assert_int_equal(a[r] != b[r], r == WAY_REGION_ITEMS);
  way_timeline_free(t);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_regions_share_nothing_at_any_size),
      cmocka_unit_test(test_following_a_form),
      cmocka_unit_test(test_the_first_top),
      cmocka_unit_test(test_beats_before_a_change_go_in_groups),
      cmocka_unit_test(test_before_the_form),
      cmocka_unit_test(test_settings_stand_side_by_side),
      cmocka_unit_test(test_settings_stay_large),
      cmocka_unit_test(test_stamps_tell_what_changed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
