// Published tunes with chords, made into MIDI files by abc2midi (both from Debian's
// package abcmidi): their own chord tracks are heard by the guide.
#include "chart/chart.h"
#include "check.h"
#include "host.h"
#include "take/smf.h"
#include "take/smf_read.h"
#include "take/tempo_map.h"
#include "theory/chord_read.h"
#include "theory/pitch.h"

#include <lv2/midi/midi.h>

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define RATE 48000.0
#define EXAMPLES "/usr/share/doc/abcmidi/examples"
#define VOCAB "urn:waymark:vocab#"
#define META_TEXT 1

/// A whole file; NULL if it cannot be read.
static uint8_t* load(const char* path, size_t* size) {
  FILE* const f = fopen(path, "rb");
  if (!f) return NULL;
  uint8_t* const bytes = calloc(1, 1u << 20);
  assert_non_null(bytes);
  *size = fread(bytes, 1, (1u << 20) - 1, f);
  fclose(f);
  return bytes;
}

/// The first track whose text event says so; NULL if there is none.
static const WaySmfTrack* track_named(const WaySmf* smf, const char* text) {
  const size_t size = strlen(text);
  for (uint32_t t = 0; t < smf->n_tracks; ++t)
    for (uint32_t i = 0; i < smf->tracks[t].n; ++i) {
      const WaySmfEvent* const e = &smf->tracks[t].events[i];
      if (e->bytes[0] == 0xFF && e->bytes[1] == META_TEXT && e->size == size + 2 &&
          !memcmp(e->bytes + 2, text, size))
        return &smf->tracks[t];
    }
  return NULL;
}

static bool is_on(const WaySmfEvent* e) {
  return e->size == 3 && (e->bytes[0] & 0xF0) == 0x90 && e->bytes[2];
}

/// Roots of the chord symbols in the text: `"Am"`, but not `"(E)"` or `"^words"`.
static WayPcSet roots_written(const char* text) {
  WayPcSet roots = 0;
  for (const char* at = text; (at = strchr(at, '"')); ++at) {
    const char* const end = strchr(++at, '"');
    if (!end) break;
    const WayText symbol = {at, (size_t)(end - at)};
    WayChord chord;
    if (!way_chord_read(symbol, &chord, NULL) && !way_chord_is_none(&chord))
      roots |= WAY_PC_BIT(way_spelling_pc(chord.root));
    at = end;
  }
  return roots;
}

/// What was heard by a frame, that frame included.
typedef struct {
  int tones, root;
} Heard;

static Heard heard_at(Host* h, int64_t frame) {
  const HostEvents* const marks = host_events(h, "marks");
  const LV2_URID change = host_urid(h, VOCAB "Change");
  Heard heard = {0, -1};
  for (size_t i = 0; i < marks->n && marks->at[i].frame <= frame; ++i)
    if (host_object_type(h, &marks->at[i]) == change) {
      heard.tones = (int)host_number(h, &marks->at[i], VOCAB "tones");
      heard.root = (int)host_number(h, &marks->at[i], VOCAB "root");
    }
  return heard;
}

/// Every stroke of three notes or more is the chord in force.  @return Their roots.
static WayPcSet check_strokes(Host* h, const WaySmfTrack* chords,
                              const WayTempoMap* tempo, unsigned* strokes) {
  WayPcSet roots = 0;
  for (uint32_t i = 0; i < chords->n;) {
    const uint64_t tick = chords->events[i].tick;
    WayPcSet stroke = 0;
    for (; i < chords->n && chords->events[i].tick == tick; ++i)
      if (is_on(&chords->events[i]))
        stroke |= WAY_PC_BIT(way_pc(chords->events[i].bytes[1]));
    if (way_pcs_count(stroke) < 3) continue;
    const Heard heard = heard_at(h, llround(way_tempo_map_seconds(tempo, tick) * RATE));
    assert_int_equal(heard.tones, stroke);
    roots |= WAY_PC_BIT(heard.root);
    ++*strokes;
  }
  return roots;
}

/// Every role is counted from the root of the chord that was heard at its note.
static void check_roles(Host* h, const WaySmfTrack* melody) {
  const HostEvents* const marks = host_events(h, "marks");
  const LV2_URID role = host_urid(h, VOCAB "Role");
  unsigned notes = 0, roles = 0;
  for (uint32_t i = 0; i < melody->n; ++i) notes += is_on(&melody->events[i]);
  for (size_t i = 0; i < marks->n; ++i) {
    if (host_object_type(h, &marks->at[i]) != role) continue;
    const Heard heard = heard_at(h, marks->at[i].frame);
    const int pitch = (int)host_number(h, &marks->at[i], VOCAB "pitch");
    assert_int_equal(host_number(h, &marks->at[i], VOCAB "interval"),
                     way_pc(pitch - heard.root));
    ++roles;
  }
  assert_in_range(roles, notes * 9 / 10, notes); // a pickup may come before any chord
}

static void queue(Host* h, const char* port, const WaySmfTrack* track,
                  const WayTempoMap* tempo) {
  for (uint32_t i = 0; i < track->n; ++i) {
    const WaySmfEvent* const e = &track->events[i];
    if (e->bytes[0] < 0xF0)
      host_insert(host_events(h, port),
                  llround(way_tempo_map_seconds(tempo, e->tick) * RATE),
                  host_urid(h, LV2_MIDI__MidiEvent), e->bytes, e->size);
  }
}

static unsigned play(const char* abc, const WaySmf* smf) {
  const WaySmfTrack* const melody = &smf->tracks[1];
  const WaySmfTrack* const chords = track_named(smf, "gchord track");
  if (!chords) return 0; // a tune without chord symbols
  WayTempoMap* const tempo = way_tempo_map_new(smf);
  Host* const h = host_guide(NULL);
  assert_true(tempo && h);
  *host_control(h, "learn") = 0; // strokes off the host's beats count at once
  queue(h, "melody", melody, tempo);
  queue(h, "chords", chords, tempo);
  const HostPosition p = host_position_at(0, 60e6 / way_tempo_map_at(tempo, 0));
  host_position(h, 0, &p);
  host_run_blocks(h, llround(way_tempo_map_seconds(tempo, melody->end) * RATE), 256);
  unsigned strokes = 0;
  const WayPcSet roots = check_strokes(h, chords, tempo, &strokes);
  assert_int_equal(roots, roots_written(abc));
  check_roles(h, melody);
  host_free(h);
  way_tempo_map_free(tempo);
  return strokes;
}

static void test_tunes_are_heard(void** state) {
  (void)state;
  static const char* const tunes[] = {"araber", "baym_rebin", "coleraine", "dergasn"};
  if (access(ABC2MIDI, X_OK) || access(EXAMPLES, R_OK)) {
    print_message("# abcmidi is not installed: no tunes to hear\n");
    skip();
  }
  char folder[] = "/tmp/waymark-test-XXXXXX";
  assert_non_null(mkdtemp(folder));
  unsigned strokes = 0;
  for (size_t i = 0; i < WAY_COUNT(tunes); ++i) {
    char abc[256], midi[256], command[1024];
    snprintf(abc, sizeof(abc), EXAMPLES "/%s.abc", tunes[i]);
    snprintf(midi, sizeof(midi), "%s/tune.mid", folder);
    snprintf(command, sizeof(command), ABC2MIDI " %s -o %s >/dev/null 2>&1", abc, midi);
    (void)!system(command); // it may warn, and exits with what it likes
    size_t size = 0, text_size = 0;
    uint8_t* const bytes = load(midi, &size);
    uint8_t* const text = load(abc, &text_size);
    assert_true(bytes && text);
    WaySmf* smf = NULL;
    assert_int_equal(way_smf_read(bytes, size, &smf, NULL), WAY_OK);
    strokes += play((const char*)text, smf);
    way_smf_free(smf);
    free(text);
    free(bytes);
    unlink(midi);
  }
  rmdir(folder);
  assert_true(strokes > 150);
  print_message("# %u strokes heard\n", strokes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_tunes_are_heard),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
