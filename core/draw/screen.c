#include "draw/screen.h"

#include "draw/measure.h"
#include "draw/position.h"

#include <math.h>
#include <string.h>

#define LETTERS_LEAST 8.0 // pixels, at scale 1
#define TRAIL_BARS 4u
#define BORDER 1.1      // of the full view, in units
#define ITEMS_LEAST 0.9 // unit of settings, in units, before they take another row
#define ITEMS_STEP 0.97
#define HALO_BEATS 4.0 // a halo begins to close so many beats before the change
#define HALO_STEPS 32.0

const char* way_view_name(WayView v) {
  static const char* const names[WAY_VIEW_COUNT] = {
      [WAY_VIEW_FULL] = "full",
      [WAY_VIEW_STAGE] = "stage",
  };
  return names[v];
}

WayScreenLook way_screen_look_default(void) {
  return (WayScreenLook){.frets = way_fretboard_default(),
                         .keys = way_keyboard_default(),
                         .scale = 1,
                         .trail_bars = TRAIL_BARS};
}

// ---- The model.

static WayTick beat_at(const WayTimeline* t, const WayPlace* place) {
  return way_metre_beat(t->bars[place->bar].metre);
}

/// How the beats before the next change go together: by the metre now.
static WayPanelPulse pulse_before(const WayTimeline* t, const WayPlace* place) {
  const WayPlace change = way_timeline_at(t, place->tick + place->until);
  const unsigned group = way_metre_group(t->bars[place->bar].metre);
  const WayTick beats = change.in_bar / beat_at(t, place);
  return (WayPanelPulse){group, (unsigned)(beats % group)};
}

/// The first chord comes in so many ticks.
static void wait_for(WayScreenModel* m, const WayTimeline* t, WayTick ticks) {
  const WayMetre metre = t->bars[0].metre;
  const double beat = (double)way_metre_beat(metre);
  m->next = way_timeline_harmony(t, 0);
  m->until = (double)ticks / beat;
  m->lasts = ceil(m->until / metre.beats) * metre.beats; // whole bars
  m->pulse = (WayPanelPulse){way_metre_group(metre), 0};
  m->target = m->targets ? m->targets[0] : t->spans[0].target;
}

void way_screen_follow(WayScreenModel* m, const WayTimeline* t, WayTick tick) {
  m->timeline = t;
  m->placed = t != NULL;
  m->tick = tick;
  m->now = m->next = NULL;
  m->until = m->lasts = 0;
  m->pulse = (WayPanelPulse){0, 0};
  m->target = (WayDegree){0, 0};
  if (!t) return;
  if (tick < 0) {
    wait_for(m, t, -tick);
    return;
  }
  const WayPlace place = way_timeline_at(t, tick);
  m->now = way_timeline_harmony(t, place.span);
  if (!place.until) return;
  const double beat = (double)beat_at(t, &place);
  m->next = way_timeline_harmony(t, place.next);
  m->until = (double)place.until / beat;
  // In the first chorus nothing has sounded before the top.
  const WayTick since = place.since < tick ? place.since : tick;
  m->lasts = (double)(place.until + since) / beat;
  m->pulse = pulse_before(t, &place);
  m->target = m->targets ? m->targets[place.next] : t->spans[place.next].target;
}

void way_screen_hand(const WayTimeline* t, WayMaterial material, WayFretboard* board) {
  const WayScale* const scale = material == WAY_MATERIAL_PENTATONIC
                                    ? &t->loop.pentatonic
                                : material == WAY_MATERIAL_BLUES ? &t->loop.blues
                                                                 : &t->loop.parent;
  const WayPosition best = way_position_best(
      &board->tuning, board->capo, way_scale_pcs(scale), way_spelling_pc(scale->tonic));
  board->first = best.first;
  board->last = best.last;
}

WayShown way_screen_shown(const WayScreenModel* m) {
  const WayHarmony* const over = m->now ? m->now : m->next;
  if (!over) return (WayShown){0};
  WayShown shown = way_shown_material(over, m->material);
  shown.by_name = m->look.by_name;
  if (m->next && m->target.number) {
    const WayPc root = way_spelling_pc(m->next->chord.root);
    const WayPc pc = way_pc(root + way_degree_pc(m->target));
    shown.targets = WAY_PC_BIT(pc);
    if (!way_pcs_has(shown.set, pc)) shown.names[pc] = way_harmony_spell(m->next, pc);
    const double open = m->until < HALO_BEATS ? m->until / HALO_BEATS : 1;
    shown.closing = floor((1 - open) * HALO_STEPS) / HALO_STEPS;
  }
  return shown;
}

// ---- Layout.

/// Cuts pieces off a box.
typedef struct {
  WayBox rest;
  double gap; ///< Left free after each piece
} Cutter;

static WayBox cut_top(Cutter* c, double height) {
  const WayBox b = {c->rest.x, c->rest.y, c->rest.width, height};
  c->rest.y += height + c->gap;
  c->rest.height -= height + c->gap;
  return b;
}

static WayBox cut_bottom(Cutter* c, double height) {
  const WayBox b = {c->rest.x, way_box_bottom(c->rest) - height, c->rest.width, height};
  c->rest.height -= height + c->gap;
  return b;
}

static WayBox cut_left(Cutter* c, double width) {
  const WayBox b = {c->rest.x, c->rest.y, width, c->rest.height};
  c->rest.x += width + c->gap;
  c->rest.width -= width + c->gap;
  return b;
}

/// Now and next side by side; what they leave is the ribbon's.
static void place_panels(WayScreenLayout* l, WayBox row, double now, double next) {
  Cutter c = {row, 2.2 * l->unit};
  const double width = row.width - 2 * c.gap;
  l->body[WAY_REGION_NOW] = cut_left(&c, now * width);
  l->body[WAY_REGION_NEXT] = cut_left(&c, next * width);
  if (c.rest.width > 4 * l->unit) l->body[WAY_REGION_RIBBON] = c.rest;
}

/// About how wide a setting is, in units: words, gap, and what parts it from the next.
static double item_width(const WayScreenItem* item) {
  return 0.9 * way_measure_text(item->label) +
         1.1 * 0.95 * way_measure_text(item->value) + 0.5 + 1.4;
}

/// Where settings stand in rows, the widths in units.
typedef struct {
  unsigned row;
  double x;
} ItemPlace;

/// The place of setting `item`, where each row is filled before the next.
static ItemPlace item_place(const WayScreenModel* m, uint32_t item, double width) {
  ItemPlace p = {0, 0};
  for (uint32_t i = 0; i <= item && i < m->n_items; ++i) {
    const double takes = item_width(&m->items[i]);
    if (p.x > 0 && p.x + takes > width) p = (ItemPlace){p.row + 1, 0};
    if (i < item) p.x += takes;
  }
  return p;
}

static unsigned item_rows(const WayScreenModel* m, double width) {
  return m->n_items ? item_place(m, m->n_items - 1, width).row + 1 : 1;
}

static double widest_item(const WayScreenModel* m) {
  double most = 0;
  for (uint32_t i = 0; i < m->n_items; ++i) most = fmax(most, item_width(&m->items[i]));
  return most;
}

static void place_full(WayScreenLayout* l, bool wide) {
  const double u = l->unit;
  Cutter c = {way_box_inset((WayBox){0, 0, l->width, l->height}, BORDER * u), 0.8 * u};
  l->body[WAY_REGION_HEADER] = cut_top(&c, 1.3 * u);
  l->body[WAY_REGION_ITEMS] = cut_bottom(&c, l->item_rows * 1.5 * u);
  const double high = c.rest.height;
  if (wide) {
    place_panels(l, cut_top(&c, 0.385 * high), 0.21, 0.25);
  } else {
    place_panels(l, cut_top(&c, 0.2 * high), 0.46, 0.46);
    l->body[WAY_REGION_RIBBON] = cut_top(&c, 0.27 * high);
  }
  l->body[WAY_REGION_TRAIL] = cut_bottom(&c, 0.15 * high);
  l->body[WAY_REGION_INSTRUMENT] = c.rest;
}

static void place_stage(WayScreenLayout* l) {
  const double u = l->unit;
  Cutter c = {way_box_inset((WayBox){0, 0, l->width, l->height}, 1.5 * u), 1.5 * u};
  place_panels(l, cut_top(&c, 0.42 * c.rest.height), 0.52, 0.44);
  l->body[WAY_REGION_RIBBON] = (WayBox){0};
  l->body[WAY_REGION_INSTRUMENT] = c.rest;
}

/// Let regions take the ground around them, up to half of what lies between.
static void grow_boxes(WayScreenLayout* l) {
  const double by = floor(0.4 * l->unit);
  for (int r = 0; r < WAY_REGION_COUNT; ++r) {
    const WayBox b = l->body[r];
    if (!(b.width > 0)) continue;
    const double x = floor(b.x - by), y = floor(b.y - by);
    l->box[r] = (WayBox){x, y, floor(way_box_right(b) + by) - x,
                         floor(way_box_bottom(b) + by) - y};
  }
  // Halos at its ends reach into the border; nothing stands beside it.
  l->box[WAY_REGION_INSTRUMENT].x = 0;
  l->box[WAY_REGION_INSTRUMENT].width = l->width;
}

static double within(double v, double low, double high) {
  return v >= low ? v <= high ? v : high : low;
}

static WayTick trail_length(const WayScreenModel* m) {
  const unsigned bars = m->look.trail_bars ? m->look.trail_bars : TRAIL_BARS;
  const WayMetre metre = m->timeline ? m->timeline->bars[0].metre : (WayMetre){4, 4};
  return bars * way_metre_bar(metre);
}

static void place_trail(WayScreenLayout* l, const WayScreenModel* m) {
  const WayBox box = l->body[WAY_REGION_TRAIL];
  const WayTick length = trail_length(m);
  // It moves by whole pixels.
  const WayTick pixel = (WayTick)((double)length / box.width) + 1;
  const WayTick into = (m->tick % pixel + pixel) % pixel;
  l->trail = way_trail_layout(m->trail, m->n_trail, m->tick - into + pixel, length,
                              l->unit, box);
}

WayScreenLayout way_screen_layout(const WayScreenModel* m, double width,
                                  double height) {
  WayScreenLayout l = {.width = within(width, WAY_SCREEN_LEAST, WAY_SCREEN_MOST),
                       .height = within(height, WAY_SCREEN_LEAST, WAY_SCREEN_MOST)};
  const double scale = m->look.scale > 0 ? m->look.scale : 1;
  const bool stage = m->look.view == WAY_VIEW_STAGE;
  const bool wide = l.width > 1.35 * l.height;
  l.unit = wide ? fmin(l.width / 75, l.height / 35) : fmin(l.width / 42, l.height / 56);
  l.unit = fmax(l.unit, fmin(LETTERS_LEAST * scale, l.height / 20));
  l.item_rows = item_rows(m, (l.width / l.unit - 2 * BORDER) / ITEMS_LEAST);
  if (l.item_rows > WAY_SCREEN_ITEM_ROWS) l.item_rows = WAY_SCREEN_ITEM_ROWS;
  if (stage)
    place_stage(&l);
  else
    place_full(&l, wide);
  grow_boxes(&l);
  const WayBox ribbon = l.body[WAY_REGION_RIBBON];
  if (m->timeline && ribbon.width > 0)
    l.ribbon = way_ribbon_layout(
        m->timeline,
        m->placed && m->tick >= 0 ? way_timeline_at(m->timeline, m->tick).bar : 0,
        l.unit, ribbon);
  if (m->look.keyboard)
    l.keys = way_key_layout(m->look.keys, l.body[WAY_REGION_INSTRUMENT]);
  else
    l.frets = way_fret_layout(&m->look.frets, l.body[WAY_REGION_INSTRUMENT]);
  if (l.body[WAY_REGION_TRAIL].width > 0) place_trail(&l, m);
  return l;
}

WayRegion way_screen_region_at(const WayScreenLayout* l, double x, double y) {
  unsigned r = 0;
  while (r < WAY_REGION_COUNT && !way_box_has(l->box[r], x, y)) ++r;
  return (WayRegion)r;
}

double way_screen_items_unit(const WayScreenLayout* l, const WayScreenModel* m) {
  const double width = l->body[WAY_REGION_ITEMS].width;
  double unit = l->unit;
  while (unit > 1 &&
         (item_rows(m, width / unit) > l->item_rows || widest_item(m) * unit > width))
    unit *= ITEMS_STEP;
  return unit;
}

WayBox way_screen_item_box(const WayScreenLayout* l, const WayScreenModel* m,
                           uint32_t item) {
  const WayBox all = l->body[WAY_REGION_ITEMS];
  const double unit = way_screen_items_unit(l, m);
  const ItemPlace p = item_place(m, item, all.width / unit);
  const double height = all.height / l->item_rows;
  return (WayBox){all.x + p.x * unit, all.y + p.row * height,
                  item_width(&m->items[item]) * unit, height};
}

uint32_t way_screen_item_at(const WayScreenLayout* l, const WayScreenModel* m, double x,
                            double y) {
  for (uint32_t i = 0; i < m->n_items; ++i)
    if (way_box_has(way_screen_item_box(l, m, i), x, y)) return i;
  return WAY_SCREEN_NO_ITEM;
}

// ---- Stamps.

/// Stir a number into another (FNV-1a, whole words at a time).
static void stir(uint64_t* h, uint64_t v) {
  *h = (*h ^ v) * 0x100000001B3u;
  *h ^= *h >> 29;
}

static void stir_number(uint64_t* h, double v) {
  uint64_t bits;
  memcpy(&bits, &v, sizeof(bits));
  stir(h, bits);
}

static void stir_text(uint64_t* h, const char* text) {
  for (; text && *text; ++text) stir(h, (unsigned char)*text);
  stir(h, 256);
}

static void stir_degree(uint64_t* h, WayDegree d) {
  stir(h, (uint64_t)(d.number * 64 + d.alter + 16));
}

static void stir_role(uint64_t* h, WayRoleOf r) {
  stir(h, (uint64_t)(r.role * 64 + r.interval * 2 + r.extension));
  stir_degree(h, r.degree);
}

static void stir_spelling(uint64_t* h, WaySpelling s) {
  stir(h, (uint64_t)(s.letter * 64 + s.alter + 16));
}

static void stir_harmony(uint64_t* h, const WayHarmony* harmony) {
  stir(h, harmony != NULL);
  if (!harmony) return;
  const WayChord* const c = &harmony->chord;
  stir_spelling(h, c->root);
  stir_spelling(h, c->bass);
  for (unsigned i = 0; i < c->n_tones; ++i) stir_degree(h, c->tones[i]);
  stir_spelling(h, harmony->key.tonic);
  stir(h, harmony->key.mode);
}

static void stir_shown(uint64_t* h, const WayShown* s) {
  stir(h, s->set);
  stir(h, s->targets);
  stir(h, s->by_name);
  stir_number(h, s->closing);
  for (int pc = 0; pc < 12; ++pc) {
    stir_role(h, s->roles[pc]);
    stir_spelling(h, s->names[pc]);
  }
}

/// The chords from one tick of the form to another, and where they begin.
static void stir_chords(uint64_t* h, const WayTimeline* t, WayTick from, WayTick to) {
  for (uint32_t i = way_timeline_at(t, from).span;
       i < t->n_spans && t->spans[i].start < to; ++i) {
    stir(h, (uint64_t)t->spans[i].start);
    stir_harmony(h, way_timeline_harmony(t, i));
  }
}

/// The rows of the form that are shown, with the chord that follows them: the numeral
/// of the last can depend on it.
static void stir_rows(uint64_t* h, const WayTimeline* t, const WayRibbonLayout* l) {
  for (uint32_t r = 0; r < l->n; ++r) {
    const WayRibbonRow* const row = &l->rows[r];
    const uint32_t end = row->bar + row->n;
    const WayTick to = end < t->n_bars ? t->bars[end].start : t->length;
    stir(h, row->bar);
    stir(h, row->n);
    stir_text(h, row->opens ? t->sections[row->section].name : "");
    for (uint32_t b = row->bar; b < end; ++b) stir(h, (uint64_t)t->bars[b].start);
    stir_chords(h, t, t->bars[row->bar].start, to);
    stir_harmony(h, way_timeline_harmony(t, way_timeline_at(t, to).span));
  }
}

static void stamp_header(uint64_t* h, const WayScreenModel* m) {
  stir_text(h, m->title);
  stir(h, m->timeline != NULL);
  if (!m->timeline) return;
  stir_spelling(h, m->timeline->key.tonic);
  stir(h, m->timeline->key.mode);
  stir_number(h, m->timeline->tempo);
  stir(h, m->placed);
  stir(h, m->timeline->n_bars);
  const WayPlace p = way_timeline_at(m->timeline, m->tick);
  stir(h, (uint64_t)p.chorus);
  stir(h, p.bar);
  stir_text(h, m->timeline->sections[p.section].name);
}

static void stamp_next(uint64_t* h, const WayScreenModel* m, const WayScreenLayout* l) {
  stir_harmony(h, m->now);
  stir_harmony(h, m->next);
  stir_degree(h, m->target);
  stir_number(h, m->lasts);
  stir_number(h, ceil(m->until - 1e-6));
  const WayChordPanel p = way_panel_next(l->body[WAY_REGION_NEXT]);
  stir_number(h, way_panel_way(&p, m->until, m->lasts, m->pulse).at);
  stir(h, m->pulse.group * 64ull + m->pulse.into);
}

static void stamp_ribbon(uint64_t* h, const WayScreenModel* m,
                         const WayScreenLayout* l) {
  stir(h, m->placed);
  stir(h, m->rolling);
  stir(h, m->timeline != NULL);
  if (!m->timeline) {
    stir_text(h, m->hint);
    return;
  }
  stir_rows(h, m->timeline, &l->ribbon);
  if (m->placed) {
    const WayPlace p = way_timeline_at(m->timeline, m->tick);
    stir(h, p.bar);
    stir(h, p.span);
    stir_number(h, round(way_ribbon_point(&l->ribbon, m->timeline, p.tick).x));
  }
  for (uint32_t i = 0; i < m->n_landings; ++i) {
    stir(h, m->landings[i].span * 2ull + m->landings[i].on_target);
    stir_role(h, m->landings[i].role);
  }
}

static void stamp_instrument(uint64_t* h, const WayScreenModel* m) {
  const WayShown shown = way_screen_shown(m);
  stir_shown(h, &shown);
  stir(h, m->look.keyboard);
  if (m->look.keyboard) {
    stir(h, m->look.keys.low * 256ull + m->look.keys.high);
  } else {
    const WayFretboard* const b = &m->look.frets;
    stir(h, b->capo | (uint64_t)b->left << 8 | (uint64_t)b->first << 16 |
                (uint64_t)b->last << 24);
    for (unsigned s = 0; s < b->tuning.n; ++s) stir(h, b->tuning.open[s]);
  }
  for (uint32_t i = 0; i < m->n_sounding; ++i)
    stir(h, m->sounding[i].pitch * 256ull + m->sounding[i].string);
  if (m->hand && m->n_sounding) stir(h, m->hand->string * 256ull + m->hand->fret);
}

static void stamp_trail(uint64_t* h, const WayScreenModel* m,
                        const WayScreenLayout* l) {
  stir(h, (uint64_t)l->trail.from);
  stir(h, (uint64_t)l->trail.to);
  stir(h, (unsigned)l->trail.low * 128u + (unsigned)l->trail.high);
  for (uint32_t i = 0; i < m->n_trail; ++i) {
    const WayTrailNote* const n = &m->trail[i];
    if (n->end < l->trail.from || n->start > l->trail.to) continue;
    stir(h, (uint64_t)n->start);
    stir(h, (uint64_t)n->end);
    stir(h, n->pitch);
    stir_role(h, n->role);
  }
  if (!m->timeline) return;
  WayTick tick = l->trail.from > 0 ? l->trail.from : 0;
  while (tick < l->trail.to) {
    const WayPlace p = way_timeline_at(m->timeline, tick);
    stir(h, (uint64_t)(tick - p.since));
    stir_harmony(h, way_timeline_harmony(m->timeline, p.span));
    tick = way_timeline_next_change(m->timeline, tick);
  }
}

static void stamp_items(uint64_t* h, const WayScreenModel* m) {
  for (uint32_t i = 0; i < m->n_items; ++i) {
    stir_text(h, m->items[i].label);
    stir_text(h, m->items[i].value);
  }
  stir(h, m->focus);
  stir_text(h, m->notice);
}

void way_screen_stamps(const WayScreenModel* m, const WayScreenLayout* l,
                       uint64_t stamps[WAY_REGION_COUNT]) {
  for (int r = 0; r < WAY_REGION_COUNT; ++r) {
    uint64_t* const h = &stamps[r];
    *h = 0xCBF29CE484222325u;
    const WayBox b = l->box[r];
    stir_number(h, b.x);
    stir_number(h, b.y);
    stir_number(h, b.width);
    stir_number(h, b.height);
    stir(h, m->look.theme);
    if (!(b.width > 0)) continue;
    switch ((WayRegion)r) {
    case WAY_REGION_HEADER: stamp_header(h, m); break;
    case WAY_REGION_NOW: stir_harmony(h, m->now); break;
    case WAY_REGION_NEXT: stamp_next(h, m, l); break;
    case WAY_REGION_RIBBON: stamp_ribbon(h, m, l); break;
    case WAY_REGION_INSTRUMENT: stamp_instrument(h, m); break;
    case WAY_REGION_TRAIL: stamp_trail(h, m, l); break;
    case WAY_REGION_ITEMS: stamp_items(h, m); break;
    default: break;
    }
  }
}
