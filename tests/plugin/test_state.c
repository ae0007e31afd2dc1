// Sessions: what is saved comes back, and what cannot be read changes nothing.
#include "base/attributes.h"
#include "check.h"
#include "host.h"

#include <lv2/state/state.h>

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define GUIDE "urn:waymark:guide"
#define TEXT GUIDE "#chartText"
#define FILE_ GUIDE "#chartFile"
#define MESSAGE GUIDE "#chartMessage"
#define LOOK GUIDE "#look"
#define CHART "title: Slack Tide\nkey: G major\n| G | C D | Em | D7 |\n"

/// A state as a preset file writes it.
static LilvState* state_of(Host* h, const char* properties) {
  char text[4096];
  snprintf(text, sizeof(text),
           "@prefix atom: <http://lv2plug.in/ns/ext/atom#> .\n"
           "@prefix lv2: <http://lv2plug.in/ns/lv2core#> .\n"
           "@prefix pset: <http://lv2plug.in/ns/ext/presets#> .\n"
           "@prefix state: <http://lv2plug.in/ns/ext/state#> .\n"
           "@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .\n"
           "@prefix guide: <urn:waymark:guide#> .\n"
           "<urn:test:state> a pset:Preset ; lv2:appliesTo <urn:waymark:guide> ;\n"
           "state:state [ %s ] .\n",
           properties);
  LilvState* const s = lilv_state_new_from_string(h->world, &h->map, text);
  assert_non_null(s);
  return s;
}

static void restored(Host* h, const LilvState* s) {
  host_restore(h, s);
  host_run(h, 64);
}

static const char* told(Host* h, const char* property) {
  host_clear(host_events(h, "out"));
  host_get(h, h->now, property);
  host_run(h, 64);
  return host_told(h, property);
}

static void test_round_trip(void** state) {
  (void)state;
  Host* const a = host_guide(NULL);
  host_chart(a, CHART);
  LilvState* const saved = host_save(a);
  char* const text =
      lilv_state_to_string(a->world, &a->map, &a->unmap, saved, "urn:test:state", NULL);

  Host* const b = host_guide(NULL);
  LilvState* const loaded = lilv_state_new_from_string(b->world, &b->map, text);
  restored(b, loaded);
  assert_string_equal(told(b, TEXT), CHART);
  assert_float_equal(*host_control(b, "chord_root"), 7, 0);

  LilvState* const again = host_save(b);
  char* const second =
      lilv_state_to_string(b->world, &b->map, &b->unmap, again, "urn:test:state", NULL);
  assert_string_equal(text, second);
  free(second);
  free(text);
  lilv_state_free(again);
  lilv_state_free(loaded);
  lilv_state_free(saved);
  host_free(b);
  host_free(a);
}

static void test_saved_before_run_has_taken_it(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  LilvState* const given = state_of(h, "guide:chartText \"| Dm7 | G7 |\"");
  host_restore(h, given);
  Host* const other = host_guide(NULL);
  host_carry(h, other); // run() has not been called in between
  host_run(other, 64);
  assert_string_equal(told(other, TEXT), "| Dm7 | G7 |");
  lilv_state_free(given);
  host_free(other);
  host_free(h);
}

static void test_what_cannot_be_read_changes_nothing(void** state) {
  (void)state;
  static const struct {
    const char *properties, *logged;
  } bad[] = {
      {"guide:chartText \"| D | H |\"", "line 1, column 7"},
      {"guide:chartText \"| D |\\u0001\"", "line 1"},
      {"guide:chartText 12", "not a text"},
      {"guide:chartText true", "not a text"},
      {"guide:chartFile \"no text\"", "not a text"},
      {"guide:chartFile \"/nowhere/at/all\"^^atom:Path", "cannot open the file"},
      {"guide:stateVersion \"2\"^^xsd:int ; guide:chartText \"| C |\"", "version 2"},
      {"guide:stateVersion \"one\" ; guide:chartText \"| C |\"", "version 0"},
      {"guide:stateVersion \"-7\"^^xsd:int ; guide:chartText \"| C |\"", "version -7"},
  };
  for (size_t i = 0; i < WAY_COUNT(bad); ++i) {
    Host* const h = host_guide(NULL);
    host_chart(h, CHART);
    LilvState* const s = state_of(h, bad[i].properties);
    restored(h, s);
    assert_string_equal(told(h, TEXT), CHART);
    assert_float_equal(*host_control(h, "chord_root"), 7, 0);
    if (!strstr(h->log, bad[i].logged))
      fail_msg("%s: logged %s", bad[i].properties, h->log);
    lilv_state_free(s);
    host_free(h);
  }
}

/// What a damaged session hands over for the chart.
typedef struct {
  Host* host;
  const void* bytes;
  size_t size;
} Damaged;

static const void* retrieve_damaged(LV2_State_Handle handle, uint32_t key, size_t* size,
                                    uint32_t* type, uint32_t* flags) {
  const Damaged* const d = (const Damaged*)handle;
  if (key != host_urid(d->host, TEXT)) return NULL;
  *size = d->size;
  *type = host_urid(d->host, LV2_ATOM__String);
  *flags = LV2_STATE_IS_POD;
  return d->bytes;
}

static void test_texts_that_do_not_end_where_they_should(void** state) {
  (void)state;
  static const char text[] = "| C |\0| F |";
  static const struct {
    size_t from, size;
  } parts[] = {{0, 0}, {0, 3}, {0, 5}, {0, sizeof(text)}, {5, 3}};
  for (size_t i = 0; i < WAY_COUNT(parts); ++i) {
    Host* const h = host_guide(NULL);
    host_chart(h, CHART);
    char* const bytes = malloc(parts[i].size + 1); // of this very size, for sanitizers
    assert_non_null(bytes);
    memcpy(bytes + 1, text + parts[i].from, parts[i].size);
    Damaged damaged = {h, bytes + 1, parts[i].size};
    const LV2_State_Interface* const s =
        lilv_instance_get_extension_data(h->instance, LV2_STATE__interface);
    assert_int_not_equal(s->restore(lilv_instance_get_handle(h->instance),
                                    retrieve_damaged, &damaged, 0, NULL),
                         LV2_STATE_SUCCESS);
    host_run(h, 64);
    assert_string_equal(told(h, TEXT), CHART);
    assert_non_null(strstr(h->log, "not a text"));
    free(bytes);
    host_free(h);
  }
}

static void test_state_without_a_chart_keeps_it(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  LilvState* const s = state_of(h, "guide:stateVersion \"1\"^^xsd:int");
  restored(h, s);
  assert_string_equal(told(h, TEXT), CHART);
  assert_string_equal(h->log, "");
  lilv_state_free(s);
  host_free(h);
}

static void test_host_that_offers_nothing(void** state) {
  (void)state;
  const HostOptions options = {.bare = true};
  Host* const h = host_guide(&options);
  LilvState* const s = state_of(h, "guide:chartText \"| Ab |\"");
  for (int i = 0; i < 5; ++i) restored(h, s); // without a worker, old charts still go
  assert_string_equal(told(h, TEXT), "| Ab |");
  assert_float_equal(*host_control(h, "chord_root"), 8, 0);
  lilv_state_free(s);
  host_free(h);
}

static void write_file(const char* path, const char* text) {
  FILE* const f = fopen(path, "w");
  assert_non_null(f);
  fputs(text, f);
  fclose(f);
}

static void test_chart_file(void** state) {
  (void)state;
  char path[] = "/tmp/waymark-test-XXXXXX";
  const int fd = mkstemp(path);
  assert_true(fd >= 0);
  close(fd);
  write_file(path, CHART);
  Host* const h = host_guide(NULL);
  host_set(h, 0, FILE_, LV2_ATOM__Path, path);
  host_run_blocks(h, 128, 64);
  assert_string_equal(told(h, FILE_), path);
  assert_string_equal(told(h, TEXT), CHART);

  // The session carries the text: the file may be gone.
  unlink(path);
  Host* const other = host_guide(NULL);
  host_carry(h, other);
  host_run(other, 64);
  assert_string_equal(told(other, TEXT), CHART);
  assert_string_equal(told(other, FILE_), path);
  host_free(other);
  host_free(h);
}

static void test_bad_chart_files(void** state) {
  (void)state;
  char path[] = "/tmp/waymark-test-XXXXXX";
  const int fd = mkstemp(path);
  assert_true(fd >= 0);
  close(fd);
  static const char* const texts[] = {"", "  \n", "| C | H |", "\xFF\xFE", "time: 0/0"};
  Host* const h = host_guide(NULL);
  host_chart(h, CHART);
  for (size_t i = 0; i < WAY_COUNT(texts); ++i) {
    write_file(path, texts[i]);
    host_set(h, h->now, FILE_, LV2_ATOM__Path, path);
    host_run_blocks(h, 128, 64);
    assert_string_equal(told(h, TEXT), CHART);
    assert_string_not_equal(told(h, MESSAGE), "");
  }
  host_set(h, h->now, FILE_, LV2_ATOM__Path, "/tmp"); // a folder
  host_run_blocks(h, 128, 64);
  assert_non_null(strstr(told(h, MESSAGE), "cannot read the file"));
  host_chart(h, "| C |");
  assert_string_equal(told(h, MESSAGE), "");
  unlink(path);
  host_free(h);
}

static void set_look(Host* h, const char* text) {
  host_set(h, h->now, LOOK, LV2_ATOM__String, text);
  host_run(h, 64);
}

static void test_the_look_is_kept(void** state) {
  (void)state;
  Host* const a = host_guide(NULL);
  host_chart(a, CHART);
  assert_null(told(a, LOOK)); // none yet
  set_look(a, "view: stage");
  set_look(a, "theme: dark; view: full");
  assert_string_equal(told(a, LOOK), "theme: dark; view: full");
  Host* const b = host_guide(NULL);
  host_carry(a, b);
  host_run(b, 64);
  assert_string_equal(told(b, LOOK), "theme: dark; view: full");
  assert_string_equal(told(b, TEXT), CHART);
  host_free(b);
  host_free(a);
}

static void test_a_look_that_is_none_is_left(void** state) {
  (void)state;
  char huge[800];
  memset(huge, 'x', sizeof(huge) - 1);
  huge[sizeof(huge) - 1] = 0;
  Host* const h = host_guide(NULL);
  set_look(h, "theme: dark");
  set_look(h, huge);
  assert_string_equal(told(h, LOOK), "theme: dark");
  LilvState* s = state_of(h, "guide:look 12 ; guide:chartText \"| C |\"");
  restored(h, s);
  assert_string_equal(told(h, LOOK), "theme: dark");
  assert_string_equal(told(h, TEXT), "| C |"); // no reason to leave the rest
  lilv_state_free(s);
  s = state_of(h, "guide:chartText \"| D |\"");
  restored(h, s);
  assert_string_equal(told(h, LOOK), "theme: dark");
  lilv_state_free(s);
  host_free(h);
}

static void test_an_open_window_is_told_of_a_restored_look(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  assert_null(told(h, GUIDE "#screen"));
  LilvState* const s = state_of(h, "guide:look \"theme: dark\"");
  restored(h, s);
  host_clear(host_events(h, "out"));
  for (int i = 0; i < 3; ++i) {
    host_get(h, h->now, GUIDE "#screen"); // as windows do each second
    host_run(h, 64);
    const char* const look = host_told(h, LOOK);
    if (i)
      assert_null(look); // once is enough
    else
      assert_string_equal(look, "theme: dark");
    host_clear(host_events(h, "out"));
  }
  set_look(h, "theme: light"); // whoever sets it knows
  host_get(h, h->now, GUIDE "#screen");
  host_run(h, 64);
  assert_null(host_told(h, LOOK));
  lilv_state_free(s);
  host_free(h);
}

/// Saves as fast as it can while the main thread runs and swaps charts.
static void* save_again_and_again(void* arg) {
  Host* const h = (Host*)arg;
  for (int i = 0; i < 300; ++i) lilv_state_free(host_save(h));
  return NULL;
}

static void test_save_beside_run(void** state) {
  (void)state;
  const HostOptions options = {.threaded = true};
  Host* const h = host_guide(&options);
  host_chart(h, CHART);
  pthread_t thread;
  assert_int_equal(pthread_create(&thread, NULL, save_again_and_again, h), 0);
  for (int i = 0; i < 300; ++i) {
    host_set(h, h->now, TEXT, LV2_ATOM__String, i % 2 ? CHART : "| Bb | F |");
    host_set(h, h->now, LOOK, LV2_ATOM__String, i % 2 ? "theme: dark" : "");
    host_run(h, 64);
  }
  pthread_join(thread, NULL);
  host_settle(h);
  host_run(h, 64);
  host_settle(h);
  host_run(h, 64);
  assert_string_equal(told(h, TEXT), CHART);
  host_free(h);
}

/// Restores as fast as it can while the main thread runs.
static void* restore_again_and_again(void* arg) {
  Host* const h = (Host*)arg;
  LilvState* const s =
      state_of(h, "guide:chartText \"| E | A |\" ; guide:look \"theme: dark\"");
  for (int i = 0; i < 300; ++i) host_restore(h, s);
  lilv_state_free(s);
  return NULL;
}

static void test_restore_beside_run(void** state) {
  (void)state;
  const HostOptions options = {.threaded = true};
  Host* const h = host_guide(&options);
  host_chart(h, CHART);
  pthread_t thread;
  assert_int_equal(pthread_create(&thread, NULL, restore_again_and_again, h), 0);
  for (int i = 0; i < 3000; ++i) {
    host_midi(h, "melody", h->now, i % 2 ? 0x80 : 0x90, 60, 90);
    if (i % 8 == 0) host_set(h, h->now, LOOK, LV2_ATOM__String, "view: stage");
    if (i % 8 == 1) host_get(h, h->now, LOOK);
    host_run(h, 64);
  }
  pthread_join(thread, NULL);
  host_run(h, 64);
  assert_string_equal(told(h, TEXT), "| E | A |");
  const char* const look = told(h, LOOK); // one or the other, and whole
  assert_true(!strcmp(look, "theme: dark") || !strcmp(look, "view: stage"));
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_round_trip),
      cmocka_unit_test(test_saved_before_run_has_taken_it),
      cmocka_unit_test(test_what_cannot_be_read_changes_nothing),
      cmocka_unit_test(test_texts_that_do_not_end_where_they_should),
      cmocka_unit_test(test_state_without_a_chart_keeps_it),
      cmocka_unit_test(test_host_that_offers_nothing),
      cmocka_unit_test(test_chart_file),
      cmocka_unit_test(test_bad_chart_files),
      cmocka_unit_test(test_the_look_is_kept),
      cmocka_unit_test(test_a_look_that_is_none_is_left),
      cmocka_unit_test(test_an_open_window_is_told_of_a_restored_look),
      cmocka_unit_test(test_save_beside_run),
      cmocka_unit_test(test_restore_beside_run),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
