// Hosts that leave things out, get things wrong, or send anything at all.
#include "base/attributes.h"
#include "check.h"
#include "rng.h"
#include "session.h"

#include <lv2/midi/midi.h>

static void test_optional_ports_left_alone(void** state) {
  (void)state;
  Host* const whole = host_guide(NULL);
  Host* const h = host_guide(NULL);
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    h->unconnected[i] = i == host_port(h, "chords") || i == host_port(h, "marks");
    if (h->unconnected[i] || !h->buffers[i])
      lilv_instance_connect_port(h->instance, i, NULL);
  }
  Host* const both[] = {whole, h};
  for (size_t i = 0; i < 2; ++i) {
    host_chart(both[i], SESSION_CHART);
    const HostPosition p = host_position_at(0, 96);
    host_position(both[i], 2, &p);
    for (int k = 0; k < 100; ++k) {
      host_midi(both[i], "melody", 100 + 2000 * k, 0x90, (uint8_t)(40 + k % 40), 80);
      host_midi(both[i], "melody", 900 + 2000 * k, 0x80, (uint8_t)(40 + k % 40), 0);
    }
    host_run_blocks(both[i], 210000, 256);
  }
  const HostEvents *a = host_events(whole, "out"), *b = host_events(h, "out");
  assert_int_equal(a->n, b->n);
  for (size_t i = 0; i < a->n; ++i) {
    assert_int_equal(a->at[i].frame, b->at[i].frame);
    assert_int_equal(a->at[i].size, b->at[i].size);
    if (a->at[i].size == 3) assert_memory_equal(a->at[i].body, b->at[i].body, 3);
  }
  host_free(h);
  host_free(whole);
}

static void test_host_that_offers_only_a_map(void** state) {
  (void)state;
  const HostOptions options = {.bare = true};
  Host* const h = host_guide(&options);
  assert_non_null(h);
  host_midi(h, "melody", 3, 0x90, 60, 100);
  host_midi(h, "melody", 9, 0x80, 60, 0);
  host_run(h, 64);
  assert_int_equal(host_events(h, "out")->n, 2);
  host_free(h);
}

static void test_no_output_at_all(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  h->unconnected[host_port(h, "out")] = h->unconnected[host_port(h, "marks")] = true;
  host_midi(h, "melody", 3, 0x90, 60, 100);
  host_run(h, 64);
  h->unconnected[host_port(h, "out")] = false;
  host_midi(h, "melody", 70, 0x80, 60, 0);
  host_run(h, 64);
  assert_int_equal(session_hanging(h, "out"), -1);
  host_free(h);
}

static void test_times_that_fall_are_made_to_rise(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  static const int64_t frames[] = {50, 10, -5, 60, 20};
  for (size_t i = 0; i < WAY_COUNT(frames); ++i) {
    const uint8_t note[] = {0x90, (uint8_t)(60 + i), 100};
    host_add(host_events(h, "melody"), frames[i], midi, note, sizeof(note));
  }
  host_run(h, 64);
  const HostEvents* const out = host_events(h, "out");
  assert_int_equal(out->n, 5);
  for (size_t i = 0; i < out->n; ++i) {
    assert_int_equal(out->at[i].body[1], 60 + i);
    assert_int_equal(out->at[i].frame, i < 3 ? 50 : 60);
  }
  host_free(h);
}

static void test_position_behind_the_notes_counts_for_them(void** state) {
  (void)state;
  for (int blank = 0; blank < 2; ++blank) {
    Host* const h = host_guide(NULL);
    host_chart(h, "| C | Eb |");
    const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
    const uint8_t note[] = {0x90, 63, 100};
    host_add(host_events(h, "melody"), h->now + 40, midi, note, sizeof(note));
    // The second bar, at the start of the block but behind the note in the buffer.
    HostPosition p = host_position_at(4, 120);
    p.blank = blank;
    host_position(h, h->now + 40, &p);
    HostEvents* const in = host_events(h, "melody");
    in->at[in->n - 1].frame = h->now;
    host_run(h, 64);
    assert_float_equal(*host_control(h, "chord_root"), 3, 0);
    assert_float_equal(*host_control(h, "interval"), 0, 0);
    host_free(h);
  }
}

static void test_run_of_no_frames(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "| C | Eb |");
  const HostPosition p = host_position_at(4, 120);
  host_position(h, h->now, &p);
  host_midi(h, "melody", h->now, 0x90, 63, 100);
  host_run(h, 0);
  host_run(h, 1);
  assert_float_equal(*host_control(h, "chord_root"), 3, 0);
  assert_int_equal(session_hanging(h, "out"), 63);
  host_free(h);
}

static void test_controls_out_of_range(void** state) {
  (void)state;
  static const struct {
    const char* symbol;
    float value;
    uint8_t channel; ///< Of an E over C, with the tag channel at 3 otherwise
    uint8_t pitch;   ///< With handling at snap and the triad for material otherwise
  } rows[] = {
      {"tag_channel", NAN, 0, 64},    {"tag_channel", -5, 0, 64},
      {"tag_channel", 99, 13, 64},    {"tag_channel", 2.4f, 1, 64},
      {"handling", NAN, 3, 62},       {"handling", 1e30f, 3, 62},
      {"handling", -INFINITY, 3, 62}, {"enabled", NAN, 2, 60},
      {"enabled", 0, 0, 62},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    Host* const h = host_guide(NULL);
    host_chart(h, "key: C major\n| C |");
    *host_control(h, "tag_channel") = 3;
    *host_control(h, "handling") = 2;
    *host_control(h, "material") = 0;
    *host_control(h, "snap") = 2; // down: a D becomes a C
    *host_control(h, rows[i].symbol) = rows[i].value;
    const bool tag = !strcmp(rows[i].symbol, "tag_channel");
    host_midi(h, "melody", h->now, 0x90, tag ? 64 : 62, 90);
    host_clear(host_events(h, "out"));
    host_run(h, 64);
    const HostEvents* const out = host_events(h, "out");
    assert_int_equal(out->n, 1);
    assert_int_equal(out->at[0].body[0], 0x90 | rows[i].channel);
    assert_int_equal(out->at[0].body[1], rows[i].pitch);
    host_free(h);
  }
}

/// Bytes that look more or less like events.
static void put_noise(Host* h, uint32_t* rng) {
  const LV2_URID types[] = {host_urid(h, LV2_MIDI__MidiEvent),
                            host_urid(h, LV2_ATOM__Object),
                            host_urid(h, LV2_ATOM__Blank), rng_next(rng)};
  uint8_t body[64];
  const uint32_t size = rng_below(rng, sizeof(body));
  for (uint32_t i = 0; i < sizeof(body); i += 4) {
    const uint32_t word =
        rng_below(rng, 3) ? rng_below(rng, h->n_uris + 2) : rng_next(rng);
    memcpy(body + i, &word, sizeof(word));
  }
  host_add(host_events(h, rng_below(rng, 4) ? "melody" : "chords"),
           h->now + rng_below(rng, 80), types[rng_below(rng, 4)], body, size);
}

static void test_noise_does_no_harm(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 40; ++seed) {
    uint32_t rng = seed;
    Host* const h = host_guide(NULL);
    host_chart(h, SESSION_CHART);
    for (int i = 0; i < 300; ++i) {
      const uint32_t n = rng_below(&rng, 30);
      for (uint32_t j = 0; j < n; ++j) put_noise(h, &rng);
      float* const control = &h->controls[4 + rng_below(&rng, 14)];
      const uint32_t bits = rng_next(&rng);
      memcpy(control, &bits, sizeof(bits));
      h->capacity = 8 + 8 * rng_below(&rng, 200);
      host_run(h, 64);
    }
    *host_control(h, "enabled") = 1;
    h->capacity = HOST_BUFFER_MAX;
    host_run(h, 64);
    host_free(h);
  }
}

/// A sequence whose header or events lie about their size.
static void test_lying_sizes(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  static _Alignas(8) uint8_t bytes[256], room[1024];
  LV2_Atom_Sequence* const in = (LV2_Atom_Sequence*)(void*)bytes;
  LV2_Atom* const out = (LV2_Atom*)(void*)room;
  LV2_Atom_Event* const event = (LV2_Atom_Event*)(void*)(in + 1);
  lilv_instance_connect_port(h->instance, host_port(h, "melody"), in);
  lilv_instance_connect_port(h->instance, host_port(h, "chords"), NULL);
  lilv_instance_connect_port(h->instance, host_port(h, "out"), out);
  lilv_instance_connect_port(h->instance, host_port(h, "marks"), NULL);
  static const uint32_t sizes[] = {0, 1, 7, 8, 9, 15, 16, 23, 24, 25, 200};
  for (size_t i = 0; i < WAY_COUNT(sizes); ++i)
    for (size_t j = 0; j < WAY_COUNT(sizes) + 1; ++j) {
      in->atom = (LV2_Atom){sizes[i], host_urid(h, LV2_ATOM__Sequence)};
      event->body = (LV2_Atom){j < WAY_COUNT(sizes) ? sizes[j] : UINT32_MAX,
                               host_urid(h, LV2_ATOM__Object)};
      *out = (LV2_Atom){sizeof(room), 0};
      lilv_instance_run(h->instance, 64);
      assert_true(out->size <= sizeof(room) - sizeof(LV2_Atom));
    }
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_optional_ports_left_alone),
      cmocka_unit_test(test_host_that_offers_only_a_map),
      cmocka_unit_test(test_no_output_at_all),
      cmocka_unit_test(test_times_that_fall_are_made_to_rise),
      cmocka_unit_test(test_position_behind_the_notes_counts_for_them),
      cmocka_unit_test(test_run_of_no_frames),
      cmocka_unit_test(test_controls_out_of_range),
      cmocka_unit_test(test_noise_does_no_harm),
      cmocka_unit_test(test_lying_sizes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
