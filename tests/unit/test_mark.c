#include "check.h"
#include "live/mark.h"
#include "theory/chord_read.h"

static WayMark mark_of(WayMarkKind kind, const char* symbol) {
  static WayChord chord;
  assert_int_equal(way_chord_read(way_text(symbol), &chord, NULL), WAY_OK);
  const WayMark m = {.kind = (uint8_t)kind, .chord = &chord};
  return m;
}

static const char* written(const WayMark* m) {
  static char text[128];
  WayOut out = way_out(text, sizeof(text));
  way_mark_write(m, &out);
  return text;
}

static void test_every_sort_of_mark_has_a_lane_of_its_own(void** state) {
  (void)state;
  bool used[128] = {false};
  unsigned n = 0;
  for (unsigned kind = 0; kind < WAY_MARK_COUNT; ++kind) {
    const unsigned sorts = kind == WAY_MARK_ROLE      ? WAY_ROLE_COUNT
                           : kind == WAY_MARK_LANDING ? WAY_LANDING_COUNT
                                                      : 1;
    for (unsigned sort = 0; sort < sorts; ++sort, ++n) {
      const WayMark m = {.kind = (uint8_t)kind,
                         .landing = (uint8_t)sort,
                         .role = {.role = (uint8_t)sort}};
      assert_int_equal(way_mark_lane(&m), n);
      const uint8_t lane = way_lanes[n].note;
      assert_false(used[lane]);
      used[lane] = true;
    }
  }
  assert_int_equal(n, WAY_LANE_COUNT);
}

static void test_velocity_tells_the_interval(void** state) {
  (void)state;
  WayMark m = mark_of(WAY_MARK_ROLE, "D");
  m.role.interval = 0;
  assert_int_equal(way_mark_velocity(&m), 1); // never 0: that would be a note-off
  m.role.interval = 11;
  assert_int_equal(way_mark_velocity(&m), 12);
  m.kind = WAY_MARK_CHANGE;
  assert_int_equal(way_mark_velocity(&m), 100);
}

// The lines of docs/marks.md.
static void test_text(void** state) {
  (void)state;
  WayMark m = mark_of(WAY_MARK_ROLE, "Dm7");
  m.role = (WayRoleOf){.role = WAY_ROLE_CHORD, .interval = 3, .degree = {3, -1}};
  assert_string_equal(written(&m), "role b3 chord tone over Dm7");
  m.again = true;
  assert_string_equal(written(&m), "role again b3 chord tone over Dm7");
  m = mark_of(WAY_MARK_LANDING, "G7/B");
  m.role = (WayRoleOf){.role = WAY_ROLE_CHORD, .interval = 0, .degree = {1, 0}};
  m.landing = WAY_LANDING_TARGET;
  assert_string_equal(written(&m), "landing R target over G7/B");
  m.held_over = true;
  m.landing = WAY_LANDING_OTHER;
  assert_string_equal(written(&m), "landing held R other over G7/B");
  m = mark_of(WAY_MARK_CHANGE, "F#m");
  assert_string_equal(written(&m), "change F#m");
  m = mark_of(WAY_MARK_TOP, "D");
  m.chorus = 1;
  assert_string_equal(written(&m), "top chorus 2");
}

static void test_names(void** state) {
  (void)state;
  assert_string_equal(way_mark_name(WAY_MARK_TOP), "top");
  assert_string_equal(way_landing_name(WAY_LANDING_CHORD_TONE), "chord tone");
  assert_string_equal(way_mark_name(WAY_MARK_COUNT), "");
  assert_string_equal(way_landing_name(WAY_LANDING_COUNT), "");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_sort_of_mark_has_a_lane_of_its_own),
      cmocka_unit_test(test_velocity_tells_the_interval),
      cmocka_unit_test(test_text),
      cmocka_unit_test(test_names),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
