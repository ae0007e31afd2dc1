#include "alloc.h"
#include "chart/chart_unroll.h"
#include "chart_text.h"
#include "check.h"
#include "take/backing.h"

#include <stdlib.h>

/// A chart and its backing.
typedef struct {
  WayChart* chart;
  WayTimeline* t;
  WayBackingChoice choice;
  WayTick start;
  WaySmf* smf;
} Case;

static Case new_case(const char* text) {
  Case c = {.chart = chart_of(text), .choice = way_backing_default()};
  assert_int_equal(way_chart_unroll(c.chart, &c.t), WAY_OK);
  c.choice.choruses = 2;
  return c;
}

static void make(Case* c) {
  way_smf_free(c->smf);
  assert_int_equal(way_backing_new(c->chart, c->t, &c->choice, &c->start, &c->smf),
                   WAY_OK);
}

static void end_case(Case* c) {
  way_smf_free(c->smf);
  way_timeline_free(c->t);
  way_chart_free(c->chart);
}

static const WaySmfTrack* track(const Case* c, WayPart part) {
  return &c->smf->tracks[1 + part];
}

/// See that the first track has a text-like event at a quarter note.
static void check_text(const Case* c, uint64_t quarter, uint8_t type,
                       const char* text) {
  const WaySmfTrack* const t = &c->smf->tracks[0];
  for (uint32_t i = 0; i < t->n; ++i)
    if (t->events[i].tick == quarter * WAY_TICKS_PER_QUARTER &&
        way_smf_meta(&t->events[i]) == type &&
        way_text_is(way_smf_meta_data(&t->events[i]), text))
      return;
  fail_msg("no '%s' at quarter note %lu", text, (unsigned long)quarter);
}

static void test_the_form_in_metas(void** state) {
  (void)state;
  Case c = new_case("title: Net Loft\nkey: D dorian\ntempo: 90\n[A]\n| Dm7>3 G7 |\n"
                    "[Open Water]\nkey: Eb\ntime: 3/4\n| Eb |\n");
  make(&c);
  assert_int_equal(c.start, 8 * WAY_TICKS_PER_QUARTER);
  assert_true(way_text_is(way_smf_track_name(&c.smf->tracks[0]), "Net Loft"));
  check_text(&c, 0, 1, "key: D dorian");
  check_text(&c, 0, 6, "count-in");
  check_text(&c, 8, 6, "top chorus 1");
  check_text(&c, 8, 6, "[A]");
  check_text(&c, 8, 6, "Dm7");
  check_text(&c, 8, 1, "target: b3");
  check_text(&c, 10, 6, "G7");
  check_text(&c, 12, 6, "[Open Water]");
  check_text(&c, 15, 6, "top chorus 2");
  check_text(&c, 15, 1, "key: D dorian");
  check_text(&c, 12, 0x58, "\3\2\x18\x8");
  check_text(&c, 15, 0x58, "\4\2\x18\x8");
  check_text(&c, 0, 0x51, "\xA\x2C\x2B"); // 666667 microseconds
  end_case(&c);
}

/// See that every note-on has its note-off, and that no note sounds twice on one key.
static void check_whole(const WaySmfTrack* t, const char* name) {
  int sounding[128] = {0};
  for (uint32_t i = 0; i < t->n; ++i) {
    const uint8_t* const b = t->events[i].bytes;
    if ((b[0] & 0xE0) != 0x80) continue;
    const bool on = (b[0] & 0xF0) == 0x90;
    sounding[b[1]] += on ? 1 : -1;
    if (sounding[b[1]] < 0 || sounding[b[1]] > 1)
      fail_msg("%s: %d notes on key %u", name, sounding[b[1]], b[1]);
  }
  for (int key = 0; key < 128; ++key) assert_int_equal(sounding[key], 0);
}

static void test_notes_are_whole_in_every_feel_and_metre(void** state) {
  (void)state;
  static const char* const charts[] = {"| C6 Am7/G | F#m7b5 / / B7alt | N.C. | Em |",
                                       "time: 3/4\n| F | C7/E |",
                                       "time: 5/4\n| Dm7 / / G7 / |",
                                       "time: 6/8\n| Bm | G D |",
                                       "time: 1/64\n| C | G | Am | F |",
                                       "| C D E F G A B |"};
  for (size_t i = 0; i < WAY_COUNT(charts); ++i)
    for (unsigned feel = 0; feel <= WAY_FEEL_COUNT; ++feel) {
      Case c = new_case(charts[i]);
      c.choice.feel = (WayFeel)feel;
      make(&c);
      for (int p = 0; p < WAY_PART_COUNT; ++p)
        check_whole(track(&c, (WayPart)p), charts[i]);
      end_case(&c);
    }
}

static uint32_t count_on(const WaySmfTrack* t) {
  uint32_t n = 0;
  for (uint32_t i = 0; i < t->n; ++i) n += (t->events[i].bytes[0] & 0xF0) == 0x90;
  return n;
}

static void test_click_and_count_in(void** state) {
  (void)state;
  Case c = new_case("| C | F |");
  make(&c);
  assert_int_equal(count_on(track(&c, WAY_PART_CLICK)), (2 + 2 * 2) * 4);
  c.choice.click = WAY_CLICK_COUNT_IN;
  make(&c);
  assert_int_equal(count_on(track(&c, WAY_PART_CLICK)), 2 * 4);
  c.choice.count_in = 0;
  make(&c);
  assert_int_equal(c.start, 0);
  assert_int_equal(count_on(track(&c, WAY_PART_CLICK)), 0);
  end_case(&c);
}

static void test_level(void** state) {
  (void)state;
  Case c = new_case("| C |");
  unsigned loudest[2] = {0, 0};
  for (int i = 0; i < 2; ++i) {
    c.choice.level = i ? 100 : 1;
    make(&c);
    for (uint32_t t = 1; t <= WAY_PART_CLICK + 1; ++t)
      for (uint32_t e = 0; e < c.smf->tracks[t].n; ++e) {
        const uint8_t* const b = c.smf->tracks[t].events[e].bytes;
        if ((b[0] & 0xF0) != 0x90) continue;
        assert_in_range(b[2], 1, 127);
        if (b[2] > loudest[i]) loudest[i] = b[2];
      }
  }
  assert_int_equal(loudest[0], 1);
  assert_int_equal(loudest[1], 100);
  end_case(&c);
}

static void test_a_stem_is_the_part_alone(void** state) {
  (void)state;
  Case c = new_case("| C | F |");
  make(&c);
  WaySmf* const stem = way_backing_stem(c.smf, WAY_PART_BASS);
  assert_int_equal(stem->n_tracks, 2);
  assert_int_equal(stem->tracks[0].n, c.smf->tracks[0].n);
  assert_true(way_text_is(way_smf_track_name(&stem->tracks[1]), "Bass"));
  assert_int_equal(count_on(&stem->tracks[1]), count_on(track(&c, WAY_PART_BASS)));
  assert_int_equal(stem->tracks[1].end, c.smf->tracks[2].end);
  way_smf_free(stem);
  end_case(&c);
}

static void test_too_much_is_refused(void** state) {
  (void)state;
  Case c = new_case("time: 1/64\n|: C :|: C :|: C :|");
  c.choice.choruses = WAY_CHART_UNROLLED_MAX / 6 + 1;
  assert_int_equal(way_backing_new(c.chart, c.t, &c.choice, NULL, &c.smf),
                   WAY_ERR_FULL);
  assert_null(c.smf);
  end_case(&c);
}

static void test_memory_running_out(void** state) {
  (void)state;
  Case c = new_case("[A]\n| C | F |");
  bool failed = true;
  for (long n = 1; failed; ++n) {
    alloc_fail_at(n);
    WaySmf* smf = NULL;
    const WayStatus st = way_backing_new(c.chart, c.t, &c.choice, NULL, &smf);
    WaySmf* const stem = st ? NULL : way_backing_stem(smf, WAY_PART_CLICK);
    failed = alloc_failed();
    alloc_fail_at(0);
    if (st) assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_int_equal(smf == NULL, st != WAY_OK);
    assert_int_equal(stem == NULL, failed);
    way_smf_free(stem);
    way_smf_free(smf);
    assert_in_range(n, 1, 200);
  }
  end_case(&c);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_form_in_metas),
      cmocka_unit_test(test_notes_are_whole_in_every_feel_and_metre),
      cmocka_unit_test(test_click_and_count_in),
      cmocka_unit_test(test_level),
      cmocka_unit_test(test_a_stem_is_the_part_alone),
      cmocka_unit_test(test_too_much_is_refused),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
