#include "check.h"
#include "played.h"
#include "take/motifs.h"

#include <string.h>

enum { BAR = 4 * WAY_TICKS_PER_QUARTER };

typedef struct {
  WayTake* take;
  WayPhrase* phrases;
  uint32_t n;
  WayMotif* motifs;
} Phrased;

static Phrased phrased(const Played* notes, uint32_t n) {
  Phrased p = {.take = take_played(notes, n)};
  assert_int_equal(way_phrases(p.take, BAR, &p.phrases, &p.n), WAY_OK);
  assert_int_equal(way_motifs(p.take, BAR, p.phrases, p.n, &p.motifs), WAY_OK);
  return p;
}
#define PHRASED(...)                                                                   \
  phrased((const Played[]){__VA_ARGS__}, WAY_COUNT(((const Played[]){__VA_ARGS__})))

static void phrased_free(Phrased p) {
  free(p.motifs);
  free(p.phrases);
  way_take_free(p.take);
}

static void check_line(const Phrased* p, const char* expected) {
  char text[256] = "";
  WayOut out = way_out(text, sizeof(text));
  for (uint32_t i = 0; i < p->n; ++i) {
    if (i) way_out_char(&out, ' ');
    way_motif_mark_write(&p->motifs[i], &out);
  }
  assert_string_equal(text, expected);
}

/// Three notes and a longer one, from a beat on, so many semitones up.
#define CALL(at, up)                                                                   \
  {(at), 0.5, 60 + (up)}, {(at) + 0.5, 0.5, 62 + (up)}, {(at) + 1, 0.5, 64 + (up)}, {  \
    (at) + 1.5, 0.9, 60 + (up)                                                         \
  }
/// Something else.
#define OTHER(at)                                                                      \
  {(at), 0.3, 72}, {(at) + 0.33, 0.3, 70}, {(at) + 0.67, 0.3, 65}, { (at) + 1, 1, 58 }

static void test_kinds(void** state) {
  (void)state;
  const Phrased p = PHRASED(CALL(0, 0), CALL(4, 0), CALL(9, 0), CALL(16, 5), OTHER(20));
  check_line(&p, "A A A' A' B");
  assert_int_equal(p.motifs[0].kind, WAY_MOTIF_NEW);
  assert_int_equal(p.motifs[0].like, WAY_NO_PHRASE);
  assert_int_equal(p.motifs[1].kind, WAY_MOTIF_EXACT);
  assert_int_equal(p.motifs[1].like, 0);
  assert_int_equal(p.motifs[2].kind, WAY_MOTIF_SHIFTED);
  assert_true(p.motifs[2].shifted);
  assert_int_equal(p.motifs[3].kind, WAY_MOTIF_TRANSPOSED);
  phrased_free(p);
}

static void test_a_step_up_within_the_scale_is_transposed(void** state) {
  (void)state;
  // C D E C, then D E F D.
  const Phrased p =
      PHRASED(CALL(0, 0), {4, 0.5, 62}, {4.5, 0.5, 64}, {5, 0.5, 65}, {5.5, 0.9, 62});
  check_line(&p, "A A'");
  assert_int_equal(p.motifs[1].kind, WAY_MOTIF_TRANSPOSED);
  phrased_free(p);
}

static void test_a_longer_end_is_varied(void** state) {
  (void)state;
  const Phrased p = PHRASED(CALL(0, 0), {4, 0.5, 60}, {4.5, 0.5, 62}, {5, 0.5, 64},
                            {5.5, 0.5, 60}, {6, 0.9, 55});
  check_line(&p, "A A'");
  assert_int_equal(p.motifs[1].kind, WAY_MOTIF_VARIED);
  phrased_free(p);
}

static void test_an_exact_return_of_a_variation_keeps_its_stroke(void** state) {
  (void)state;
  const Phrased p = PHRASED(CALL(0, 0), CALL(4, 7), CALL(8, 7));
  check_line(&p, "A A' A'");
  assert_int_equal(p.motifs[2].kind, WAY_MOTIF_EXACT);
  assert_int_equal(p.motifs[2].like, 1);
  phrased_free(p);
}

static void test_timing_of_a_hand_counts_as_the_same(void** state) {
  (void)state;
  const Phrased p = PHRASED(CALL(0, 0), {4.05, 0.4, 60}, {4.6, 0.4, 62}, {5, 0.5, 64},
                            {5.62, 0.9, 60});
  check_line(&p, "A A");
  phrased_free(p);
}

static void test_the_highest_of_a_chord_is_the_line(void** state) {
  (void)state;
  const Phrased p =
      PHRASED(CALL(0, 0), {4, 0.5, 48}, {4, 0.5, 55}, {4, 0.5, 60}, {4.5, 0.5, 62},
              {5, 0.5, 64}, {5.5, 0.9, 55}, {5.5, 0.9, 60});
  check_line(&p, "A A");
  phrased_free(p);
}

static void test_answers_come_in_pairs(void** state) {
  (void)state;
  const Phrased p = PHRASED(CALL(0, 0), OTHER(4), CALL(8, 0), CALL(20, 0), OTHER(24));
  const uint32_t expected[] = {WAY_NO_PHRASE, 0, WAY_NO_PHRASE, WAY_NO_PHRASE, 3};
  assert_int_equal(p.n, 5);
  for (uint32_t i = 0; i < p.n; ++i) assert_int_equal(p.motifs[i].answers, expected[i]);
  phrased_free(p);
}

static void test_letters(void** state) {
  (void)state;
  const struct {
    uint32_t motif;
    const char* letters;
  } cases[] = {
      {0, "A"},     {25, "Z"},
      {26, "AA"},   {701, "ZZ"},
      {702, "AAA"}, {UINT32_MAX - 1, "MWLQKWU"}}; // as spreadsheets count columns
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    char text[WAY_MOTIF_MARK_MAX] = "";
    WayOut out = way_out(text, sizeof(text));
    way_motif_mark_write(&(WayMotif){.motif = cases[i].motif}, &out);
    assert_string_equal(text, cases[i].letters);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_kinds),
      cmocka_unit_test(test_a_step_up_within_the_scale_is_transposed),
      cmocka_unit_test(test_a_longer_end_is_varied),
      cmocka_unit_test(test_an_exact_return_of_a_variation_keeps_its_stroke),
      cmocka_unit_test(test_timing_of_a_hand_counts_as_the_same),
      cmocka_unit_test(test_the_highest_of_a_chord_is_the_line),
      cmocka_unit_test(test_answers_come_in_pairs),
      cmocka_unit_test(test_letters),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
