#include "chart/degree_map.h"

#include <stdlib.h>

/// The map while it is made.
typedef struct {
  WayDegreeMap* map;
  uint32_t* column_of; ///< By harmony: its column + 1, or 0
  uint32_t* found;     ///< Hash table of changes: index + 1, or 0
  uint32_t n_found;    ///< Its size, a power of two
} Making;

const WayHarmony* way_degree_map_harmony(const WayDegreeMap* map, uint32_t column) {
  return &map->timeline->harmonies[map->columns[column].harmony];
}

static uint32_t column_of_harmony(Making* m, uint32_t harmony) {
  if (!m->column_of[harmony]) {
    m->map->columns[m->map->n_columns++] = (WayMapColumn){.harmony = harmony};
    m->column_of[harmony] = m->map->n_columns;
  }
  return m->column_of[harmony] - 1;
}

/// Count a change of chord, added if it is new.
static void count_change(Making* m, uint32_t from, uint32_t to) {
  WayDegreeMap* const map = m->map;
  for (uint32_t h = from * 0x9E3779B1u ^ to * 0x85EBCA77u;; ++h) { // any odd numbers
    uint32_t* const slot = &m->found[h & (m->n_found - 1)];
    if (!*slot) {
      map->changes[map->n_changes] = (WayMapChange){.from = from, .to = to};
      *slot = ++map->n_changes;
    }
    WayMapChange* const change = &map->changes[*slot - 1];
    if (change->from != from || change->to != to) continue;
    ++change->times;
    return;
  }
}

/// Fill the columns, and count the changes.
static void walk(Making* m) {
  WayDegreeMap* const map = m->map;
  const WayTimeline* const t = map->timeline;
  uint32_t before = UINT32_MAX;
  for (uint32_t i = 0; i < t->n_spans; ++i) {
    if (way_chord_is_none(&way_timeline_harmony(t, i)->chord)) continue;
    const uint32_t column = column_of_harmony(m, t->spans[i].harmony);
    map->columns[column].length += way_timeline_span_end(t, i) - t->spans[i].start;
    if (before != UINT32_MAX && before != column) count_change(m, before, column);
    before = column;
  }
  if (map->n_columns && before != 0) count_change(m, before, 0);
}

/// What each change keeps and brings, and which chord follows each.
static void compare_chords(WayDegreeMap* map) {
  for (uint32_t i = map->n_changes; i-- > 0;) { // backwards: the first has the say
    WayMapChange* const c = &map->changes[i];
    const WayHarmony* const from = way_degree_map_harmony(map, c->from);
    const WayHarmony* const to = way_degree_map_harmony(map, c->to);
    const WayPcSet a = way_chord_pcs(&from->chord);
    const WayPcSet b = way_chord_pcs(&to->chord);
    const WayPcSet x = from->material[map->material];
    const WayPcSet y = to->material[map->material];
    c->stay = a & b;
    c->fresh = (WayPcSet)(b & ~a);
    c->gone = (WayPcSet)(a & ~b);
    c->material_fresh = (WayPcSet)(y & ~x);
    c->material_gone = (WayPcSet)(x & ~y);
    map->columns[c->from].next = c->to;
  }
}

static bool is_of_loop(WayMaterial m) {
  return m == WAY_MATERIAL_PENTATONIC || m == WAY_MATERIAL_BLUES ||
         m == WAY_MATERIAL_PARENT;
}

static void choose_scale(WayDegreeMap* map) {
  if (!is_of_loop(map->material)) return;
  WayLoopSum sum = {0};
  for (uint32_t i = 0; i < map->n_columns; ++i)
    way_loop_add(&sum, &way_degree_map_harmony(map, i)->chord,
                 (double)map->columns[i].length);
  map->choice = way_loop_choose(&sum, map->material, map->timeline->key);
}

/// A row for each note of the material, spelled by the loop's scale or by the key.
static void add_rows(WayDegreeMap* map) {
  const WayKey key = map->timeline->key;
  const WayScale* const scale = &map->choice.best.scale;
  if (is_of_loop(map->material)) {
    for (unsigned i = 0; i < scale->n; ++i)
      map->rows[map->n_rows++] = way_scale_note(scale, i);
    return;
  }
  WayPcSet all = 0;
  for (uint32_t i = 0; i < map->n_columns; ++i)
    all |= way_degree_map_harmony(map, i)->material[map->material];
  for (int up = 0; up < 12; ++up) {
    const WayPc pc = way_pc(way_spelling_pc(key.tonic) + up);
    if (way_pcs_has(all, pc)) map->rows[map->n_rows++] = way_key_spell(key, pc);
  }
}

static bool make_room(Making* m) {
  const WayTimeline* const t = m->map->timeline;
  m->n_found = 16;
  while (m->n_found < 2 * t->n_spans) m->n_found *= 2;
  m->map->columns = calloc(t->n_harmonies, sizeof(*m->map->columns));
  m->map->changes = malloc((t->n_spans + 1) * sizeof(*m->map->changes));
  m->column_of = calloc(t->n_harmonies, sizeof(*m->column_of));
  m->found = calloc(m->n_found, sizeof(*m->found));
  return m->map->columns && m->map->changes && m->column_of && m->found;
}

WayStatus way_degree_map_new(const WayTimeline* timeline, WayMaterial material,
                             WayDegreeMap** out) {
  Making m = {.map = calloc(1, sizeof(*m.map))};
  if (!m.map) return WAY_ERR_NO_MEMORY;
  m.map->timeline = timeline;
  m.map->material = material;
  const bool room = make_room(&m);
  if (room) {
    walk(&m);
    compare_chords(m.map);
    choose_scale(m.map);
    add_rows(m.map);
    *out = m.map;
  }
  free(m.column_of);
  free(m.found);
  if (room) return WAY_OK;
  way_degree_map_free(m.map);
  return WAY_ERR_NO_MEMORY;
}

void way_degree_map_free(WayDegreeMap* map) {
  if (!map) return;
  free(map->columns);
  free(map->changes);
  free(map);
}

WayMapCell way_degree_map_cell(const WayDegreeMap* map, unsigned row, uint32_t column) {
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  const WayPc pc = way_spelling_pc(map->rows[row]);
  return (WayMapCell){h->roles[pc], way_pcs_has(h->material[map->material], pc)};
}

WayPcSet way_degree_map_shared(const WayDegreeMap* map, uint32_t column) {
  const WayHarmony* const h = way_degree_map_harmony(map, column);
  return way_chord_pcs(&h->chord) & h->material[map->material];
}
