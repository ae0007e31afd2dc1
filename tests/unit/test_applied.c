#include "theory/applied.h"

#include "check.h"
#include "theory/chord_read.h"

// Common practice, no source.
static const struct {
  const char *key, *chord, *next;
  WayAppliedKind kind;
  WayDegree target;
} cases[] = {
    {"C", "D7", NULL, WAY_APPLIED_DOMINANT, {5, 0}},
    {"C", "E", "Am", WAY_APPLIED_DOMINANT, {6, 0}},
    {"C", "C", "F", WAY_APPLIED_NOT, {1, 0}},
    {"C", "C7", NULL, WAY_APPLIED_NOT, {1, 0}},
    {"C", "C7", "F", WAY_APPLIED_DOMINANT, {4, 0}},
    {"C", "G7", "C", WAY_APPLIED_NOT, {1, 0}},
    {"C", "Db7", NULL, WAY_APPLIED_SUBSTITUTE, {1, 0}},
    {"C", "Eb7", "Dm7", WAY_APPLIED_SUBSTITUTE, {2, 0}},
    {"C", "Eb7", "Ab", WAY_APPLIED_NOT, {1, 0}},
    {"C", "F#dim7", "G", WAY_APPLIED_LEADING, {5, 0}},
    {"C", "F#dim7", "C", WAY_APPLIED_NOT, {1, 0}},
    {"C", "Bm7b5", "C", WAY_APPLIED_NOT, {1, 0}},
    {"C", "Bm7b5", "E7", WAY_APPLIED_PREDOMINANT, {6, 0}},
    {"C", "Gm7", "C7", WAY_APPLIED_PREDOMINANT, {4, 0}},
    {"C", "Dm7", "G7", WAY_APPLIED_NOT, {1, 0}},
    {"Am", "G7", "C", WAY_APPLIED_DOMINANT, {3, -1}},
    {"Am", "E7", "Am", WAY_APPLIED_NOT, {1, 0}},
    {"Am", "Bb7", "Am", WAY_APPLIED_SUBSTITUTE, {1, 0}},
    {"Am", "Bm7b5", "E7", WAY_APPLIED_NOT, {1, 0}},
};

static void test_chords_lead_to_their_targets(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayKey key;
    WayChord chord, next = way_chord_none();
    assert_int_equal(way_key_read(way_text(cases[i].key), &key, NULL), WAY_OK);
    assert_int_equal(way_chord_read(way_text(cases[i].chord), &chord, NULL), WAY_OK);
    if (cases[i].next)
      assert_int_equal(way_chord_read(way_text(cases[i].next), &next, NULL), WAY_OK);
    const WayApplied a = way_applied(&chord, cases[i].next ? &next : NULL, key);
    if (a.kind != cases[i].kind || a.target.number != cases[i].target.number ||
        a.target.alter != cases[i].target.alter)
      fail_msg("%s in %s: kind %d to %d", cases[i].chord, cases[i].key, (int)a.kind,
               a.target.number);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chords_lead_to_their_targets),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
