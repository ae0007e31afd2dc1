// The presets load, as they stand in the source tree and as built, and set what is
// there.
#include "base/attributes.h"
#include "check.h"
#include "host.h"
#include "page.h"

#include <lv2/presets/presets.h>

#include <stdio.h>
#include <string.h>

#define PRESETS_MAX 64u

static unsigned n_set; ///< Controls set by the preset in hand

/// Sets control ports by symbol, inside their ranges.
static void set_port(const char* symbol, void* data, const void* value, uint32_t size,
                     uint32_t type) {
  Host* const h = (Host*)data;
  const uint32_t index = host_port(h, symbol);
  const LilvPort* const port = lilv_plugin_get_port_by_index(h->plugin, index);
  LilvNode *least = NULL, *most = NULL;
  lilv_port_get_range(h->plugin, port, NULL, &least, &most);
  assert_int_equal(type, h->forge.Float);
  assert_int_equal(size, sizeof(float));
  float v;
  memcpy(&v, value, sizeof(v));
  if (v < lilv_node_as_float(least) || v > lilv_node_as_float(most))
    fail_msg("%s = %f", symbol, (double)v);
  h->controls[index] = v;
  ++n_set;
  lilv_node_free(least);
  lilv_node_free(most);
}

/// The manual says what to listen for in the same words.
static void check_row(const LilvState* s, LilvNode* comment) {
  static char page[1u << 16];
  char row[512];
  assert_non_null(comment);
  page_read(DOCS "/daw.md", page, sizeof(page));
  snprintf(row, sizeof(row), "\n| %s | %s |\n", lilv_state_get_label(s),
           lilv_node_as_string(comment));
  if (!strstr(page, row)) fail_msg("not in daw.md: %s", row);
  lilv_node_free(comment);
}

/// No two presets have one name.
static void check_label(const char* label, unsigned n) {
  static char labels[PRESETS_MAX][64];
  assert_true(n < PRESETS_MAX);
  for (unsigned i = 0; i < n; ++i) assert_string_not_equal(labels[i], label);
  snprintf(labels[n], sizeof(labels[n]), "%s", label);
}

/// Load every preset of a bundle.  @return How many.
static unsigned load_all(const char* folder) {
  Host* const h = host_guide(NULL);
  LilvNode* const bundle = lilv_new_file_uri(h->world, NULL, folder);
  LilvNode* const class = lilv_new_uri(h->world, LV2_PRESETS__Preset);
  LilvNode* const comment =
      lilv_new_uri(h->world, "http://www.w3.org/2000/01/rdf-schema#comment");
  lilv_world_load_bundle(h->world, bundle);
  LilvNodes* const presets = lilv_plugin_get_related(h->plugin, class);
  unsigned n = 0;
  LILV_FOREACH(nodes, i, presets) {
    const LilvNode* const preset = lilv_nodes_get(presets, i);
    assert_true(lilv_world_load_resource(h->world, preset) > 0);
    LilvState* const s = lilv_state_new_from_world(h->world, &h->map, preset);
    assert_non_null(s);
    assert_non_null(lilv_state_get_label(s));
    check_label(lilv_state_get_label(s), n);
    check_row(s, lilv_world_get(h->world, preset, comment, NULL));
    n_set = 0;
    lilv_state_restore(s, h->instance, set_port, h, 0, h->features);
    assert_int_equal(n_set, 5); // every preset sets the same controls
    host_run(h, 64);
    lilv_state_free(s);
    ++n;
  }
  assert_string_equal(h->log, "");
  lilv_nodes_free(presets);
  lilv_node_free(comment);
  lilv_node_free(class);
  lilv_node_free(bundle);
  host_free(h);
  return n;
}

static void test_presets_load(void** state) {
  (void)state;
  const unsigned n = load_all(PRESETS_SOURCE "/");
  assert_int_equal(n, load_all(PRESETS_BUILT "/"));
  assert_true(n >= 8);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_presets_load),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
