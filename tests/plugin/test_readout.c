// What a plain host screen shows while the transport rolls.
#include "base/attributes.h"
#include "check.h"
#include "host.h"
#include "rng.h"

#define RATE 48000.0

/// The chords of the chart below by quarter note, and where each change is.
static const struct {
  int beat, root, kind; // kind: as in core/theory/chord_kind.h
} changes[] = {{0, 5, 3}, {4, 2, 4}, {6, 7, 2}, {8, 0, 0}, {11, 9, 5}};
#define N_CHANGES (sizeof(changes) / sizeof(changes[0]))
#define CHART "key: C major\ntempo: 90\n| Fmaj7 | Dm7 G7 | C / / Am7b5 | % |\n"
#define FORM 16

/// Index of the chord in force at a beat of the song.
static size_t chord_at(double beat) {
  const double within = fmod(beat, FORM);
  size_t i = N_CHANGES - 1;
  while (changes[i].beat > within) --i;
  // The last bar repeats the one before: C again at 12, A again at 15.
  if (within >= 15) return 4;
  if (within >= 12) return 3;
  return i;
}

/// Beats from `beat` to the next change.
static double until_change(double beat) {
  static const int places[] = {4, 6, 8, 11, 12, 15, 16};
  const double within = fmod(beat, FORM);
  size_t i = 0;
  while (places[i] <= within) ++i;
  return places[i] - within;
}

static void check_control(Host* h, const char* symbol, double expected, double slack,
                          double beat) {
  const double shown = (double)*host_control(h, symbol);
  if (!(fabs(shown - expected) <= slack))
    fail_msg("%s at beat %f: %f, not %f", symbol, beat, shown, expected);
}

static void test_harmony_and_place_follow_the_transport(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 10; ++seed) {
    uint32_t rng = seed;
    const double bpm = 50 + rng_below(&rng, 200) + 0.125;
    Host* const h = host_guide(NULL);
    host_chart(h, CHART);
    const HostPosition p = host_position_at(0, bpm);
    const int64_t start = h->now;
    host_position(h, start, &p);
    while (h->now < 48000 * 30) {
      host_run(h, 1 + rng_below(&rng, rng_below(&rng, 2) ? 64 : 3000));
      // Shown for the last frame of the block; a frame and a tick are left for
      // rounding.
      const double beat = (double)(h->now - 1 - start) / RATE * bpm / 60;
      const double frame = bpm / 60 / RATE;
      if (fabs(beat - nearbyint(beat)) < 2 * frame + 1.0 / 3840) continue;
      const size_t now = chord_at(beat), next = chord_at(beat + until_change(beat));
      check_control(h, "chord_root", changes[now].root, 0, beat);
      check_control(h, "chord_kind", changes[now].kind, 0, beat);
      check_control(h, "next_root", changes[next].root, 0, beat);
      check_control(h, "next_kind", changes[next].kind, 0, beat);
      check_control(h, "chorus", floor(beat / FORM) + 1, 0, beat);
      check_control(h, "bar", fmod(floor(beat / 4), 4) + 1, 0, beat);
      check_control(h, "beat", fmod(floor(beat), 4) + 1, 0, beat);
      check_control(h, "beats_to_change", until_change(beat), 1024 * frame, beat);
    }
    host_free(h);
  }
}

/// Eleven bars before the form: three choruses, were there any.
static void test_before_the_form_the_first_chord_comes_next(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  *host_control(h, "start_bar") = 12;
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  host_run(h, 64);
  check_control(h, "chord_root", -1, 0, 0);
  check_control(h, "chorus", 0, 0, 0);
  check_control(h, "next_root", changes[0].root, 0, 0);
  check_control(h, "beats_to_change", 44, 0.01, 0);
  host_run_blocks(h, 44 * 24000, 1024);
  check_control(h, "chord_root", changes[0].root, 0, 44);
  check_control(h, "chorus", 1, 0, 44);
  host_free(h);
}

static void test_the_newest_note(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "key: C major\n| C |");
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  host_run(h, 64);
  assert_true(*host_control(h, "role") == -1 && *host_control(h, "interval") == -1);
  static const struct {
    uint8_t pitch;
    float role;
  } notes[] = {{64, 0}, {62, 1}, {61, 2}, {67, 0}, {70, 2}};
  for (size_t i = 0; i < WAY_COUNT(notes); ++i) {
    host_midi(h, "melody", h->now + 5, 0x90, notes[i].pitch, 90);
    host_midi(h, "melody", h->now + 50, 0x80, notes[i].pitch, 0);
    host_run(h, 64);
    assert_float_equal(*host_control(h, "role"), notes[i].role, 0);
    assert_float_equal(*host_control(h, "interval"), notes[i].pitch - 60, 0);
    // The first of them was the landing; the others are none.
    assert_float_equal(*host_control(h, "landing"), 1, 0);
  }
  lilv_instance_deactivate(h->instance);
  lilv_instance_activate(h->instance);
  host_run(h, 64);
  assert_float_equal(*host_control(h, "role"), -1, 0);
  host_free(h);
}

static void chord(Host* h, const char* port, uint8_t status, uint8_t root) {
  static const uint8_t steps[] = {0, 4, 7};
  for (size_t i = 0; i < WAY_COUNT(steps); ++i)
    host_midi(h, port, h->now + 3, status, (uint8_t)(root + steps[i]), 80);
  host_run(h, 64);
}

static void test_heard_chords_are_shown(void** state) {
  (void)state;
  static const struct {
    const char* port;
    float source;
  } ways[] = {{"chords", 0}, {"chords", 2}, {"melody", 3}, {"melody", 4}};
  for (size_t i = 0; i < WAY_COUNT(ways); ++i) {
    Host* const h = host_guide(NULL);
    *host_control(h, "source") = ways[i].source;
    host_run(h, 64);
    assert_float_equal(*host_control(h, "chord_root"), -1, 0);
    chord(h, ways[i].port, 0x9F, 36);
    assert_float_equal(*host_control(h, "chord_root"), 0, 0);
    chord(h, ways[i].port, 0x8F, 36);
    chord(h, ways[i].port, 0x9F, 38);
    assert_float_equal(*host_control(h, "chord_root"), 2, 0);
    host_free(h);
  }
}

/// In bypass nothing is marked, but the chord is shown whichever way it comes.
static void test_heard_chords_are_shown_in_bypass(void** state) {
  (void)state;
  static const struct {
    const char* port;
    float source;
  } ways[] = {{"chords", 2}, {"melody", 4}};
  for (size_t i = 0; i < WAY_COUNT(ways); ++i) {
    Host* const h = host_guide(NULL);
    *host_control(h, "enabled") = 0;
    *host_control(h, "source") = ways[i].source;
    *host_control(h, "split_key") = 60;
    host_run(h, 1024);
    static const uint8_t keys[] = {50, 53, 57}; // D F A
    for (size_t k = 0; k < WAY_COUNT(keys); ++k)
      host_midi(h, ways[i].port, h->now + 10, 0x90, keys[k], 80);
    host_run(h, 64);
    host_run(h, 64);
    assert_float_equal(*host_control(h, "chord_root"), 2, 0);
    host_free(h);
  }
}

static void test_a_port_connected_late_shows_at_once(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "| Eb |");
  host_run_blocks(h, 640, 64);
  float root = 99;
  lilv_instance_connect_port(h->instance, host_port(h, "chord_root"), &root);
  host_run(h, 64);
  assert_float_equal(root, 3, 0);
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_harmony_and_place_follow_the_transport),
      cmocka_unit_test(test_before_the_form_the_first_chord_comes_next),
      cmocka_unit_test(test_the_newest_note),
      cmocka_unit_test(test_heard_chords_are_shown),
      cmocka_unit_test(test_heard_chords_are_shown_in_bypass),
      cmocka_unit_test(test_a_port_connected_late_shows_at_once),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
