#include "draw/take_picture.h"

#include "draw/label.h"
#include "draw/signs.h"
#include "draw/theme.h"
#include "theory/chord_write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TURN 6.283185307179586
#define HEAD 3.1    // radius of a note's shape at scale 1
#define LETTERS 6.2 // size of a degree at scale 1
/// Notes looked at for the next that begins later.
#define AT_ONCE_MAX 64u

/// One system being drawn.
typedef struct {
  cairo_t* cr;
  const WayReview* review;
  const WayTakeLayout* l;
  const WayTakeSystem* s;
  const WayTheme* theme;
  double scale;
  double top, bottom; // of the notes
} Pen;

static double x_of(const Pen* p, WayTick tick) { return way_take_x(p->l, p->s, tick); }
static double y_of(const Pen* p, int pitch) { return way_take_y(p->l, p->s, pitch); }

static void line(cairo_t* cr, double x1, double y1, double x2, double y2) {
  cairo_move_to(cr, x1, y1);
  cairo_line_to(cr, x2, y2);
  cairo_stroke(cr);
}

/// A colour mixed with white: 1 is the colour itself.
static WayColour tint(WayColour c, double part) {
  return (WayColour){1 - part * (1 - c.red), 1 - part * (1 - c.green),
                     1 - part * (1 - c.blue)};
}

static WayLabelStyle letters(const Pen* p, double size, bool bold, WayAlign align) {
  return (WayLabelStyle){size * p->scale, bold, align, 0};
}

static void put_degree(WayDegree degree, char text[4 * WAY_SPELLING_MAX]) {
  char plain[WAY_SPELLING_MAX];
  WayOut out = way_out(plain, sizeof(plain));
  way_role_degree_write(degree, &out);
  out = way_out(text, 4 * WAY_SPELLING_MAX);
  way_label_signs(plain, &out);
}

// ---- Ground: bands, bars, chords.

/// Bands at the basic tones of the chord from one tick to another.
static void draw_bands(const Pen* p, const WayHarmony* h, WayTick from, WayTick to) {
  if (way_chord_is_none(&h->chord)) return;
  const WayPcSet basic = way_chord_basic_pcs(&h->chord);
  const WayPc root = way_spelling_pc(h->chord.root);
  for (int pitch = p->s->low; pitch <= p->s->high; ++pitch) {
    if (!way_pcs_has(basic, way_pc(pitch))) continue;
    const double part = way_pc(pitch) == root ? 0.20 : 0.11;
    way_chip_source(p->cr, tint(way_chip_colour(WAY_ROLE_CHORD), part));
    cairo_rectangle(p->cr, x_of(p, from), y_of(p, pitch) - p->l->semitone / 2,
                    x_of(p, to) - x_of(p, from), p->l->semitone);
    cairo_fill(p->cr);
  }
}

static void draw_chord(const Pen* p, const WayHarmony* h, WayTick from, WayTick to) {
  char symbol[WAY_SYMBOL_MAX];
  WayOut out = way_out(symbol, sizeof(symbol));
  way_chord_write(&h->chord, &out);
  WayLabelStyle style = letters(p, 9.5, true, WAY_ALIGN_LEFT);
  style.most = x_of(p, to) - x_of(p, from) - 5 * p->scale;
  way_chip_source(p->cr, p->theme->ink);
  way_label_symbol(p->cr, x_of(p, from) + 2.5 * p->scale, p->s->y + p->l->lane / 2,
                   &style, symbol);
}

static void draw_chords(const Pen* p) {
  const WayTimeline* const t = p->review->timeline;
  WayTick tick = p->s->start;
  while (tick < p->s->end) {
    if (tick < 0) { // no chord before the chart begins
      tick = 0;
      continue;
    }
    const WayTick change = way_timeline_next_change(t, tick);
    const WayTick to = change < p->s->end ? change : p->s->end;
    const WayHarmony* const h = way_timeline_harmony(t, way_timeline_at(t, tick).span);
    draw_bands(p, h, tick, to);
    draw_chord(p, h, tick, to);
    way_chip_source(p->cr, p->theme->soft);
    cairo_set_line_width(p->cr, 0.5 * p->scale);
    line(p->cr, x_of(p, tick), p->s->y + p->l->lane * 0.15, x_of(p, tick), p->bottom);
    tick = to;
  }
}

static void draw_bar(const Pen* p, WayTick tick) {
  const WayTimeline* const t = p->review->timeline;
  const WayReviewPlace place = way_review_place(t, tick);
  const WayMetre metre = t->bars[way_timeline_at(t, tick).bar].metre;
  cairo_t* const cr = p->cr;
  way_chip_source(cr, p->theme->hair);
  cairo_set_line_width(cr, 0.5 * p->scale);
  const int group = (int)way_metre_group(metre);
  for (int beat = 1; beat < metre.beats; ++beat) {
    const double x = x_of(p, tick + beat * way_metre_beat(metre));
    const bool heavy = group > 1 && beat % group == 0;
    line(cr, x, p->bottom - (heavy ? 4.5 : 2.5) * p->scale, x, p->bottom);
  }
  way_chip_source(cr, p->theme->soft);
  cairo_set_line_width(cr, 0.8 * p->scale);
  line(cr, x_of(p, tick), p->top, x_of(p, tick), p->bottom);
  char number[24];
  WayOut out = way_out(number, sizeof(number));
  way_out_int(&out, place.bar);
  const WayLabelStyle style = letters(p, 5.4, false, WAY_ALIGN_LEFT);
  way_label(cr, x_of(p, tick) + 1.8 * p->scale, p->bottom - 3.6 * p->scale, &style,
            number);
}

static void draw_bars(const Pen* p) {
  const WayTimeline* const t = p->review->timeline;
  WayTick tick = p->s->start;
  while (tick < p->s->end) {
    draw_bar(p, tick);
    tick += way_metre_bar(t->bars[way_timeline_at(t, tick).bar].metre);
  }
  way_chip_source(p->cr, p->theme->soft);
  cairo_set_line_width(p->cr, 0.8 * p->scale);
  line(p->cr, x_of(p, tick), p->top, x_of(p, tick), p->bottom);
  line(p->cr, x_of(p, p->s->start), p->bottom, x_of(p, tick), p->bottom);
}

/// The key's tonic in each octave, and what begins here: a chorus, a section.
static void draw_gutter(const Pen* p) {
  const WayTimeline* const t = p->review->timeline;
  const WayReviewPlace place = way_review_place(t, p->s->start);
  const double right = p->l->left - 5.5 * p->scale;
  const WayLabelStyle name = letters(p, 5.4, false, WAY_ALIGN_RIGHT);
  way_chip_source(p->cr, p->theme->soft);
  for (int pitch = p->s->low; pitch <= p->s->high; ++pitch) {
    if (way_pc(pitch) != way_spelling_pc(t->key.tonic)) continue;
    char text[4 * WAY_SPELLING_MAX], plain[WAY_SPELLING_MAX];
    WayOut out = way_out(plain, sizeof(plain));
    way_spelling_write(t->key.tonic, &out);
    out = way_out(text, sizeof(text));
    way_label_signs(plain, &out);
    // The octave of the letter, not of the key: Cb4 sounds as B3.
    way_out_int(&out, (pitch - t->key.tonic.alter + 12) / 12 - 2);
    way_label(p->cr, right, y_of(p, pitch), &name, text);
  }
  const bool begins =
      way_timeline_at(t, p->s->start).bar == t->sections[place.section].first_bar;
  if (!begins && p->s->start >= 0) return;
  char text[WAY_NAME_MAX + 24];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, t->sections[place.section].name);
  if (place.chorus > 1 && !way_timeline_at(t, p->s->start).tick) {
    text[0] = '\0';
    out = way_out(text, sizeof(text));
    way_out_int(&out, place.chorus);
    way_out_char(&out, '.');
    way_out_str(&out, t->sections[place.section].name);
  }
  WayLabelStyle head = letters(p, 8, true, WAY_ALIGN_RIGHT);
  head.most = p->l->left - p->l->frame.left - 5 * p->scale;
  way_chip_source(p->cr, p->theme->ink);
  way_label(p->cr, right, p->s->y + p->l->lane / 2, &head, text);
}

// ---- Notes.

/// A bar with round ends.
static void pill(cairo_t* cr, double x1, double x2, double y, double radius) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x1, y, radius, TURN / 4, 3 * TURN / 4);
  cairo_arc(cr, x2 > x1 ? x2 : x1, y, radius, -TURN / 4, TURN / 4);
  cairo_close_path(cr);
}

/// The part of a note that sounds within the system.
static void draw_length(const Pen* p, uint32_t i) {
  const WayReview* const r = p->review;
  const double radius = HEAD * p->scale;
  const WayTick onset = way_review_onset(r, i), stop = onset + r->take->notes[i].length;
  const bool before = onset<p->s->start, beyond = stop> p->s->end;
  const double x1 = before ? x_of(p, p->s->start) - 2 * radius : x_of(p, onset);
  const double x2 = beyond ? x_of(p, p->s->end) + 2 * radius : x_of(p, stop) - radius;
  const double y = y_of(p, r->take->notes[i].pitch);
  const WayColour colour = way_chip_colour((WayRole)r->notes[i].role.role);
  cairo_save(p->cr);
  cairo_rectangle(p->cr, x_of(p, p->s->start) - (before ? 0 : 2 * radius), p->s->y,
                  x_of(p, p->s->end) - x_of(p, p->s->start) + (before ? 0 : 2 * radius),
                  p->s->height);
  cairo_clip(p->cr);
  pill(p->cr, x1, x2, y, radius);
  way_chip_source(p->cr, tint(colour, 0.34));
  cairo_fill_preserve(p->cr);
  way_chip_source(p->cr, tint(colour, 0.8));
  cairo_set_line_width(p->cr, 0.4 * p->scale);
  cairo_stroke(p->cr);
  cairo_restore(p->cr);
}

/// Points from a note to what is written behind it: the next that begins later, or its
/// degree over the chord it is held into.
static double room_after(const Pen* p, uint32_t i) {
  const WayReview* const r = p->review;
  const WayTick onset = way_review_onset(r, i);
  const uint32_t next = way_review_landing_from(r, onset);
  if (next < r->n_landings && r->landings[next].note == i &&
      r->landings[next].held_over == i &&
      (double)(r->landings[next].change - onset) * p->l->per_tick < 3 * HEAD * p->scale)
    return 0;
  for (uint32_t k = i + 1; k < r->take->n && k < i + AT_ONCE_MAX; ++k)
    if (way_review_onset(r, k) > onset + WAY_REVIEW_AT_ONCE / 4)
      return (double)(way_review_onset(r, k) - onset) * p->l->per_tick;
  return 100;
}

static void draw_head(const Pen* p, uint32_t i) {
  const WayReview* const r = p->review;
  const double radius = HEAD * p->scale;
  const double x = x_of(p, way_review_onset(r, i));
  const double y = y_of(p, r->take->notes[i].pitch);
  const WayRoleOf what = r->notes[i].role;
  if (what.role != WAY_ROLE_CHORD) {
    way_chip_source(p->cr, p->theme->ground);
    cairo_arc(p->cr, x, y, radius, 0, TURN);
    cairo_fill(p->cr);
  }
  way_chip_dot(p->cr, x, y, radius, (WayRole)what.role);
  char text[4 * WAY_SPELLING_MAX];
  put_degree(what.degree, text);
  WayLabelStyle style =
      letters(p, LETTERS, what.role == WAY_ROLE_CHORD, WAY_ALIGN_LEFT);
  const double after = room_after(p, i);
  if (!(after > 0)) return;
  const double room = after - 2 * radius - 2.2 * p->scale;
  style.most = room > 3.5 * p->scale ? room : 3.5 * p->scale;
  way_chip_source(p->cr, p->theme->ink);
  way_label(p->cr, x + radius + 2 * p->scale, y, &style, text);
}

/// The notes that sound in the system, those from before first.
static void draw_notes(const Pen* p) {
  const uint32_t first = p->s->first, end = first + p->s->n;
  for (uint32_t i = way_take_sounding(p->review, p->s, 0); i < first;
       i = way_take_sounding(p->review, p->s, i + 1))
    draw_length(p, i);
  for (uint32_t i = first; i < end; ++i) draw_length(p, i);
  for (uint32_t i = first; i < end; ++i) draw_head(p, i);
}

// ---- Landings.

static void ring(const Pen* p, double x, double y, double radius, double width,
                 WayColour colour) {
  cairo_new_sub_path(p->cr);
  cairo_arc(p->cr, x, y, radius, 0, TURN);
  way_chip_source(p->cr, colour);
  cairo_set_line_width(p->cr, width);
  cairo_stroke(p->cr);
}

/// The pitch of a planned tone nearest to another that the system has room for.
static int target_pitch(const Pen* p, WayPc pc, int near) {
  int best = -1;
  for (int pitch = p->s->low; pitch <= p->s->high; ++pitch)
    if (way_pc(pitch) == pc && (best < 0 || abs(pitch - near) < abs(best - near)))
      best = pitch;
  return best;
}

static void halo(const Pen* p, double x, double y) {
  cairo_new_sub_path(p->cr);
  cairo_arc(p->cr, x, y, 2.2 * HEAD * p->scale, 0, TURN);
  way_chip_source(p->cr, p->theme->target);
  cairo_fill_preserve(p->cr);
  way_chip_source(p->cr, p->theme->edge);
  cairo_set_line_width(p->cr, 0.6 * p->scale);
  cairo_stroke(p->cr);
}

/// A planned landing that is still open: a broken halo on the tone, with its degree.
static void open_target(const Pen* p, const WayLandingSeen* l, WayDegree planned) {
  const WayHarmony* const h = way_timeline_harmony(p->review->timeline, l->span);
  const WayPc pc = way_pc(way_spelling_pc(h->chord.root) + way_degree_pc(planned));
  const int near = l->note == WAY_NO_NOTE ? (p->s->low + p->s->high) / 2
                                          : p->review->take->notes[l->note].pitch;
  const int pitch = target_pitch(p, pc, near);
  if (pitch < 0) return;
  const double x = x_of(p, l->change), y = y_of(p, pitch),
               radius = 2.2 * HEAD * p->scale;
  const double dashes[] = {1.6 * p->scale, 1.6 * p->scale};
  ring(p, x, y, radius, 1.8 * p->scale, p->theme->target);
  cairo_save(p->cr);
  cairo_set_dash(p->cr, dashes, 2, 0);
  ring(p, x, y, radius, 0.7 * p->scale, p->theme->edge);
  cairo_restore(p->cr);
  char text[4 * WAY_SPELLING_MAX];
  put_degree(planned, text);
  const WayLabelStyle style = letters(p, LETTERS, false, WAY_ALIGN_CENTRE);
  way_chip_source(p->cr, p->theme->soft);
  way_label(p->cr, x, y, &style, text);
}

static bool held(const WayLandingSeen* l) { return l->note == l->held_over; }

/// Where the landing note meets its chord: its onset, or the change it is held over.
static WayTick landing_tick(const WayReview* r, const WayLandingSeen* l) {
  return held(l) ? l->change : way_review_onset(r, l->note);
}

/// Call `draw` for the landings of the system.
static void each_landing(const Pen* p,
                         void (*draw)(const Pen*, const WayLandingSeen*)) {
  const WayReview* const r = p->review;
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayTick change = r->landings[i].change;
    if (change >= p->s->end + r->early) break;
    if (change >= p->s->start) draw(p, &r->landings[i]);
  }
}

static bool is_within(const Pen* p, WayTick tick) {
  return tick >= p->s->start - WAY_TAKE_LEAD && tick < p->s->end - WAY_TAKE_LEAD;
}

static void draw_target(const Pen* p, const WayLandingSeen* l) {
  const WayReview* const r = p->review;
  const WayDegree planned = r->timeline->spans[l->span].target;
  if (!planned.number || l->change >= p->s->end) return;
  if (!l->met) {
    open_target(p, l, planned);
    return;
  }
  const WayTick tick = landing_tick(r, l);
  if (is_within(p, tick))
    halo(p, x_of(p, tick), y_of(p, r->take->notes[l->note].pitch));
}

static void draw_landing(const Pen* p, const WayLandingSeen* l) {
  const WayReview* const r = p->review;
  if (l->note == WAY_NO_NOTE) return;
  const WayTick tick = landing_tick(r, l);
  const int pitch = r->take->notes[l->note].pitch;
  if (!is_within(p, tick) || pitch < p->s->low || pitch > p->s->high) return;
  ring(p, x_of(p, tick), y_of(p, pitch), (HEAD + 0.9) * p->scale, 1.1 * p->scale,
       p->theme->ink);
  if (!held(l)) return;
  char text[4 * WAY_SPELLING_MAX];
  put_degree(l->role.degree, text);
  const WayLabelStyle style =
      letters(p, LETTERS, l->role.role == WAY_ROLE_CHORD, WAY_ALIGN_LEFT);
  way_chip_source(p->cr, p->theme->ink);
  way_label(p->cr, x_of(p, tick) + (HEAD + 1.8) * p->scale, y_of(p, pitch), &style,
            text);
}

// ---- Phrases.

static void draw_phrase(const Pen* p, const WayPhrase* phrase, const WayMotif* motif) {
  const WayTick origin = p->review->origin;
  const WayTick from = phrase->start - origin, to = phrase->end - origin;
  const bool begins = from >= p->s->start - WAY_TAKE_LEAD, ends = to <= p->s->end;
  const double x1 = x_of(p, begins ? from : p->s->start) - (begins ? 2 * p->scale : 0);
  const double x2 = x_of(p, ends ? to : p->s->end);
  const double y = p->bottom + 2.2 * p->scale, hook = 2.6 * p->scale;
  way_chip_source(p->cr, p->theme->soft);
  cairo_set_line_width(p->cr, 0.8 * p->scale);
  cairo_move_to(p->cr, x1, begins ? y : y + hook);
  cairo_line_to(p->cr, x1, y + hook);
  cairo_line_to(p->cr, x2, y + hook);
  if (ends) cairo_line_to(p->cr, x2, y);
  cairo_stroke(p->cr);
  if (!begins) return;
  char mark[WAY_MOTIF_MARK_MAX];
  WayOut out = way_out(mark, sizeof(mark));
  way_motif_mark_write(motif, &out);
  const WayLabelStyle style = letters(p, 6.4, true, WAY_ALIGN_LEFT);
  const double width = way_label_width(p->cr, &style, mark);
  way_chip_source(p->cr, p->theme->ground);
  cairo_rectangle(p->cr, x1 + 3 * p->scale, y + hook - 2 * p->scale,
                  width + 3 * p->scale, 4 * p->scale);
  cairo_fill(p->cr);
  way_chip_source(p->cr, p->theme->ink);
  way_label(p->cr, x1 + 4.5 * p->scale, y + hook, &style, mark);
}

static void draw_phrases(const Pen* p) {
  const WayReview* const r = p->review;
  for (uint32_t i = 0; i < r->n_phrases; ++i) {
    const WayPhrase* const phrase = &r->phrases[i];
    if (phrase->start - r->origin >= p->s->end - WAY_TAKE_LEAD) break;
    if (phrase->end - r->origin > p->s->start) draw_phrase(p, phrase, &r->motifs[i]);
  }
}

// ---- All of it.

static void draw_system(cairo_t* cr, const WayReview* r, const WayTakeLayout* l,
                        const WayTakeSystem* s) {
  const Pen p = {.cr = cr,
                 .review = r,
                 .l = l,
                 .s = s,
                 .theme = way_theme(WAY_THEME_PRINT),
                 .scale = l->frame.scale,
                 .top = s->y + l->lane,
                 .bottom = s->y + l->lane + l->pad + l->foot +
                           l->semitone * (s->high - s->low + 1)};
  draw_chords(&p);
  draw_bars(&p);
  draw_gutter(&p);
  each_landing(&p, draw_target);
  draw_notes(&p);
  each_landing(&p, draw_landing);
  draw_phrases(&p);
}

void way_take_draw(cairo_t* cr, const WayReview* review, const WayTakeLayout* layout,
                   uint32_t page) {
  for (uint32_t i = 0; i < layout->n; ++i)
    if (layout->systems[i].page == page)
      draw_system(cr, review, layout, &layout->systems[i]);
}

// ---- What the signs mean.

static double legend_text(const Pen* p, double x, double y, const char* text) {
  const WayLabelStyle style = letters(p, 6.6, false, WAY_ALIGN_LEFT);
  way_chip_source(p->cr, p->theme->soft);
  return x + way_label(p->cr, x, y, &style, text) + 11 * p->scale;
}

void way_take_legend(cairo_t* cr, double x, double y, double scale) {
  const Pen p = {.cr = cr, .theme = way_theme(WAY_THEME_PRINT), .scale = scale};
  const double radius = HEAD * scale, after = 6.5 * scale;
  static const char* const roles[WAY_ROLE_COUNT] = {"chord tone", "scale tone",
                                                    "chromatic"};
  x += radius;
  for (int role = 0; role < WAY_ROLE_COUNT; ++role) {
    way_chip_dot(cr, x, y, radius, (WayRole)role);
    x = legend_text(&p, x + after, y, roles[role]);
  }
  ring(&p, x, y, (HEAD + 0.9) * scale, 1.1 * scale, p.theme->ink);
  x = legend_text(&p, x + after, y, "landing note");
  x += 2 * scale;
  halo(&p, x, y);
  x = legend_text(&p, x + after + 2 * scale, y, "planned landing, met");
  x += 2 * scale;
  const double dashes[] = {1.6 * scale, 1.6 * scale};
  ring(&p, x, y, 2.2 * radius, 1.8 * scale, p.theme->target);
  cairo_save(cr);
  cairo_set_dash(cr, dashes, 2, 0);
  ring(&p, x, y, 2.2 * radius, 0.7 * scale, p.theme->edge);
  cairo_restore(cr);
  x = legend_text(&p, x + after + 2 * scale, y, "planned, still open");
  way_chip_source(cr, tint(way_chip_colour(WAY_ROLE_CHORD), 0.2));
  cairo_rectangle(cr, x - radius, y - 2 * scale, 12 * scale, 4 * scale);
  cairo_fill(cr);
  x = legend_text(&p, x + 11 * scale, y, "tones of the chord");
  way_chip_source(cr, p.theme->soft);
  cairo_set_line_width(cr, 0.8 * scale);
  cairo_move_to(cr, x - radius, y - 1.3 * scale);
  cairo_rel_line_to(cr, 0, 2.6 * scale);
  cairo_rel_line_to(cr, 12 * scale, 0);
  cairo_rel_line_to(cr, 0, -2.6 * scale);
  cairo_stroke(cr);
  legend_text(&p, x + 11 * scale, y, "phrase");
}

// ---- A picture of its own.

#define MARGIN 36.0
#define TITLE 62.0  // height of the head
#define WIDE 1120.0 // of a picture that is one page
#define WIDE_SCALE 1.45
#define PAPER_WIDTH 841.89 // A4, the long side
#define PAPER_HEIGHT 595.28
#define PAPER_SCALE 1.15

typedef struct {
  const WayReview* review;
  const WayTakeLayout* layout;
  const char *title, *name;
  double height;
} Picture;

static void draw_title(cairo_t* cr, const Picture* p) {
  const WayTheme* const theme = way_theme(WAY_THEME_PRINT);
  const WayTimeline* const t = p->review->timeline;
  char text[256];
  WayOut out = way_out(text, sizeof(text));
  way_chip_source(cr, theme->ink);
  way_label(cr, MARGIN, 36, &(WayLabelStyle){22, true, WAY_ALIGN_LEFT, 500},
            *p->title ? p->title : "A take");
  way_signs_key(t->key, &out);
  way_out_str(&out, " \u00B7 ");
  way_out_int(&out, t->n_bars);
  way_out_str(&out,
              t->n_bars == 1 ? " bar a chorus \u00B7 " : " bars a chorus \u00B7 ");
  way_out_str(&out, p->name);
  way_chip_source(cr, theme->soft);
  way_label(cr, MARGIN, 60, &(WayLabelStyle){12, false, WAY_ALIGN_LEFT, 700}, text);
}

static void draw_page(cairo_t* cr, uint32_t page, const void* what) {
  const Picture* const p = what;
  const double scale = p->layout->frame.scale;
  if (!page) draw_title(cr, p);
  way_take_draw(cr, p->review, p->layout, page);
  way_take_legend(cr, p->layout->left, p->height - MARGIN + 4,
                  scale < 1.3 ? scale : 1.3);
}

WayStatus way_take_picture(const WayReview* review, const char* title, const char* name,
                           WayCanvasKind kind, char** bytes, size_t* size) {
  const bool paper = kind == WAY_CANVAS_PDF;
  const double width = paper ? PAPER_WIDTH : WIDE;
  const double foot = MARGIN + 1.3 * WAY_TAKE_LEGEND;
  const double bottom = paper ? PAPER_HEIGHT - foot : INFINITY;
  const WayTakeFrame frame = {.tight = 1,
                              .left = MARGIN,
                              .width = width - 2 * MARGIN,
                              .top = MARGIN + TITLE - 10,
                              .bottom = bottom,
                              .top_next = MARGIN,
                              .bottom_next = bottom,
                              .scale = paper ? PAPER_SCALE : WIDE_SCALE};
  WayTakeLayout layout;
  const WayStatus st = way_take_layout(review, &frame, &layout);
  if (st) return st;
  const double height = paper ? PAPER_HEIGHT : way_take_bottom(&layout) + foot;
  const Picture picture = {review, &layout, title, name, height};
  const WayCanvas canvas = {width, height, layout.n_pages, title, draw_page, &picture};
  const WayStatus drawn = way_canvas_write(&canvas, kind, bytes, size);
  way_take_layout_free(&layout);
  return drawn;
}
