// plugin/ports.h, the settings and their names against what hosts read in the ttl.
#include "../../plugin/ports.h"

#include "check.h"
#include "host.h"
#include "live/mark.h"
#include "live/settings.h"
#include "theory/chord_kind.h"
#include "theory/role.h"

#include <lv2/core/lv2.h>

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
  return !strcmp(symbol, "mark_channel") || !strcmp(symbol, "marks_on_out");
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

/// A page of the manual, in a room of its own.
static void read_page(const char* path, char* page, size_t room) {
  FILE* const f = fopen(path, "r");
  assert_non_null(f);
  const size_t n = fread(page, 1, room - 1, f);
  assert_true(n > 0 && n < room - 1);
  page[n] = 0;
  fclose(f);
}

/// The row of a table that begins with `symbol` ends with `text`.
static bool has_row(const char* page, const char* symbol, const char* text) {
  char start[64], end[512];
  snprintf(start, sizeof(start), "\n| `%s` |", symbol);
  snprintf(end, sizeof(end), "| %s |", text);
  const char* const row = strstr(page, start);
  const char* const found = row ? strstr(row, end) : NULL;
  return found && !memchr(row + 1, '\n', (size_t)(found - row - 1));
}

/// Hosts and manual describe every port in the same words; every control has a row in
/// the page on the guide, too.
static void test_every_port_explains_itself(void** state) {
  (void)state;
  static char daw[1u << 16], guide[1u << 16];
  static const char* const controls[] = {
#define EVENTS_NONE(name, symbol) NULL,
#define SYMBOL_OF(name, symbol) symbol,
      WAY_PORTS(EVENTS_NONE, SYMBOL_OF, EVENTS_NONE)};
  read_page(DOCS "/daw.md", daw, sizeof(daw));
  read_page(DOCS "/guide.md", guide, sizeof(guide));
  LilvNode* const comment =
      lilv_new_uri(host->world, "http://www.w3.org/2000/01/rdf-schema#comment");
  for (uint32_t i = 0; i < WAY_PORT_COUNT; ++i) {
    const LilvPort* const port = lilv_plugin_get_port_by_index(host->plugin, i);
    LilvNode* const node = lilv_port_get(host->plugin, port, comment);
    assert_non_null(node);
    const char* const text = lilv_node_as_string(node);
    if (!strstr(daw, text)) fail_msg("not in daw.md: %s", text);
    if (controls[i] && !has_row(guide, controls[i], text))
      fail_msg("not in guide.md: %s: %s", controls[i], text);
    lilv_node_free(node);
  }
  lilv_node_free(comment);
}

int main(void) {
  host = host_guide(NULL);
  if (!host) return 1;
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_symbols_and_kinds),
      cmocka_unit_test(test_scale_points_are_the_names),
      cmocka_unit_test(test_controls_are_the_settings),
      cmocka_unit_test(test_every_port_explains_itself),
  };
  const int failed = cmocka_run_group_tests(tests, NULL, NULL);
  host_free(host);
  return failed;
}
