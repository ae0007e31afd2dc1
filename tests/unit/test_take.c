#include "alloc.h"
#include "check.h"
#include "rng.h"
#include "take/take.h"

#include <stdlib.h>

/// One event for make(): tick, then up to three bytes.
typedef struct {
  uint64_t tick;
  uint8_t bytes[3];
} Event;

static void add(WaySmf* smf, uint32_t track, const Event* events, size_t n) {
  while (smf->n_tracks <= track) assert_non_null(way_smf_add_track(smf));
  for (size_t i = 0; i < n; ++i) {
    const uint8_t status = events[i].bytes[0] & 0xF0;
    assert_int_equal(way_smf_add(smf, track, events[i].tick, events[i].bytes,
                                 status == 0xC0 || status == 0xD0 ? 2 : 3),
                     WAY_OK);
  }
}

static const WayTakeChoice any = {-1, NULL, 0};

static WayTake* take_of(const WaySmf* smf, WayTakeChoice choice) {
  WayTake* take = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_take_new(smf, &choice, &take, &e)) fail_msg("%s", e.message);
  return take;
}

/// The take of one track of events at 480 ticks a quarter note.
static WayTake* take_from(const Event* events, size_t n) {
  WaySmf* const smf = way_smf_new(0, 480);
  add(smf, 0, events, n);
  WayTake* const take = take_of(smf, any);
  way_smf_free(smf);
  return take;
}
#define TAKE(...)                                                                      \
  take_from((const Event[]){__VA_ARGS__}, WAY_COUNT(((const Event[]){__VA_ARGS__})))

static void check_note(const WayNote* n, WayTick start, WayTick length, int pitch) {
  assert_int_equal(n->start, start * 8); // 3840 / 480
  assert_int_equal(n->length, length * 8);
  assert_int_equal(n->pitch, pitch);
}

static void test_notes_in_order(void** state) {
  (void)state;
  WayTake* const t =
      TAKE({0, {0x93, 64, 90}}, {0, {0x93, 60, 80}}, {480, {0x83, 64, 0}},
           {960, {0x93, 60, 0}}); // velocity 0 ends a note (MIDI 1.0)
  assert_int_equal(t->n, 2);
  check_note(&t->notes[0], 0, 960, 60);
  check_note(&t->notes[1], 0, 480, 64);
  assert_int_equal(t->notes[1].velocity, 90);
  assert_int_equal(t->notes[1].channel, 3);
  assert_int_equal(t->orphans + t->unended, 0);
  way_take_free(t);
}

static void test_overlapping_notes_end_in_order(void** state) {
  (void)state;
  WayTake* const t =
      TAKE({0, {0x90, 60, 1}}, {100, {0x90, 60, 2}}, {200, {0x90, 60, 3}},
           {300, {0x80, 60, 0}}, {400, {0x80, 60, 0}}, {500, {0x80, 60, 0}},
           {600, {0x80, 60, 0}});
  assert_int_equal(t->n, 3);
  check_note(&t->notes[0], 0, 300, 60);
  check_note(&t->notes[1], 100, 300, 60);
  check_note(&t->notes[2], 200, 300, 60);
  assert_int_equal(t->orphans, 1);
  way_take_free(t);
}

static void test_channels_do_not_mix(void** state) {
  (void)state;
  WayTake* const t = TAKE({0, {0x90, 60, 1}}, {0, {0x91, 60, 1}}, {100, {0x81, 60, 0}},
                          {200, {0x80, 60, 0}});
  assert_int_equal(t->n, 2);
  assert_int_equal(t->notes[0].length, 1600);
  assert_int_equal(t->notes[1].length, 800);
  way_take_free(t);
}

static void test_notes_never_ended(void** state) {
  (void)state;
  WayTake* const t = TAKE({0, {0x90, 60, 1}}, {480, {0x90, 62, 1}},
                          {960, {0x80, 62, 0}}, {960, {0x80, 61, 0}});
  assert_int_equal(t->unended, 1);
  assert_int_equal(t->orphans, 1);
  check_note(&t->notes[0], 0, 960, 60); // to the end of the track
  way_take_free(t);
}

static void test_all_notes_off(void** state) {
  (void)state;
  WayTake* const t = TAKE({0, {0x90, 60, 1}}, {0, {0x90, 64, 1}}, {0, {0x91, 67, 1}},
                          {240, {0xB0, 123, 0}}, {480, {0xB1, 120, 0}});
  check_note(&t->notes[0], 0, 240, 60);
  check_note(&t->notes[1], 0, 240, 64);
  check_note(&t->notes[2], 0, 480, 67);
  assert_int_equal(t->unended, 0);
  way_take_free(t);
}

// Bend of two semitones either way unless a file says otherwise; registered parameter 0
// is its range: MIDI 1.0.
static void test_bends_sound(void** state) {
  (void)state;
  WayTake* const t =
      TAKE({0, {0xE0, 0x7F, 0x7F}}, {0, {0x90, 60, 1}}, {480, {0x80, 60, 0}},
           {480, {0xE0, 0, 0}}, {480, {0x90, 60, 1}}, {960, {0x80, 60, 0}});
  check_note(&t->notes[0], 0, 480, 62);
  check_note(&t->notes[1], 480, 480, 58);
  assert_int_equal(t->notes[0].key, 60);
  way_take_free(t);
}

static void test_the_bend_held_longest_counts(void** state) {
  (void)state;
  WayTake* const up = TAKE({0, {0x90, 60, 1}}, {100, {0xE0, 0, 0x60}},
                           {200, {0xE0, 0x7F, 0x7F}}, {480, {0x80, 60, 0}});
  check_note(&up->notes[0], 0, 480, 62);
  way_take_free(up);
  WayTake* const late =
      TAKE({0, {0x90, 60, 1}}, {400, {0xE0, 0x7F, 0x7F}}, {480, {0x80, 60, 0}});
  check_note(&late->notes[0], 0, 480, 60);
  way_take_free(late);
  WayTake* const vibrato = TAKE({0, {0x90, 60, 1}}, {100, {0xE0, 0, 0x48}},
                                {200, {0xE0, 0, 0x38}}, {480, {0x80, 60, 0}});
  check_note(&vibrato->notes[0], 0, 480, 60);
  way_take_free(vibrato);
  WayTake* const after =
      TAKE({0, {0x90, 60, 1}}, {480, {0x80, 60, 0}}, {480, {0xE0, 0x7F, 0x7F}},
           {480, {0x91, 60, 1}}, {480, {0x81, 60, 1}});
  check_note(&after->notes[0], 0, 480, 60);
  check_note(&after->notes[1], 480, 0, 60); // no length, and another channel
  way_take_free(after);
}

static void test_range_of_bends(void** state) {
  (void)state;
  WayTake* const t =
      TAKE({0, {0xB0, 101, 0}}, {0, {0xB0, 100, 0}}, {0, {0xB0, 6, 12}},
           {0, {0xE0, 0, 0x60}}, {0, {0x90, 60, 1}}, {480, {0x80, 60, 0}},
           {480, {0xB0, 99, 1}}, {480, {0xB0, 6, 48}}, // another parameter's value
           {480, {0x90, 60, 1}}, {960, {0xB0, 121, 0}}, {960, {0x80, 60, 0}},
           {960, {0x90, 60, 1}});
  check_note(&t->notes[0], 0, 480, 66);
  check_note(&t->notes[1], 480, 480, 66);
  check_note(&t->notes[2], 960, 0, 60); // controllers reset
  way_take_free(t);
}

// RP-018: for registered parameter 0 an increment is a cent.
static void test_increments_of_the_range(void** state) {
  (void)state;
  WayTake* const t =
      TAKE({0, {0xB0, 101, 0}}, {0, {0xB0, 100, 0}}, {0, {0xB0, 6, 1}},
           {0, {0xB0, 38, 50}}, {0, {0xE0, 127, 127}}, {0, {0x90, 60, 1}},
           {480, {0x80, 60, 0}}, {480, {0xB0, 96, 0}}, {480, {0xB0, 96, 9}},
           {480, {0x90, 60, 1}}, {960, {0x80, 60, 0}}, {960, {0xB0, 97, 9}},
           {960, {0xB0, 97, 0}}, {960, {0x90, 60, 1}});
  check_note(&t->notes[0], 0, 480, 61); // 150 cents, less a little
  check_note(&t->notes[1], 480, 480, 62);
  check_note(&t->notes[2], 960, 0, 61);
  way_take_free(t);
}

// RP-015: Reset All Controllers leaves no parameter selected.
static void test_a_reset_selects_no_parameter(void** state) {
  (void)state;
  WayTake* const t = TAKE({0, {0xB0, 101, 0}}, {0, {0xB0, 100, 0}}, {0, {0xB0, 6, 4}},
                          {0, {0xB0, 121, 0}}, {0, {0xB0, 6, 24}}, {0, {0xE0, 0, 0x60}},
                          {0, {0x90, 60, 1}}, {480, {0x80, 60, 0}});
  check_note(&t->notes[0], 0, 480, 62);
  way_take_free(t);
}

// MIDI Polyphonic Expression 1.0 (RP-053): registered parameter 6 on channel 1 makes a
// zone of so many member channels; their range is 48 semitones, channel 1's is 2, and
// both add up; a range sent on one member holds for all.
#define ZONE(n) ZONE_AT(0, n)
#define ZONE_AT(tick, n)                                                               \
  {(tick), {0xB0, 101, 0}}, {(tick), {0xB0, 100, 6}}, {                                \
    (tick), { 0xB0, 6, n }                                                             \
  }
static void test_zones_of_channels(void** state) {
  (void)state;
  WayTake* const t =
      TAKE(ZONE(6), {0, {0xE1, 0, 0x44}}, {0, {0xE0, 0, 0x60}}, {0, {0x91, 60, 1}},
           {0, {0x92, 70, 1}}, {0, {0x97, 80, 1}}, {480, {0x81, 60, 0}},
           {480, {0x82, 70, 0}}, {480, {0x87, 80, 0}});
  check_note(&t->notes[0], 0, 480, 64); // 3 of its own and 1 of the zone
  check_note(&t->notes[1], 0, 480, 71);
  check_note(&t->notes[2], 0, 480, 80); // channel 8 is outside
  way_take_free(t);
  WayTake* const narrow =
      TAKE(ZONE(6), {0, {0xB2, 101, 0}}, {0, {0xB2, 100, 0}}, {0, {0xB2, 6, 12}},
           {0, {0xE1, 0, 0x60}}, {0, {0x91, 60, 1}}, {480, {0x81, 60, 0}},
           ZONE_AT(480, 0), {480, {0x91, 60, 1}}, {960, {0x81, 60, 0}});
  check_note(&narrow->notes[0], 0, 480, 66);
  check_note(&narrow->notes[1], 480, 480, 61); // no zone any more: 2 semitones
  way_take_free(narrow);
}

static void test_a_zone_bends_a_channel_reviewed_alone(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(0, 480);
  const Event events[] = {
      ZONE(6), {0, {0xE0, 0, 0x60}}, {0, {0x91, 60, 1}}, {480, {0x81, 60, 0}}};
  add(smf, 0, events, WAY_COUNT(events));
  WayTake* const t = take_of(smf, (WayTakeChoice){-1, NULL, 2});
  check_note(&t->notes[0], 0, 480, 61);
  way_take_free(t);
  way_smf_free(smf);
}

static const Event note[] = {{0, {0x90, 60, 1}}, {480, {0x80, 60, 0}}};
static const Event drum[] = {{0, {0x99, 36, 1}}, {480, {0x89, 36, 0}}};

static void test_the_melody_is_found(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  add(smf, 1, drum, 2);
  add(smf, 2, note, 2);
  add(smf, 3, note, 2);
  add(smf, 4, note, 2);
  assert_int_equal(way_smf_add_text(smf, 2, 0, 3, "Guide Chords"), WAY_OK);
  assert_int_equal(way_smf_add_text(smf, 4, 0, 3, " Slack Tide "), WAY_OK);
  WayTake* t = take_of(smf, any);
  assert_int_equal(t->track, 3);
  way_take_free(t);
  t = take_of(smf, (WayTakeChoice){2, NULL, 0});
  assert_int_equal(t->track, 2);
  way_take_free(t);
  t = take_of(smf, (WayTakeChoice){-1, "slack tide", 0});
  assert_int_equal(t->track, 4);
  way_take_free(t);
  t = take_of(smf, (WayTakeChoice){-1, NULL, 10});
  assert_int_equal(t->track, 1);
  way_take_free(t);
  way_smf_free(smf);
}

static void test_only_chords_or_drums_are_better_than_nothing(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  add(smf, 0, drum, 2);
  WayTake* t = take_of(smf, any);
  assert_int_equal(t->track, 0);
  way_take_free(t);
  add(smf, 1, note, 2);
  assert_int_equal(way_smf_add_text(smf, 1, 0, 3, "Chords"), WAY_OK);
  t = take_of(smf, any);
  assert_int_equal(t->track, 1);
  way_take_free(t);
  way_smf_free(smf);
}

static void check_refused(const WaySmf* smf, WayTakeChoice choice,
                          const char* message) {
  WayTake* take = NULL;
  WayError e;
  assert_int_equal(way_take_new(smf, &choice, &take, NULL), WAY_ERR_RANGE);
  assert_int_equal(way_take_new(smf, &choice, &take, &e), WAY_ERR_RANGE);
  assert_null(take);
  assert_string_equal(e.message, message);
}

static void test_choices_without_notes_are_refused(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(1, 480);
  check_refused(smf, any, "no notes in the file");
  add(smf, 1, note, 2);
  check_refused(smf, (WayTakeChoice){2, NULL, 0},
                "no track 2: the file has 2 tracks, 0 to 1");
  check_refused(smf, (WayTakeChoice){0, NULL, 0}, "no notes in the track");
  check_refused(smf, (WayTakeChoice){1, NULL, 7},
                "no notes in the track on that channel");
  check_refused(smf, (WayTakeChoice){-1, NULL, 7},
                "no notes in the file on that channel");
  check_refused(smf, (WayTakeChoice){-1, "Gulls", 0}, "no track is named Gulls");
  way_smf_free(smf);
}

// Property: every note-on becomes one note, in order, and every note-off is used once
// or counted; the model is the list of sounding notes.
static void test_notes_and_offs_add_up(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 500; ++seed) {
    uint32_t rng = seed, ons = 1, offs = 0, sounding[2][4] = {{0}}, used = 0;
    uint64_t tick = 0;
    WaySmf* const smf = way_smf_new(0, 480);
    add(smf, 0, (const Event[]){{0, {0x90, 0, 1}}}, 1);
    sounding[0][0] = 1;
    for (int i = 0; i < 200; ++i) {
      const uint8_t channel = (uint8_t)rng_below(&rng, 2);
      const uint8_t key = (uint8_t)rng_below(&rng, 4);
      const bool on = rng_below(&rng, 2);
      tick += rng_below(&rng, 3);
      add(smf, 0,
          &(Event){tick, {(uint8_t)((on ? 0x90 : 0x80) | channel), key, (uint8_t)on}},
          1);
      ons += on;
      offs += !on;
      if (on) {
        ++sounding[channel][key];
      } else if (sounding[channel][key]) {
        --sounding[channel][key];
        ++used;
      }
    }
    WayTake* const t = take_of(smf, any);
    if (t->n != ons || t->orphans != offs - used || t->unended != ons - used)
      fail_msg("seed %u: %u notes, %u orphans, %u unended", seed, t->n, t->orphans,
               t->unended);
    for (uint32_t i = 0; i + 1 < t->n; ++i)
      if (t->notes[i].start > t->notes[i + 1].start || t->notes[i].length < 0)
        fail_msg("seed %u: note %u", seed, i);
    way_take_free(t);
    way_smf_free(smf);
  }
}

static void test_memory_running_out(void** state) {
  (void)state;
  WaySmf* const smf = way_smf_new(0, 480);
  add(smf, 0, note, 2);
  for (uint8_t i = 0; i < 100; ++i)
    add(smf, 0,
        (const Event[]){{500, {0xE0, 0, (uint8_t)(i % 2 * 127)}}, {500, {0x90, i, 1}}},
        2);
  for (long n = 1;; ++n) {
    alloc_fail_at(n);
    WayTake* take = NULL;
    WayError e;
    const WayStatus st = way_take_new(smf, &any, &take, &e);
    const bool failed = alloc_failed();
    alloc_fail_at(0);
    way_take_free(take);
    if (!st) break; // sorting does without memory
    assert_true(failed);
    assert_int_equal(st, WAY_ERR_NO_MEMORY);
    assert_int_equal(e.status, WAY_ERR_NO_MEMORY);
    assert_in_range(n, 1, 1000);
  }
  way_smf_free(smf);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_notes_in_order),
      cmocka_unit_test(test_overlapping_notes_end_in_order),
      cmocka_unit_test(test_channels_do_not_mix),
      cmocka_unit_test(test_notes_never_ended),
      cmocka_unit_test(test_all_notes_off),
      cmocka_unit_test(test_bends_sound),
      cmocka_unit_test(test_the_bend_held_longest_counts),
      cmocka_unit_test(test_range_of_bends),
      cmocka_unit_test(test_increments_of_the_range),
      cmocka_unit_test(test_a_reset_selects_no_parameter),
      cmocka_unit_test(test_zones_of_channels),
      cmocka_unit_test(test_a_zone_bends_a_channel_reviewed_alone),
      cmocka_unit_test(test_the_melody_is_found),
      cmocka_unit_test(test_only_chords_or_drums_are_better_than_nothing),
      cmocka_unit_test(test_choices_without_notes_are_refused),
      cmocka_unit_test(test_notes_and_offs_add_up),
      cmocka_unit_test(test_memory_running_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
