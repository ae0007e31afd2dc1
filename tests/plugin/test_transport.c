#include "../../plugin/transport.h"

#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "check.h"

#include <lv2/atom/forge.h>
#include <lv2/time/time.h>

#include <math.h>

#define RATE 48000.0
#define QUARTER WAY_TICKS_PER_QUARTER

/// Numbers for names: what a host's map does, without a host.
static LV2_URID map_uri(LV2_URID_Map_Handle handle, const char* uri) {
  static char names[128][96];
  static unsigned n;
  (void)handle;
  unsigned i = 0;
  while (i < n && strcmp(names[i], uri) != 0) ++i;
  if (i == n) strncpy(names[n++], uri, sizeof(names[0]) - 1);
  return i + 1;
}

static LV2_URID_Map map = {NULL, map_uri};
static WayUrids urids;

/// The numbers of a message; NAN for those that are left out.
typedef struct {
  double speed, frame, bar, bar_beat, beats_per_bar, beat_unit, bpm;
} Said;

static void put(LV2_Atom_Forge* f, const char* key, double value) {
  if (isnan(value)) return;
  lv2_atom_forge_key(f, map_uri(NULL, key));
  lv2_atom_forge_double(f, value);
}

static bool say(WayTransport* t, Said s, int64_t frame, const WaySong* song) {
  _Alignas(8) uint8_t buffer[512];
  LV2_Atom_Forge f;
  LV2_Atom_Forge_Frame object;
  lv2_atom_forge_init(&f, &map);
  lv2_atom_forge_set_buffer(&f, buffer, sizeof(buffer));
  lv2_atom_forge_object(&f, &object, 0, urids.time_Position);
  put(&f, LV2_TIME__speed, s.speed);
  put(&f, LV2_TIME__frame, s.frame);
  put(&f, LV2_TIME__bar, s.bar);
  put(&f, LV2_TIME__barBeat, s.bar_beat);
  put(&f, LV2_TIME__beatsPerBar, s.beats_per_bar);
  put(&f, LV2_TIME__beatUnit, s.beat_unit);
  put(&f, LV2_TIME__beatsPerMinute, s.bpm);
  lv2_atom_forge_pop(&f, &object);
  return way_transport_position(t, &urids, (const LV2_Atom_Object*)(void*)buffer, frame,
                                song);
}

/// A song over a chart.
typedef struct {
  WayChart* chart;
  WayTimeline* timeline;
  WaySong song;
} Tune;

static Tune tune_of(const char* text, int32_t start_bar) {
  Tune tune = {NULL, NULL, {NULL, start_bar}};
  assert_int_equal(way_chart_read(way_text(text), &tune.chart, NULL), WAY_OK);
  assert_int_equal(way_chart_unroll(tune.chart, &tune.timeline), WAY_OK);
  tune.song.timeline = tune.timeline;
  return tune;
}

static void tune_end(Tune* tune) {
  way_timeline_free(tune->timeline);
  way_chart_free(tune->chart);
}

#define FOUR "key: C major\ntempo: 90\n| C | F | G | Am |\n"

static void test_bar_and_beat_lie_on_the_form(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 3);
  WayTransport t;
  way_transport_init(&t, RATE);
  // Bar 5 of the song, counted from 0, is bar 3 of a form that begins in the third bar.
  assert_true(say(&t, (Said){1, NAN, 5, 1.5, 4, 4, 120}, 1000, &tune.song));
  assert_true(fabs(way_clock_exact(&t.clock, 1000) - (3 * 4 + 1.5) * QUARTER) < 1e-6);
  // 120 beats a minute: half a second a beat.
  assert_true(fabs(way_clock_exact(&t.clock, 25000) - (3 * 4 + 2.5) * QUARTER) < 1e-6);
  // The bar before the form begins.
  assert_true(say(&t, (Said){1, NAN, 1, 0, 4, 4, 120}, 30000, &tune.song));
  assert_true(fabs(way_clock_exact(&t.clock, 30000) + 4 * QUARTER) < 1e-6);
  tune_end(&tune);
}

static void test_bars_go_round_the_form_both_ways(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  for (int bar = -9; bar < 10; ++bar) {
    say(&t, (Said){0, NAN, bar, 0, 4, 4, 120}, 0, &tune.song);
    assert_int_equal(way_clock_tick(&t.clock, 0), bar * 4 * QUARTER);
  }
  tune_end(&tune);
}

static void test_repeats_do_not_move_the_clock(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  const double tempos[] = {120, 97.3, 61.803398875, 240.1};
  for (size_t i = 0; i < WAY_COUNT(tempos); ++i) {
    WayTransport t;
    way_transport_init(&t, RATE);
    say(&t, (Said){1, NAN, 0, 0, 4, 4, tempos[i]}, 0, &tune.song);
    const WayClock first = t.clock;
    for (int64_t frame = 1; frame < 48000 * 20; frame += 997) {
      const double beat = (double)frame / RATE * tempos[i] / 60;
      const double bar = floor(beat / 4);
      const Said exact = {1, NAN, bar, beat - 4 * bar, 4, 4, tempos[i]};
      assert_false(say(&t, exact, frame, &tune.song));
      // A host that counts 1920 to a beat.
      const double coarse = floor((beat - 4 * bar) * 1920) / 1920;
      const Said rough = {1, NAN, bar, coarse, 4, 4, tempos[i]};
      assert_false(say(&t, rough, frame, &tune.song));
    }
    assert_memory_equal(&first, &t.clock, sizeof(first));
  }
  tune_end(&tune);
}

static void test_an_hour_stays_within_a_frame(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, 44100);
  const double bpm = 133.7;
  say(&t, (Said){1, NAN, 0, 0, 4, 4, bpm}, 7, &tune.song);
  const int64_t hour = 7 + (int64_t)44100 * 3600;
  const double exact = bpm * 60 * QUARTER;
  assert_true(fabs(way_clock_exact(&t.clock, hour) - exact) < t.clock.ticks_per_frame);
  tune_end(&tune);
}

static void test_locate_and_stop_move_it(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  say(&t, (Said){1, NAN, 0, 0, 4, 4, 120}, 0, &tune.song);
  // Within a beat, which some hosts do not otherwise tell of.
  assert_true(say(&t, (Said){1, NAN, 0, 1.25, 4, 4, 120}, 24000, &tune.song));
  assert_int_equal(way_clock_tick(&t.clock, 24000), 5 * QUARTER / 4);
  assert_true(say(&t, (Said){0, NAN, 0, 1.25, 4, 4, 120}, 24001, &tune.song));
  assert_int_equal(way_clock_tick(&t.clock, 9999999), 5 * QUARTER / 4);
  // Backwards counts as standing still.
  say(&t, (Said){-2, NAN, 0, 3, 4, 4, 120}, 24002, &tune.song);
  assert_int_equal(way_clock_tick(&t.clock, 9999999), 3 * QUARTER);
  tune_end(&tune);
}

static void test_another_tempo_makes_no_jump(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  say(&t, (Said){1, NAN, 0, 0, 4, 4, 120}, 0, &tune.song);
  assert_true(say(&t, (Said){1, NAN, 0, 1, 4, 4, 60}, 24000, &tune.song));
  assert_true(fabs(way_clock_exact(&t.clock, 24000) - QUARTER) < 1e-6);
  assert_true(fabs(way_clock_exact(&t.clock, 72000) - 2 * QUARTER) < 1e-6);
  tune_end(&tune);
}

static void test_what_is_missing_comes_from_the_chart(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  // No bar and no tempo: two seconds in at the chart's 90 are three beats.
  say(&t, (Said){1, 96000, NAN, NAN, NAN, NAN, NAN}, 500, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 500) - 3 * QUARTER) < 1e-6);
  // Before the start.
  say(&t, (Said){1, -32000, NAN, NAN, NAN, NAN, NAN}, 600, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 600) + QUARTER) < 1e-6);
  // Nothing but a speed: it goes on from here.
  say(&t, (Said){0, NAN, NAN, NAN, NAN, NAN, NAN}, 600, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 700) + QUARTER) < 1e-6);
  say(&t, (Said){1, NAN, NAN, NAN, NAN, NAN, NAN}, 700, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 700 + 32000)) < 1e-6);
  // No speed: it stays as it was.
  say(&t, (Said){NAN, NAN, 1, 0, 4, 4, 120}, 40000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 40000 + 24000) - 5 * QUARTER) < 1e-6);
  say(&t, (Said){0, NAN, 1, 0, 4, 4, 120}, 70000, &tune.song);
  say(&t, (Said){NAN, NAN, 2, 0, 4, 4, 120}, 80000, &tune.song);
  assert_int_equal(way_clock_tick(&t.clock, 9999999), 8 * QUARTER);
  tune_end(&tune);
}

/// As the examples of LV2 have it: a property that is left out has not changed.
static void test_what_is_left_out_stays(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  say(&t, (Said){1, NAN, 0, 0, 3, 4, 120}, 0, &tune.song);
  const double a_beat = QUARTER * 4.0 / 3.0; // 3/4 over 4/4
  say(&t, (Said){0, NAN, NAN, NAN, NAN, NAN, NAN}, 24000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 30000) - a_beat) < 1e-6);
  assert_int_equal(way_transport_metre(&t).beats, 3);
  say(&t, (Said){1, NAN, NAN, NAN, NAN, NAN, NAN}, 30000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 54000) - 2 * a_beat) < 1e-6);
  say(&t, (Said){NAN, NAN, NAN, NAN, NAN, NAN, 60}, 54000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 102000) - 3 * a_beat) < 1e-6);
  say(&t, (Said){NAN, NAN, 2, 0, NAN, NAN, NAN}, 102000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 150000) - (8 * QUARTER + a_beat)) < 1e-6);
  // A host that knows no bars any more: the chart's 90.
  say(&t, (Said){1, 0, NAN, NAN, NAN, NAN, NAN}, 200000, &tune.song);
  assert_true(fabs(way_clock_exact(&t.clock, 232000) - QUARTER) < 1e-6);
  assert_int_equal(way_transport_metre(&t).beats, 0);
  tune_end(&tune);
}

static void test_a_bar_is_a_bar_in_any_metre(void** state) {
  (void)state;
  Tune tune = tune_of("key: C major\ntime: 12/8\n| C | F |\n", 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  // A host in 4/4: its second beat is the fourth eighth.
  say(&t, (Said){1, NAN, 1, 1, 4, 4, 120}, 0, &tune.song);
  assert_int_equal(way_clock_tick(&t.clock, 0), (6 + 1.5) * QUARTER);
  assert_int_equal(way_clock_tick(&t.clock, 72000), 12 * QUARTER);
  // A host in 12/8 counts eighths.
  say(&t, (Said){1, NAN, 1, 3, 12, 8, 360}, 0, &tune.song);
  assert_int_equal(way_clock_tick(&t.clock, 0), (6 + 1.5) * QUARTER);
  assert_int_equal(way_clock_tick(&t.clock, 72000), 12 * QUARTER);
  tune_end(&tune);
}

static void test_tempo_in_quarters_is_found_out(void** state) {
  (void)state;
  Tune tune = tune_of("key: C major\ntime: 6/8\n| C | F | G | Am |\n", 1);
  // Eighths at 240 a minute; one host says 240, the other 120 quarters.
  for (int quarters = 0; quarters < 2; ++quarters) {
    WayTransport t;
    way_transport_init(&t, RATE);
    const double bpm = quarters ? 120 : 240;
    for (int64_t frame = 0; frame < 480000; frame += 1024) {
      const double beat = (double)frame / 12000;
      const double bar = floor(beat / 6);
      const double coarse = floor((beat - 6 * bar) * 1920) / 1920;
      say(&t, (Said){1, NAN, bar, coarse, 6, 8, bpm}, frame, &tune.song);
      if (frame)
        assert_true(fabs(way_clock_exact(&t.clock, frame) - beat * QUARTER / 2) < 3);
    }
    assert_int_equal(t.quarters, quarters);
    assert_true(fabs(t.clock.ticks_per_frame - QUARTER / 24000.0) < 1e-9);
  }
  tune_end(&tune);
}

static void test_another_chart_keeps_the_place(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1), other = tune_of(FOUR, 2);
  WayTransport t;
  way_transport_init(&t, RATE);
  say(&t, (Said){1, NAN, 2, 1, 4, 4, 120}, 0, &tune.song);
  way_transport_refit(&t, 24000, &other.song);
  assert_int_equal(way_clock_tick(&t.clock, 24000), (4 + 2) * QUARTER);
  tune_end(&tune);
  tune_end(&other);
}

static void test_absurd_numbers_do_no_harm(void** state) {
  (void)state;
  Tune tune = tune_of(FOUR, 1);
  WayTransport t;
  way_transport_init(&t, RATE);
  const double odd[] = {-1e300, -1e14, -1, 0, 1e-300, 0.5, 1e14, 1e300, INFINITY, NAN};
  const size_t n = WAY_COUNT(odd);
  for (size_t i = 0; i < n * n * n; ++i) {
    const double a = odd[i % n], b = odd[i / n % n], c = odd[i / n / n];
    say(&t, (Said){a, b, c, a, b, c, a}, (int64_t)i, &tune.song);
    say(&t, (Said){1, b, a, c, b, a, c}, (int64_t)i, &tune.song);
    assert_true(isfinite(t.clock.tick) && t.clock.ticks_per_frame >= 0);
  }
  tune_end(&tune);
}

int main(void) {
  way_urids_init(&urids, &map);
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bar_and_beat_lie_on_the_form),
      cmocka_unit_test(test_bars_go_round_the_form_both_ways),
      cmocka_unit_test(test_repeats_do_not_move_the_clock),
      cmocka_unit_test(test_an_hour_stays_within_a_frame),
      cmocka_unit_test(test_locate_and_stop_move_it),
      cmocka_unit_test(test_another_tempo_makes_no_jump),
      cmocka_unit_test(test_what_is_missing_comes_from_the_chart),
      cmocka_unit_test(test_what_is_left_out_stays),
      cmocka_unit_test(test_a_bar_is_a_bar_in_any_metre),
      cmocka_unit_test(test_tempo_in_quarters_is_found_out),
      cmocka_unit_test(test_another_chart_keeps_the_place),
      cmocka_unit_test(test_absurd_numbers_do_no_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
