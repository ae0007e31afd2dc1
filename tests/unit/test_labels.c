#include "take/labels.h"
#include "take/smf_read.h"
#include "take/smf_write.h"

#include "check.h"
#include "played.h"

static char* table(const Reviewed* r, const WaySmf* smf) {
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  assert_int_equal(way_labels_csv(r->review, smf, to), WAY_OK);
  assert_false(fclose(to));
  return text;
}

/// A file without events but two tempos: 120, and 60 from the fifth quarter note on.
static WaySmf* two_tempos(void) {
  WaySmf* const smf = way_smf_new(1, 480);
  assert_non_null(way_smf_add_track(smf));
  const uint8_t slow[] = {0xFF, 0x51, 0x0F, 0x42, 0x40};
  assert_int_equal(way_smf_add(smf, 0, 4 * 480, slow, sizeof(slow)), WAY_OK);
  return smf;
}

// A bar takes two seconds, then four; the form begins in bar 2 of the file.
static void test_rows_in_order_and_in_seconds(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: D major\n[A, slow]\n| D | G>3 |\n", 4, 0,
                              {3, 1, 66}, {4, 1, 66}, {7, 2, 71}, {9, 1, 70});
  WaySmf* const smf = two_tempos();
  char* const text = table(&r, smf);
  assert_string_equal(
      text, "seconds,end_seconds,chorus,bar,beat,kind,text,note,degree,role\r\n"
            "1.500,2.000,0,0,4.000,role,role 3 scale tone over N.C.,F#,3,scale tone\r\n"
            "2.000,8.000,1,1,1.000,top,top chorus 1,,,\r\n"
            "2.000,8.000,1,1,1.000,section,\"section A, slow\",,,\r\n"
            "2.000,6.000,1,1,1.000,change,change D,,,\r\n"
            "2.000,3.000,1,1,1.000,landing,landing 3 chord tone over D,F#,3,chord "
            "tone\r\n"
            "2.000,3.000,1,1,1.000,role,role 3 chord tone over D,F#,3,chord tone\r\n"
            "5.000,7.000,1,1,4.000,role,role 13 scale tone over D,B,13,scale tone\r\n"
            "6.000,8.000,1,2,1.000,change,change G,,,\r\n"
            "7.000,8.000,1,2,2.000,landing,landing #9 other over G,Bb,#9,chromatic\r\n"
            "7.000,8.000,1,2,2.000,role,role #9 chromatic over G,Bb,#9,chromatic\r\n");
  free(text);
  way_smf_free(smf);
  reviewed_free(r);
}

static void test_a_target_held_over(void** state) {
  (void)state;
  const Reviewed r =
      REVIEWED("key: D major\n| D | G>3 |\n", 0, 0, {3, 2, 71}, {8, 1, 66});
  WayLabel* labels = NULL;
  uint32_t n = 0;
  assert_int_equal(way_labels_new(r.review, &labels, &n), WAY_OK);
  char text[WAY_LABEL_TEXT_MAX] = "";
  for (uint32_t i = 0; i < n; ++i)
    if (labels[i].kind == WAY_LABEL_LANDING && labels[i].of == 1) {
      WayOut out = way_out(text, sizeof(text));
      way_label_write(r.review, &labels[i], &out);
      assert_int_equal(labels[i].start, 4 * WAY_TICKS_PER_QUARTER);
      assert_int_equal(labels[i].end, 5 * WAY_TICKS_PER_QUARTER);
    }
  assert_string_equal(text, "landing held 3 target over G");
  free(labels);
  reviewed_free(r);
}

static void test_markers_go_to_a_track_of_their_own(void** state) {
  (void)state;
  const Reviewed r = REVIEWED("key: D major\n| D |\n", 0, 0, {0, 1, 66});
  WaySmf* const made = two_tempos();
  uint8_t *bytes = NULL, *out = NULL;
  size_t size = 0;
  assert_int_equal(way_smf_write(made, &bytes, &size), WAY_OK);
  WaySmf *smf = NULL, *again = NULL;
  assert_int_equal(way_smf_read(bytes, size, &smf, NULL), WAY_OK);
  assert_int_equal(way_labels_midi(r.review, smf, bytes, &out, &size), WAY_OK);
  assert_int_equal(way_smf_read(out, size, &again, NULL), WAY_OK);
  assert_int_equal(again->n_tracks, 2);
  static const char* const texts[] = {"Waymark", "top chorus 1", "change D",
                                      "landing 3 chord tone over D",
                                      "role 3 chord tone over D"};
  assert_int_equal(again->tracks[1].n, WAY_COUNT(texts));
  for (uint32_t i = 0; i < WAY_COUNT(texts); ++i) {
    const WaySmfEvent* const e = &again->tracks[1].events[i];
    assert_int_equal(way_smf_meta(e), i ? 0x06 : 0x03);
    assert_true(way_text_is(way_smf_meta_data(e), texts[i]));
  }
  way_smf_free(made);
  way_smf_free(smf);
  way_smf_free(again);
  free(bytes);
  free(out);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rows_in_order_and_in_seconds),
      cmocka_unit_test(test_a_target_held_over),
      cmocka_unit_test(test_markers_go_to_a_track_of_their_own),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
