#include "guided.h"
#include "rng.h"

// The early window and landings.

static void test_an_early_note_belongs_to_the_next_chord(void** state) {
  (void)state;
  chart("C F>3");
  settings.early = 0.5;
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - BEAT / 2 - 1, 70); // just outside: C's
  off(BAR - BEAT / 2 - 1, 70);
  on(BAR - BEAT / 2, 70); // inside: F's, and its landing
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "13439 role R chord tone over C; "
                                "13439 landing R chord tone over C; "
                                "13440 role 3 chord tone over F; "
                                "13440 landing 3 target over F; 15360 change F");
  on(BAR + 9, 65); // F has had its landing
  assert_string_equal(marked(), "15369 role R chord tone over F");
}

static void test_of_two_early_notes_the_first_lands(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - 200, 65);
  on(BAR - 100, 69);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "15160 role R chord tone over F; "
                                "15160 landing R chord tone over F; "
                                "15260 role 3 chord tone over F; 15360 change F");
}

static void test_an_early_note_counts_for_its_own_chord_only(void** state) {
  (void)state;
  static Form other;
  form_make(&other, "C G");
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  on(BAR - 200, 65);
  marked();
  way_engine_chart(&engine, &other.timeline, BAR - 100, &sink);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "15360 change G; 15360 landing held b7 other over G");
}

static void test_a_note_held_over_is_the_landing(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(5, 67);
  on(6, 60);
  marked();
  on(BAR + 5, 65);
  assert_string_equal(marked(),
                      "15360 change F; 15360 landing held 5 chord tone over F; "
                      "15365 role R chord tone over F");
}

static void test_a_note_that_ends_on_the_change_is_not_held(void** state) {
  (void)state;
  chart("C F");
  settings.held = WAY_HELD_MOVE;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  on(5, 67);
  marked();
  sent();
  send(WAY_INPUT_MELODY, BAR, 0xB0, 64, 0);
  off(BAR, 67);
  on(BAR, 69);
  assert_string_equal(sent(), "15360:B0.64 15360:80.67 15360:90.69 ");
  assert_string_equal(marked(), "15360 change F; 15360 role 3 chord tone over F; "
                                "15360 landing 3 chord tone over F");
}

static void test_a_loop_lands_an_early_note_once(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(2 * BAR - 100, 64);
  assert_string_equal(marked(), "15360 change F; 30620 role 3 chord tone over C; "
                                "30620 landing 3 chord tone over C");
  roll(2 * BAR, 0, 1);
  on(2 * BAR + 50, 60);
  assert_string_equal(marked(), "30720 top chorus 1; 30720 change C; "
                                "30770 role R chord tone over C");
}

static void test_a_jump_away_from_a_change_leaves_its_landing(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  on(BAR - 100, 65);
  off(BAR - 60, 65);
  marked();
  roll(BAR - 50, 0, 1); // C again
  on(2 * BAR, 65);
  assert_string_equal(marked(), "15310 top chorus 1; 30670 change F; "
                                "30720 role R chord tone over F; "
                                "30720 landing R chord tone over F");
}

static void test_silence_has_no_landing(void** state) {
  (void)state;
  chart("C N.C.");
  roll(0, 0, 1);
  on(BAR, 60);
  assert_string_equal(marked(), "0 top chorus 1; 0 change C; 15360 change N.C.; "
                                "15360 role R scale tone over N.C.");
}

static void test_an_early_note_does_not_land_on_silence(void** state) {
  (void)state;
  chart("C N.C.");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - 9, 60);
  assert_string_equal(marked(), "15351 role R scale tone over N.C.");
}

static void test_a_chromatic_note_resolves_by_step(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 1);
  on(10, 61);
  marked();
  on(20, 62);
  assert_string_equal(marked(), "20 role 9 scale tone over C; "
                                "20 resolution 9 scale tone over C");
  on(30, 61);
  on(40, 64); // a leap
  on(50, 62); // from a note that is not chromatic
  on(60, 61);
  on(70, 63); // to another one that is
  way_engine_silence(&engine, 80, &sink);
  on(90, 62); // after silence
  for (unsigned i = 0; i < tape.n_marks; ++i)
    assert_int_not_equal(tape.marks[i].kind, WAY_MARK_RESOLUTION);
}

// Roles and landings by their definitions, over notes that are known from the start.

enum { NOTES = 60 };

typedef struct {
  int64_t begin, end; ///< Frames; ends at `end`
  uint8_t pitch;
} PlayedNote;

/// Notes in order of their beginnings, each of a pitch of its own while it sounds.
static void make_notes(PlayedNote* notes, uint32_t* rng) {
  const uint32_t grid = rng_below(rng, 2) ? 1 : BEAT / 4; // played, or quantised
  int64_t frame = 0;
  for (unsigned i = 0; i < NOTES; ++i) {
    frame += rng_below(rng, 3) ? rng_below(rng, 2500 / grid + 2) * grid : 0;
    const int64_t length = (1 + rng_below(rng, 9000 / grid)) * grid;
    notes[i] = (PlayedNote){frame, frame + length, (uint8_t)(30 + i)};
  }
}

static void play_notes(const PlayedNote* notes) {
  for (int64_t frame = 0; frame <= notes[NOTES - 1].begin + 9001; ++frame) {
    for (unsigned i = 0; i < NOTES; ++i)
      if (notes[i].end == frame) off(frame, notes[i].pitch);
    for (unsigned i = 0; i < NOTES; ++i)
      if (notes[i].begin == frame) on(frame, notes[i].pitch);
  }
}

/// The note that lands on the chord from `change` to `next`, by the definition; NOTES
/// if none does.
static unsigned landing_by_definition(const PlayedNote* notes, int64_t change,
                                      int64_t next, int64_t early, bool* held) {
  *held = false;
  for (unsigned i = 0; i < NOTES; ++i)
    if (notes[i].begin >= change - early && notes[i].begin < change) return i;
  for (unsigned i = NOTES; i-- > 0;)
    if (notes[i].begin < change && notes[i].end > change) {
      *held = true;
      return i;
    }
  for (unsigned i = 0; i < NOTES; ++i)
    if (notes[i].begin >= change && notes[i].begin < next - early) return i;
  return NOTES;
}

/// The next mark of a kind from `*at` on.
static const WayMark* next_mark(unsigned* at, WayMarkKind kind) {
  while (*at < tape.n_marks && tape.marks[*at].kind != kind) ++*at;
  return *at < tape.n_marks ? &tape.marks[(*at)++] : NULL;
}

static void check_roles(uint32_t seed, const PlayedNote* notes, WayTick early) {
  unsigned at = 0;
  for (unsigned i = 0; i < NOTES; ++i) {
    const WayMark* const m = next_mark(&at, WAY_MARK_ROLE);
    const uint32_t span = way_timeline_span_for(&form.timeline, notes[i].begin, early);
    const WayHarmony* const h = way_timeline_harmony(&form.timeline, span);
    if (!m || m->frame != notes[i].begin || m->pitch != notes[i].pitch ||
        !way_chord_equal(m->chord, &h->chord) ||
        m->early != (span != way_timeline_at(&form.timeline, notes[i].begin).span) ||
        m->role.interval != way_harmony_role(h, notes[i].pitch).interval)
      fail_msg("seed %u: note %u is marked otherwise", seed, i);
  }
}

static void check_landings(uint32_t seed, const PlayedNote* notes, int64_t early) {
  unsigned at = 0;
  for (int64_t change = 0; change < notes[NOTES - 1].begin; change += BAR) {
    bool held;
    const unsigned i =
        landing_by_definition(notes, change, change + BAR, change ? early : 0, &held);
    if (i == NOTES) continue;
    const WayMark* const m = next_mark(&at, WAY_MARK_LANDING);
    if (!m || m->pitch != notes[i].pitch || m->held_over != held ||
        m->frame != (held ? change : notes[i].begin))
      fail_msg("seed %u: the landing at %lld should be note %u", seed,
               (long long)change, i);
  }
}

static void test_roles_and_landings_by_their_definitions(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 100; ++seed) {
    uint32_t rng = seed;
    PlayedNote notes[NOTES];
    start(NULL);
    settings.early = rng_below(&rng, 4) * 0.25;
    settings.source = WAY_SOURCE_CHART;
    use();
    chart("C F>3 G7 Am Dm7 G7");
    roll(0, 0, 1);
    make_notes(notes, &rng);
    play_notes(notes);
    const WayTick early = (WayTick)(settings.early * BEAT);
    check_roles(seed, notes, early);
    check_landings(seed, notes, early);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_an_early_note_belongs_to_the_next_chord, start),
      cmocka_unit_test_setup(test_of_two_early_notes_the_first_lands, start),
      cmocka_unit_test_setup(test_an_early_note_counts_for_its_own_chord_only, start),
      cmocka_unit_test_setup(test_a_note_held_over_is_the_landing, start),
      cmocka_unit_test_setup(test_a_note_that_ends_on_the_change_is_not_held, start),
      cmocka_unit_test_setup(test_a_loop_lands_an_early_note_once, start),
      cmocka_unit_test_setup(test_a_jump_away_from_a_change_leaves_its_landing, start),
      cmocka_unit_test_setup(test_silence_has_no_landing, start),
      cmocka_unit_test_setup(test_an_early_note_does_not_land_on_silence, start),
      cmocka_unit_test_setup(test_a_chromatic_note_resolves_by_step, start),
      cmocka_unit_test(test_roles_and_landings_by_their_definitions),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
