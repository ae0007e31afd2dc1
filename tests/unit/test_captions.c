#include "take/captions.h"

#include "check.h"
#include "played.h"

static char* captions(const Reviewed* r, const char* title, double offset) {
  WaySmf* const smf = way_smf_new(1, 480); // 120 quarter notes a minute
  assert_non_null(smf);
  char* text = NULL;
  size_t size = 0;
  FILE* const to = open_memstream(&text, &size);
  assert_int_equal(way_captions(r->review, smf, title, offset, to), WAY_OK);
  assert_false(fclose(to));
  way_smf_free(smf);
  return text;
}

static Reviewed example(void) {
  return REVIEWED("key: D major\n[A<B]\n| D G>3 | % |\n", 4, 0, {3, 1, 66}, {4, 1, 66},
                  {5, 0.5, 67}, {5.5, 1, 71}, {7, 1, 70}, {10, 1, 71});
}

static void test_cues_by_bar_and_chord(void** state) {
  (void)state;
  const Reviewed r = example();
  char* const text = captions(&r, "Rope & Walk", 0);
  assert_int_equal(strncmp(text, "WEBVTT - Rope &amp; Walk\n\nSTYLE\n", 31), 0);
  const char* const cues = strstr(text, "\n\n00:");
  assert_non_null(cues);
  assert_string_equal(cues,
                      "\n\n00:00:00.000 --> 00:00:02.000\n"
                      "A&lt;B bar 0\n"
                      "<00:00:01.500><c.scale>3</c>\n"
                      "\n00:00:02.000 --> 00:00:03.000\n"
                      "<b>D</b> chorus 1 A&lt;B bar 1, lands on 3 (F#)\n"
                      "<c.chord>3</c> <00:00:02.500><c.scale>11</c> "
                      "<00:00:02.750><c.scale>13</c>\n"
                      "\n00:00:03.000 --> 00:00:04.000\n"
                      "<b>G</b> chorus 1 A&lt;B bar 1, lands on #9 (Bb), late\n"
                      "<00:00:03.500><c.chromatic>#9</c>\n"
                      "\n00:00:04.000 --> 00:00:05.000\n"
                      "<b>D</b> chorus 1 A&lt;B bar 2, arrives in a rest\n"
                      "\n00:00:05.000 --> 00:00:06.000\n"
                      "<b>G</b> chorus 1 A&lt;B bar 2, lands on 3 (B), as planned\n"
                      "<c.chord>3</c>\n");
  free(text);
  reviewed_free(r);
}

static void test_the_video_may_begin_elsewhere(void** state) {
  (void)state;
  const Reviewed r = example();
  char* text = captions(&r, "", 3600);
  assert_non_null(strstr(text, "\n01:00:02.000 --> 01:00:03.000\n<b>D"));
  free(text);
  text = captions(&r, "", -2.6); // the first cue lies before it, the second is cut
  assert_non_null(strstr(text, "}\n\n00:00:00.000 --> 00:00:00.400\n<b>D"));
  assert_non_null(strstr(text, "\n<c.chord>3</c> <c.scale>11</c> "
                               "<00:00:00.150><c.scale>13</c>\n"));
  free(text);
  reviewed_free(r);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cues_by_bar_and_chord),
      cmocka_unit_test(test_the_video_may_begin_elsewhere),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
