// What leaves by the marks port: notes on lanes and objects say the same, in words that
// ttl/vocabulary.ttl explains.
#include "base/attributes.h"
#include "check.h"
#include "live/mark.h"
#include "page.h"
#include "session.h"

#include <lv2/midi/midi.h>

#define VOCAB "urn:waymark:vocab#"
#define RDF_TYPE "http://www.w3.org/1999/02/22-rdf-syntax-ns#type"
#define RDFS_COMMENT "http://www.w3.org/2000/01/rdf-schema#comment"

static const char* const classes[WAY_MARK_COUNT] = {
    VOCAB "Role", VOCAB "Landing",    VOCAB "Change",
    VOCAB "Top",  VOCAB "Resolution", VOCAB "Learned"};

/// The kind of mark an object is; #WAY_MARK_COUNT if it is none.
static unsigned kind_of(Host* h, const HostEvent* e) {
  const LV2_URID type = host_object_type(h, e);
  unsigned kind = 0;
  while (kind < WAY_MARK_COUNT && type != host_urid(h, classes[kind])) ++kind;
  return kind;
}

/// What lane and velocity the object calls for.
static void check_lane(Host* h, const HostEvent* object, const HostEvent* on) {
  WayMark m = {.kind = (uint8_t)kind_of(h, object)};
  if (way_mark_of_note(&m)) {
    m.role.role = (uint8_t)host_number(h, object, VOCAB "role");
    m.role.interval = (uint8_t)host_number(h, object, VOCAB "interval");
  }
  if (m.kind == WAY_MARK_LANDING)
    m.landing = (uint8_t)host_number(h, object, VOCAB "landing");
  assert_int_equal(on->frame, object->frame);
  assert_int_equal(on->body[0], 0x9F); // channel 16 unless told otherwise
  assert_int_equal(on->body[1], way_lanes[way_mark_lane(&m)].note);
  assert_int_equal(on->body[2], way_mark_velocity(&m));
}

static void test_each_object_has_its_lane_note(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  session_prepare(h, 1);
  session_run(h, 1, 256);
  const HostEvents* const marks = host_events(h, "marks");
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  unsigned seen[WAY_MARK_COUNT] = {0};
  for (size_t i = 0; i < marks->n; ++i) {
    if (marks->at[i].type == midi) continue;
    assert_true(i > 0 && marks->at[i - 1].type == midi);
    check_lane(h, &marks->at[i], &marks->at[i - 1]);
    ++seen[kind_of(h, &marks->at[i])];
  }
  for (unsigned k = 0; k < WAY_MARK_RESOLUTION; ++k) assert_true(seen[k] > 0);
  host_free(h);
}

static void test_a_resolution_follows_its_role(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "key: C major\n| C |");
  *host_control(h, "source") = 1;
  host_midi(h, "melody", h->now, 0x90, 61, 90);
  host_midi(h, "melody", h->now, 0x90, 62, 90);
  host_run(h, 64);
  const HostEvents* const marks = host_events(h, "marks");
  assert_int_equal(marks->n, 6); // each with its lane's note
  assert_int_equal(kind_of(h, &marks->at[5]), WAY_MARK_RESOLUTION);
  assert_true(host_number(h, &marks->at[5], VOCAB "pitch") == 62);
  check_lane(h, &marks->at[5], &marks->at[4]);
  host_free(h);
}

static void test_lane_notes_are_short(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  session_prepare(h, 1);
  session_run(h, 1, 64);
  host_run_blocks(h, 4800, 64);
  const HostEvents* const marks = host_events(h, "marks");
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  int64_t began[128];
  memset(began, 0xFF, sizeof(began));
  for (size_t i = 0; i < marks->n; ++i) {
    const HostEvent* const e = &marks->at[i];
    if (e->type != midi) continue;
    int64_t* const since = &began[e->body[1]];
    if ((e->body[0] & 0xF0) == 0x90) {
      assert_int_equal(*since, -1);
      *since = e->frame;
    } else {
      assert_in_range(e->frame - *since, 0, 2401); // a twentieth of a second
      *since = -1;
    }
  }
  for (unsigned lane = 0; lane < 128; ++lane) assert_int_equal(began[lane], -1);
  host_free(h);
}

static void test_marks_on_the_first_output(void** state) {
  (void)state;
  for (int on = 0; on < 2; ++on) {
    Host* const h = host_guide(NULL);
    session_prepare(h, 1);
    *host_control(h, "marks_on_out") = (float)on;
    *host_control(h, "mark_channel") = 12;
    session_run(h, 1, 256);
    const HostEvents* const out = host_events(h, "out");
    unsigned lanes = 0;
    for (size_t i = 0; i < out->n; ++i) lanes += out->at[i].body[0] == 0x9B;
    assert_true(on ? lanes > 50 : !lanes);
    host_free(h);
  }
}

static void test_vocabulary_explains_every_word(void** state) {
  (void)state;
  static const char* const properties[] = {
      "again",  "early", "pitch", "role",       "interval", "degree",  "tick",
      "chorus", "bar",   "root",  "rootLetter", "tones",    "landing", "heldOver"};
  Host* const h = host_guide(NULL);
  session_prepare(h, 1);
  session_run(h, 1, 256);
  const HostEvents* const marks = host_events(h, "marks");
  lilv_node_free(lilv_plugin_get_name(h->plugin)); // makes lilv read the files
  LilvNode* const type = lilv_new_uri(h->world, RDF_TYPE);
  LilvNode* const comment = lilv_new_uri(h->world, RDFS_COMMENT);
  for (size_t i = 0; i < WAY_COUNT(classes) + WAY_COUNT(properties); ++i) {
    char uri[96] = VOCAB;
    if (i < WAY_COUNT(classes) && !classes[i])
      fail_msg("no class for '%s'", way_mark_name((WayMarkKind)i));
    if (i < WAY_COUNT(classes))
      memcpy(uri, classes[i], strlen(classes[i]) + 1);
    else
      strncat(uri, properties[i - WAY_COUNT(classes)], 32);
    LilvNode* const word = lilv_new_uri(h->world, uri);
    assert_true(lilv_world_ask(h->world, word, type, NULL));
    assert_true(lilv_world_ask(h->world, word, comment, NULL));
    lilv_node_free(word);
  }
  for (size_t i = 0; i < marks->n; ++i) { // no object has more, or less
    const unsigned kind = kind_of(h, &marks->at[i]);
    if (kind == WAY_MARK_COUNT) continue;
    unsigned n = 0;
    for (size_t k = 0; k < WAY_COUNT(properties); ++k) {
      char uri[96] = VOCAB;
      if (!isnan(host_number(h, &marks->at[i], strncat(uri, properties[k], 32)))) ++n;
    }
    const bool early = !isnan(host_number(h, &marks->at[i], VOCAB "early"));
    const unsigned least = kind == WAY_MARK_LANDING                               ? 12
                           : kind == WAY_MARK_ROLE || kind == WAY_MARK_RESOLUTION ? 4
                                                                                  : 6;
    assert_int_equal(n, least + (early ? 2 : 0));
    assert_int_equal(marks->at[i].size, 8 + 24 * n);
  }
  lilv_node_free(comment);
  lilv_node_free(type);
  host_free(h);
}

static void test_the_manual_has_every_mark_and_lane(void** state) {
  (void)state;
  static char page[1u << 16];
  static const char* const keys[] = {"C",  "C#", "D",  "D#", "E",  "F",
                                     "F#", "G",  "G#", "A",  "A#", "B"};
  page_read(DOCS "/marks.md", page, sizeof(page));
  char text[64];
  for (int i = 0; i < WAY_MARK_COUNT; ++i) {
    const char* const name = way_mark_name((WayMarkKind)i);
    snprintf(text, sizeof(text), "\n| %s | ", name); // when there is one
    if (!strstr(page, text)) fail_msg("not in marks.md:%s", text);
    snprintf(text, sizeof(text), "\n%s ", name); // its text
    if (!strstr(page, text)) fail_msg("not in marks.md:%s", text);
  }
  for (size_t i = 0; i < WAY_LANE_COUNT; ++i) {
    snprintf(text, sizeof(text), "\n| %u | %s | ", way_lanes[i].note,
             keys[way_lanes[i].note % 12]);
    if (!strstr(page, text)) fail_msg("not in marks.md:%s", text);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_the_manual_has_every_mark_and_lane),
      cmocka_unit_test(test_each_object_has_its_lane_note),
      cmocka_unit_test(test_a_resolution_follows_its_role),
      cmocka_unit_test(test_lane_notes_are_short),
      cmocka_unit_test(test_marks_on_the_first_output),
      cmocka_unit_test(test_vocabulary_explains_every_word),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
