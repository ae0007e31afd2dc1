#include "live/learn.h"

#include "check.h"
#include "theory/chord_read.h"

#include <string.h>

#define BEAT WAY_TICKS_PER_QUARTER
#define BAR (4 * BEAT)

/// Music that goes by a line of letters, one a bar: each stands for a chord, `.` for a
/// bar without a new one.
static WayChord chord_of(char letter) {
  const char symbol[] = {letter, 0};
  WayChord c;
  assert_int_equal(way_chord_read(way_text(symbol), &c, NULL), WAY_OK);
  return c;
}

static void read_chord(WayLearn* l, WayTick tick, const WayChord* c, bool again) {
  way_learn_hear(l, tick, c, way_form_sound(way_chord_pcs(c), way_spelling_pc(c->bass)),
                 again);
}

static void hear(WayLearn* l, WayTick tick, const WayChord* c) {
  read_chord(l, tick, c, false);
}

/// Pass the bar lines before `tick`, or at it; take what is found as soon as it may be.
static void pass(WayLearn* l, WayTick tick, bool and_at) {
  for (WayTick due; (due = way_learn_due(l)) < tick || (and_at && due == tick);) {
    way_learn_step(l, true);
    if (!l->ready && way_learn_usable(l)) way_learn_use(l, true, due);
  }
}

static WayLearn rolling_from(WayTick tick) {
  WayLearn l;
  way_learn_init(&l);
  way_learn_jump(&l, 0, tick, false, true, false);
  return l;
}

/// Play one bar a letter from `bar` on; upper and lower case are different chords.
static void play(WayLearn* l, int bar, const char* letters) {
  for (; *letters; ++letters, ++bar) {
    pass(l, (WayTick)bar * BAR, false);
    if (*letters == '.') continue;
    const WayChord c = chord_of(*letters);
    hear(l, (WayTick)bar * BAR, &c);
  }
  pass(l, (WayTick)bar * BAR, true);
}

/// The form's roots, one a bar.
static const char* letters_of(const WayForm* f) {
  static char text[WAY_FORM_BARS_MAX + 1];
  for (unsigned i = 0; i < f->bars; ++i) {
    const WayChord* const c = &f->chords.chords[f->beats[i * f->metre.beats]];
    text[i] = way_chord_is_none(c) ? '-' : "CDEFGAB"[c->root.letter];
  }
  text[f->bars] = 0;
  return text;
}

static void test_what_comes_round_is_the_form(void** state) {
  (void)state;
  static const struct {
    const char *heard, *form; // "": none yet
  } cases[] = {
      {"CFGC", ""},
      {"CFGCCFGC", "CFGC"},
      {"CFGCC", ""}, // two bars must have come again
      {"CFGCCF", "CFGC"},
      {"CGCGCG", "CG"},                     // a vamp of two bars
      {"CCCCCCCCCCCC", ""},                 // nothing comes that is new
      {"CAFGDEBACAFG", "CAFGDEBA"},         // half of the second chorus is enough
      {"CFGCCFGCDEADCFGC", "CFGCCFGCDEAD"}, // as far as one can know
      {"CFGCCFGCDEADCFGCCFGCCFGCDE", "CFGCCFGCDEADCFGC"},
      {"CAFGDEBACAFGDEBACAAGDEBACAFG", "CAFGDEBA"}, // one chord missed
      {"CAAGDEBACAFGDEBACAFGDEBA", "CAFGDEBA"},     // in the first chorus
      {"..CAFGDEBACAFG", "CAFGDEBA"},               // two bars before the first chord
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayLearn l = rolling_from(0);
    play(&l, 0, cases[i].heard);
    const char* const found = l.known ? letters_of(&l.form) : "";
    if (strcmp(found, cases[i].form))
      fail_msg("%s: found %s, not %s", cases[i].heard, found, cases[i].form);
  }
}

static void test_it_begins_where_the_first_chord_does(void** state) {
  (void)state;
  WayLearn l = rolling_from(-BAR); // what is before the start bar is not looked at
  pass(&l, 0, true);
  play(&l, 2, "CAFGDEBACAFG");
  assert_true(l.known && l.form.origin == 2 * BAR);
}

static void test_in_force_from_the_next_bar_line_on(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CAFGDEBACA");
  assert_true(l.known && !l.ready);
  play(&l, 10, "F");
  assert_true(l.ready && l.agrees);
}

static void test_what_is_heard_comes_first(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CAFGDEBACAFGDE");
  assert_true(l.agrees);
  const WayChord f = chord_of('F'), b = chord_of('B');
  hear(&l, 14 * BAR, &f); // B is expected
  assert_false(l.agrees);
  hear(&l, 14 * BAR + BEAT, &b);
  pass(&l, 15 * BAR, true);
  assert_false(l.agrees); // not all of the bar was as expected
  play(&l, 15, "A");
  assert_true(l.agrees && l.number == 1);
}

/// A chord whose keys come one by one is first read as others.
static void test_the_last_reading_of_a_chord_counts(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CAFGDEBACAFGDE");
  const WayChord f = chord_of('F'), b = chord_of('B');
  read_chord(&l, 14 * BAR, &f, false); // B is expected
  assert_false(l.agrees);
  read_chord(&l, 14 * BAR + 60, &b, true);
  assert_true(l.agrees);
  read_chord(&l, 14 * BAR + 90, &f, true);
  assert_false(l.agrees);
  read_chord(&l, 14 * BAR + BEAT, &b, false);
  assert_false(l.agrees);
}

static void test_a_chord_may_come_early_or_late(void** state) {
  (void)state;
  for (int off = -BEAT / 2; off <= BEAT / 3; off += BEAT / 6) {
    WayLearn l = rolling_from(0);
    static const char letters[] = "CAFGDEBACAFGDEBACAFG";
    for (int bar = 0; bar < 20; ++bar) {
      const WayTick at = bar * BAR + (bar ? off : 0);
      pass(&l, at, true);
      const WayChord c = chord_of(letters[bar]);
      hear(&l, at, &c);
    }
    pass(&l, 20 * BAR, true);
    if (!l.agrees) fail_msg("chords off by %d ticks: nothing in force", off);
    assert_string_equal(letters_of(&l.form), "CAFGDEBA");
  }
}

static void test_a_chord_held_on_puts_it_out_of_force(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CAFGDEBACAFGDE.");
  assert_false(l.agrees);
}

static void test_silence_agrees(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CAFGDEBACAFGDE");
  for (int bar = 14; bar < 40; ++bar) way_learn_step(&l, false);
  assert_true(l.agrees);
}

static void test_a_loop_is_the_form(void** state) {
  (void)state;
  WayLearn l = rolling_from(8 * BAR);
  play(&l, 8, "CFG");
  pass(&l, 12 * BAR, false); // the jump comes on the frame of the bar line
  way_learn_jump(&l, 12 * BAR + 3, 8 * BAR, true, true, true);
  assert_true(l.known);
  assert_string_equal(letters_of(&l.form), "CFGG");
  assert_true(l.form.origin == 8 * BAR);
  play(&l, 8, "C");
  assert_true(l.ready && l.agrees);
}

static void test_other_jumps_are_no_loops(void** state) {
  (void)state;
  static const struct {
    WayTick from, to;
    bool loops;
  } cases[] = {
      {4 * BAR, 0, false},       // stopped in between
      {4 * BAR + BEAT, 0, true}, // not from a bar line
      {4 * BAR, BEAT, true},     // not to one
      {4 * BAR, 6 * BAR, true},  // forward
  };
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    WayLearn l = rolling_from(0);
    play(&l, 0, "CFGC");
    way_learn_jump(&l, cases[i].from, cases[i].to, cases[i].loops, true, true);
    if (l.known) fail_msg("case %zu: a form was found", i);
  }
  WayLearn l = rolling_from(2 * BAR); // back to where nothing was heard
  play(&l, 2, "CFGC");
  way_learn_jump(&l, 6 * BAR, 0, true, true, true);
  assert_false(l.known);
}

static void test_keep(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  way_learn_keep(&l, true, 0);
  assert_false(l.known); // nothing heard
  play(&l, 0, "CFGA");
  way_learn_keep(&l, true, 4 * BAR + BEAT);
  assert_true(l.known);
  assert_string_equal(letters_of(&l.form), "CFGA");
  play(&l, 4, "DEDEDEDEDEDE"); // comes round, but the other is kept
  assert_string_equal(letters_of(&l.form), "CFGA");
  assert_false(l.agrees);
  way_learn_keep(&l, false, 0);
  way_learn_keep(&l, true, 16 * BAR - BEAT); // now this is wanted
  assert_string_equal(letters_of(&l.form), "CFGADEDEDEDEDEDE");
}

static void test_forgets_and_recalls(void** state) {
  (void)state;
  WayLearn l = rolling_from(0);
  play(&l, 0, "CFGCCFGC");
  const WayForm form = l.form;
  way_learn_forget(&l);
  assert_false(l.known || l.ready || l.agrees);
  way_learn_recall(&l, &form);
  assert_true(way_learn_usable(&l));
  l.metre = (WayMetre){3, 4};
  assert_false(way_learn_usable(&l));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_comes_round_is_the_form),
      cmocka_unit_test(test_it_begins_where_the_first_chord_does),
      cmocka_unit_test(test_in_force_from_the_next_bar_line_on),
      cmocka_unit_test(test_what_is_heard_comes_first),
      cmocka_unit_test(test_the_last_reading_of_a_chord_counts),
      cmocka_unit_test(test_a_chord_may_come_early_or_late),
      cmocka_unit_test(test_a_chord_held_on_puts_it_out_of_force),
      cmocka_unit_test(test_silence_agrees),
      cmocka_unit_test(test_a_loop_is_the_form),
      cmocka_unit_test(test_other_jumps_are_no_loops),
      cmocka_unit_test(test_keep),
      cmocka_unit_test(test_forgets_and_recalls),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
