#include "check.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"

#include <stdio.h>

static WayChord chord(const char* text) {
  WayChord c;
  WayError e;
  if (way_chord_read(way_text(text), &c, &e))
    fail_msg("%s: column %u: %s", text, e.column, e.message);
  return c;
}

static const char* written(const WayChord* c) {
  static char buffer[WAY_SYMBOL_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_chord_write(c, &out);
  assert_false(out.cut);
  return buffer;
}

static const char* formula(const WayChord* c) {
  static char buffer[128];
  WayOut out = way_out(buffer, sizeof(buffer));
  for (unsigned i = 0; i < c->n_tones; ++i) {
    if (i) way_out_char(&out, ' ');
    way_degree_write(c->tones[i], &out);
  }
  return buffer;
}

/// One chord: how it is written back, its degrees, and the ways to write it.
typedef struct {
  const char *canonical, *formula;
  const char* ways[16];
} Case;

// The chord symbols of common practice; a new quality gets its line here.
static const Case cases[] = {
    {"C", "1 3 5", {"CM", "Cmaj", "CMaj", "Cmajor", "C:maj"}},
    {"Cm", "1 b3 5", {"Cmin", "Cmi", "C-", "C\u2212", "CMI", "Cminor", "C:min"}},
    {"Cdim", "1 b3 b5", {"Co", "C\u00B0", "C\u1D52", "Cmb5", "Cm(b5)", "C:dim"}},
    {"Caug", "1 3 #5", {"C+", "C(#5)", "C+5", "CM#5", "C\u207A", "C:aug"}},
    {"C(b5)", "1 3 b5", {"CMb5", "Cmaj(-5)", "C(\u266D5)"}},
    {"Cm#5", "1 b3 #5", {"Cm+", "C-#5", "Cmaug", "Cm(+5)"}},
    {"C5", "1 5", {"Cno3", "Comit3", "C(no3)", "C:5", "C:maj(*3)"}},
    {"Cno5", "1 3", {"Comit5", "C(omit5)"}},
    {"Csus4", "1 4 5", {"Csus", "C(sus4)", "Cmsus4", "C:sus4"}},
    {"Csus2", "1 2 5", {"C(sus2)", "C:sus2", "C:(1,2,5)"}},
    {"Csus24", "1 2 4 5", {"Csus4add2", "Csus2sus4", "Csus42"}},
    {"Csus4add9", "1 4 5 9", {"Csus(add9)", "Csus4,9"}},
    {"Csus#4", "1 #4 5", {"Csus\u266F4"}},
    {"Cadd9", "1 3 5 9", {"C2", "Cadd2", "C(add9)", "C(9)", "CMadd9", "C:maj(9)"}},
    {"Cmadd9", "1 b3 5 9", {"Cm2", "Cm(add2)", "C-add9", "Cm(9)"}},
    {"Cadd11", "1 3 5 11", {"Cadd4", "CMadd4", "Cmajadd4"}},
    {"Caddb9", "1 3 5 b9", {"C(b9)", "CMaddb9"}},
    {"C6", "1 3 5 6", {"Cadd6", "CM6", "Cmaj6", "C\u2076", "C:maj6"}},
    {"Cm6", "1 b3 5 6", {"C-6", "Cmin6", "Cm(6)", "C:min6"}},
    {"C6/9", "1 3 5 6 9", {"C69", "C6add9", "C6(9)", "CM69", "C6,9", "C\u2076/\u2079"}},
    {"Cm6/9", "1 b3 5 6 9", {"Cm69", "C-69", "Cm6add9"}},
    {"C7", "1 3 5 b7", {"Cdom7", "C(7)", "C\u2077", "C:7"}},
    {"Cmaj7",
     "1 3 5 7",
     {"CM7", "CMa7", "CMAJ7", "C^", "C^7", "C\u0394", "C\u25B37", "C\u2206\u2077",
      "Cj7", "Cmj7", "C(maj7)", "C maj7", "C\u1D50\u1D43\u02B2\u2077", "C:maj7", "C7M",
      "C(7M)"}},
    {"Cm7",
     "1 b3 5 b7",
     {"C-7", "Cmi7", "Cmin7", "CMI7", "C\u207B\u2077", "Cm\u2077", "C:min7"}},
    {"CmMaj7",
     "1 b3 5 7",
     {"CmM7", "Cm(maj7)", "Cm/maj7", "Cm/M7", "C-\u03947", "Cm\u0394", "C-^7",
      "Cminmaj7", "Cm(M7)", "Cm#7", "Cm+7", "C:minmaj7", "Cm7M", "Cm(7M)"}},
    {"Cm7b5",
     "1 b3 b5 b7",
     {"C\u00F8", "C\u00F87", "C\u00D8", "C-7b5", "Cm7(b5)", "Cm7-5", "Cmi7(\u266D5)",
      "Ch7", "C\u2205", "Chdim7", "C:hdim7"}},
    {"Cdim7", "1 b3 b5 bb7", {"Co7", "C\u00B07", "C\u00BA\u2077", "C:dim7"}},
    {"CdimMaj7", "1 b3 b5 7", {"CoM7", "C\u00B0(maj7)", "Cdim\u0394"}},
    {"C7#5", "1 3 #5 b7", {"C+7", "C7+", "Caug7", "C7aug", "C7+5", "C7(\u266F5)"}},
    {"Cmaj7#5", "1 3 #5 7", {"C+maj7", "Cmaj7+5", "C^#5", "CaugM7", "CM7(#5)"}},
    {"C7b5", "1 3 b5 b7", {"C7-5", "C7(b5)"}},
    {"C7sus4", "1 4 5 b7", {"C7sus", "Csus7", "C7(sus4)", "Csus4(7)"}},
    {"C9", "1 3 5 b7 9", {"C\u266E7(\u266E9)", "C7(9)", "C7add9", "C7/9", "C:9"}},
    {"Cmaj9", "1 3 5 7 9", {"CM9", "C\u03949", "C^9", "CM7(9)", "C:maj9"}},
    {"Cm9", "1 b3 5 b7 9", {"C-9", "Cmin9", "Cm7(9)", "C:min9"}},
    {"Cm9b5", "1 b3 b5 b7 9", {"C\u00F89", "C\u00F8(9)"}},
    {"C9sus4", "1 4 5 b7 9", {"C9sus", "Csus9", "C11sus4"}},
    {"C11", "1 3 5 b7 9 11", {"C9add11", "C:11"}},
    {"Cm11", "1 b3 5 b7 9 11", {"C-11", "Cm9(11)", "C:min11"}},
    {"C13", "1 3 5 b7 9 13", {"C9add13", "C7(9,13)", "C9(13)"}},
    {"Cmaj13", "1 3 5 7 9 11 13", {"CM13", "C:maj13"}},
    {"Cm13", "1 b3 5 b7 9 11 13", {"C-13", "C:min13"}},
    {"C13sus4", "1 4 5 b7 9 13", {"C13sus"}},
    {"C7add13", "1 3 5 b7 13", {"C67", "C7add6", "C7/6", "C7(13)"}},
    {"C7b9", "1 3 5 b7 b9", {"C7-9", "C7(b9)", "C7(\u266D9)"}},
    {"C7#9", "1 3 5 b7 #9", {"C7+9", "C7(#9)"}},
    {"C7b9#11b13",
     "1 3 5 b7 b9 #11 b13",
     {"C7b9b13#11", "C7(b9/#11/b13)", "C7(b9,#11,b13)", "C7(b9 #11 b13)",
      "C7(b9)(#11)(b13)"}},
    {"C13b9#11", "1 3 5 b7 b9 #11 13", {"C13#11b9", "C13(b9,#11)"}},
    {"C7#11", "1 3 5 b7 #11", {"C7#4", "C7(#11)", "C7+11"}},
    {"C7b13", "1 3 5 b7 b13", {"C7b6", "C7(b13)"}},
    {"C7alt", "1 3 b7 b9 #9 #11 b13", {"Calt", "C7(alt)"}},
    {"C7sus4b9", "1 4 5 b7 b9", {"C7susb9", "C7b9sus", "C7b9sus4", "Cphryg"}},
    {"C7no5", "1 3 b7", {"C7omit5", "C7(no5)", "C:7(*5)"}},
    {"Cmaj9#11",
     "1 3 5 7 9 #11",
     {"C\u03949#11", "CM9(#11)", "CM9+11", "C7M(9,#11)", "C7M(9/#11)"}},
};

static void test_every_way_to_write_is_read(void** state) {
  (void)state;
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    const WayChord c = chord(cases[i].canonical);
    assert_string_equal(formula(&c), cases[i].formula);
    assert_string_equal(written(&c), cases[i].canonical);
    for (size_t k = 0; k < WAY_COUNT(cases[i].ways) && cases[i].ways[k]; ++k) {
      const WayChord same = chord(cases[i].ways[k]);
      if (!way_chord_equal(&c, &same))
        fail_msg("%s is read as %s, not %s", cases[i].ways[k], written(&same),
                 cases[i].canonical);
    }
  }
}

static void check_round_trip(const WayChord* c) {
  const char* const text = written(c);
  WayChord back;
  WayError e;
  if (way_chord_read(way_text(text), &back, &e))
    fail_msg("%s: column %u: %s", text, e.column, e.message);
  if (!way_chord_equal(c, &back)) {
    char first[WAY_SYMBOL_MAX];
    strcpy(first, text);
    fail_msg("%s (%s) comes back as %s", first, formula(c), written(&back));
  }
}

// Property: read(write(x)) == x, over all cases, one more alteration, roots and basses.
static void test_symbols_survive_a_round_trip(void** state) {
  (void)state;
  static const char* const more[] = {"",    "b5",   "#5",    "b9",    "#9",   "#11",
                                     "b13", "add9", "add11", "add13", "sus4", "sus2",
                                     "no3", "no5",  "(b6)",  "addb9", "add3", "(maj7)"};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i)
    for (size_t k = 0; k < WAY_COUNT(more); ++k)
      for (int root = -15; root <= 19; ++root) {
        char text[WAY_SYMBOL_MAX];
        snprintf(text, sizeof(text), "%s%s", cases[i].canonical, more[k]);
        WayChord c;
        if (way_chord_read(way_text(text), &c, NULL)) continue; // no5 of a C5no5
        c = way_chord_transposed(&c, (WaySpelling){0, 0}, way_spelling_at_fifths(root));
        for (int bass = -8; bass <= 12; bass += 5) {
          c.bass = way_spelling_at_fifths(bass);
          check_round_trip(&c);
        }
      }
}

static void test_basses_and_roots(void** state) {
  (void)state;
  static const struct {
    const char *text, *canonical;
  } rows[] = {
      {"D/F#", "D/F#"},
      {"F##m7/Bbb", "F##m7/Bbb"},
      {"C6/9/G", "C6/9/G"},
      {"C/C", "C"},
      {"Cm7/B\u266D", "Cm7/Bb"},
      {"C\u266Fm", "C#m"},
      {"Cx7", "C##7"},
      {"B\U0001D12B7", "Bbb7"},
      {"Cb5", "Cb5"},
      {"Cbb5", "Cbb5"},
      {"C#5", "C#5"},
      {"C (b5) / G", "C(b5)/G"},
      {"C:min7/b3", "Cm7/Eb"},
      {"Db:maj/5", "Db/Ab"},
      {"F#:sus4(b7,9)/4", "F#9sus4/B"},
      {"A:(1,b3,5,7)", "AmMaj7"},
      {"C:maj(9,*5)", "Cadd9no5"},
      {"C:min(*b3)", "C5"},
      {"C:13", "C13add11"},
      {"N", "N.C."},
      {" N.C. ", "N.C."},
      {" Am7 ", "Am7"},
      {"C/F#", "C/F#"},
      {"C7(no3,5)", "C7no3no5"},
      {"C7(no5,b9)", "C7b9no5"},
      {"C/E#", "C/E#"},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    const WayChord c = chord(rows[i].text);
    assert_string_equal(written(&c), rows[i].canonical);
  }
}

static void test_a_foreign_bass_is_no_tone_of_the_chord(void** state) {
  (void)state;
  const WayChord c = chord("Dm7/G");
  assert_string_equal(formula(&c), "1 b3 5 b7");
  assert_true(way_spelling_equal(c.bass, (WaySpelling){4, 0}));
}

static void test_errors_pin_column_and_expectation(void** state) {
  (void)state;
  static const struct {
    const char* text;
    WayStatus status;
    unsigned column;
    const char* says; // part of the message
  } rows[] = {
      {"", WAY_ERR_SYNTAX, 1, "root A to G"},
      {"H7", WAY_ERR_SYNTAX, 1, "root A to G"},
      {"#", WAY_ERR_SYNTAX, 1, "root A to G"},
      {"am7", WAY_ERR_SYNTAX, 1, "upper case"},
      {"C#####", WAY_ERR_SYNTAX, 6, "four accidentals"},
      {"Bbbbbb", WAY_ERR_SYNTAX, 6, "four accidentals"},
      {"C4", WAY_ERR_UNSUPPORTED, 2, "write Csus4"},
      {"F#m4", WAY_ERR_UNSUPPORTED, 4, "sus4"},
      {"C3", WAY_ERR_SYNTAX, 2, "6, 7, 9, 11 or 13"},
      {"C99999999999999999999", WAY_ERR_SYNTAX, 3, "alteration"},
      {"C17", WAY_ERR_SYNTAX, 2, "6, 7, 9, 11 or 13"},
      {"Cq", WAY_ERR_SYNTAX, 2, "alteration"},
      {"C7b", WAY_ERR_SYNTAX, 4, "degree"},
      {"C7b8", WAY_ERR_SYNTAX, 4, "degree"},
      {"C7bbb9", WAY_ERR_SYNTAX, 5, "two accidentals"},
      {"C7(b9", WAY_ERR_SYNTAX, 6, "expected )"},
      {"C7b9)", WAY_ERR_SYNTAX, 5, "expected ( before )"},
      {"Cadd", WAY_ERR_SYNTAX, 5, "degree"},
      {"C7addsus", WAY_ERR_SYNTAX, 6, "degree"},
      {"Cadd7", WAY_ERR_SYNTAX, 5, "without add"},
      {"C7no9", WAY_ERR_SYNTAX, 5, "the chord has"},
      {"Cmmaj", WAY_ERR_SYNTAX, 6, "7, 9, 11 or 13"},
      {"Cmaj7maj7", WAY_ERR_SYNTAX, 6, "once"},
      {"C/", WAY_ERR_SYNTAX, 3, "bass note"},
      {"C/H", WAY_ERR_SYNTAX, 3, "bass note"},
      {"C7/4", WAY_ERR_SYNTAX, 4, "bass note"},
      {"D/C7", WAY_ERR_UNSUPPORTED, 4, "one bass note"},
      {"Am7/D7", WAY_ERR_UNSUPPORTED, 6, "one bass note"},
      {"D|C", WAY_ERR_UNSUPPORTED, 2, "one bass note"},
      {"C\u266D\u266D\u0394q", WAY_ERR_SYNTAX, 5, "alteration"},
      {"C\xFF", WAY_ERR_SYNTAX, 2, "UTF-8"},
      {"C7\u00E9", WAY_ERR_SYNTAX, 3, "UTF-8"},
      {"C:", WAY_ERR_SYNTAX, 3, "shorthand"},
      {"C:foo", WAY_ERR_SYNTAX, 3, "shorthand"},
      {"C:maj(", WAY_ERR_SYNTAX, 7, "degree"},
      {"C:maj(9", WAY_ERR_SYNTAX, 8, "expected , or )"},
      {"C:maj(15)", WAY_ERR_SYNTAX, 7, "degree"},
      {"C:maj(*7)", WAY_ERR_SYNTAX, 7, "the chord has"},
      {"C:maj/Q", WAY_ERR_SYNTAX, 7, "degree"},
      {"C:1(*1)", WAY_ERR_SYNTAX, 8, "1 to 12"},
  };
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    WayChord c = {{6, 1}, {6, 1}, {{1, 0}}, 1, 1};
    const WayChord before = c;
    WayError e = {0};
    const WayStatus st = way_chord_read(way_text(rows[i].text), &c, &e);
    if (st != rows[i].status || e.column != rows[i].column ||
        !strstr(e.message, rows[i].says))
      fail_msg("%s: %s, column %u: %s", rows[i].text, way_strerror(st), e.column,
               e.message);
    assert_memory_equal(&c, &before, sizeof(c));
    assert_int_equal(way_chord_read(way_text(rows[i].text), &c, NULL), st);
  }
}

static void test_long_and_broken_text(void** state) {
  (void)state;
  char text[400];
  WayChord c;
  WayError e;
  memset(text, 'b', sizeof(text));
  text[0] = 'C';
  assert_int_equal(way_chord_read((WayText){text, 200}, &c, &e), WAY_ERR_SYNTAX);
  assert_int_equal(e.column, 6);
  memset(text + 1, ' ', sizeof(text) - 1);
  assert_int_equal(way_chord_read((WayText){text, sizeof(text)}, &c, &e),
                   WAY_ERR_SYNTAX);
  assert_int_equal(e.column, 121);
  assert_int_equal(way_chord_read((WayText){"C\0m", 3}, &c, &e), WAY_ERR_SYNTAX);
  assert_int_equal(e.column, 2);
  assert_int_equal(way_chord_read((WayText){"C7xyz", 2}, &c, &e), WAY_OK);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_way_to_write_is_read),
      cmocka_unit_test(test_symbols_survive_a_round_trip),
      cmocka_unit_test(test_basses_and_roots),
      cmocka_unit_test(test_a_foreign_bass_is_no_tone_of_the_chord),
      cmocka_unit_test(test_errors_pin_column_and_expectation),
      cmocka_unit_test(test_long_and_broken_text),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
