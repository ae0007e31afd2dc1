#include "rng.h"
#include "theory.h"
#include "theory/chord_find.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/note_list.h"

#include <stdio.h>

static const WayFindHints nothing = {NULL, NULL, NULL, false};

/// All names of some notes, separated by blanks.
static const char* names_of(const char* notes, WayFindHints hints) {
  static char buffer[WAY_FOUND_MAX * WAY_SYMBOL_MAX];
  WayNoteList list;
  WayFound found[WAY_FOUND_MAX];
  assert_int_equal(way_note_list_read(way_text(notes), &list, NULL), WAY_OK);
  const unsigned n = way_chord_find(list.set, list.bass, &hints, found);
  WayOut out = way_out(buffer, sizeof(buffer));
  for (unsigned i = 0; i < n; ++i) {
    if (i) way_out_char(&out, ' ');
    way_chord_write(&found[i].chord, &out);
  }
  return buffer;
}

// Chords and voicings of common practice, no source.
static void test_common_voicings(void** state) {
  (void)state;
  static const struct {
    const char *notes, *names;
  } cases[] = {
      {"60 64 67", "C"},
      {"64 67 72", "C/E"},
      {"40 47 52 56 59 64", "E"}, // six-string grips
      {"43 47 50 55 59 67", "G"},
      {"45 52 55 60 64", "Am7 C6/A"},
      {"48 55 58 64", "C7"},
      {"52 58 60 67", "C7/E"},
      {"55 60 64 71", "Cmaj7/G"}, // drop 2
      {"48 55 59 64", "Cmaj7"},   // drop 2 and root position
      {"50 60 65 69", "Dm7 F6/D"},
      {"60 64 70", "C7"}, // no fifth
      {"60 63 70", "Cm7"},
      {"60 64 71", "Cmaj7"},
      {"36 52 58 62", "C9"},
      {"48 58 64 69", "C7add13 C13"}, // grips without fifth and ninth
      {"48 58 63 65", "F7sus4/C Cm7add11 Cm11"},
      {"60 67", "C5"},
      {"60 65", "F5/C"},
      {"60 64", "Cno5"},
      {"57 60", "Amno5"},
      {"60 64 69", "Am/C"},
      {"60 64 67 69", "C6 Am7/C"},
      {"60 63 67 69", "Cm6 Am7b5/C"},
      {"60 65 67", "Csus4 Fsus2/C"},
      {"60 62 67", "Csus2 Gsus4/C"},
      {"55 60 62", "Gsus4 Csus2/G"},
      {"60 64 68", "Caug Eaug/B# Abaug/C"},
      {"60 62 64 67", "Cadd9"},
      {"60 64 67 70 73", "C7b9"},
      {"60 65 67 70", "C7sus4"},
      {"53 57 59 64", "Fmaj7b5 Fmaj7#11"},
      {"55 65 69 72", "F/G Fadd9/G G9sus4"}, // a triad over a bass of its own
      {"54 60 64 67", "C/F#"},
      {"66 70 73", "F#"}, // the fewest accidentals, F# before Gb
      {"61 65 68", "Db"},
      {"61 64 68", "C#m"},
      {"63 66 70", "Ebm"},
      {"60 61 62", ""},
      {"60 66", ""},
      {"60 70", ""},
      {"60 72", ""},
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    if (strcmp(names_of(cases[i].notes, nothing), cases[i].names))
      fail_msg("%s: %s, not %s", cases[i].notes, names_of(cases[i].notes, nothing),
               cases[i].names);
}

static void test_a_symmetric_chord_has_all_its_names(void** state) {
  (void)state;
  for (int bass = 60; bass < 63; ++bass) {
    char notes[32];
    snprintf(notes, sizeof(notes), "%d %d %d %d", bass, bass + 3, bass + 6, bass + 9);
    WayNoteList list;
    WayFound found[WAY_FOUND_MAX];
    way_note_list_read(way_text(notes), &list, NULL);
    assert_int_equal(way_chord_find(list.set, list.bass, NULL, found), 4);
    assert_int_equal(way_spelling_pc(found[0].chord.root), way_pc(bass));
  }
}

/// Whether a chord of this root and these tones is among the names.
static bool among(const WayChord* c, const WayFound* found, unsigned n) {
  for (unsigned i = 0; i < n; ++i)
    if (way_spelling_pc(found[i].chord.root) == way_spelling_pc(c->root) &&
        way_tones_of_chord(&found[i].chord) == way_tones_of_chord(c))
      return true;
  return false;
}

// Kinds of chord that must be found in root position and in every inversion.
static const char* const kinds[] = {
    "",        "m",         "dim",    "aug",    "sus4",  "sus2",   "6",       "m6",
    "6/9",     "m6/9",      "7",      "maj7",   "m7",    "mMaj7",  "m7b5",    "dim7",
    "7#5",     "maj7#5",    "7b5",    "maj7b5", "7sus4", "9",      "maj9",    "m9",
    "mMaj9",   "m9b5",      "9sus4",  "11",     "m11",   "13",     "m13",     "13sus4",
    "7add13",  "7b9",       "7#9",    "7#11",   "7b13",  "7b9b13", "7sus4b9", "maj9#11",
    "maj7#11", "9#11",      "9b13",   "13b9",   "13#11", "13#9",   "7#5#9",   "7#5b9",
    "9#5",     "9b5",       "add9",   "madd9",  "add11", "madd11", "m7add11", "7b9#9",
    "6#11",    "7b9#11b13", "dimMaj7"};

// Property: the name a voicing was made from is among its names, whatever the root,
// the inversion and the doublings.
static void test_every_kind_is_found_in_every_inversion(void** state) {
  (void)state;
  for (size_t k = 0; k < WAY_COUNT(kinds); ++k)
    for (int root = -5; root <= 6; ++root) {
      char text[32] = "C";
      strcat(text, kinds[k]);
      WayChord c;
      assert_int_equal(way_chord_read(way_text(text), &c, NULL), WAY_OK);
      c = way_chord_transposed(&c, a_note("C"), way_spelling_at_fifths(root));
      for (unsigned i = 0; i < c.n_tones; ++i) {
        const WayPc bass = way_spelling_pc(way_spelling_above(c.root, c.tones[i]));
        WayFound found[WAY_FOUND_MAX];
        const unsigned n = way_chord_find(way_chord_pcs(&c), bass, NULL, found);
        if (!among(&c, found, n)) fail_msg("%s, bass %d: not found", text, bass);
        const WayChord* const best = &found[0].chord;
        if (!i && c.n_basic >= 3 && strcmp(kinds[k], "add9"))
          assert_int_equal(way_spelling_pc(best->bass), bass);
      }
    }
}

// Property: sevenths, ninths and thirteenths over their root need no fifth.
static void test_a_fifth_may_be_missing(void** state) {
  (void)state;
  static const char* const ones[] = {"C7",   "Cm7",   "Cmaj7", "CmMaj7", "C9",
                                     "Cm9",  "Cmaj9", "C13",   "C6/9",   "C7b9",
                                     "C7#9", "Cm11",  "C11",   "C7add13"};
  for (size_t i = 0; i < WAY_COUNT(ones); ++i) {
    WayChord c;
    way_chord_read(way_text(ones[i]), &c, NULL);
    WayFound found[WAY_FOUND_MAX];
    const WayPcSet set = way_chord_pcs(&c) & (WayPcSet)~WAY_PC_BIT(7);
    const unsigned n = way_chord_find(set, 0, NULL, found);
    if (!among(&c, found, n)) fail_msg("%s: not found", ones[i]);
    assert_int_equal(way_spelling_pc(found[0].chord.root), 0);
  }
}

static void test_rootless_only_when_asked(void** state) {
  (void)state;
  const WayFindHints rootless = {NULL, NULL, NULL, true};
  assert_string_equal(names_of("E G Bb D", nothing), "Em7b5 Gm6/E");
  assert_non_null(strstr(names_of("E G Bb D", rootless), "C9"));
  assert_string_equal(names_of("F A B E", rootless), "G13 Db7#5#9 Db7#9b13");
}

static void test_key_and_chord_before_choose(void** state) {
  (void)state;
  const WayKey c_minor = a_key("C minor"), e_minor = a_key("E minor");
  WayFindHints h = nothing;
  h.key = &c_minor;
  assert_string_equal(names_of("66 69 72 75", h), "Gbdim7 Cdim7/Gb Ebdim7/Gb Adim7/Gb");
  h.key = &e_minor;
  assert_string_equal(names_of("66 70 73", h), "F#");
  WayChord before;
  way_chord_read(way_text("D7"), &before, NULL);
  h = (WayFindHints){NULL, &before, NULL, false};
  assert_string_equal(names_of("62 67 72", h), "Gsus4/D Csus2/D");
  way_chord_read(way_text("G7"), &before, NULL);
  assert_string_equal(names_of("62 67 72", h), "Gsus4/D Csus2/D");
}

// Property: any set of notes is answered, and every name survives being read.
static void test_every_set_of_notes_is_answered(void** state) {
  (void)state;
  for (unsigned set = 0; set <= WAY_PCS_ALL; ++set)
    for (WayPc bass = 0; bass < 12; ++bass) {
      if (!way_pcs_has((WayPcSet)set, bass)) continue;
      for (int rootless = 0; rootless < 2; ++rootless) {
        const WayFindHints h = {NULL, NULL, NULL, rootless != 0};
        WayFound found[WAY_FOUND_MAX];
        const unsigned n = way_chord_find((WayPcSet)set, bass, &h, found);
        assert_in_range(n, 0, WAY_FOUND_MAX);
        for (unsigned i = 0; i < n; ++i) {
          char text[WAY_SYMBOL_MAX];
          WayOut out = way_out(text, sizeof(text));
          way_chord_write(&found[i].chord, &out);
          WayChord back;
          assert_int_equal(way_chord_read(way_text(text), &back, NULL), WAY_OK);
          if (!way_chord_equal(&back, &found[i].chord)) fail_msg("%s", text);
          const unsigned heard = way_chord_pcs(&back) | WAY_PC_BIT(bass);
          if ((set | heard) != heard)
            fail_msg("%s leaves a note of %03x out", text, set);
        }
      }
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_common_voicings),
      cmocka_unit_test(test_a_symmetric_chord_has_all_its_names),
      cmocka_unit_test(test_every_kind_is_found_in_every_inversion),
      cmocka_unit_test(test_a_fifth_may_be_missing),
      cmocka_unit_test(test_rootless_only_when_asked),
      cmocka_unit_test(test_key_and_chord_before_choose),
      cmocka_unit_test(test_every_set_of_notes_is_answered),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
