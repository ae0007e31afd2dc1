// What controls do to the notes of a small tune, as a player expects it.
#include "base/attributes.h"
#include "check.h"
#include "host.h"

#include <lv2/midi/midi.h>

#include <string.h>

#define BEAT 24000 // frames of a quarter note at 120
#define ROLE "urn:waymark:vocab#Role"
#define CHANGE "urn:waymark:vocab#Change"

static Host* h;

static int start(void** state) {
  (void)state;
  h = host_guide(NULL);
  return h ? 0 : -1;
}

static int stop(void** state) {
  (void)state;
  host_free(h);
  return 0;
}

/// Give a chart, if any, and roll from its top; what came before is forgotten.
/// @return The frame of the top.
static int64_t roll(const char* chart) {
  if (chart) host_chart(h, chart);
  host_run(h, 64);
  host_clear(host_events(h, "out"));
  host_clear(host_events(h, "marks"));
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  return h->now;
}

/// The nth MIDI message on the first output with a status; NULL if there are fewer.
static const HostEvent* sent(uint8_t status, unsigned n) {
  const HostEvents* const out = host_events(h, "out");
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  for (size_t i = 0; i < out->n; ++i)
    if (out->at[i].type == midi && out->at[i].body[0] == status && !n--)
      return &out->at[i];
  return NULL;
}

/// The newest mark of a type; NULL if there is none.
static const HostEvent* newest(const char* type) {
  const HostEvents* const marks = host_events(h, "marks");
  for (size_t i = marks->n; i-- > 0;)
    if (host_object_type(h, &marks->at[i]) == host_urid(h, type)) return &marks->at[i];
  return NULL;
}

static double told(const char* type, const char* property) {
  const HostEvent* const mark = newest(type);
  char uri[64] = "urn:waymark:vocab#";
  assert_non_null(mark);
  return host_number(h, mark, strcat(uri, property));
}

static void chord(int64_t frame, const char* port, uint8_t status, const char* keys) {
  for (; *keys; ++keys) host_midi(h, port, frame, status, (uint8_t)*keys, 80);
}

static void test_the_click_is_as_set(void** state) {
  (void)state;
  *host_control(h, "click") = 2; // bars
  *host_control(h, "click_channel") = 3;
  *host_control(h, "click_velocity") = 77;
  *host_control(h, "click_length") = 250;
  const int64_t top = roll("key: C major\n| C | G7 |");
  host_run_blocks(h, 8 * BEAT, 256);
  for (unsigned bar = 0; bar < 2; ++bar) {
    const HostEvent* const on = sent(0x92, bar);
    const HostEvent* const off = sent(0x82, bar);
    assert_true(on && off);
    assert_true(on->frame - (top + bar * 4 * BEAT) >= -4 && on->frame <= off->frame);
    assert_int_equal(on->body[2], 77);
    // Thirds and sevenths, the nearest: E or B of C, then F or B of G7.
    const int pc = on->body[1] % 12;
    assert_true(bar ? pc == 5 || pc == 11 : pc == 4 || pc == 11);
    assert_true(off->frame - on->frame >= 12000 && off->frame - on->frame <= 12012);
  }
}

/// LV2 (lv2:enabled): any value above 0 is on.
static void test_enabled_above_0_is_on(void** state) {
  (void)state;
  static const float values[] = {-1, 0, 0.25f, 1, 127};
  *host_control(h, "tag_channel") = 8;
  for (size_t i = 0; i < WAY_COUNT(values); ++i) {
    *host_control(h, "enabled") = values[i];
    const int64_t top = roll("key: C major\n| C |");
    host_midi(h, "melody", top, 0x90, 60, 80);
    host_midi(h, "melody", top + 9, 0x80, 60, 80);
    host_run(h, 64);
    const bool on = values[i] > 0;
    assert_int_equal(sent(0x97, 0) != NULL, on);
    assert_int_equal(sent(0x90, 0) != NULL, !on);
  }
}

/// The same for every switch (lv2:toggled).
static void test_switches_above_0_are_on(void** state) {
  (void)state;
  static const float values[] = {-1, 0, NAN, 0.25f, 1};
  *host_control(h, "tag_channel") = 8;
  for (size_t i = 0; i < WAY_COUNT(values); ++i) {
    *host_control(h, "strings") = *host_control(h, "marks_on_out") = values[i];
    const int64_t top = roll("key: C major\n| C |");
    host_midi(h, "melody", top, 0x90, 60, 80);
    host_midi(h, "melody", top + 9, 0x80, 60, 80);
    host_run(h, 4800);
    const bool on = values[i] > 0;
    assert_float_equal(*host_control(h, "tags_refused"), on, 0);
    assert_int_equal(sent(0x9F, 0) != NULL, on); // a mark
  }
}

static void test_keys_below_the_split_hold_the_chord(void** state) {
  (void)state;
  *host_control(h, "source") = 4; // held
  *host_control(h, "split_key") = 60;
  const int64_t top = roll(NULL);
  chord(top, "melody", 0x90, "\x30\x34\x37");    // C E G, the highest below 60
  host_midi(h, "melody", top + 9, 0x90, 61, 80); // C sharp
  host_run(h, 512);
  assert_float_equal(*host_control(h, "chord_root"), 0, 0);
  assert_float_equal(told(ROLE, "pitch"), 61, 0);
  assert_float_equal(told(ROLE, "role"), 2, 0);
  assert_non_null(sent(0x90, 3)); // chord keys pass, too
}

static void test_chords_come_on_their_channel(void** state) {
  (void)state;
  *host_control(h, "source") = 3; // channel
  *host_control(h, "chord_channel") = 5;
  const int64_t top = roll(NULL);
  chord(top, "melody", 0x94, "\x32\x35\x39"); // D F A
  host_midi(h, "melody", top + 9, 0x90, 53, 80);
  host_run(h, 512);
  assert_float_equal(*host_control(h, "chord_root"), 2, 0);
  assert_float_equal(told(ROLE, "interval"), 3, 0);
}

static void test_silence_ends_a_chord_if_asked(void** state) {
  (void)state;
  *host_control(h, "chord_stays") = 1;
  const int64_t top = roll(NULL);
  chord(top, "chords", 0x90, "\x30\x34\x37");
  chord(top + BEAT, "chords", 0x80, "\x30\x34\x37");
  host_run_blocks(h, 2 * BEAT, 256);
  assert_float_equal(*host_control(h, "chord_root"), 0, 0); // latched
  host_run_blocks(h, 2 * BEAT, 256);
  assert_float_equal(*host_control(h, "chord_root"), -1, 0);
  assert_float_equal(told(CHANGE, "tones"), 0, 0);
  assert_true(newest(CHANGE)->frame - (top + 3 * BEAT) <= 48);
}

static void test_a_strum_is_read_as_one(void** state) {
  (void)state;
  static const uint8_t keys[] = {48, 52, 55, 58}; // C7
  *host_control(h, "strum") = 40;
  const int64_t top = roll(NULL);
  for (unsigned i = 0; i < 4; ++i) // a key in 20 ms
    host_midi(h, "chords", top + 960 * i, 0x90, keys[i], 80);
  host_run_blocks(h, BEAT, 64);
  unsigned changes = 0;
  const HostEvents* const marks = host_events(h, "marks");
  for (size_t i = 0; i < marks->n; ++i)
    changes += host_object_type(h, &marks->at[i]) == host_urid(h, CHANGE);
  assert_int_equal(changes, 1);
  assert_float_equal(told(CHANGE, "tones"), (1 | 1 << 4 | 1 << 7 | 1 << 10), 0);
}

static void test_an_early_note_has_the_next_chord(void** state) {
  (void)state;
  *host_control(h, "early") = 0.25;
  const int64_t top = roll("key: C major\n| C | F |");
  host_midi(h, "melody", top + 4 * BEAT - BEAT / 4 - 100, 0x90, 65, 80);
  host_run_blocks(h, 4 * BEAT - BEAT / 4 - 50, 256);
  assert_float_equal(told(ROLE, "interval"), 5, 0); // F over C
  host_midi(h, "melody", top + 4 * BEAT - BEAT / 4 + 100, 0x90, 65, 80);
  host_run_blocks(h, BEAT, 256);
  assert_float_equal(told(ROLE, "interval"), 0, 0); // F over F
  assert_float_equal(told(ROLE, "early"), 1, 0);
}

static void test_a_bend_reaches_its_range(void** state) {
  (void)state;
  *host_control(h, "bend_range") = 12;
  const int64_t top = roll("key: C major\n| C |");
  host_midi(h, "melody", top, 0x90, 60, 80);
  host_midi(h, "melody", top + 100, 0xE0, 0, 96); // half of an octave up
  host_run_blocks(h, BEAT, 64);
  assert_float_equal(told(ROLE, "pitch"), 66, 0);
  assert_float_equal(told(ROLE, "again"), 1, 0);
  static const uint8_t range[][2] = {{101, 0}, {100, 0}, {6, 2}}; // two semitones
  for (unsigned i = 0; i < 3; ++i)
    host_midi(h, "melody", h->now, 0xB0, range[i][0], range[i][1]);
  host_run_blocks(h, BEAT, 64);
  assert_float_equal(told(ROLE, "pitch"), 61, 0);
}

/// Six channels, a string each: every note is bent by its own wheel, and keeps its
/// channel though tags are asked for.
static void test_strings_bend_apart(void** state) {
  (void)state;
  *host_control(h, "strings") = 1;
  *host_control(h, "tag_channel") = 8;
  const int64_t top = roll("key: C major\n| C |");
  for (uint8_t c = 0; c < 6; ++c) {
    host_midi(h, "melody", top + 10 * c, 0xE0 | c, 0, c % 2 ? 96 : 64); // a semitone
    host_midi(h, "melody", top + 10 * c + 1, 0x90 | c, 60, 80);
  }
  host_run_blocks(h, BEAT, 64);
  const HostEvents* const marks = host_events(h, "marks");
  unsigned n = 0;
  for (size_t i = 0; i < marks->n; ++i) {
    if (host_object_type(h, &marks->at[i]) != host_urid(h, ROLE)) continue;
    const double pitch = host_number(h, &marks->at[i], "urn:waymark:vocab#pitch");
    assert_float_equal(pitch, (n % 2 ? 61 : 60), 0);
    ++n;
  }
  assert_int_equal(n, 6);
  for (uint8_t c = 0; c < 6; ++c) assert_non_null(sent(0x90 | c, 0));
  assert_float_equal(*host_control(h, "tags_refused"), 1, 0);
  *host_control(h, "strings") = 0;
  host_run_blocks(h, BEAT, 64);
  assert_float_equal(*host_control(h, "tags_refused"), 0, 0);
}

/// A zone of MPE: the master bends all its members.
static void test_a_zone_bends_with_its_master(void** state) {
  (void)state;
  const int64_t top = roll("key: C major\n| C |");
  static const uint8_t zone[][2] = {{101, 0}, {100, 6}, {6, 5}};
  for (unsigned i = 0; i < 3; ++i)
    host_midi(h, "melody", top, 0xB0, zone[i][0], zone[i][1]);
  host_midi(h, "melody", top + 1, 0xE0, 0, 96);  // the master: a semitone of two
  host_midi(h, "melody", top + 2, 0xE3, 43, 65); // a member: a semitone of 48
  host_midi(h, "melody", top + 3, 0x93, 60, 80);
  host_run_blocks(h, BEAT, 64);
  assert_float_equal(told(ROLE, "pitch"), 62, 0);
  assert_float_equal(*host_control(h, "tags_refused"), 0, 0); // none are asked for
  *host_control(h, "tag_channel") = 2;
  host_run_blocks(h, BEAT, 64);
  assert_float_equal(*host_control(h, "tags_refused"), 1, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_the_click_is_as_set, start, stop),
      cmocka_unit_test_setup_teardown(test_enabled_above_0_is_on, start, stop),
      cmocka_unit_test_setup_teardown(test_switches_above_0_are_on, start, stop),
      cmocka_unit_test_setup_teardown(test_keys_below_the_split_hold_the_chord, start,
                                      stop),
      cmocka_unit_test_setup_teardown(test_chords_come_on_their_channel, start, stop),
      cmocka_unit_test_setup_teardown(test_silence_ends_a_chord_if_asked, start, stop),
      cmocka_unit_test_setup_teardown(test_a_strum_is_read_as_one, start, stop),
      cmocka_unit_test_setup_teardown(test_an_early_note_has_the_next_chord, start,
                                      stop),
      cmocka_unit_test_setup_teardown(test_a_bend_reaches_its_range, start, stop),
      cmocka_unit_test_setup_teardown(test_strings_bend_apart, start, stop),
      cmocka_unit_test_setup_teardown(test_a_zone_bends_with_its_master, start, stop),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
