#include "take/fit.h"

#include "alloc.h"
#include "check.h"
#include "fit_case.h"
#include "theory/embellish.h"

#include <stdlib.h>

/// A melody of eighth notes; 0 is a rest.
static void melody(FitCase* c, const char* keys) {
  for (unsigned i = 0; *keys; ++i) {
    char* end;
    const long key = strtol(keys, &end, 10);
    if (key) fit_case_note(c, 0, i, i + 1, (uint8_t)key);
    keys = end;
  }
}

static void check(const FitCase* c, const char* keys) {
  for (uint32_t i = 0; i < c->fit->n; ++i) {
    char* end;
    const long key = strtol(keys, &end, 10);
    if (c->fit->notes[i].key != key)
      fail_msg("note %u: %u, expected %ld", i, c->fit->notes[i].key, key);
    keys = end;
  }
  assert_string_equal(keys, "");
}

static void check_why(const FitCase* c, uint32_t i, WayFitWhy why) {
  assert_string_equal(way_fit_why_name((WayFitWhy)c->fit->notes[i].why),
                      way_fit_why_name(why));
}

static void test_notes_go_to_the_chord_scale(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C | F |\n");
  melody(&c, "60 62 63 67 66 64 64 61 65");
  fit_case_fit(&c);
  check(&c, "60 62 64 67 65 64 64 60 65");
  check_why(&c, 0, WAY_FIT_IN);
  check_why(&c, 2, WAY_FIT_MATERIAL);
  assert_int_equal(c.fit->notes[2].n_bytes, 2);
  fit_case_end(&c);
}

static void test_the_shape_moves_others_along(void** state) {
  (void)state;
  // 63 wants to 64, where the next note stands: that one moves on.
  FitCase c = fit_case_new("key: C\n| C |\n");
  c.choice.snap = WAY_SNAP_UP;
  melody(&c, "62 63 64 64 62");
  fit_case_fit(&c);
  check(&c, "62 64 65 65 62");
  check_why(&c, 2, WAY_FIT_SHAPE);
  fit_case_end(&c);
}

static void test_targets_are_fixed_points(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C | F>3 |\n");
  melody(&c, "60 0 0 0 0 0 0 64 67");
  fit_case_fit(&c);
  check(&c, "60 64 69");
  check_why(&c, 2, WAY_FIT_TARGET);
  c.choice.max_distance = 1; // out of reach
  fit_case_fit(&c);
  check(&c, "60 64 67");
  check_why(&c, 2, WAY_FIT_LEFT_FAR);
  fit_case_end(&c);
}

static void test_scope(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C | C |\n");
  melody(&c, "61 0 61 0 66 0 0 66 66");
  c.choice.scope = WAY_SCOPE_STRONG;
  fit_case_fit(&c); // the repeated notes move with the strong ones
  check(&c, "60 60 65 65 65");
  c.choice.scope = WAY_SCOPE_LANDINGS;
  fit_case_fit(&c); // one chord, one landing
  check(&c, "60 60 66 66 66");
  check_why(&c, 2, WAY_FIT_UNASKED);
  fit_case_end(&c);
}

static void test_embellishing_tones_stay(void** state) {
  (void)state;
  // C D E, C D C, and a leap to D# before E, over a triad.
  FitCase c = fit_case_new("key: C\n| C |\n");
  c.choice.material = WAY_MATERIAL_TRIAD;
  melody(&c, "60 62 64 60 62 60 55 63 64");
  fit_case_fit(&c);
  check_why(&c, 1, WAY_FIT_MATERIAL);
  c.choice.keep = WAY_FIT_KEEP_PASSING;
  fit_case_fit(&c);
  check_why(&c, 1, WAY_FIT_KEPT);
  assert_int_equal(c.fit->notes[1].kind, WAY_EMBELLISH_PASSING);
  assert_int_not_equal(c.fit->notes[4].why, WAY_FIT_KEPT);
  c.choice.keep = WAY_FIT_KEEP_PASSING | WAY_FIT_KEEP_NEIGHBOUR | WAY_FIT_KEEP_APPROACH;
  fit_case_fit(&c);
  check(&c, "60 62 64 60 62 60 55 63 64");
  check_why(&c, 4, WAY_FIT_KEPT);
  check_why(&c, 7, WAY_FIT_KEPT);
  fit_case_end(&c);
}

static void test_range(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  c.choice.low = 60;
  c.choice.high = 72;
  melody(&c, "72 74 55 60");
  fit_case_fit(&c);
  check(&c, "71 72 60 62");
  check_why(&c, 1, WAY_FIT_RANGE);
  fit_case_end(&c);
}

static void test_only_the_top_line_moves(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  fit_case_note(&c, 0, 0, 4, 61); // under it, and outside too
  fit_case_note(&c, 0, 0, 2, 66);
  fit_case_note(&c, 0, 1, 2, 58); // begins under it
  fit_case_note(&c, 0, 2, 4, 68);
  fit_case_fit(&c);
  check(&c, "65 67");
  assert_int_equal(c.fit->below, 2);
  fit_case_end(&c);
}

static void test_lines_by_channel(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  fit_case_note(&c, 0, 0, 2, 66);
  fit_case_note(&c, 1, 0, 2, 54);
  fit_case_note(&c, 9, 0, 2, 42); // drums are no line
  c.choice.by_channel = true;
  fit_case_fit(&c);
  check(&c, "53 65");
  c.choice.by_channel = false;
  fit_case_fit(&c);
  check(&c, "65");
  fit_case_end(&c);
}

static void test_keys_that_sound_are_not_struck_again(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  fit_case_note(&c, 0, 0, 4, 65); // a drone below, on the key that would be nearest
  fit_case_note(&c, 0, 1, 2, 66);
  fit_case_note(&c, 0, 2, 3, 78);
  c.choice.max_distance = 1;
  fit_case_fit(&c);
  check(&c, "65 67 79"); // as near as 77, and the interval is kept
  fit_case_end(&c);
}

static void test_long_notes_under_the_line_stay(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  fit_case_note(&c, 0, 0, 8, 61);
  fit_case_note(&c, 0, 1, 2, 62);
  fit_case_note(&c, 0, 2, 3, 64);
  fit_case_fit(&c);
  check(&c, "61 62 64");
  check_why(&c, 0, WAY_FIT_LEFT_HELD);
  fit_case_end(&c);
}

static void test_bends_count(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  fit_case_add(&c, 0, 0xE0, 0, 0x60); // one semitone up
  fit_case_note(&c, 0, 0, 2, 60);     // sounds as C sharp
  fit_case_fit(&c);
  assert_int_equal(c.fit->notes[0].from, 61);
  assert_int_equal(c.fit->notes[0].to, 60);
  check(&c, "59");
  fit_case_end(&c);
}

/// A file with running status, key pressure, SysEx, velocity 0, an orphan and padding.
static const uint8_t odd[] = {
    'M',  'T',  'h',  'd',  0,    0,    0, 6, 0,  1,    0,    1,  0,
    96,   'M',  'T',  'r',  'k',  0,    0, 0, 44, 0x00, 0x90, 61, 80, // 22: C sharp
    0x30, 0xA0, 61,   10,               // 26: its pressure
    0x00, 0x90, 61,   0,                // 30: its end
    0x00, 64,   80,                     // 34: E, running status
    0x10, 0xF0, 0x03, 0x43, 61,   0xF7, // 37
    0x20, 0x90, 64,   0,                // 43
    0x00, 66,   70,                     // 47: F sharp
    0x20, 66,   0,                      // 50
    0x00, 0x80, 65,   0,                // 53: nothing of that name sounds
    0x00, 0x80, 61,   0,                // 57
    0x00, 0xFF, 0x2F, 0x01, 0x00,       // 61
    0,    0};

static void test_bytes_are_kept(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  assert_int_equal(way_smf_read(odd, sizeof(odd), &c.smf, NULL), WAY_OK);
  assert_int_equal(way_fit_new(odd, c.smf, &c.choice, &c.fit, NULL), WAY_OK);
  check(&c, "60 64 65");
  uint8_t after[sizeof(odd)];
  memcpy(after, odd, sizeof(odd));
  way_fit_apply(c.fit, after);
  static const struct {
    size_t at;
    uint8_t key;
  } moved[] = {{24, 60}, {28, 60}, {32, 60}, {48, 65}, {51, 65}};
  for (size_t i = 0, m = 0; i < sizeof(odd); ++i) {
    const bool moves = m < WAY_COUNT(moved) && moved[m].at == i;
    if (after[i] != (moves ? moved[m].key : odd[i]))
      fail_msg("byte %zu is %u", i, after[i]);
    m += moves;
  }
  assert_int_equal(c.fit->n_bytes, WAY_COUNT(moved));
  fit_case_end(&c);
}

static void test_before_the_chart_nothing_moves(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  melody(&c, "61 0 0 0 0 0 0 0 61");
  c.choice.origin = 4 * WAY_TICKS_PER_QUARTER;
  fit_case_fit(&c);
  check(&c, "61 61"); // a repeated note stays repeated
  check_why(&c, 0, WAY_FIT_UNASKED);
  check_why(&c, 1, WAY_FIT_LEFT_SHAPE);
  fit_case_end(&c);
}

static void test_what_cannot_be_fitted(void** state) {
  (void)state;
  FitCase c = fit_case_new("| C |\n");
  fit_case_add(&c, 0, 0xB0, 7, 100);
  assert_int_equal(way_smf_write(c.made, &c.bytes, &c.size), WAY_OK);
  assert_int_equal(way_smf_read(c.bytes, c.size, &c.smf, NULL), WAY_OK);
  WayError e;
  assert_int_equal(way_fit_new(c.bytes, c.smf, &c.choice, &c.fit, &e), WAY_ERR_RANGE);
  assert_string_equal(e.message, "no notes in the file");
  assert_null(c.fit);
  fit_case_end(&c);
}

static void test_memory_running_out(void** state) {
  (void)state;
  FitCase c = fit_case_new("key: C\n| C |\n");
  melody(&c, "60 61 66");
  fit_case_fit(&c);
  bool failed = true;
  for (long n = 1; failed; ++n) {
    WayFit* out = NULL;
    alloc_fail_at(n);
    const WayStatus st = way_fit_new(c.bytes, c.smf, &c.choice, &out, NULL);
    failed = alloc_failed();
    alloc_fail_at(0);
    assert_int_equal(st, failed ? WAY_ERR_NO_MEMORY : WAY_OK);
    assert_int_equal(out == NULL, failed);
    way_fit_free(out);
    assert_in_range(n, 1, 100);
  }
  fit_case_end(&c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_notes_go_to_the_chord_scale),
      cmocka_unit_test(test_the_shape_moves_others_along),
      cmocka_unit_test(test_targets_are_fixed_points),
      cmocka_unit_test(test_scope),
      cmocka_unit_test(test_embellishing_tones_stay),
      cmocka_unit_test(test_range),
      cmocka_unit_test(test_only_the_top_line_moves),
      cmocka_unit_test(test_lines_by_channel),
      cmocka_unit_test(test_keys_that_sound_are_not_struck_again),
      cmocka_unit_test(test_long_notes_under_the_line_stay),
      cmocka_unit_test(test_bends_count),
      cmocka_unit_test(test_bytes_are_kept),
      cmocka_unit_test(test_before_the_chart_nothing_moves),
      cmocka_unit_test(test_what_cannot_be_fitted),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
