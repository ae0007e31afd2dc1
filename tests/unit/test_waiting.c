#include "check.h"
#include "live/waiting.h"

static WayWaiting waiting;

static void add(int64_t due, WayKeyIndex key, uint8_t pitch) {
  assert_true(way_waiting_add(&waiting, (WayWaitingNote){due, key, pitch}));
}

static void test_notes_are_taken_when_they_are_due(void** state) {
  (void)state;
  way_waiting_init(&waiting);
  assert_int_equal(waiting.due, INT64_MAX);
  add(300, 61, 61);
  add(200, 66, 66);
  assert_int_equal(waiting.due, 200);
  WayWaitingNote note;
  assert_false(way_waiting_take(&waiting, 199, &note));
  assert_true(way_waiting_take(&waiting, 250, &note));
  assert_int_equal(note.key, 66);
  assert_int_equal(waiting.due, 300);
  assert_false(way_waiting_take(&waiting, 250, &note));
}

static void test_a_step_into_the_material_resolves(void** state) {
  (void)state;
  static const struct {
    uint8_t pitch;
    bool inside, resolves;
  } cases[] = {{60, true, true},  {62, true, true},  {59, true, true},
               {63, true, true},  {61, true, false}, {58, true, false},
               {64, true, false}, {62, false, false}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    way_waiting_init(&waiting);
    add(100, 61, 61);
    way_waiting_resolve(&waiting, 99, cases[i].pitch, cases[i].inside);
    assert_int_equal(waiting.due, cases[i].resolves ? INT64_MAX : 100);
  }
}

static void test_a_key_struck_again_waits_no_longer(void** state) {
  (void)state;
  way_waiting_init(&waiting);
  add(100, 61, 61);
  add(110, 70, 70);
  way_waiting_resolve(&waiting, 61, 80, false);
  assert_int_equal(waiting.due, 110);
}

static void test_there_is_room_for_some(void** state) {
  (void)state;
  way_waiting_init(&waiting);
  for (unsigned i = 0; i < WAY_WAITING; ++i) add(100 + i, (WayKeyIndex)i, (uint8_t)i);
  assert_false(way_waiting_add(&waiting, (WayWaitingNote){50, 90, 90}));
  assert_int_equal(waiting.due, 100);
  WayWaitingNote note;
  assert_true(way_waiting_take(&waiting, 100, &note));
  add(50, 90, 90);
  assert_int_equal(waiting.due, 50);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_notes_are_taken_when_they_are_due),
      cmocka_unit_test(test_a_step_into_the_material_resolves),
      cmocka_unit_test(test_a_key_struck_again_waits_no_longer),
      cmocka_unit_test(test_there_is_room_for_some),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
