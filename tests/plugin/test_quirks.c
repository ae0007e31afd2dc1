// What real hosts were seen to do (Ardour 7.3, jalv 1.6.6), one test a quirk.
#include "base/attributes.h"
#include "check.h"
#include "host.h"
#include "session.h"

#include <lv2/midi/midi.h>
#include <lv2/state/state.h>

#include <stdlib.h>
#include <string.h>

#define CHART "key: C major\ntempo: 120\n| C | Eb | F | G |"

/// Messages on the first output whose status and first byte, where masked, are so.
static size_t count(Host* h, unsigned mask, unsigned status, int first) {
  const HostEvents* const out = host_events(h, "out");
  size_t n = 0;
  for (size_t i = 0; i < out->n; ++i) {
    const HostEvent* const e = &out->at[i];
    n += e->type == host_urid(h, LV2_MIDI__MidiEvent) &&
         (e->body[0] & mask) == status && (first < 0 || e->body[1] == first);
  }
  return n;
}

static size_t messages(Host* h) { return count(h, 0, 0, -1); }

/// Ardour: the first run() has outputs of 8 bytes; then it starts anew.
static void test_first_run_without_room_then_activated_anew(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  h->capacity = 8;
  host_midi(h, "melody", h->now, 0x90, 64, 90);
  host_run(h, 1024);
  lilv_instance_deactivate(h->instance);
  lilv_instance_activate(h->instance);
  h->capacity = HOST_BUFFER_MAX;
  host_run(h, 1024);
  assert_int_equal(session_hanging(h, "out"), -1);
  host_clear(host_events(h, "out"));
  host_midi(h, "melody", h->now, 0x90, 64, 90);
  host_midi(h, "melody", h->now + 9, 0x80, 64, 0);
  host_run(h, 1024);
  assert_int_equal(messages(h), 2);
  host_free(h);
}

/// Ardour: rolling begins with blocks before the start, with a frame that goes backward
/// first.
static void test_pre_roll_before_the_start(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  const double beats[] = {-0.1, -0.12, -0.1, 0};
  for (size_t i = 0; i < WAY_COUNT(beats); ++i) {
    HostPosition p = host_position_at(beats[i], 120);
    p.frame = beats[i] * 24000;
    host_position(h, h->now, &p);
    host_clear(host_events(h, "marks"));
    host_run(h, 480);
    const bool tells = host_events(h, "marks")->n > 0;
    assert_int_equal(tells, beats[i] >= 0); // the form begins at 0
  }
  assert_float_equal(*host_control(h, "chord_root"), 0, 0);
  host_free(h);
}

/// Ardour: a locate while rolling is one block that stands at the new place.
static void test_locate_while_rolling(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  host_midi(h, "melody", h->now + 5, 0x90, 64, 90);
  host_run_blocks(h, 4800, 64);
  p = host_position_at(8, 120);
  p.speed = 0;
  host_position(h, h->now, &p);
  host_run(h, 64);
  p.speed = 1;
  host_position(h, h->now, &p);
  host_run(h, 64);
  assert_float_equal(*host_control(h, "chord_root"), 5, 0);
  assert_float_equal(*host_control(h, "bar"), 3, 0);
  host_midi(h, "melody", h->now, 0x80, 64, 0);
  host_run(h, 64);
  assert_int_equal(session_hanging(h, "out"), -1);
  host_free(h);
}

/// Ardour: cycles come in two parts, and the position only with some of them.
static void test_split_cycles_with_sparse_positions(void** state) {
  (void)state;
  float shown[2][64];
  for (int split = 0; split < 2; ++split) {
    Host* const h = host_guide(NULL);
    host_chart(h, CHART);
    while (h->now < 1024) host_run(h, 1024 - (uint32_t)h->now);
    for (int cycle = 0; cycle < 64; ++cycle) {
      const HostPosition p = host_position_at(cycle * 1024 / 4800.0, 600);
      if (cycle % 9 == 0) host_position(h, h->now, &p);
      if (split) host_run(h, 752);
      host_run(h, split ? 272 : 1024);
      shown[split][cycle] = *host_control(h, "chord_root");
    }
    host_free(h);
  }
  assert_memory_equal(shown[0], shown[1], sizeof(shown[0]));
}

/// Ardour: a change of tempo in mid-block is told when the next block begins.
static void test_tempo_change_told_late(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
  const int64_t start = h->now;
  host_run_blocks(h, 48128, 1024); // 2 beats and 128 frames, the last at 240
  const double beat = 2 + 128 / 12000.0;
  p = host_position_at(beat, 240);
  host_position(h, h->now, &p);
  host_clear(host_events(h, "marks"));
  host_run_blocks(h, 48000, 1024);
  const HostEvents* const marks = host_events(h, "marks");
  assert_true(marks->n > 0); // Eb arrives on the 4th beat of the song
  const int64_t frame = start + 48000 + 24000;
  assert_true(llabs(marks->at[0].frame - frame) <= 2);
  host_free(h);
}

/// Check the frames of the changes that came since the last look: a chord a bar, which
/// comes up to half a tick before its exact place, and is told once.
/// @param frame_of The exact frame of a bar.  @param by Frames it may be beside that.
static void check_changes(Host* h, int64_t start, double (*frame_of)(double bar),
                          double tick, double by, double* bar) {
  HostEvents* const marks = host_events(h, "marks");
  for (size_t i = 0; i < marks->n; ++i) {
    if (host_object_type(h, &marks->at[i]) != host_urid(h, "urn:waymark:vocab#Change"))
      continue;
    const double late = (double)(marks->at[i].frame - start) - frame_of(*bar);
    if (late < -tick / 2 - by || late > by)
      fail_msg("bar %.0f: %f frames beside its place", *bar, late);
    ++*bar;
  }
  host_clear(marks);
}

#define BPM 97.3
static double steady_frame(double bar) { return bar * 4 * 60 / BPM * 44100; }

/// All hosts: tempo and beat are told as floats, which are not the exact values; the
/// place stays within a frame of what is told.
static void test_an_hour_of_rounded_positions(void** state) {
  (void)state;
  const HostOptions options = {.rate = 44100};
  Host* const h = host_guide(&options);
  host_chart(h, "key: C major\n| C | F |");
  const int64_t start = h->now, end = start + (int64_t)3600 * 44100;
  double bar = 0;
  while (h->now < end) {
    const HostPosition p =
        host_position_at((double)(h->now - start) / 44100 * BPM / 60, BPM);
    host_position(h, h->now, &p);
    host_run(h, 4096);
    check_changes(h, start, steady_frame, 44100 * 60 / BPM / 3840, 1.5, &bar);
  }
  assert_int_equal(bar, floor(3600 * BPM / 60 / 4) + 1);
  host_free(h);
}

/// From 60 to 180 quarter notes a minute in 40 seconds.
static double ramp_beat(double seconds) { return seconds + seconds * seconds / 40; }
static double ramp_frame(double bar) {
  return 48000 * (sqrt(1 + 4 * bar / 10) - 1) * 20;
}

/// Ardour: in a ramp each block begins with another tempo.
static void test_a_ramp_is_followed(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "key: C major\n| C | F |");
  const int64_t start = h->now;
  double bar = 0;
  while (h->now < start + 39 * 48000) {
    const double seconds = (double)(h->now - start) / 48000;
    const HostPosition p =
        host_position_at(ramp_beat(seconds), 60 * (1 + seconds / 20));
    host_position(h, h->now, &p);
    host_run(h, 1024);
    check_changes(h, start, ramp_frame, 12.5, 2, &bar);
  }
  assert_int_equal(bar, 20);
  host_free(h);
}

/// Ardour: stopping under a held note gives two note-offs; a chord struck before the
/// start is not chased, and its note-offs come alone.
static void test_note_offs_without_note_ons(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  *host_control(h, "handling") = 2;
  *host_control(h, "material") = 0;
  *host_control(h, "snap") = 2;
  host_clear(host_events(h, "out"));
  host_midi(h, "melody", h->now, 0x90, 62, 90); // goes out as 60
  host_midi(h, "melody", h->now + 5, 0x80, 62, 0);
  host_midi(h, "melody", h->now + 5, 0x80, 62, 0);
  host_midi(h, "chords", h->now + 5, 0x80, 50, 0);
  host_run(h, 64);
  const HostEvents* const out = host_events(h, "out");
  assert_int_equal(messages(h), 3); // what began nothing passes as it came
  assert_int_equal(out->at[1].body[1], 60);
  assert_int_equal(out->at[2].body[1], 62);
  assert_float_equal(*host_control(h, "chord_root"), 0, 0);
  host_free(h);
}

/// Ardour: closing and panic send controllers 64, 123 and 121 on all channels of every
/// input, sometimes twice.
static void test_panic_on_all_channels(void** state) {
  (void)state;
  static const uint8_t controllers[] = {64, 123, 121};
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  *host_control(h, "tag_channel") = 5;
  for (uint8_t i = 0; i < 16; ++i) {
    host_midi(h, "melody", h->now, 0x90 | i, (uint8_t)(60 + i), 90);
    host_midi(h, "chords", h->now, 0x90 | i, (uint8_t)(40 + i), 90);
  }
  host_run(h, 64);
  host_clear(host_events(h, "out"));
  for (int twice = 0; twice < 2; ++twice)
    for (uint8_t i = 0; i < 16; ++i)
      for (size_t k = 0; k < WAY_COUNT(controllers); ++k) {
        host_midi(h, "melody", h->now, 0xB0 | i, controllers[k], 0);
        host_midi(h, "chords", h->now, 0xB0 | i, controllers[k], 0);
      }
  host_run(h, 64);
  assert_int_equal(count(h, 0xF0, 0x80, -1), 16);
  assert_int_equal(session_hanging(h, "out"), -1);
  // Those of the melody input pass (pedal and reset on the three tag channels, too).
  assert_int_equal(count(h, 0xF0, 0xB0, 121), 32 + 2 * (3 * 16 - 3));
  assert_int_equal(count(h, 0xF0, 0xB0, 123), 32);
  assert_int_equal(count(h, 0xFF, 0xB0, 64), 2);
  host_clear(host_events(h, "out"));
  host_run(h, 64);
  assert_int_equal(messages(h), 0);
  host_free(h);
}

/// jalv and others: note-ons of velocity 0 end notes.
static void test_velocity_0_ends_a_note(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  *host_control(h, "tag_channel") = 3;
  host_midi(h, "melody", h->now, 0x90, 61, 90);
  host_midi(h, "melody", h->now + 9, 0x90, 61, 0);
  host_run(h, 64);
  assert_int_equal(session_hanging(h, "out"), -1);
  host_free(h);
}

/// Hosts bypass through the port and go on, or stop calling run() and come back.
static void test_bypassed_under_a_held_note(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  *host_control(h, "tag_channel") = 3;
  host_midi(h, "melody", h->now, 0x90, 61, 90);
  host_run(h, 64);
  *host_control(h, "enabled") = 0;
  host_run(h, 64);
  host_clear(host_events(h, "out"));
  host_midi(h, "melody", h->now, 0x80, 61, 0);
  host_midi(h, "melody", h->now, 0x90, 66, 90);
  host_run(h, 64);
  const HostEvents* const out = host_events(h, "out");
  assert_int_equal(out->at[0].body[0], 0x84); // chromatic: the third channel from 3 on
  assert_int_equal(out->at[1].body[0], 0x90);
  host_free(h);
}

// ---- Paths in sessions.

static char* to_abstract(LV2_State_Map_Path_Handle handle, const char* path) {
  (void)handle, (void)path;
  return strdup("song.chart");
}

static char* to_absolute(LV2_State_Map_Path_Handle handle, const char* path) {
  char* const whole = malloc(strlen(path) + 32);
  if (whole) {
    strcpy(whole, "/another/place/");
    strcat(whole, path);
  }
  (void)handle;
  return whole;
}

static unsigned paths_freed;

static void free_path(LV2_State_Free_Path_Handle handle, char* path) {
  (void)handle;
  ++paths_freed;
  free(path);
}

typedef struct {
  Host* host;
  char file[64], text[256];
} Saved;

static LV2_State_Status store(LV2_State_Handle handle, uint32_t key, const void* value,
                              size_t size, uint32_t type, uint32_t flags) {
  Saved* const s = (Saved*)handle;
  (void)type, (void)flags;
  if (key == host_urid(s->host, "urn:waymark:guide#chartFile"))
    memcpy(s->file, value, size);
  if (key == host_urid(s->host, "urn:waymark:guide#chartText"))
    memcpy(s->text, value, size);
  return LV2_STATE_SUCCESS;
}

static const void* retrieve(LV2_State_Handle handle, uint32_t key, size_t* size,
                            uint32_t* type, uint32_t* flags) {
  Saved* const s = (Saved*)handle;
  const bool file = key == host_urid(s->host, "urn:waymark:guide#chartFile");
  if (!file && key != host_urid(s->host, "urn:waymark:guide#chartText")) return NULL;
  const char* const value = file ? s->file : s->text;
  *size = strlen(value) + 1;
  *type = host_urid(s->host, file ? LV2_ATOM__Path : LV2_ATOM__String);
  *flags = LV2_STATE_IS_POD;
  return value;
}

/// Ardour: paths are mapped when saved and restored, and freed by the host's function.
static void test_paths_are_mapped(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  LV2_State_Map_Path map = {NULL, to_abstract, to_absolute};
  LV2_State_Free_Path release = {NULL, free_path};
  const LV2_Feature map_feature = {LV2_STATE__mapPath, &map};
  const LV2_Feature free_feature = {LV2_STATE__freePath, &release};
  const LV2_Feature* const features[] = {&map_feature, &free_feature, NULL};
  const LV2_State_Interface* const s =
      lilv_instance_get_extension_data(h->instance, LV2_STATE__interface);
  void* const instance = lilv_instance_get_handle(h->instance);
  Saved saved = {.host = h, .file = "song.chart", .text = CHART};
  s->restore(instance, retrieve, &saved, 0, features);
  host_run(h, 64);
  host_get(h, h->now, "urn:waymark:guide#chartFile");
  host_run(h, 64);
  assert_string_equal(host_told(h, "urn:waymark:guide#chartFile"),
                      "/another/place/song.chart");
  memset(saved.file, 0, sizeof(saved.file));
  s->save(instance, store, &saved, 0, features);
  assert_string_equal(saved.file, "song.chart");
  assert_string_equal(saved.text, CHART);
  assert_int_equal(paths_freed, 2);
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_first_run_without_room_then_activated_anew),
      cmocka_unit_test(test_pre_roll_before_the_start),
      cmocka_unit_test(test_locate_while_rolling),
      cmocka_unit_test(test_split_cycles_with_sparse_positions),
      cmocka_unit_test(test_tempo_change_told_late),
      cmocka_unit_test(test_an_hour_of_rounded_positions),
      cmocka_unit_test(test_a_ramp_is_followed),
      cmocka_unit_test(test_note_offs_without_note_ons),
      cmocka_unit_test(test_panic_on_all_channels),
      cmocka_unit_test(test_velocity_0_ends_a_note),
      cmocka_unit_test(test_bypassed_under_a_held_note),
      cmocka_unit_test(test_paths_are_mapped),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
