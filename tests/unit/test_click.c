#include "check.h"
#include "live/click.h"
#include "rng.h"
#include "theory/chord_read.h"
#include "theory/guide_line.h"

enum { BEAT = WAY_TICKS_PER_QUARTER, SPANS_MAX = 8, BARS_MAX = 6 };

typedef struct {
  WayTimeline t;
  WaySpan spans[SPANS_MAX];
  WayBar bars[BARS_MAX];
  WaySection section;
} Form;

/// Bars of 3/4, 4/4 and 6/8 with changes on any beat.
static void form_make(Form* f, uint32_t* rng) {
  static const WayMetre metres[] = {{3, 4}, {4, 4}, {6, 8}};
  memset(f, 0, sizeof(*f));
  WayTick end = 0;
  uint32_t n_spans = 0;
  const uint32_t n_bars = 1 + rng_below(rng, BARS_MAX);
  for (uint32_t i = 0; i < n_bars; ++i) {
    const WayMetre metre = metres[rng_below(rng, 3)];
    f->bars[i] = (WayBar){end, metre, 0};
    if (n_spans < SPANS_MAX && (!i || rng_below(rng, 2))) {
      const WayTick late = i ? rng_below(rng, metre.beats) * way_metre_beat(metre) : 0;
      f->spans[n_spans] = (WaySpan){end + late, n_spans, {0, 0}, 60};
      ++n_spans;
    }
    end += way_metre_bar(metre);
  }
  f->t = (WayTimeline){.length = end,
                       .n_spans = n_spans,
                       .n_bars = n_bars,
                       .n_sections = 1,
                       .spans = f->spans,
                       .bars = f->bars,
                       .sections = &f->section};
}

/// Whether a tick is a change: the first chord is one.
static bool is_change(const WayTimeline* t, WayTick tick) {
  if (tick <= 0) return !tick;
  return way_timeline_at(t, tick).span != way_timeline_at(t, tick - 1).span;
}

/// Whether a click is due at a tick, by its definition.
static bool clicks(const WayTimeline* t, WayClickAt at, unsigned lead, WayTick tick) {
  const WayPlace p = way_timeline_at(t, tick);
  const WayTick beat = way_metre_beat(t->bars[p.bar].metre);
  if (tick >= 0 && at == WAY_CLICK_AT_BEATS && !(p.in_bar % beat)) return true;
  if (tick >= 0 && at == WAY_CLICK_AT_BARS && !p.in_bar) return true;
  if (at == WAY_CLICK_AT_CHANGES && is_change(t, tick)) return true;
  for (WayTick to = tick + BEAT / 2; to <= tick + (WayTick)lead * BEAT;
       to += BEAT / 2) {
    if (!is_change(t, to)) continue;
    const WayPlace before = way_timeline_at(t, to ? to - 1 : 0);
    const WayTick step = way_metre_beat(t->bars[before.bar].metre);
    return !((to - tick) % step) && (to - tick) / step <= lead;
  }
  return false;
}

static void test_clicks_come_where_they_are_defined(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 60; ++seed) {
    uint32_t rng = seed * 2654435761u;
    Form f;
    form_make(&f, &rng);
    const WayClickAt at = (WayClickAt)(1 + rng_below(&rng, 3));
    const unsigned lead = rng_below(&rng, 4);
    // Everything lies on eighth notes.
    for (WayTick from = -4 * BEAT; from < f.t.length + 2 * BEAT; from += BEAT / 2) {
      WayTick want = from;
      while (want < from + 40 * BEAT && !clicks(&f.t, at, lead, want)) want += BEAT / 2;
      const WayTick got = way_click_next(&f.t, at, lead, from);
      if (want >= from + 40 * BEAT ? got < want : got != want)
        fail_msg("seed %u: from %ld at %ld, not at %ld", seed, (long)from, (long)got,
                 (long)want);
    }
  }
}

static void test_the_lead_has_the_tone_to_come(void** state) {
  (void)state;
  static const WaySpan spans[] = {{0, 0, {0, 0}, 64}, {4 * BEAT, 1, {0, 0}, 65}};
  static const WayBar bars[] = {{0, {4, 4}, 0}, {4 * BEAT, {4, 4}, 0}};
  static const WaySection section;
  const WayTimeline t = {.length = 8 * BEAT,
                         .n_spans = 2,
                         .n_bars = 2,
                         .n_sections = 1,
                         .spans = spans,
                         .bars = bars,
                         .sections = &section};
  assert_int_equal(way_click_span(&t, 0, 3 * BEAT), 0);
  assert_int_equal(way_click_span(&t, 1, 2 * BEAT), 0);
  assert_int_equal(way_click_span(&t, 1, 3 * BEAT), 1);
  assert_int_equal(way_click_span(&t, 1, 4 * BEAT), 1);
  assert_int_equal(way_click_span(&t, 1, 7 * BEAT), 0);
  assert_int_equal(way_click_span(&t, 1, -BEAT), 0);
}

// Thirds and sevenths are the guide tones: common practice, no source.
static void test_tones_of_heard_chords(void** state) {
  (void)state;
  static const struct {
    const char* symbol;
    uint8_t from, tone;
  } cases[] = {{"C", 67, 64},  {"Dm7", 64, 65},   {"Dm7", 61, 60}, {"G7", 64, 65},
               {"G7", 60, 59}, {"Gsus4", 60, 60}, {"C6", 70, 69},  {"C5", 67, 72},
               {"B7", 2, 3},   {"C7", 127, 124}};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayChord c;
    assert_int_equal(way_chord_read(way_text(cases[i].symbol), &c, NULL), WAY_OK);
    assert_int_equal(way_click_tone(&c, cases[i].from), cases[i].tone);
  }
  const WayChord none = way_chord_none();
  assert_int_equal(way_click_tone(&none, 60), WAY_LINE_SILENT);
}

/// A form, followed at a thousand frames a second while the transport stands.
static WayFollow followed(Form* f) {
  uint32_t rng = 1;
  form_make(f, &rng);
  WayFollow follow;
  way_follow_init(&follow, 1000);
  way_follow_chart(&follow, &f->t, 0, 0);
  return follow;
}

static void test_the_next_click_comes_at_its_frame(void** state) {
  (void)state;
  Form f;
  WayFollow follow = followed(&f);
  WaySettings s = way_settings_default();
  s.click = WAY_CLICK_AT_BEATS;
  WayClick c;
  way_click_init(&c);
  way_click_plan(&c, &follow, &s, false, 0);
  assert_true(c.due == INT64_MAX && c.ends == INT64_MAX); // the transport stands
  way_follow_line(&follow, &(WayClock){100, 0, 2});       // a frame is two ticks
  way_click_plan(&c, &follow, &s, false, 100);
  assert_true(c.due == 100 && c.tick == 0);
  c.last = c.tick;
  way_click_plan(&c, &follow, &s, false, 100);
  assert_int_equal(c.tick, way_metre_beat(f.bars[0].metre));
  assert_int_equal(c.due, 100 + c.tick / 2);
  way_click_plan(&c, &follow, &s, false, c.due + 5); // it stays due
  assert_int_equal(c.tick, way_metre_beat(f.bars[0].metre));
  assert_int_equal(c.due, 105 + c.tick / 2);
  way_click_jump(&c);
  way_click_plan(&c, &follow, &s, false, 100);
  assert_true(c.due == 100 && c.tick == 0);
  s.enabled = false;
  way_click_plan(&c, &follow, &s, false, 100);
  assert_true(c.due == INT64_MAX);
}

static void test_nothing_leads_to_the_chart_while_chords_are_heard(void** state) {
  (void)state;
  Form f;
  WayFollow follow = followed(&f);
  WaySettings s = way_settings_default();
  s.click = WAY_CLICK_AT_CHANGES;
  s.click_lead = 1;
  way_follow_line(&follow, &(WayClock){0, -2.0 * BEAT, 1});
  WayClick c;
  way_click_init(&c);
  way_click_plan(&c, &follow, &s, false, 0);
  assert_int_equal(c.tick, -way_metre_beat(f.bars[0].metre));
  way_click_plan(&c, &follow, &s, true, 0);
  assert_int_equal(c.tick, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_clicks_come_where_they_are_defined),
      cmocka_unit_test(test_the_lead_has_the_tone_to_come),
      cmocka_unit_test(test_tones_of_heard_chords),
      cmocka_unit_test(test_the_next_click_comes_at_its_frame),
      cmocka_unit_test(test_nothing_leads_to_the_chart_while_chords_are_heard),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
