// What hosts and screens ask and set by patch messages.
#include "check.h"
#include "host.h"

#include <lv2/midi/midi.h>
#include <lv2/patch/patch.h>

#include <stdlib.h>

#define GUIDE "urn:waymark:guide"
#define TEXT GUIDE "#chartText"
#define FILE_ GUIDE "#chartFile"
#define MESSAGE GUIDE "#chartMessage"

static void set_and_run(Host* h, const char* text) {
  host_clear(host_events(h, "out"));
  host_set(h, h->now, TEXT, LV2_ATOM__String, text);
  host_run(h, 64);
  host_settle(h);
  host_run(h, 64); // its answer is handed over at the end of this block
  host_run(h, 64);
}

static void test_a_chart_in_use_is_told(void** state) {
  (void)state;
  for (int threaded = 0; threaded < 2; ++threaded) {
    const HostOptions options = {.threaded = threaded};
    Host* const h = host_guide(&options);
    set_and_run(h, "| Eb | Cm |");
    assert_string_equal(host_told(h, TEXT), "| Eb | Cm |");
    assert_string_equal(host_told(h, FILE_), "");
    assert_string_equal(host_told(h, MESSAGE), "");
    assert_float_equal(*host_control(h, "chord_root"), 3, 0);
    assert_float_equal(*host_control(h, "next_root"), 0, 0);
    host_free(h);
  }
}

static void test_a_bad_chart_tells_why_and_stays_out(void** state) {
  (void)state;
  for (int threaded = 0; threaded < 2; ++threaded) {
    const HostOptions options = {.threaded = threaded};
    Host* const h = host_guide(&options);
    set_and_run(h, "| Eb | Cm |");
    set_and_run(h, "key: Eb major\n| Eb | H7 |");
    assert_non_null(strstr(host_told(h, MESSAGE), "line 2, column 8"));
    assert_non_null(strstr(h->log, "line 2, column 8"));
    assert_string_equal(host_told(h, TEXT), "| Eb | Cm |");
    assert_float_equal(*host_control(h, "chord_root"), 3, 0);
    set_and_run(h, "| G |");
    assert_string_equal(host_told(h, MESSAGE), "");
    host_free(h);
  }
}

static void test_an_empty_text_takes_the_chart_away(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  set_and_run(h, "| Eb | Cm |");
  set_and_run(h, " \n");
  assert_string_equal(host_told(h, TEXT), "");
  assert_float_equal(*host_control(h, "chord_root"), -1, 0);
  assert_float_equal(*host_control(h, "bar"), 0, 0);
  host_free(h);
}

static void test_the_last_of_many_counts(void** state) {
  (void)state;
  const HostOptions options = {.threaded = true};
  Host* const h = host_guide(&options);
  for (int i = 0; i < 200; ++i)
    host_set(h, i, TEXT, LV2_ATOM__String, i == 199 ? "| Ab |" : "| C | D |");
  host_run(h, 256);
  host_settle(h);
  host_run_blocks(h, 256, 64);
  host_settle(h);
  host_run_blocks(h, 256, 64);
  assert_float_equal(*host_control(h, "chord_root"), 8, 0);
  host_free(h);
}

static void test_asking_behind_the_block(void** state) {
  (void)state;
  const HostOptions options = {.sloppy = true};
  Host* const h = host_guide(&options);
  set_and_run(h, "| Eb | Cm |");
  host_clear(host_events(h, "out"));
  const int64_t start = h->now;
  host_get(h, start + 64, NULL);
  host_run(h, 64);
  assert_string_equal(host_told(h, TEXT), "| Eb | Cm |");
  const HostEvents* const out = host_events(h, "out");
  for (size_t i = 0; i < out->n; ++i) assert_int_equal(out->at[i].frame, start + 63);
  host_free(h);
}

/// What is due before an answer is not put off by it: at 120 a beat is 24000 frames.
static void test_an_answer_delays_nothing(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  *host_control(h, "click") = 3; // beats
  set_and_run(h, "| C |");
  host_clear(host_events(h, "out"));
  const int64_t top = h->now;
  const HostPosition p = host_position_at(0, 120);
  host_position(h, top, &p);
  host_get(h, top + 40000, MESSAGE);
  host_run(h, 60000);
  const HostEvents* const out = host_events(h, "out");
  int64_t beat = 0;
  for (size_t i = 0; i < out->n; ++i) {
    const HostEvent* const e = &out->at[i];
    if (e->type != host_urid(h, LV2_MIDI__MidiEvent) || (e->body[0] & 0xF0) != 0x90)
      continue;
    assert_true(llabs(e->frame - (top + beat * 24000)) <= 4);
    ++beat;
  }
  assert_int_equal(beat, 3);
  assert_non_null(host_told(h, MESSAGE));
  host_free(h);
}

static void test_without_a_worker_it_says_so(void** state) {
  (void)state;
  const HostOptions options = {.no_worker = true};
  Host* const h = host_guide(&options);
  set_and_run(h, "| Eb | Cm |");
  assert_non_null(strstr(host_told(h, MESSAGE), "no worker"));
  assert_string_equal(host_told(h, TEXT), "");
  host_free(h);
}

static void test_too_much_text_is_refused(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  static char text[100001];
  memset(text, ' ', sizeof(text) - 1);
  memcpy(text, "| Eb |", 6);
  set_and_run(h, text);
  assert_non_null(strstr(host_told(h, MESSAGE), "as a file"));
  host_free(h);
}

/// A patch:Put of one chart, about `subject`.
static void put_chart(Host* h, const char* subject, const char* text) {
  _Alignas(8) uint8_t buffer[512];
  LV2_Atom_Forge_Frame put, body;
  lv2_atom_forge_set_buffer(&h->forge, buffer, sizeof(buffer));
  lv2_atom_forge_object(&h->forge, &put, 0, host_urid(h, LV2_PATCH__Put));
  lv2_atom_forge_key(&h->forge, host_urid(h, LV2_PATCH__subject));
  lv2_atom_forge_urid(&h->forge, host_urid(h, subject));
  lv2_atom_forge_key(&h->forge, host_urid(h, LV2_PATCH__body));
  lv2_atom_forge_object(&h->forge, &body, 0, 0);
  lv2_atom_forge_key(&h->forge, host_urid(h, TEXT));
  lv2_atom_forge_string(&h->forge, text, (uint32_t)strlen(text));
  lv2_atom_forge_pop(&h->forge, &body);
  lv2_atom_forge_pop(&h->forge, &put);
  const LV2_Atom* const atom = (const LV2_Atom*)(const void*)buffer;
  host_insert(host_events(h, "melody"), h->now, atom->type, atom + 1, atom->size);
  host_run_blocks(h, 128, 64);
}

static void test_put_is_obeyed_if_it_is_for_us(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  put_chart(h, GUIDE, "| B |");
  assert_float_equal(*host_control(h, "chord_root"), 11, 0);
  put_chart(h, "urn:somebody:else", "| F |");
  assert_float_equal(*host_control(h, "chord_root"), 11, 0);
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_chart_in_use_is_told),
      cmocka_unit_test(test_a_bad_chart_tells_why_and_stays_out),
      cmocka_unit_test(test_an_empty_text_takes_the_chart_away),
      cmocka_unit_test(test_the_last_of_many_counts),
      cmocka_unit_test(test_asking_behind_the_block),
      cmocka_unit_test(test_an_answer_delays_nothing),
      cmocka_unit_test(test_without_a_worker_it_says_so),
      cmocka_unit_test(test_too_much_text_is_refused),
      cmocka_unit_test(test_put_is_obeyed_if_it_is_for_us),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
