// The choices against what hosts are told in ttl/waymark.ttl.
#include "../../plugin/ui/choice.h"
#include "check.h"
#include "host.h"
#include "rng.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>

#include <ctype.h>

static const char* const symbols[WAY_CONTROL_COUNT] = {
#define CONTROL_SYMBOL(name, symbol) symbol,
    WAY_PORTS(WAY_PORTS_NONE, CONTROL_SYMBOL, WAY_PORTS_NONE)
#undef CONTROL_SYMBOL
};

static void check_range(const Host* h, const LilvPort* port, const WayChoice* c) {
  LilvNode *start, *least, *most;
  lilv_port_get_range(h->plugin, port, &start, &least, &most);
  assert_float_equal(lilv_node_as_float(start), c->start, 0);
  assert_float_equal(lilv_node_as_float(least), c->least, 0);
  assert_float_equal(lilv_node_as_float(most), c->most, 0);
  lilv_node_free(start);
  lilv_node_free(least);
  lilv_node_free(most);
}

static void check_names(const Host* h, const LilvPort* port, const WayChoice* c) {
  LilvScalePoints* const points = lilv_port_get_scale_points(h->plugin, port);
  unsigned n = 0;
  LILV_FOREACH(scale_points, i, points) {
    const LilvScalePoint* const p = lilv_scale_points_get(points, i);
    const int value = lilv_node_as_int(lilv_scale_point_get_value(p));
    assert_string_equal(c->names[value],
                        lilv_node_as_string(lilv_scale_point_get_label(p)));
    ++n;
  }
  while (n && c->names[n - 1] && c->names[n]) ++n;
  assert_int_equal(n, lilv_scale_points_size(points));
  lilv_scale_points_free(points);
}

static void test_controls_are_as_hosts_know_them(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const WayChoice* const c = way_choice((WayChoiceId)i);
    if (c->control >= WAY_CONTROL_COUNT) continue;
    assert_int_equal(way_choice_by_control(c->control), i);
    LilvNode* const symbol = lilv_new_string(h->world, symbols[c->control]);
    const LilvPort* const port = lilv_plugin_get_port_by_symbol(h->plugin, symbol);
    lilv_node_free(symbol);
    check_range(h, port, c);
    if (c->names && c->control != WAY_CONTROL_ENABLED) check_names(h, port, c);
  }
  host_free(h);
}

static void test_every_choice_has_a_key_of_its_own(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const WayChoice* const c = way_choice((WayChoiceId)i);
    assert_int_equal(way_choice_by_key((uint32_t)c->key), i);
    assert_int_equal(way_choice_by_key((uint32_t)toupper(c->key)), i);
    assert_null(strchr("puz?/", c->key)); // those do something else
  }
  assert_int_equal(way_choice_by_key('7'), WAY_CHOICE_COUNT);
}

static void test_steps_reach_every_value_and_no_other(void** state) {
  (void)state;
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const WayChoiceId id = (WayChoiceId)i;
    float value = way_choice(id)->least;
    unsigned steps = 0;
    for (; steps < 100; ++steps) {
      char text[WAY_CHOICE_TEXT_MAX];
      WayOut out = way_out(text, sizeof(text));
      way_choice_write(id, value, &out);
      assert_true(out.size > 0 && !out.cut);
      assert_float_equal(way_choice_clamped(id, value), value, 0);
      const float next = way_choice_moved(id, value, 1);
      if (next <= value) break;
      assert_float_equal(way_choice_moved(id, next, -1), value, 1e-6);
      value = next;
    }
    assert_true(steps > 0 && steps < 100);
    assert_float_equal(way_choice_clamped(id, 1e9f), value, 0);
    assert_float_equal(way_choice_clamped(id, -1e9f), way_choice(id)->least, 0);
    assert_float_equal(way_choice_clamped(id, NAN), way_choice(id)->least, 0);
  }
}

static void test_a_position_of_the_hand_fills_the_view(void** state) {
  (void)state;
  float values[WAY_CHOICE_COUNT];
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
    values[i] = way_choice((WayChoiceId)i)->start;
  WayScreenLook look = way_screen_look_default();
  way_choice_look(values, &look);
  assert_int_equal(look.frets.first, 0);
  assert_int_equal(look.frets.last, 12);
  assert_false(look.keyboard);
  values[WAY_CHOICE_FRETS] = WAY_FRETS_HAND + 6;
  values[WAY_CHOICE_HAND] = 1;
  values[WAY_CHOICE_VIEW] = 1;
  way_choice_look(values, &look);
  assert_int_equal(look.frets.first, 5);
  assert_int_equal(look.frets.last, 9);
  assert_true(look.frets.left);
  assert_int_equal(look.view, WAY_VIEW_STAGE);
  values[WAY_CHOICE_CAPO] = 7;
  way_choice_look(values, &look);
  assert_int_equal(look.frets.first, 7);
  values[WAY_CHOICE_INSTRUMENT] = (float)way_tuning_count();
  values[WAY_CHOICE_OCTAVE] = -1;
  way_choice_look(values, &look);
  assert_true(look.keyboard);
  assert_int_equal(look.keys.low, way_keyboard_default().low - 12);
}

static void test_the_look_comes_back_from_its_text(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    uint32_t rng = seed;
    float given[WAY_CHOICE_COUNT], read[WAY_CHOICE_COUNT];
    for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
      const WayChoiceId id = (WayChoiceId)i;
      given[i] = way_choice_moved(id, way_choice(id)->start, (int)rng_below(&rng, 90));
      read[i] = way_choice(id)->start;
    }
    char text[512];
    WayOut out = way_out(text, sizeof(text));
    way_choice_write_look(given, &out);
    assert_true(out.size < 400);
    way_choice_read_look(way_text(text), read);
    for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
      const WayChoice* const c = way_choice((WayChoiceId)i);
      const float want = c->control == WAY_CHOICE_OF_LOOK ? given[i] : c->start;
      if (read[i] < want || read[i] > want)
        fail_msg("seed %u: %s is %g after %s", seed, c->label, (double)read[i], text);
    }
  }
}

static void test_what_a_look_does_not_say_stays(void** state) {
  (void)state;
  float values[WAY_CHOICE_COUNT] = {0};
  values[WAY_CHOICE_CAPO] = 3;
  way_choice_read_look(way_text("theme: dark;view:stage ; capo: 99; handling: snap;"
                                "colour: pink; signs; : ;; frets: hand"),
                       values);
  assert_float_equal(values[WAY_CHOICE_THEME], 1, 0);
  assert_float_equal(values[WAY_CHOICE_VIEW], 1, 0);
  assert_float_equal(values[WAY_CHOICE_FRETS], WAY_FRETS_HAND, 0);
  assert_float_equal(values[WAY_CHOICE_CAPO], 3, 0);
  assert_float_equal(values[WAY_CHOICE_HANDLING], 0, 0); // no part of the look
}

/// The value of a port in a preset, as Turtle.
static float preset_value(const char* text, const char* symbol) {
  char name[64];
  snprintf(name, sizeof(name), "lv2:symbol \"%s\"", symbol);
  const char* at = strstr(text, name);
  assert_non_null(at);
  at = strstr(at, "pset:value ");
  assert_non_null(at);
  return strtof(at + strlen("pset:value "), NULL);
}

// Stages set what the presets of their names set.
static void test_stages_are_the_presets(void** state) {
  (void)state;
  static const struct {
    WayChoiceId id;
    const char* symbol;
  } set[] = {{WAY_CHOICE_HANDLING, "handling"},
             {WAY_CHOICE_MATERIAL, "material"},
             {WAY_CHOICE_SNAP, "snap"},
             {WAY_CHOICE_HELD, "held"},
             {WAY_CHOICE_EARLY, "early"}};
  for (unsigned stage = 0; stage < WAY_STAGES; ++stage) {
    char pattern[512], text[4096];
    glob_t found;
    snprintf(pattern, sizeof(pattern), PRESETS "/%u-*.ttl", stage + 1);
    assert_int_equal(glob(pattern, 0, NULL, &found), 0);
    assert_int_equal(found.gl_pathc, 1);
    FILE* const f = fopen(found.gl_pathv[0], "r");
    assert_non_null(f);
    text[fread(text, 1, sizeof(text) - 1, f)] = 0;
    fclose(f);
    globfree(&found);
    assert_non_null(strstr(text, way_stage(stage)->name));
    for (size_t i = 0; i < WAY_COUNT(set); ++i)
      assert_float_equal(way_choice_of_stage(stage, set[i].id, -1),
                         preset_value(text, set[i].symbol), 0);
    assert_float_equal(way_choice_of_stage(stage, WAY_CHOICE_CLICK, -1), -1, 0);
  }
}

static void check_stage(const float values[WAY_CHOICE_COUNT], float stage,
                        const char* written) {
  char text[WAY_CHOICE_TEXT_MAX];
  WayOut out = way_out(text, sizeof(text));
  assert_float_equal(way_choice_stage(values), stage, 0);
  way_choice_write(WAY_CHOICE_STAGE, stage, &out);
  assert_string_equal(text, written);
}

static void test_settings_tell_their_stage(void** state) {
  (void)state;
  float values[WAY_CHOICE_COUNT];
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
    values[i] = way_choice((WayChoiceId)i)->start;
  check_stage(values, WAY_STAGE_OWN, "own");
  assert_float_equal(way_choice(WAY_CHOICE_STAGE)->start, WAY_STAGE_OWN, 0);
  for (unsigned stage = 0; stage < WAY_STAGES; ++stage) {
    const char number[] = {(char)('1' + stage), 0};
    for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
      values[i] = way_choice_of_stage(stage, (WayChoiceId)i, values[i]);
    check_stage(values, (float)(stage + 1), number);
    values[WAY_CHOICE_CLICK] = (float)(stage % 4); // no part of a stage
    check_stage(values, (float)(stage + 1), number);
    values[WAY_CHOICE_SNAP] = 2;
    check_stage(values, WAY_STAGE_OWN, "own");
  }
}

static void test_from_settings_of_ones_own_lead_both_ends(void** state) {
  (void)state;
  const float own = WAY_STAGE_OWN, last = WAY_STAGES;
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, own, 1), 1, 0);
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, own, 3), 3, 0);
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, own, 9), 1, 0);
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, own, -1), last, 0);
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, own, 0), own, 0);
  assert_float_equal(way_choice_moved(WAY_CHOICE_STAGE, last, 1), 1, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_controls_are_as_hosts_know_them),
      cmocka_unit_test(test_every_choice_has_a_key_of_its_own),
      cmocka_unit_test(test_steps_reach_every_value_and_no_other),
      cmocka_unit_test(test_a_position_of_the_hand_fills_the_view),
      cmocka_unit_test(test_stages_are_the_presets),
      cmocka_unit_test(test_settings_tell_their_stage),
      cmocka_unit_test(test_from_settings_of_ones_own_lead_both_ends),
      cmocka_unit_test(test_the_look_comes_back_from_its_text),
      cmocka_unit_test(test_what_a_look_does_not_say_stays),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
