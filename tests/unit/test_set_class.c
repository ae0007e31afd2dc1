#include "check.h"
#include "theory/set_class.h"

static const char* name_of(WayPcSet set) {
  static char text[16];
  WayOut out = way_out(text, sizeof(text));
  way_set_class_write(way_set_class(set), &out);
  return text;
}

static WayPcSet set_of(const char* hex) {
  WayPcSet set = 0;
  for (; *hex; ++hex) set |= WAY_PC_BIT(*hex <= '9' ? *hex - '0' : *hex - 'A' + 10);
  return set;
}

// A. Forte, The Structure of Atonal Music (1973), appendix 1, in pitch classes as
// digits (A is 10); the forms A and B as is usual since.
static void test_names_of_known_sets(void** state) {
  (void)state;
  static const char* const cases[][2] = {
      {"012", "3-1"},        {"047", "3-11B"},        {"037", "3-11A"},
      {"036", "3-10"},       {"048", "3-12"},         {"0369", "4-28"},
      {"047A", "4-27B"},     {"036A", "4-27A"},       {"0146", "4-Z15A"},
      {"0137", "4-Z29A"},    {"01378", "5-20A"},      {"02479", "5-35"},
      {"013689", "6-Z29"},   {"013589", "6-31A"},     {"02468A", "6-35"},
      {"024579B", "7-35"},   {"0123589", "7-Z18A"},   {"0134679A", "8-28"},
      {"0124578A", "8-27A"}, {"012345678AB", "11-1"}, {"0", "1-1"},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    assert_string_equal(name_of(set_of(cases[i][0])), cases[i][1]);
}

/// How often each interval class occurs, one decimal digit or two each.
static uint64_t intervals(WayPcSet set) {
  uint64_t count[7] = {0}, all = 0;
  for (WayPc a = 0; a < 12; ++a)
    for (WayPc b = (WayPc)(a + 1); b < 12; ++b)
      if (way_pcs_has(set, a) && way_pcs_has(set, b))
        ++count[b - a > 6 ? 12 - b + a : b - a];
  for (int i = 1; i < 7; ++i) all = all * 100 + count[i];
  return all;
}

// Property: every set has a class; the class does not change with transposition and
// inversion; there are 224 of them (Forte's 220 and those of 0, 1, 11 and 12 notes).
static void test_every_set_has_one_class(void** state) {
  (void)state;
  static uint16_t forms[13][51];
  unsigned classes = 0;
  for (unsigned set = 0; set <= WAY_PCS_ALL; ++set) {
    const WaySetClass c = way_set_class((WayPcSet)set);
    const WayPcSet form = way_set_prime_form((WayPcSet)set);
    assert_int_equal(c.size, way_pcs_count((WayPcSet)set));
    assert_in_range(c.ordinal, set ? 1 : 0, 50);
    if (!forms[c.size][c.ordinal]) {
      forms[c.size][c.ordinal] = (uint16_t)(form | 0x8000);
      ++classes;
    }
    assert_int_equal(forms[c.size][c.ordinal], form | 0x8000);
    const WaySetClass moved = way_set_class(way_pcs_move((WayPcSet)set, 5));
    assert_int_equal(moved.ordinal, c.ordinal);
    assert_int_equal(moved.form, c.form);
  }
  assert_int_equal(classes, 224);
}

// Property: Z is what the book says it is: the same intervals in another class.
static void test_z_means_the_same_intervals(void** state) {
  (void)state;
  static struct {
    uint64_t intervals;
    WaySetClass c;
  } seen[224];
  unsigned n = 0;
  for (unsigned set = 0; set <= WAY_PCS_ALL; ++set)
    if (way_set_prime_form((WayPcSet)set) == set) {
      seen[n].intervals = intervals((WayPcSet)set);
      seen[n++].c = way_set_class((WayPcSet)set);
    }
  for (unsigned i = 0; i < n; ++i) {
    bool twin = false;
    for (unsigned k = 0; k < n; ++k)
      twin = twin || (k != i && seen[k].c.size == seen[i].c.size &&
                      seen[i].c.size > 1 && seen[k].intervals == seen[i].intervals);
    if (twin != seen[i].c.z) fail_msg("%d-%d", seen[i].c.size, seen[i].c.ordinal);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_names_of_known_sets),
      cmocka_unit_test(test_every_set_has_one_class),
      cmocka_unit_test(test_z_means_the_same_intervals),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
