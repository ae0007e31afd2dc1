#include "check.h"
#include "live/ledger.h"
#include "live/snap.h"

#include <stdlib.h>

enum { C4 = 60 };
static const WayPcSet c_major = 0xAB5;      // C D E F G A B
static const WayPcSet c_and_fsharp = 0x041; // a tritone apart: ties everywhere

static void test_a_note_of_the_set_stays(void** state) {
  (void)state;
  for (unsigned how = 0; how < WAY_SNAP_COUNT; ++how)
    assert_int_equal(way_snap_pitch(C4 + 4, c_major, (WaySnap)how, C4), C4 + 4);
}

static void test_an_empty_set_moves_nothing(void** state) {
  (void)state;
  for (unsigned how = 0; how < WAY_SNAP_COUNT; ++how)
    assert_int_equal(way_snap_pitch(C4 + 1, 0, (WaySnap)how, C4), C4 + 1);
}

static void test_ties_go_the_way_the_line_moves(void** state) {
  (void)state;
  const uint8_t tie = C4 + 1; // C# between C and D
  assert_int_equal(way_snap_pitch(tie, c_major, WAY_SNAP_NEAREST, C4 - 5), C4 + 2);
  assert_int_equal(way_snap_pitch(tie, c_major, WAY_SNAP_NEAREST, C4 + 9), C4);
  assert_int_equal(way_snap_pitch(tie, c_major, WAY_SNAP_NEAREST, tie), C4);
  assert_int_equal(way_snap_pitch(tie, c_major, WAY_SNAP_NEAREST, WAY_UNHELD), C4);
  assert_int_equal(way_snap_pitch(C4 + 3, c_and_fsharp, WAY_SNAP_NEAREST, C4), C4 + 6);
  assert_int_equal(way_snap_pitch(C4 + 3, c_and_fsharp, WAY_SNAP_NEAREST, C4 + 7), C4);
}

static void test_up_and_down_go_one_way(void** state) {
  (void)state;
  assert_int_equal(way_snap_pitch(C4 + 1, c_and_fsharp, WAY_SNAP_UP, C4 + 9), C4 + 6);
  assert_int_equal(way_snap_pitch(C4 + 5, c_and_fsharp, WAY_SNAP_DOWN, C4), C4);
}

static void test_the_ends_of_midi_turn_it_round(void** state) {
  (void)state;
  const WayPcSet only_d = WAY_PC_BIT(2), only_fsharp = WAY_PC_BIT(6);
  assert_int_equal(way_snap_pitch(0, only_d, WAY_SNAP_DOWN, 60), 2);
  assert_int_equal(way_snap_pitch(127, only_fsharp, WAY_SNAP_UP, 60), 126);
  assert_int_equal(way_snap_pitch(127, only_d, WAY_SNAP_NEAREST, 60), 122);
}

// The definition itself, by brute force over every pitch, set, way and line.
static void test_every_set_and_pitch_by_the_definition(void** state) {
  (void)state;
  for (unsigned set = 1; set < 4096; set += 7) {
    for (int pitch = 0; pitch < 128; ++pitch) {
      int nearest = 128;
      for (int to = 0; to < 128; ++to)
        if (set >> to % 12 & 1 && abs(to - pitch) < nearest) nearest = abs(to - pitch);
      for (unsigned how = 0; how < WAY_SNAP_COUNT; ++how) {
        const int to = way_snap_pitch((uint8_t)pitch, (WayPcSet)set, (WaySnap)how, 64);
        assert_true(to >= 0 && to < 128);
        assert_true(set >> to % 12 & 1);
        if (how == WAY_SNAP_NEAREST) assert_int_equal(abs(to - pitch), nearest);
        assert_true(abs(to - pitch) < 12);
      }
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_note_of_the_set_stays),
      cmocka_unit_test(test_an_empty_set_moves_nothing),
      cmocka_unit_test(test_ties_go_the_way_the_line_moves),
      cmocka_unit_test(test_up_and_down_go_one_way),
      cmocka_unit_test(test_the_ends_of_midi_turn_it_round),
      cmocka_unit_test(test_every_set_and_pitch_by_the_definition),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
