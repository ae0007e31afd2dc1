// The plug-in in a host and `waymark run` over a file: the same events, the same marks.
#include "../../plugin/ports.h"
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "check.h"
#include "host.h"
#include "rng.h"
#include "take/run.h"
#include "take/smf_read.h"
#include "take/smf_write.h"
#include "take/tempo_map.h"

#include <lv2/midi/midi.h>

#include <stdlib.h>

#define RATE 48000.0
#define DIVISION 480
#define BEATS 64
#define CHART                                                                          \
  "title: Gull Market\nkey: F major\ntempo: 100\n"                                     \
  "| F | Dm7>3 | Gm7 | C7 |\n| Am7b5 D7b9 | Gm | Bbm6 / C7sus4 / | F |\n"              \
  "| N.C. | Eb7#11 | Db Db7 | C7>b7 |\n"

/// A take drawn from a seed, and everything to play it with.
typedef struct {
  WaySmf* smf;
  uint8_t* bytes;
  size_t size;
  WayTempoMap* tempo;
  WaySettings settings;
  bool learns;       ///< Without a chart: its chords come round
  uint32_t keep_bar; ///< As in #WayRunChoice
} Take;

static void add(Take* t, uint32_t track, uint64_t tick, uint8_t a, uint8_t b,
                uint8_t c) {
  const uint8_t bytes[3] = {a, b, c};
  assert_int_equal(way_smf_add(t->smf, track, tick, bytes, 3), WAY_OK);
}

static void add_tempo(Take* t, uint64_t tick, double bpm) {
  const uint32_t us = (uint32_t)(60e6 / bpm);
  const uint8_t bytes[5] = {0xFF, 0x51, (uint8_t)(us >> 16), (uint8_t)(us >> 8),
                            (uint8_t)us};
  assert_int_equal(way_smf_add(t->smf, 0, tick, bytes, sizeof(bytes)), WAY_OK);
}

static WaySettings draw_settings(uint32_t* rng) {
  WaySettings s = way_settings_default();
  s.handling = (WayHandling)rng_below(rng, WAY_HANDLING_COUNT);
  s.material = (WayMaterial)rng_below(rng, WAY_MATERIAL_COUNT);
  s.snap = (WaySnap)rng_below(rng, WAY_SNAP_COUNT);
  s.held = (WayHeld)rng_below(rng, WAY_HELD_COUNT);
  s.source = (WaySource)rng_below(rng, WAY_SOURCE_COUNT);
  s.early = rng_below(rng, 3) * 0.25;
  s.tag_channel = (uint8_t)rng_below(rng, WAY_TAG_CHANNEL_MAX + 1);
  s.start_bar = 1 + (int32_t)rng_below(rng, 3);
  s.max_distance = (uint8_t)(1 + rng_below(rng, 4));
  s.soften_to = (uint8_t)(1 + rng_below(rng, 100));
  s.strum = (uint16_t)(rng_below(rng, 3) * 125); // a sixteenth at 120
  s.chord_stays = rng_below(rng, 3) * 0.5;
  s.grace = (uint16_t)(rng_below(rng, 3) * 125);
  s.strings = !rng_below(rng, 4);
  s.range_low = (uint8_t)rng_below(rng, 50);
  s.range_high = (uint8_t)(70 + rng_below(rng, 58));
  return s;
}

/// Settings that go by the seed, so that few seeds try them all.
static void choose_by_seed(WaySettings* s, uint32_t seed) {
  s->click = (WayClickAt)(seed % WAY_CLICK_AT_COUNT);
  s->scope = (WayScope)(seed / 3 % WAY_SCOPE_COUNT);
  s->approach = seed / 5 % 3 * 0.25;
  s->click_lead = (uint8_t)(seed / 4 % 3);
  s->click_channel = (uint8_t)(1 + seed % 16);
  s->click_velocity = (uint8_t)(1 + seed % 127);
  s->click_length = (uint16_t)(125 << seed % 3);
  s->bend_range = 2 + seed % 2 * 10;
  s->melody_channel = seed % 7 == 3;
  s->chord_channel = (uint8_t)(seed % 6 == 5 ? 1 : 16);
  s->split_key = (uint8_t)(40 + seed % 24);
  s->learn = seed % 12 != 1;
}

/// Begin with messages that say how bends are meant, or with none.
static void add_setup(Take* t, unsigned setup) {
  static const uint8_t setups[][3][2] = {
      {{101, 0}, {100, 0}, {6, 12}}, // a bend reaches an octave
      {{101, 0}, {100, 6}, {6, 15}}, // a zone of all channels
      {{127, 0}, {126, 6}, {1, 0}},  // six strings
  };
  for (unsigned i = 0; setup < WAY_COUNT(setups) && i < 3; ++i)
    add(t, 1, 0, 0xB0, setups[setup][i][0], setups[setup][i][1]);
}

/// Notes on a grid of sixteenths and beside it; chords a bar long; a tempo change.
static Take draw_take(uint32_t seed) {
  uint32_t rng = seed;
  Take t = {.smf = way_smf_new(1, DIVISION), .settings = draw_settings(&rng)};
  choose_by_seed(&t.settings, seed);
  for (int i = 0; i < 3; ++i) assert_non_null(way_smf_add_track(t.smf));
  const uint32_t tempos[2] = {90 + rng_below(&rng, 100), 120};
  add_tempo(&t, 0, tempos[seed % 2]); // at 120 times end on the notes' grid
  const uint32_t later = 60 + rng_below(&rng, 100);
  add_tempo(&t, (uint64_t)DIVISION * (8 + rng_below(&rng, 40)), later);
  add_setup(&t, seed % 10);
  for (uint64_t tick = 1; tick < BEATS * DIVISION;) {
    const uint8_t key = (uint8_t)(36 + rng_below(&rng, 50));
    const uint8_t channel = rng_below(&rng, 5) ? 0 : 15;
    const uint64_t end = tick + 20 + rng_below(&rng, 3 * DIVISION);
    add(&t, 1, tick, 0x90 | channel, key, (uint8_t)(1 + rng_below(&rng, 127)));
    if (end < BEATS * DIVISION) add(&t, 1, end, 0x80 | channel, key, 64);
    if (!rng_below(&rng, 6)) add(&t, 1, tick, 0xB0, 1, key);
    if (!rng_below(&rng, 6)) add(&t, 1, tick + 5, 0xE0 | channel, key, key);
    tick += rng_below(&rng, 2) ? DIVISION / 4 - (tick + 60) % (DIVISION / 4)
                               : 1 + rng_below(&rng, DIVISION);
  }
  t.learns = seed % 2;
  if (t.learns && seed % 8 != 7)
    t.settings.source = seed % 4 == 1 ? WAY_SOURCE_AUTO : WAY_SOURCE_TRACK;
  t.keep_bar = t.learns && seed % 5 == 1 ? 6 : 0;
  unsigned roots[16];
  for (unsigned bar = 0; bar < BEATS / 4; ++bar) {
    roots[bar] = 40 + rng_below(&rng, 12);
    if (t.learns && bar >= 4 && rng_below(&rng, 40)) roots[bar] = roots[bar - 4];
    const uint64_t tick = (uint64_t)bar * 4 * DIVISION;
    for (unsigned i = 0, key = roots[bar]; bar + 1 < BEATS / 4 && i < 3;
         ++i, key += 3 + i) {
      add(&t, 2, tick, 0x90, (uint8_t)key, 70);
      add(&t, 2, tick + 3 * DIVISION, 0x80, (uint8_t)key, 0);
    }
  }
  static const uint8_t end[2] = {0xFF, 0x2F}; // beside every change and note
  assert_int_equal(way_smf_add(t.smf, 1, BEATS * DIVISION + 7, end, 2), WAY_OK);
  assert_int_equal(way_smf_write(t.smf, &t.bytes, &t.size), WAY_OK);
  way_smf_free(t.smf);
  assert_int_equal(way_smf_read(t.bytes, t.size, &t.smf, NULL), WAY_OK);
  t.tempo = way_tempo_map_new(t.smf);
  assert_non_null(t.tempo);
  return t;
}

static void take_end(Take* t) {
  way_tempo_map_free(t->tempo);
  way_smf_free(t->smf);
  free(t->bytes);
}

static int64_t frame_of(const Take* t, uint64_t tick) {
  return llround(way_tempo_map_seconds(t->tempo, tick) * RATE);
}

static void queue_track(Host* h, const Take* t, uint32_t track, const char* port) {
  const WaySmfTrack* const from = &t->smf->tracks[track];
  for (uint32_t i = 0; i < from->n; ++i)
    host_insert(host_events(h, port), frame_of(t, from->events[i].tick),
                host_urid(h, LV2_MIDI__MidiEvent), from->events[i].bytes,
                from->events[i].size);
}

/// The host's place at every sixteenth, exactly; that is where tempos change, too.
static void queue_positions(Host* h, const Take* t) {
  for (uint64_t tick = 0; tick < BEATS * DIVISION; tick += DIVISION / 4) {
    const int64_t frame = frame_of(t, tick);
    const double tempo = 60e6 / way_tempo_map_at(t->tempo, tick);
    const double beside = (double)frame - way_tempo_map_seconds(t->tempo, tick) * RATE;
    const double beat = (double)tick / DIVISION + beside / RATE * tempo / 60;
    HostPosition p = host_position_at(beat < 0 ? 0 : beat, tempo);
    host_position(h, frame, &p);
  }
}

static Host* play(const Take* t) {
  Host* const h = host_guide(NULL);
  assert_non_null(h);
  const WaySettings* const s = &t->settings;
  static const char* const symbols[] = {
#define SYMBOL(name, symbol) symbol,
      WAY_PORTS(WAY_PORTS_NONE, SYMBOL, WAY_PORTS_NONE)};
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i)
    for (unsigned k = 0; k < WAY_SETTING_COUNT; ++k)
      if (!strcmp(way_setting_rows[k].symbol, symbols[i]))
        *host_control(h, symbols[i]) = (float)way_settings_get(s, (WaySetting)k);
  *host_control(h, "marks_as_text") = 1;
  if (!t->learns) host_chart(h, CHART);
  for (uint32_t i = 0; i < h->n_ports; ++i) host_clear(&h->events[i]), h->next[i] = 0;
  h->now = 0;
  queue_positions(h, t);
  queue_track(h, t, 1, "melody");
  queue_track(h, t, 2, "chords");
  const int64_t keep = frame_of(t, ((uint64_t)t->keep_bar - 1) * 4 * DIVISION);
  if (t->keep_bar) host_run_blocks(h, keep, 311);
  *host_control(h, "keep") = t->keep_bar != 0;
  host_run_blocks(h, frame_of(t, t->smf->tracks[1].end) - h->now, 311);
  return h;
}

/// The events of the plug-in against the melody of the run, but for what ends notes
/// that are held to the end.
static void compare_notes(uint32_t seed, const Take* t, Host* h, const WaySmfTrack* ran,
                          uint64_t end) {
  const HostEvents* const out = host_events(h, "out");
  const LV2_URID midi = host_urid(h, LV2_MIDI__MidiEvent);
  size_t j = 0;
  for (uint32_t i = 0; i < ran->n && ran->events[i].tick < end; ++i) {
    const WaySmfEvent* const e = &ran->events[i];
    if (e->bytes[0] >= 0xF0) continue;
    while (j < out->n && out->at[j].type != midi) ++j;
    if (j == out->n) fail_msg("seed %u: event %u of the run is missing", seed, i);
    const HostEvent* const o = &out->at[j++];
    // Half a tick of the file at the slowest tempo, and a tick of the music.
    const bool near = llabs(o->frame - frame_of(t, e->tick)) <= 66;
    if (!near || o->size != e->size || memcmp(o->body, e->bytes, e->size) != 0)
      fail_msg("seed %u: event %u: %02x %d %d in the run, %02x %d %d at %ld", seed, i,
               e->bytes[0], e->bytes[1], e->bytes[2], o->body[0], o->body[1],
               o->body[2], (long)o->frame);
  }
  for (; j < out->n; ++j)
    if (out->at[j].type == midi) fail_msg("seed %u: more than the run", seed);
}

/// The words behind a mark against those of the run.
static void compare_words(uint32_t seed, Host* h, const HostEvent* e,
                          const WayMark* m) {
  char words[WAY_MARK_TEXT_MAX];
  WayOut out = way_out(words, sizeof(words));
  way_mark_write(m, &out);
  if (e->type != host_urid(h, LV2_ATOM__String) || e->size != out.size + 1 ||
      memcmp(e->body, words, e->size) != 0)
    fail_msg("seed %u: '%s' in the run, another text in the host", seed, words);
}

static void compare_marks(uint32_t seed, Host* h, const WayRun* run) {
  static const char* const types[WAY_MARK_COUNT] = {
      "urn:waymark:vocab#Role",       "urn:waymark:vocab#Landing",
      "urn:waymark:vocab#Change",     "urn:waymark:vocab#Top",
      "urn:waymark:vocab#Resolution", "urn:waymark:vocab#Learned"};
  const HostEvents* const marks = host_events(h, "marks");
  size_t j = 0;
  for (uint32_t i = 0; i < run->n_marks; ++i) {
    const WayMark* const m = &run->marks[i];
    while (j < marks->n && !host_object_type(h, &marks->at[j])) ++j;
    if (j == marks->n)
      fail_msg("seed %u: mark %u of %u at tick %ld is missing", seed, i, run->n_marks,
               (long)m->tick);
    const HostEvent* const e = &marks->at[j++];
    assert_true(j < marks->n);
    compare_words(seed, h, &marks->at[j], m);
    const bool in_place =
        m->kind == WAY_MARK_ROLE || m->kind == WAY_MARK_RESOLUTION ||
        (fabs(host_number(h, e, "urn:waymark:vocab#tick") - (double)m->tick) <= 1 &&
         host_number(h, e, "urn:waymark:vocab#tones") == way_chord_pcs(m->chord) &&
         host_number(h, e, "urn:waymark:vocab#bar") == m->bar);
    if (!in_place || host_object_type(h, e) != host_urid(h, types[m->kind]))
      fail_msg("seed %u: mark %u, %s at tick %ld, differs", seed, i,
               way_mark_name((WayMarkKind)m->kind), (long)m->tick);
    if (way_mark_of_note(m)) {
      assert_true(host_number(h, e, "urn:waymark:vocab#pitch") == m->pitch);
      assert_true((host_number(h, e, "urn:waymark:vocab#early") == 1) == m->early);
      assert_true((host_number(h, e, "urn:waymark:vocab#again") == 1) == m->again);
      assert_true(host_number(h, e, "urn:waymark:vocab#role") == m->role.role);
      assert_true(host_number(h, e, "urn:waymark:vocab#interval") == m->role.interval);
      assert_true(host_number(h, e, "urn:waymark:vocab#degree") ==
                  m->role.degree.number);
    }
    if (m->kind == WAY_MARK_LANDING) {
      assert_true(host_number(h, e, "urn:waymark:vocab#landing") == m->landing);
      assert_true(host_number(h, e, "urn:waymark:vocab#heldOver") == m->held_over);
    }
  }
}

/// The form learned, as both tell it.
static void compare_learned(uint32_t seed, Host* h, const WayRun* run,
                            unsigned* learned) {
  host_get(h, h->now, "urn:waymark:guide#learned");
  host_run(h, 64);
  const char* const told = host_told(h, "urn:waymark:guide#learned");
  if (!told || strcmp(told, run->learned ? run->learned : ""))
    fail_msg("seed %u: learned %s, the run %s", seed, told, run->learned);
  *learned += run->learned != NULL;
}

static void test_same_events_and_marks(void** state) {
  (void)state;
  WayChart* chart = NULL;
  WayTimeline* timeline = NULL;
  assert_int_equal(way_chart_read(way_text(CHART), &chart, NULL), WAY_OK);
  assert_int_equal(way_chart_unroll(chart, &timeline), WAY_OK);
  unsigned learned = 0;
  for (uint32_t seed = 1; seed <= 150; ++seed) {
    Take t = draw_take(seed);
    const WayRunChoice choice = {.melody = {.track = 1},
                                 .chords = {.track = 2},
                                 .chart = t.learns ? NULL : timeline,
                                 .settings = t.settings,
                                 .keep_bar = t.keep_bar};
    WayRun* run = NULL;
    WaySmf* ran = NULL;
    assert_int_equal(way_run_new(t.bytes, t.smf, &choice, &run, NULL), WAY_OK);
    assert_int_equal(way_smf_read(run->bytes, run->size, &ran, NULL), WAY_OK);
    Host* const h = play(&t);
    compare_notes(seed, &t, h, &ran->tracks[1], t.smf->tracks[1].end);
    compare_marks(seed, h, run);
    compare_learned(seed, h, run, &learned);
    host_free(h);
    way_smf_free(ran);
    way_run_free(run);
    take_end(&t);
  }
  assert_true(learned > 30);
  way_timeline_free(timeline);
  way_chart_free(chart);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_same_events_and_marks),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
