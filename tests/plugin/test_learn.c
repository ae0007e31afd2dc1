// Learning the form in a host: the chord tracks of backings, loops, sessions.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "check.h"
#include "host.h"
#include "page.h"
#include "rt_guard.h"
#include "take/backing.h"
#include "take/tempo_map.h"

#include <lv2/midi/midi.h>
#include <lv2/state/state.h>

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LEARNED "urn:waymark:guide#learned"
#define TEXT "urn:waymark:guide#chartText"
#define LEARNED_MARK "urn:waymark:vocab#Learned"
#define RATE 48000.0
/// A bar of 4/4 at 120 quarter notes a minute, in frames.
#define BAR 96000

static const char* told(Host* h, const char* property) {
  host_clear(host_events(h, "out"));
  host_get(h, h->now, property);
  host_run(h, 64);
  const char* const text = host_told(h, property);
  assert_non_null(text);
  return text;
}

static unsigned marks(Host* h) {
  const HostEvents* const m = host_events(h, "marks");
  unsigned n = 0;
  for (size_t i = 0; i < m->n; ++i)
    n += host_object_type(h, &m->at[i]) == host_urid(h, LEARNED_MARK);
  return n;
}

// Chords by letters, one a bar; `.` goes on with the chord before.

static void chord(Host* h, int64_t from, int64_t to, char letter) {
  static const uint8_t steps[] = {9, 11, 0, 2, 4, 5, 7}; // A to G
  const int root = 48 + steps[letter - 'A'];
  for (int i = 0; i < 3; ++i) {
    const uint8_t key = (uint8_t)(root + (i == 1 ? 4 : i == 2 ? 7 : 0));
    host_midi(h, "chords", from, 0x90, key, 80);
    host_midi(h, "chords", to - 100, 0x80, key, 0);
  }
}

/// Play from bar `bar` of the song on, rolling at 120 in 4/4.
static void play(Host* h, int bar, const char* letters, uint32_t block) {
  const int64_t start = h->now;
  const HostPosition p = host_position_at(4.0 * bar, 120);
  host_position(h, start, &p);
  const int64_t n = (int64_t)strlen(letters);
  for (int64_t i = 0; i < n; ++i)
    if (letters[i] != '.') chord(h, start + i * BAR, start + (i + 1) * BAR, letters[i]);
  host_run_blocks(h, n * BAR, block);
}

#define FORM "time: 4/4\ntempo: 120\n\n| C | A | F | G |\n| D | E | B | A |\n"

static void test_blocks_do_not_matter(void** state) {
  (void)state;
  static const uint32_t blocks[] = {64, 311, 1024, 8192};
  HostEvents first = {0, 0, NULL};
  for (size_t i = 0; i < WAY_COUNT(blocks); ++i) {
    Host* const h = host_guide(NULL);
    play(h, 0, "CAFGDEBACAFGDEBACAFGDEB", blocks[i]);
    assert_int_equal(marks(h), 1);
    HostEvents* const m = host_events(h, "marks");
    if (!i) {
      for (size_t k = 0; k < m->n; ++k)
        host_add(&first, m->at[k].frame, m->at[k].type, m->at[k].body, m->at[k].size);
    } else {
      assert_int_equal(m->n, first.n);
      for (size_t k = 0; k < m->n; ++k) {
        assert_int_equal(m->at[k].frame, first.at[k].frame);
        assert_int_equal(m->at[k].size, first.at[k].size);
        assert_memory_equal(m->at[k].body, first.at[k].body, m->at[k].size);
      }
    }
    assert_string_equal(told(h, LEARNED), FORM);
    host_free(h);
  }
  host_clear(&first);
  free(first.at);
}

static void test_it_goes_on_alone(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  play(h, 0, "CAFGDEBACAFGDE", 256);
  play(h, 14, "....", 256);                                 // the chord track is muted
  assert_float_equal(*host_control(h, "chord_root"), 5, 0); // at the next bar line
  assert_float_equal(*host_control(h, "next_root"), 7, 0);
  assert_float_equal(*host_control(h, "bar"), 3, 0);
  assert_float_equal(*host_control(h, "chorus"), 3, 0);
  host_free(h);
}

/// Keys of a chord struck one by one, as by hand: its first three are another chord.
static void broken(Host* h, int64_t from, const uint8_t keys[4]) {
  for (int i = 0; i < 4; ++i) {
    host_midi(h, "chords", from + 300 * i, 0x90, keys[i], 80);
    host_midi(h, "chords", from + BAR - 4800, 0x80, keys[i], 0);
  }
}

/// The form stays in force, however slowly its chords are struck.
static void test_chords_struck_key_by_key(void** state) {
  (void)state;
  static const uint8_t chords[4][4] = {
      {48, 52, 55, 59}, {45, 48, 52, 55}, {50, 53, 57, 60}, {43, 47, 50, 53}};
  static const int roots[] = {0, 9, 2, 7}; // Cmaj7 Am7 Dm7 G7
  Host* const h = host_guide(NULL);
  const int64_t start = h->now;
  const HostPosition p = host_position_at(0, 120);
  host_position(h, start, &p);
  for (int bar = 0; bar < 12; ++bar) {
    broken(h, start + (int64_t)bar * BAR, chords[bar % 4]);
    host_run_blocks(h, BAR / 2, 256);
    assert_float_equal(*host_control(h, "chord_root"), roots[bar % 4], 0);
    if (bar >= 8) // from the third chorus on at the latest
      assert_float_equal(*host_control(h, "next_root"), roots[(bar + 1) % 4], 0);
    host_run_blocks(h, BAR / 2, 256);
  }
  host_free(h);
}

/// The first bar after a loop is the second chorus.
static void test_loops(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  play(h, 4, "CAFG", 256);
  assert_string_equal(told(h, LEARNED), "");
  h->now -= 64; // the loop has no gap
  play(h, 4, "CA", 256);
  assert_string_equal(told(h, LEARNED),
                      "; begins in bar 5, counted from the start bar\n"
                      "time: 4/4\ntempo: 120\n\n| C | A | F | G |\n");
  assert_float_equal(*host_control(h, "next_root"), 7, 0);
  host_free(h);
}

static void test_keep(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  play(h, 0, "CAFG", 256);
  *host_control(h, "keep") = 1;
  play(h, 4, "CA", 256);
  assert_float_equal(*host_control(h, "next_root"), 7, 0);
  // Of all that was heard, four of five chords come again two bars on.
  play(h, 6, "DEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDEDE", 256);
  assert_string_equal(told(h, LEARNED), "time: 4/4\ntempo: 120\n\n| C | A | F | G |\n");
  host_free(h);
}

static void test_a_chart_comes_first(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  host_chart(h, "| Eb | Ab |");
  play(h, 0, "CAFGDEBACAFGDEBA", 256);
  assert_string_equal(told(h, LEARNED), "");
  assert_int_equal(marks(h), 0);
  host_chart(h, " ");
  play(h, 0, "CAFGDEBACAFGDEBA", 256);
  assert_string_equal(told(h, LEARNED), FORM);
  host_chart(h, "| Eb | Ab |");
  play(h, 0, ".", 256);
  *host_control(h, "source") = 1;
  host_run(h, 1024);
  assert_float_equal(*host_control(h, "next_root"), 3, 0);
  host_free(h);
}

static void test_off_learns_nothing_and_forgets(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  *host_control(h, "learn") = 0;
  play(h, 0, "CAFGDEBACAFGDEBA", 256);
  assert_string_equal(told(h, LEARNED), "");
  *host_control(h, "learn") = 1;
  play(h, 16, "CAFGDEBACAFGDEBA", 256);
  assert_true(*told(h, LEARNED) != 0);
  *host_control(h, "learn") = 0;
  host_run(h, 1024);
  assert_string_equal(told(h, LEARNED), "");
  host_free(h);
}

/// Without bars or tempo there is nothing to learn by.
static void test_hosts_that_say_little(void** state) {
  (void)state;
  for (int i = 0; i < 2; ++i) {
    Host* const h = host_guide(NULL);
    HostPosition p = host_position_at(0, 120);
    if (i) p.bpm = NAN;
    if (!i) p.bar = p.bar_beat = NAN;
    p.frame = 0;
    static const char letters[] = "CAFGDEBACAFGDEBA";
    host_position(h, 0, &p);
    for (int k = 0; letters[k]; ++k)
      chord(h, k * (int64_t)BAR, (k + 1) * (int64_t)BAR, letters[k]);
    host_run_blocks(h, 16 * (int64_t)BAR, 512);
    assert_string_equal(told(h, LEARNED), "");
    host_free(h);
  }
}

// Sessions.

static void test_session(void** state) {
  (void)state;
  Host* const a = host_guide(NULL);
  play(a, 2, "CAFGDEBACAFGDEBA", 256);
  char* const text = strdup(told(a, LEARNED));
  LilvState* const saved = host_save(a);
  char* const bytes =
      lilv_state_to_string(a->world, &a->map, &a->unmap, saved, "urn:test:state", NULL);
  Host* const b = host_guide(NULL);
  LilvState* const loaded = lilv_state_new_from_string(b->world, &b->map, bytes);
  host_restore(b, loaded);
  host_run(b, 64);
  assert_string_equal(told(b, LEARNED), text);
  play(b, 3, ".", 64); // the second bar of the form, and nothing is heard
  assert_float_equal(*host_control(b, "chord_root"), 5, 0);
  assert_float_equal(*host_control(b, "next_root"), 7, 0);
  assert_int_equal(marks(b), 0); // it was learned before
  *host_control(b, "learn") = 0;
  host_run(b, 1024);
  LilvState* const forgotten = host_save(b);
  char* const without = lilv_state_to_string(b->world, &b->map, &b->unmap, forgotten,
                                             "urn:test:state", NULL);
  assert_null(strstr(without, "learned>"));
  free(without);
  free(bytes);
  free(text);
  lilv_state_free(forgotten);
  lilv_state_free(loaded);
  lilv_state_free(saved);
  host_free(b);
  host_free(a);
}

/// Jobs of the worker that wait until the test lets them go.
static HostJob* waiting;
static Host* waits_for;

static void run_without_worker(LilvInstance* instance, uint32_t n_frames) {
  lilv_instance_run(instance, n_frames);
  if (!waits_for || !waits_for->jobs) return;
  assert_null(waiting); // one form is found
  waiting = waits_for->jobs;
  waits_for->jobs = NULL;
}

/// The worker is so slow that a session is loaded before the chart of a form is made.
static void test_a_form_that_is_made_too_late(void** state) {
  (void)state;
  const HostOptions options = {.deferred = true, .run = run_without_worker};
  Host* const h = host_guide(&options);
  Host* const other = host_guide(NULL);
  play(other, 0, "DEBADEBADEBA", 256);
  LilvState* const saved = host_save(other);
  waits_for = h;
  play(h, 0, "CAFGCAFGCA", 256);
  assert_non_null(waiting);
  waits_for = NULL;
  host_restore(h, saved);
  host_run(h, 64);
  h->jobs = waiting;
  waiting = NULL;
  host_run_blocks(h, 4096, 64); // it is made, and what is not in use any more is freed
  play(h, 0, "..", 256);
  assert_float_equal(*host_control(h, "chord_root"), 11, 0); // at the next bar line
  assert_float_equal(*host_control(h, "next_root"), 9, 0);
  assert_string_equal(told(h, LEARNED), "time: 4/4\ntempo: 120\n\n| D | E | B | A |\n");
  Host* const third = host_guide(NULL);
  host_carry(h, third);
  host_run(third, 64);
  assert_string_equal(told(third, LEARNED),
                      "time: 4/4\ntempo: 120\n\n| D | E | B | A |\n");
  lilv_state_free(saved);
  host_free(third);
  host_free(other);
  host_free(h);
}

#define FORM_FROM "guide:learned \"| C | D | G | D |\" ; guide:learnedFrom "

static void test_damaged_session(void** state) {
  (void)state;
  static const struct {
    const char *properties, *logged;
  } bad[] = {
      {"guide:learned \"| C | H |\"", "line 1, column 7"},
      {"guide:learned 12", "not a text"},
      {"guide:learned \"\"", "no form"},
      {"guide:learned \"[A]\\ntime: 3/4\\n| C |\\n[B]\\ntime: 4/4\\n| C |\"",
       "no form"},
      {FORM_FROM "\"9223372036854775807\"^^xsd:long", "no form"},
      {FORM_FROM "\"-9223372036854775808\"^^xsd:long", "no form"},
      {FORM_FROM "\"15361\"^^xsd:long", "no form"}, // a tick behind a bar line
      {FORM_FROM "\"bar 2\"", "no form"},
  };
  for (size_t i = 0; i < WAY_COUNT(bad); ++i) {
    Host* const h = host_guide(NULL);
    play(h, 0, "CAFGDEBACAFGDEBA", 256);
    char text[1024];
    snprintf(text, sizeof(text),
             "@prefix lv2: <http://lv2plug.in/ns/lv2core#> .\n"
             "@prefix pset: <http://lv2plug.in/ns/ext/presets#> .\n"
             "@prefix state: <http://lv2plug.in/ns/ext/state#> .\n"
             "@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .\n"
             "@prefix guide: <urn:waymark:guide#> .\n"
             "<urn:test:state> a pset:Preset ; lv2:appliesTo <urn:waymark:guide> ;\n"
             "state:state [ %s ] .\n",
             bad[i].properties);
    LilvState* const s = lilv_state_new_from_string(h->world, &h->map, text);
    assert_non_null(s);
    host_restore(h, s);
    assert_string_equal(told(h, LEARNED), FORM);
    if (!strstr(h->log, bad[i].logged)) fail_msg("%zu: logged %s", i, h->log);
    lilv_state_free(s);
    host_free(h);
  }
}

static void test_run_is_not_caught(void** state) {
  (void)state;
  if (!rt_guard_works()) return; // test_realtime says so
  for (int threaded = 0; threaded < 2; ++threaded) {
    const HostOptions options = {.guarded = true, .threaded = threaded != 0};
    Host* const h = host_guide(&options);
    play(h, 0, "CAFGDEBACAFGDEBACAFGDEBADDDDDDDDDCAFGCAFGCAFGCAFG", 1024);
    host_settle(h);
    host_run(h, 64);
    assert_true(*told(h, LEARNED) != 0);
    if (h->caught) fail_msg("run() was caught at %s", h->first_caught);
    host_free(h);
  }
}

// The chord tracks of backings.

static WayTimeline* read(const char* text) {
  WayTimeline* t = NULL;
  WayError e = {WAY_OK, 0, 0, 0, ""};
  if (way_timeline_read(way_text(text), &t, &e)) fail_msg("%s", e.message);
  return t;
}

/// On every beat both have the same chord.
static void compare(const char* name, const WayTimeline* a, const WayTimeline* b) {
  if (a->length % b->length) fail_msg("%s: not of the same length", name);
  const WayTick beat = way_metre_beat(a->bars[0].metre);
  for (WayTick at = 0; at < a->length; at += beat) {
    const WayChord* const x =
        &way_timeline_harmony(a, way_timeline_at(a, at).span)->chord;
    const WayChord* const y =
        &way_timeline_harmony(b, way_timeline_at(b, at).span)->chord;
    if (way_chord_pcs(x) != way_chord_pcs(y) ||
        way_spelling_pc(x->bass) != way_spelling_pc(y->bass))
      fail_msg("%s: another chord at tick %ld", name, (long)at);
  }
}

static int64_t frame_of(const WayTempoMap* tempo, uint64_t tick) {
  return llround(way_tempo_map_seconds(tempo, tick) * RATE);
}

/// What comes is known all through the last chorus.
static void check_what_comes(const char* name, Host* h, const WayTimeline* t,
                             const WayTempoMap* tempo, const WaySmf* smf, WayTick top) {
  const WayTick beat = way_metre_beat(t->bars[0].metre);
  for (WayTick at = beat / 2; at < t->length; at += beat) {
    const uint64_t tick = way_smf_file_tick(smf, top + 2 * t->length + at);
    host_run_blocks(h, frame_of(tempo, tick) - h->now, 4096);
    const WayPlace place = way_timeline_at(t, at);
    const WayChord* const next = &way_timeline_harmony(t, place.next)->chord;
    const double beats = (double)place.until / (double)beat;
    const int root = way_chord_is_none(next) ? -1 : way_spelling_pc(next->root);
    if ((int)*host_control(h, "next_root") != root)
      fail_msg("%s, bar %u: next is %g", name, place.bar + 1,
               (double)*host_control(h, "next_root"));
    assert_float_equal(*host_control(h, "beats_to_change"), beats,
                       0.06); // eyes don't see it
    assert_float_equal(*host_control(h, "beat"), (double)(place.in_bar / beat + 1), 0);
  }
}

static void learn_backing(const char* path) {
  char text[4096];
  page_read(path, text, sizeof(text));
  WayChart* chart = NULL;
  WayTimeline* t = NULL;
  assert_int_equal(way_chart_read(way_text(text), &chart, NULL), WAY_OK);
  assert_int_equal(way_chart_unroll(chart, &t), WAY_OK);
  const WayBackingChoice choice = way_backing_default();
  WayTick top = 0;
  WaySmf* smf = NULL;
  assert_int_equal(way_backing_new(chart, t, &choice, &top, &smf), WAY_OK);
  WayTempoMap* const tempo = way_tempo_map_new(smf);
  Host* const h = host_guide(NULL);
  *host_control(h, "chord_stays") = 0.3F; // silence is heard, too
  const WayMetre metre = t->bars[0].metre;
  const HostPosition p = {.speed = 1,
                          .frame = 0,
                          .bar = 0,
                          .bar_beat = 0,
                          .beats_per_bar = metre.beats,
                          .beat_unit = metre.unit,
                          .bpm = 60e6 / way_tempo_map_at(tempo, 0) * metre.unit / 4};
  host_position(h, 0, &p);
  const WaySmfTrack* const track = &smf->tracks[1 + WAY_PART_CHORDS];
  for (uint32_t i = 0; i < track->n; ++i)
    if (track->events[i].bytes[0] < 0xF0)
      host_insert(host_events(h, "chords"), frame_of(tempo, track->events[i].tick),
                  host_urid(h, LV2_MIDI__MidiEvent), track->events[i].bytes,
                  track->events[i].size);
  check_what_comes(path, h, t, tempo, smf, top);
  WayTimeline* const learned = read(told(h, LEARNED));
  compare(path, t, learned);
  way_timeline_free(learned);
  host_free(h);
  way_tempo_map_free(tempo);
  way_smf_free(smf);
  way_timeline_free(t);
  way_chart_free(chart);
}

static void test_backings_teach_their_charts(void** state) {
  (void)state;
  glob_t charts;
  assert_int_equal(glob(PRESETS_SOURCE "/charts/*.chart", 0, NULL, &charts), 0);
  assert_true(charts.gl_pathc >= 11);
  for (size_t i = 0; i < charts.gl_pathc; ++i) learn_backing(charts.gl_pathv[i]);
  globfree(&charts);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_blocks_do_not_matter),
      cmocka_unit_test(test_it_goes_on_alone),
      cmocka_unit_test(test_chords_struck_key_by_key),
      cmocka_unit_test(test_loops),
      cmocka_unit_test(test_keep),
      cmocka_unit_test(test_a_chart_comes_first),
      cmocka_unit_test(test_off_learns_nothing_and_forgets),
      cmocka_unit_test(test_hosts_that_say_little),
      cmocka_unit_test(test_session),
      cmocka_unit_test(test_a_form_that_is_made_too_late),
      cmocka_unit_test(test_damaged_session),
      cmocka_unit_test(test_run_is_not_caught),
      cmocka_unit_test(test_backings_teach_their_charts),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
