// What the guide tells a screen that asks, and that it tells nobody else.
#include "check.h"
#include "host.h"
#include "session.h"

#include <lv2/midi/midi.h>
#include <lv2/patch/patch.h>

#include <stdio.h>
#include <stdlib.h>

#define SCREEN "urn:waymark:guide#screen"
#define VOCAB "urn:waymark:vocab#"

/// The kinds of records, as plugin/screen_wire.h numbers them.
enum { OFF, ON, ROLE, LANDING };

static bool is_screen(Host* h, const HostEvent* e) {
  return host_object_type(h, e) == host_urid(h, VOCAB "Screen");
}

/// How many messages for a screen came in a span of frames.
static unsigned count(Host* h, int64_t from, int64_t to) {
  const HostEvents* const out = host_events(h, "out");
  unsigned n = 0;
  for (size_t i = 0; i < out->n; ++i)
    n += is_screen(h, &out->at[i]) && out->at[i].frame >= from && out->at[i].frame < to;
  return n;
}

static const HostEvent* newest(Host* h) {
  const HostEvents* const out = host_events(h, "out");
  for (size_t i = out->n; i > 0; --i)
    if (is_screen(h, &out->at[i - 1])) return &out->at[i - 1];
  fail_msg("no message for a screen");
  return NULL;
}

/// A property of a message; NULL if it has none.
static const LV2_Atom* property(Host* h, const HostEvent* e, const char* name) {
  const LV2_Atom* value = NULL;
  char uri[64];
  snprintf(uri, sizeof(uri), VOCAB "%s", name);
  lv2_atom_object_body_get(e->size, (const LV2_Atom_Object_Body*)(const void*)e->body,
                           host_urid(h, uri), &value, 0);
  return value;
}

/// Records of one kind in all messages; `last` receives the newest.
static unsigned records(Host* h, int kind, int32_t last[4]) {
  const HostEvents* const out = host_events(h, "out");
  unsigned n = 0;
  for (size_t i = 0; i < out->n; ++i) {
    if (!is_screen(h, &out->at[i])) continue;
    const LV2_Atom* const notes = property(h, &out->at[i], "notes");
    if (!notes) continue;
    const LV2_Atom_Vector* const v = (const LV2_Atom_Vector*)(const void*)notes;
    const int32_t* const ints = (const int32_t*)(const void*)(v + 1);
    const size_t size = (notes->size - sizeof(v->body)) / sizeof(int32_t);
    for (size_t k = 0; k + 3 < size; k += 4)
      if ((ints[k + 1] & 0xFF) == kind) {
        memcpy(last, ints + k, 4 * sizeof(*last));
        ++n;
      }
  }
  return n;
}

static Host* with_chart(const char* chart) {
  Host* const h = host_guide(NULL);
  assert_non_null(h);
  host_chart(h, chart);
  for (uint32_t i = 0; i < h->n_ports; ++i) {
    host_clear(&h->events[i]);
    h->next[i] = 0;
  }
  h->now = 0;
  return h;
}

static void roll(Host* h) {
  const HostPosition p = host_position_at(0, 120);
  host_position(h, h->now, &p);
}

static void test_nobody_is_told_who_did_not_ask(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G |");
  roll(h);
  host_midi(h, "melody", 1000, 0x90, 62, 90);
  host_get(h, 2000, NULL); // asks for the chart, not for this
  host_run_blocks(h, 96000, 256);
  assert_int_equal(count(h, 0, h->now), 0);
  host_free(h);
}

static void test_at_most_fifty_messages_a_second(void** state) {
  (void)state;
  static const uint32_t blocks[] = {1, 17, 64, 256, 1024, 8192};
  for (unsigned i = 0; i < 6; ++i) {
    Host* const h = with_chart("| D | G |");
    roll(h);
    host_get(h, 0, SCREEN);
    host_run_blocks(h, 96000, blocks[i]);
    const unsigned n = count(h, 0, 96000);
    assert_true(n <= 100);
    // Blocks of 8192 frames end less often than that.
    assert_true(n >= (blocks[i] > 1000 ? 96000 / blocks[i] - 2 : 80));
    host_free(h);
  }
}

static void test_it_ends_when_nobody_asks_again(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G |");
  roll(h);
  host_get(h, 0, SCREEN);
  host_run_blocks(h, 480000, 512);
  assert_true(count(h, 0, 4 * 48000) > 100);
  assert_int_equal(count(h, 4 * 48000 + 1024, h->now), 0);
  host_get(h, h->now, SCREEN);
  host_run_blocks(h, 48000, 512);
  assert_true(count(h, 480000, h->now) > 30);
  host_free(h);
}

static void test_nothing_new_is_not_told(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G |");
  host_get(h, 0, SCREEN);
  host_run_blocks(h, 48000, 64);
  assert_int_equal(count(h, 0, h->now), 1);
  host_midi(h, "melody", h->now, 0x90, 62, 90);
  host_run_blocks(h, 48000, 64);
  assert_int_equal(count(h, 0, h->now), 2);
  host_free(h);
}

static void test_place_and_chord_are_told(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G |");
  host_get(h, 0, SCREEN);
  host_run(h, 64);
  assert_float_equal(host_number(h, newest(h), VOCAB "tick"), 0, 0);
  assert_float_equal(host_number(h, newest(h), VOCAB "chordFrom"), 1, 0);
  roll(h);
  host_run_blocks(h, 48000, 480);
  // 120 quarter notes a minute: two a second, of 3840 ticks.
  const double ticks_per_frame = 2 * 3840 / 48000.0;
  const HostEvent* const e = newest(h);
  assert_near(host_number(h, e, VOCAB "tick"),
              (double)(e->frame - 64) * ticks_per_frame, 1);
  const LV2_Atom* const speed = property(h, e, "speed");
  assert_near(((const LV2_Atom_Double*)(const void*)speed)->body, 7680, 0.01);
  host_free(h);
}

static void test_a_chord_heard_is_told_by_name(void** state) {
  (void)state;
  Host* const h = with_chart("");
  host_get(h, 0, SCREEN);
  host_run(h, 64);
  assert_float_equal(host_number(h, newest(h), VOCAB "chordFrom"), 0, 0);
  static const uint8_t keys[] = {48, 52, 55, 58};
  for (unsigned i = 0; i < 4; ++i) host_midi(h, "chords", 100, 0x90, keys[i], 80);
  host_run_blocks(h, 24000, 256);
  assert_float_equal(host_number(h, newest(h), VOCAB "chordFrom"), 2, 0);
  assert_string_equal((const char*)(property(h, newest(h), "chord") + 1), "C7");
  assert_string_equal((const char*)(property(h, newest(h), "key") + 1), "F major");
  host_free(h);
}

static void test_notes_roles_and_landings_are_told(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G>3 |");
  roll(h);
  host_get(h, 0, SCREEN);
  host_midi(h, "melody", 48000, 0x92, 64, 90);      // the 9 of D, on channel 3
  host_midi(h, "melody", 72000, 0x82, 64, 0);       // until the middle of the bar
  host_midi(h, "melody", 96000 + 10, 0x90, 71, 90); // the third of G, planned
  host_run_blocks(h, 3 * 48000, 333);
  int32_t r[4];
  assert_int_equal(records(h, ON, r), 2);
  assert_int_equal(records(h, OFF, r), 1);
  assert_int_equal(r[1] >> 8 & 0xFF, 64);
  assert_int_equal(r[1] >> 16, 2);
  assert_int_equal(records(h, ROLE, r), 2);
  assert_int_equal(records(h, LANDING, r), 2); // of both chords
  assert_int_equal(r[1] >> 8 & 0xFF, 71);
  assert_int_equal(r[2], 0 | 4 << 8); // a chord tone, 4 semitones up
  assert_int_equal(r[3] & 0xFF, 3);   // its third
  assert_int_equal(r[3] >> 16, 1);    // on the target
  host_free(h);
}

/// Whether the newest message says that tags are refused.
static bool refused(Host* h) {
  const LV2_Atom* const said = property(h, newest(h), "tagsRefused");
  return said && ((const LV2_Atom_Bool*)(const void*)said)->body;
}

// RP-053, MIDI Polyphonic Expression: registered parameter 6 on the master makes a zone
// of so many members; 0 ends it.
static void test_tags_that_are_refused_are_told(void** state) {
  (void)state;
  Host* const h = with_chart("| D | G |");
  host_get(h, 0, SCREEN);
  *host_control(h, "tag_channel") = 8;
  host_run_blocks(h, 4800, 64);
  assert_false(refused(h));
  const unsigned before = count(h, 0, h->now);
  for (uint8_t members = 5;; members = 0) {
    const uint8_t zone[][2] = {{101, 0}, {100, 6}, {6, members}};
    for (unsigned i = 0; i < 3; ++i)
      host_midi(h, "melody", h->now, 0xB0, zone[i][0], zone[i][1]);
    host_run_blocks(h, 9600, 64);
    assert_int_equal(refused(h), members > 0);
    assert_float_equal(*host_control(h, "tags_refused"), members > 0, 0);
    if (!members) break;
  }
  assert_int_equal(count(h, 0, h->now), before + 2); // once each, while all stands
  *host_control(h, "strings") = 1;
  host_run_blocks(h, 9600, 64);
  assert_true(refused(h));
  *host_control(h, "tag_channel") = 0; // none are asked for
  host_run_blocks(h, 9600, 64);
  assert_false(refused(h));
  host_free(h);
}

/// Compare what came out besides messages for a screen.
static void compare(Host* a, Host* b, const char* port, uint32_t seed) {
  const HostEvents *const x = host_events(a, port), *const y = host_events(b, port);
  size_t i = 0, k = 0;
  for (;; ++i, ++k) {
    while (i < x->n && is_screen(a, &x->at[i])) ++i;
    while (k < y->n && is_screen(b, &y->at[k])) ++k;
    if (i == x->n || k == y->n) break;
    if (x->at[i].frame != y->at[k].frame || x->at[i].size != y->at[k].size ||
        memcmp(x->at[i].body, y->at[k].body, x->at[i].size) != 0)
      fail_msg("seed %u: %s differs at frame %ld", seed, port, (long)x->at[i].frame);
  }
  if (i != x->n || k != y->n) fail_msg("seed %u: %s differs in length", seed, port);
}

static void test_a_screen_changes_nothing_else(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 6; ++seed) {
    Host* const plain = host_guide(NULL);
    Host* const told = host_guide(NULL);
    session_prepare(plain, seed);
    session_prepare(told, seed);
    for (int64_t f = 0; f < SESSION_LENGTH; f += 48000) host_get(told, f, SCREEN);
    session_run(plain, seed, 256);
    session_run(told, seed, seed % 2 ? 64 : 0);
    assert_true(count(told, 0, told->now) > 20);
    compare(plain, told, "out", seed);
    compare(plain, told, "marks", seed);
    host_free(plain);
    host_free(told);
  }
}

static void test_room_for_nothing_is_no_harm(void** state) {
  (void)state;
  static const uint32_t sizes[] = {8, 16, 24, 64, 120, 200, 400};
  for (unsigned i = 0; i < 7; ++i) {
    Host* const h = with_chart("| D | G |");
    h->capacity = sizes[i]; // the host looks whether anything was written behind it
    roll(h);
    for (int64_t f = 0; f < 96000; f += 1000) {
      host_get(h, f, SCREEN);
      host_midi(h, "melody", f, 0x90, (uint8_t)(40 + f / 1000 % 40), 90);
    }
    host_run_blocks(h, 96000, 500);
    host_free(h);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_nobody_is_told_who_did_not_ask),
      cmocka_unit_test(test_at_most_fifty_messages_a_second),
      cmocka_unit_test(test_it_ends_when_nobody_asks_again),
      cmocka_unit_test(test_nothing_new_is_not_told),
      cmocka_unit_test(test_place_and_chord_are_told),
      cmocka_unit_test(test_a_chord_heard_is_told_by_name),
      cmocka_unit_test(test_notes_roles_and_landings_are_told),
      cmocka_unit_test(test_tags_that_are_refused_are_told),
      cmocka_unit_test(test_a_screen_changes_nothing_else),
      cmocka_unit_test(test_room_for_nothing_is_no_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
