// plugin/ports.h, the settings and their names against what hosts read in the ttl.
#include "../../plugin/ports.h"

#include "check.h"
#include "host.h"
#include "live/mark.h"
#include "live/settings.h"
#include "page.h"
#include "theory/chord_kind.h"
#include "theory/role.h"

#include <lv2/core/lv2.h>
#include <lv2/patch/patch.h>
#include <lv2/port-props/port-props.h>
#include <lv2/units/units.h>

#include <stdio.h>

static Host* host;

static void test_symbols_and_kinds(void** state) {
  (void)state;
  static const struct {
    const char *symbol, *kind, *direction;
  } ports[] = {
#define EVENTS(name, symbol) {symbol, LV2_ATOM__AtomPort, NULL},
#define CONTROL(name, symbol) {symbol, LV2_CORE__ControlPort, LV2_CORE__InputPort},
#define READOUT(name, symbol) {symbol, LV2_CORE__ControlPort, LV2_CORE__OutputPort},
      WAY_PORTS(EVENTS, CONTROL, READOUT)};
  assert_int_equal(lilv_plugin_get_num_ports(host->plugin), WAY_PORT_COUNT);
  for (uint32_t i = 0; i < WAY_PORT_COUNT; ++i) {
    const LilvPort* const port = lilv_plugin_get_port_by_index(host->plugin, i);
    assert_string_equal(lilv_node_as_string(lilv_port_get_symbol(host->plugin, port)),
                        ports[i].symbol);
    const char* const classes[] = {ports[i].kind, ports[i].direction};
    for (size_t j = 0; j < 2 && classes[j]; ++j) {
      LilvNode* const class = lilv_new_uri(host->world, classes[j]);
      if (!lilv_port_is_a(host->plugin, port, class))
        fail_msg("%s is no %s", ports[i].symbol, classes[j]);
      lilv_node_free(class);
    }
  }
}

/// The label of a port's scale point at `value`; NULL if there is none.
static const char* label_at(const LilvScalePoints* points, int value) {
  LILV_FOREACH(scale_points, i, points) {
    const LilvScalePoint* const p = lilv_scale_points_get(points, i);
    if (lilv_node_as_float(lilv_scale_point_get_value(p)) == (float)value)
      return lilv_node_as_string(lilv_scale_point_get_label(p));
  }
  return NULL;
}

/// The scale points of `symbol` are 0..n-1, by these names; and "none" at -1 or not.
static void check_points(const char* symbol, const char* (*name)(int), int n,
                         int none) {
  const LilvPort* const port =
      lilv_plugin_get_port_by_index(host->plugin, host_port(host, symbol));
  LilvScalePoints* const points = lilv_port_get_scale_points(host->plugin, port);
  assert_int_equal(lilv_scale_points_size(points), n + none);
  for (int i = 0; i < n; ++i) {
    const char* const label = label_at(points, i);
    if (!label || strcmp(label, name(i)) != 0)
      fail_msg("%s %d: %s in the ttl, %s in the code", symbol, i, label, name(i));
  }
  if (none) assert_string_equal(label_at(points, -1), "none");
  lilv_scale_points_free(points);
  LilvNode *least = NULL, *most = NULL;
  lilv_port_get_range(host->plugin, port, NULL, &least, &most);
  assert_int_equal(lilv_node_as_int(least), -none);
  assert_int_equal(lilv_node_as_int(most), n - 1);
  lilv_node_free(least);
  lilv_node_free(most);
}

static const char* handling(int v) { return way_handling_name((unsigned)v); }
static const char* material(int v) { return way_material_name((WayMaterial)v); }
static const char* snap(int v) { return way_snap_name((unsigned)v); }
static const char* held(int v) { return way_held_name((unsigned)v); }
static const char* source(int v) { return way_source_name((unsigned)v); }
static const char* scope(int v) { return way_scope_name((unsigned)v); }
static const char* click(int v) { return way_click_at_name((unsigned)v); }
static const char* kind(int v) { return way_chord_kind_name((WayChordKind)v); }
static const char* role(int v) { return way_role_name((WayRole)v); }
static const char* landing(int v) { return way_landing_name((WayLanding)v); }
static const char* root(int v) {
  static const char* const names[] = {"C",     "C#/Db", "D",     "D#/Eb", "E",     "F",
                                      "F#/Gb", "G",     "G#/Ab", "A",     "A#/Bb", "B"};
  return names[v];
}

static void test_scale_points_are_the_names(void** state) {
  (void)state;
  check_points("handling", handling, WAY_HANDLING_COUNT, 0);
  check_points("material", material, WAY_MATERIAL_COUNT, 0);
  check_points("snap", snap, WAY_SNAP_COUNT, 0);
  check_points("held", held, WAY_HELD_COUNT, 0);
  check_points("source", source, WAY_SOURCE_COUNT, 0);
  check_points("scope", scope, WAY_SCOPE_COUNT, 0);
  check_points("click", click, WAY_CLICK_AT_COUNT, 0);
  check_points("chord_root", root, 12, 1);
  check_points("next_root", root, 12, 1);
  check_points("chord_kind", kind, WAY_CHORD_KIND_COUNT, 1);
  check_points("next_kind", kind, WAY_CHORD_KIND_COUNT, 1);
  check_points("role", role, WAY_ROLE_COUNT, 1);
  check_points("landing", landing, WAY_LANDING_COUNT, 1);
}

/// Controls that are the plug-in's own.
static bool is_own(const char* symbol) {
  return !strcmp(symbol, "mark_channel") || !strcmp(symbol, "marks_on_out") ||
         !strcmp(symbol, "marks_as_text");
}

/// Every control but those has the default and the range of the setting it is named
/// after.
static void test_controls_are_the_settings(void** state) {
  (void)state;
  static const char* const symbols[] = {
#define SYMBOL(name, symbol) symbol,
      WAY_PORTS(WAY_PORTS_NONE, SYMBOL, WAY_PORTS_NONE)};
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    if (is_own(symbols[i])) continue;
    unsigned row = 0;
    while (row < WAY_SETTING_COUNT && strcmp(way_setting_rows[row].symbol, symbols[i]))
      ++row;
    if (row == WAY_SETTING_COUNT) fail_msg("%s is no setting", symbols[i]);
    const WaySettingRow* const r = &way_setting_rows[row];
    LilvNode *value, *least, *most;
    lilv_port_get_range(
        host->plugin,
        lilv_plugin_get_port_by_index(host->plugin, host_port(host, symbols[i])),
        &value, &least, &most);
    if ((double)lilv_node_as_float(value) != r->standard ||
        (double)lilv_node_as_float(least) != r->least ||
        (double)lilv_node_as_float(most) != r->most)
      fail_msg("%s: the ttl has another default or range", symbols[i]);
    lilv_node_free(value);
    lilv_node_free(least);
    lilv_node_free(most);
  }
}

/// A whole number that a port's description tells; 0 if it does not.
static int told(const LilvPort* port, const char* uri) {
  LilvNode* const predicate = lilv_new_uri(host->world, uri);
  LilvNode* const node = lilv_port_get(host->plugin, port, predicate);
  const int value = node ? lilv_node_as_int(node) : 0;
  lilv_node_free(node);
  lilv_node_free(predicate);
  return value;
}

/// Hosts that are told no steps take a thirtieth of the range for a notch of the wheel
/// (Ardour 7.3): too much where the range is wide or in fractions.  The steps told are
/// whole ones, or fractions of which ten (a notch in Ardour) make a quarter or a whole;
/// they reach the default.
static void test_wide_controls_have_steps(void** state) {
  (void)state;
  unsigned n = 0;
  for (unsigned row = 0; row < WAY_SETTING_COUNT; ++row) {
    const WaySettingRow* const r = &way_setting_rows[row];
    const LilvPort* const port =
        lilv_plugin_get_port_by_index(host->plugin, host_port(host, r->symbol));
    const int points = told(port, LV2_PORT_PROPS__rangeSteps);
    if (r->whole && r->most - r->least < 128 && !points) continue;
    if (points < 2) fail_msg("%s: no steps", r->symbol);
    const double step = (r->most - r->least) / (points - 1);
    const double to_default = (r->standard - r->least) / step;
    const double parts = r->whole ? step : step * 40;
    if (parts < 1 || parts > floor(parts) || to_default > floor(to_default))
      fail_msg("%s: steps of %f", r->symbol, step);
    ++n;
  }
  assert_true(n >= 8);
}

/// The row of a table that begins with `symbol` ends with `text`.
static bool has_row(const char* page, const char* symbol, const char* text) {
  char start[64], end[600];
  snprintf(start, sizeof(start), "\n| `%s` |", symbol);
  snprintf(end, sizeof(end), "| %s |", text);
  const char* const row = strstr(page, start);
  const char* const found = row ? strstr(row, end) : NULL;
  return found && !memchr(row + 1, '\n', (size_t)(found - row - 1));
}

#define COMMENT "http://www.w3.org/2000/01/rdf-schema#comment"
#define LABEL "http://www.w3.org/2000/01/rdf-schema#label"

/// A text that is told of a port.
static void text_of(const LilvPort* port, const char* uri, char* text, size_t room) {
  LilvNode* const predicate = lilv_new_uri(host->world, uri);
  LilvNode* const node = lilv_port_get(host->plugin, port, predicate);
  snprintf(text, room, "%s", node ? lilv_node_as_string(node) : "");
  lilv_node_free(node);
  lilv_node_free(predicate);
}

/// Append to a text.
static void append(char* text, size_t room, const char* more) {
  const size_t n = strlen(text), size = strlen(more) + 1;
  assert_true(n + size <= room);
  memcpy(text + n, more, size);
}

/// A unit as the manual puts it behind a number.
static const char* unit_of(const LilvPort* port) {
  static const struct {
    const char *uri, *words;
  } units[] = {{LV2_UNITS__beat, " beats"},
               {LV2_UNITS__ms, " ms"},
               {LV2_UNITS__s, " s"},
               {LV2_UNITS__pc, " per cent"},
               {LV2_UNITS__midiNote, ""},
               {LV2_UNITS__semitone12TET, " semitones"},
               {"", ""}};
  char uri[128];
  text_of(port, LV2_UNITS__unit, uri, sizeof(uri));
  for (size_t i = 0; i < WAY_COUNT(units); ++i)
    if (!strcmp(uri, units[i].uri)) return units[i].words;
  fail_msg("unit %s is new here", uri);
  return NULL;
}

/// Whether a port has a property.
static bool is(const LilvPort* port, const char* uri) {
  LilvNode* const property = lilv_new_uri(host->world, uri);
  const bool has = lilv_port_has_property(host->plugin, port, property);
  lilv_node_free(property);
  return has;
}

/// What a control can be and what it is at first, as the table of the manual has it:
/// `off, on | off | ` or `0 to 4 beats | 0 | `.
static void values_of(const LilvPort* port, char* text, size_t room) {
  LilvNode *standard, *least, *most;
  lilv_port_get_range(host->plugin, port, &standard, &least, &most);
  const int from = lilv_node_as_int(least), to = lilv_node_as_int(most);
  const int first = lilv_node_as_int(standard);
  LilvScalePoints* const points = lilv_port_get_scale_points(host->plugin, port);
  const bool toggled = is(port, LV2_CORE__toggled);
  *text = 0;
  if (points || toggled) {
    static const char* const toggles[] = {"off", "on"};
    for (int i = from; i <= to; ++i) {
      append(text, room, i > from ? ", " : "");
      append(text, room, toggled ? toggles[i] : label_at(points, i));
    }
    append(text, room, " | ");
    append(text, room, toggled ? toggles[first] : label_at(points, first));
    append(text, room, " | ");
  } else {
    snprintf(text, room, "%d to %d%s | %d | ", from, to, unit_of(port), first);
  }
  lilv_scale_points_free(points);
  lilv_node_free(standard);
  lilv_node_free(least);
  lilv_node_free(most);
}

static void want_row(const char* page, const char* row) {
  char line[1200];
  snprintf(line, sizeof(line), "\n%s\n", row);
  if (!strstr(page, line)) fail_msg("not in daw.md: %s", row);
}

/// The tables of the manual have every port by name, with its values and its comment.
static void test_the_manual_has_every_port(void** state) {
  (void)state;
  static char daw[1u << 16];
  page_read(DOCS "/daw.md", daw, sizeof(daw));
  for (uint32_t i = 0; i < WAY_PORT_COUNT; ++i) {
    const LilvPort* const port = lilv_plugin_get_port_by_index(host->plugin, i);
    const bool control = host->buffers[i] == NULL;
    LilvNode* const input = lilv_new_uri(host->world, LV2_CORE__InputPort);
    const bool in = lilv_port_is_a(host->plugin, port, input);
    lilv_node_free(input);
    char name[64], comment[512], values[256], row[1024];
    text_of(port, LV2_CORE__name, name, sizeof(name));
    text_of(port, COMMENT, comment, sizeof(comment));
    assert_true(*name && *comment);
    if (!control)
      snprintf(values, sizeof(values), "%s | ", in ? "in" : "out");
    else if (in)
      values_of(port, values, sizeof(values));
    else
      *values = 0;
    snprintf(row, sizeof(row), "| %s | %s%s |", name, values, comment);
    want_row(daw, row);
  }
}

/// Every text that can be read or written has a row, too.
static void test_the_manual_has_every_parameter(void** state) {
  (void)state;
  static char daw[1u << 16];
  page_read(DOCS "/daw.md", daw, sizeof(daw));
  LilvNode* const label = lilv_new_uri(host->world, LABEL);
  LilvNode* const comment = lilv_new_uri(host->world, COMMENT);
  static const char* const uris[] = {LV2_PATCH__writable, LV2_PATCH__readable};
  unsigned n = 0;
  for (size_t k = 0; k < WAY_COUNT(uris); ++k) {
    LilvNode* const uri = lilv_new_uri(host->world, uris[k]);
    LilvNodes* const all = lilv_plugin_get_value(host->plugin, uri);
    LILV_FOREACH(nodes, i, all) {
      const LilvNode* const parameter = lilv_nodes_get(all, i);
      LilvNode* const name = lilv_world_get(host->world, parameter, label, NULL);
      LilvNode* const text = lilv_world_get(host->world, parameter, comment, NULL);
      assert_true(name && text);
      char row[1024];
      snprintf(row, sizeof(row), "| %s | %s |", lilv_node_as_string(name),
               lilv_node_as_string(text));
      want_row(daw, row);
      lilv_node_free(name);
      lilv_node_free(text);
      ++n;
    }
    lilv_nodes_free(all);
    lilv_node_free(uri);
  }
  assert_int_equal(n, 4);
  lilv_node_free(label);
  lilv_node_free(comment);
}

/// A page of man without its escapes.
static void unescape(char* page) {
  char* to = page;
  for (const char* from = page; *from; ++from)
    if (*from != '\\') *to++ = *from;
  *to = 0;
}

/// Whether the manual page tells of an option of `waymark run` in these words.
static bool in_manual(const char* run, const char* symbol, const char* text) {
  char option[64], words[600];
  snprintf(option, sizeof(option), "--%s", symbol);
  for (char* c = option; *c; ++c)
    if (*c == '_') *c = '-';
  snprintf(words, sizeof(words), "\n%s.\n", text);
  const size_t n = strlen(option);
  for (const char* at = run; (at = strstr(at, option)); at += n) {
    if (at[n] != ' ' && at[n] != '\n') continue;
    const char* const body = strchr(at, '\n');
    return body && !strncmp(body, words, strlen(words));
  }
  return false;
}

/// Hosts, the page on the guide and the manual page describe every control in the same
/// words.
static void test_every_control_has_the_same_words(void** state) {
  (void)state;
  static char guide[1u << 16], manual[1u << 16];
  static const char* const symbols[] = {
#define SYMBOL_OF(name, symbol) symbol,
      WAY_PORTS(WAY_PORTS_NONE, SYMBOL_OF, WAY_PORTS_NONE)};
  page_read(DOCS "/guide.md", guide, sizeof(guide));
  page_read(DOCS "/waymark.1", manual, sizeof(manual));
  unescape(manual);
  const char* const run = strstr(manual, ".SS waymark run");
  assert_non_null(run);
  for (size_t i = 0; i < WAY_COUNT(symbols); ++i) {
    char text[512];
    text_of(lilv_plugin_get_port_by_index(host->plugin, host_port(host, symbols[i])),
            COMMENT, text, sizeof(text));
    if (!has_row(guide, symbols[i], text))
      fail_msg("not in guide.md: %s: %s", symbols[i], text);
    // The guide over a file is on, and is told in another way what to keep.
    const bool option = !is_own(symbols[i]) && strcmp(symbols[i], "enabled") != 0 &&
                        strcmp(symbols[i], "keep") != 0;
    if (option && !in_manual(run, symbols[i], text))
      fail_msg("not in waymark.1: %s: %s", symbols[i], text);
  }
}

int main(void) {
  host = host_guide(NULL);
  if (!host) return 1;
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_symbols_and_kinds),
      cmocka_unit_test(test_scale_points_are_the_names),
      cmocka_unit_test(test_controls_are_the_settings),
      cmocka_unit_test(test_wide_controls_have_steps),
      cmocka_unit_test(test_the_manual_has_every_port),
      cmocka_unit_test(test_the_manual_has_every_parameter),
      cmocka_unit_test(test_every_control_has_the_same_words),
  };
  const int failed = cmocka_run_group_tests(tests, NULL, NULL);
  host_free(host);
  return failed;
}
