#include "draw/report.h"

#include "draw/label.h"
#include "draw/paragraph.h"
#include "draw/signs.h"
#include "draw/take_matrix.h"
#include "draw/take_picture.h"
#include "draw/theme.h"
#include "take/remarks.h"
#include "take/review_tips.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

// A4, in points.
#define WIDTH 595.28
#define HEIGHT 841.89
#define MARGIN 34.0
#define INNER (WIDTH - 2 * MARGIN)
#define SCALES_TOP 84.0
#define FACTS_TOP 105.0
#define REMARKS_GAP 7.0 // above the remarks, and below them
#define COLUMN_GAP 18.0
/// Most remarks of one topic.
#define REMARKS_MAX 4u
#define LEGEND_SCALE 0.92
#define GUTTER 16.0 // between the columns at the foot
#define MATRIX_WIDTH 322.0
#define MATRIX_ROW 9.4
#define MATRIX_ROWS 18u
#define HEAD_SIZE 8.6 // of the heads of tables
#define BODY_SIZE 7.6
#define SMALL_SIZE 6.8
#define HEAD_ROOM 15.0
#define TIP_GAP 4.0
/// Most phrases whose marks are listed.
#define MARKS_MAX 24u

/// Sizes of the picture, to be tried in turn until it stays on the first page.
static const struct {
  double scale, tight;
} sizes[] = {{1.15, 1.6}, {1, 1.4},     {1, 1},      {1, 0.8},     {0.94, 0.75},
             {0.88, 0.7}, {0.82, 0.65}, {0.76, 0.6}, {0.76, 0.52}, {0.72, 0.48}};

typedef struct {
  const WayReview* review;
  const WayReviewExtra* extra;
  const WayMatrix* matrix;
  const WayTakeLayout* layout;
  const char *title, *name;
  const WayTheme* theme;
  WayRemarks remarks;
  double remarks_top, picture_top;
  double foot_top; // of what stands below the picture on the first page
} Page;

// ---- Text.

static void put_count(WayOut* out, uint32_t n, const char* what) {
  way_out_int(out, n);
  way_out_char(out, ' ');
  way_out_str(out, what);
  if (n != 1) way_out_char(out, 's');
}

/// Append `3 early, 20 on time`, leaving out what there is none of.
static void put_parts(WayOut* out, const uint32_t* counts, const char* const* names,
                      unsigned n) {
  const char* between = ": ";
  for (unsigned i = 0; i < n; ++i) {
    if (!counts[i]) continue;
    way_out_str(out, between);
    way_out_int(out, counts[i]);
    way_out_char(out, ' ');
    way_out_str(out, names[i]);
    between = ", ";
  }
  way_out_str(out, ". ");
}

/// What there is, in a sentence or two.
static void put_facts(const WayReview* r, WayOut* out) {
  static const char* const roles[] = {"on chord tones", "on scale tones", "chromatic"};
  static const char* const ways[] = {"early", "on time", "late", "held over",
                                     "in a rest"};
  put_count(out, r->take->n, "note");
  put_parts(out, r->totals.roles, roles, WAY_COUNT(roles));
  put_count(out, r->n_landings, "change");
  way_out_str(out, " of chord");
  put_parts(out, r->totals.arrivals, ways, WAY_COUNT(ways));
}

/// The marks of the phrases, in a row.
static void put_marks(const WayReview* r, WayOut* out) {
  if (r->n_phrases < 2) return;
  way_out_char(out, '\n');
  for (uint32_t i = 0; i < r->n_phrases && i < MARKS_MAX; ++i) {
    if (i) way_out_str(out, "  ");
    way_motif_mark_write(&r->motifs[i], out);
  }
  if (r->n_phrases > MARKS_MAX) way_out_str(out, "  \u2026");
}

static void draw_heading(cairo_t* cr, const Page* p, double x, double y,
                         const char* text) {
  way_chip_source(cr, p->theme->ink);
  way_label(cr, x, y + 5, &(WayLabelStyle){HEAD_SIZE, true, WAY_ALIGN_LEFT, 0}, text);
}

/// Set a text or only measure it.
static double set(cairo_t* cr, bool drawn, double x, double y,
                  const WayParagraphStyle* style, WayColour colour, const char* text) {
  if (!drawn) return way_paragraph_height(cr, style, text);
  way_chip_source(cr, colour);
  return way_paragraph(cr, x, y, style, text);
}

// ---- The head of the page.

/// A scale from none to all: a disc for this take, a stroke for the published share.
static void draw_share(cairo_t* cr, const Page* p, double x, double width,
                       const char* label, uint32_t part, uint32_t whole,
                       unsigned published) {
  const double y = SCALES_TOP;
  const double share = whole ? (double)part / whole : 0;
  char here[24], there[32];
  way_chip_source(cr, p->theme->ink);
  way_label(cr, x, y - 11, &(WayLabelStyle){BODY_SIZE, false, WAY_ALIGN_LEFT, width},
            label);
  way_chip_source(cr, p->theme->hair);
  cairo_set_line_width(cr, 3);
  cairo_move_to(cr, x, y);
  cairo_line_to(cr, x + width, y);
  cairo_stroke(cr);
  const double at = x + width * published / 100;
  way_chip_source(cr, p->theme->soft);
  cairo_set_line_width(cr, 1.2);
  cairo_move_to(cr, at, y - 5);
  cairo_line_to(cr, at, y + 5);
  cairo_stroke(cr);
  snprintf(there, sizeof(there), "published solos %u %%", published);
  way_label(cr, x + width, y + 11,
            &(WayLabelStyle){SMALL_SIZE, false, WAY_ALIGN_RIGHT, width / 2}, there);
  way_chip_source(cr, p->theme->ink);
  if (whole) {
    cairo_new_sub_path(cr);
    cairo_arc(cr, x + width * share, y, 3.6, 0, 6.2832);
    cairo_fill(cr);
  }
  snprintf(here, sizeof(here), whole ? "here %.0f %%" : "none here", 100 * share);
  way_label(cr, x, y + 11, &(WayLabelStyle){SMALL_SIZE, true, WAY_ALIGN_LEFT, 0}, here);
}

static void draw_shares(cairo_t* cr, const Page* p) {
  const WayReviewTotals* const t = &p->review->totals;
  const double gap = COLUMN_GAP, width = (INNER - 2 * gap) / 3;
  draw_share(cr, p, MARGIN, width, "notes on basic chord tones", t->basic,
             p->review->take->n, WAY_PUBLISHED_BASIC);
  draw_share(cr, p, MARGIN + width + gap, width, "landings on basic chord tones",
             t->landed_basic, t->landed, WAY_PUBLISHED_LANDED);
  draw_share(cr, p, MARGIN + 2 * (width + gap), width,
             "other notes that step to one next", t->stepped, t->tensions,
             WAY_PUBLISHED_STEPPED);
}

/// The figures in words; returns their height.
static double draw_facts(cairo_t* cr, const Page* p, bool drawn) {
  char text[320];
  WayOut out = way_out(text, sizeof(text));
  put_facts(p->review, &out);
  const WayParagraphStyle style = {BODY_SIZE, INNER, false};
  return set(cr, drawn, MARGIN, FACTS_TOP, &style, p->theme->ink, text);
}

/// One topic in a column; returns its height, 0 if there is nothing to say.
static double draw_topic(cairo_t* cr, const Page* p, WayTopic topic, double x,
                         double width, bool drawn) {
  char text[REMARKS_MAX * (WAY_REMARK_MAX + 1) + MARKS_MAX * (WAY_MOTIF_MARK_MAX + 2)];
  WayOut out = way_out(text, sizeof(text));
  unsigned n = 0;
  for (uint32_t i = 0; i < p->remarks.n; ++i) {
    if (p->remarks.remarks[i].topic != topic || n == REMARKS_MAX) continue;
    if (n++) way_out_char(&out, ' ');
    way_out_str(&out, p->remarks.remarks[i].text);
  }
  if (!n) return 0;
  if (topic == WAY_TOPIC_PHRASES) put_marks(p->review, &out);
  const WayParagraphStyle style = {SMALL_SIZE, width, false};
  if (drawn) draw_heading(cr, p, x, p->remarks_top, way_topic_name(topic));
  return HEAD_ROOM +
         set(cr, drawn, x, p->remarks_top + HEAD_ROOM, &style, p->theme->ink, text);
}

/// What a listener would tell, a column a topic; returns the height.
static double draw_remarks(cairo_t* cr, const Page* p, bool drawn) {
  const double width = (INNER - (WAY_TOPIC_COUNT - 1) * COLUMN_GAP) / WAY_TOPIC_COUNT;
  double height = 0;
  for (int t = 0; t < WAY_TOPIC_COUNT; ++t) {
    const double one =
        draw_topic(cr, p, (WayTopic)t, MARGIN + t * (width + COLUMN_GAP), width, drawn);
    if (one > height) height = one;
  }
  return height;
}

static void draw_head(cairo_t* cr, const Page* p) {
  const WayTimeline* const t = p->review->timeline;
  char text[320];
  WayOut out = way_out(text, sizeof(text));
  way_chip_source(cr, p->theme->ink);
  way_label(cr, MARGIN, 36, &(WayLabelStyle){19, true, WAY_ALIGN_LEFT, INNER * 0.55},
            *p->title ? p->title : "A take");
  way_signs_key(t->key, &out);
  way_out_str(&out, " \u00B7 ");
  put_count(&out, t->n_bars, "bar");
  way_out_str(&out, " a chorus");
  way_chip_source(cr, p->theme->soft);
  way_label(cr, MARGIN, 55, &(WayLabelStyle){9, false, WAY_ALIGN_LEFT, INNER / 2},
            text);
  way_label(cr, WIDTH - MARGIN, 38,
            &(WayLabelStyle){9, false, WAY_ALIGN_RIGHT, INNER * 0.4}, p->name);
  draw_shares(cr, p);
  draw_facts(cr, p, true);
  draw_remarks(cr, p, true);
}

// ---- The foot of the page.

/// The right column: what to try next; returns its height.
static double draw_words(cairo_t* cr, const Page* p, double x, double y, bool drawn) {
  const double top = y, width = WIDTH - MARGIN - x;
  const WayParagraphStyle body = {BODY_SIZE, width, false};
  const WayParagraphStyle small = {SMALL_SIZE, width, false};
  char text[WAY_TIP_TEXT_MAX + 32];
  if (p->extra->n_tips) {
    if (drawn) draw_heading(cr, p, x, y, "What to try next");
    y += HEAD_ROOM;
  }
  for (uint32_t i = 0; i < p->extra->n_tips; ++i) {
    snprintf(text, sizeof(text), "%s.", p->extra->tips[i].text);
    y += set(cr, drawn, x, y, &body, p->theme->ink, text);
    snprintf(text, sizeof(text), "Preset \u201C%s\u201D", p->extra->tips[i].preset);
    y += set(cr, drawn, x, y, &small, p->theme->soft, text) + TIP_GAP;
  }
  return y - top;
}

static WayMatrixFrame matrix_frame(const Page* p) {
  return (WayMatrixFrame){MARGIN, p->foot_top + HEAD_ROOM, MATRIX_WIDTH, MATRIX_ROW,
                          MATRIX_ROWS};
}

static double foot_height(cairo_t* cr, const Page* p) {
  const WayMatrixFrame frame = matrix_frame(p);
  const double left = HEAD_ROOM + way_matrix_height(p->matrix, &frame);
  const double right = draw_words(cr, p, MARGIN + MATRIX_WIDTH + GUTTER, 0, false);
  return left > right ? left : right;
}

static void draw_foot(cairo_t* cr, const Page* p) {
  const WayMatrixFrame frame = matrix_frame(p);
  if (p->matrix->n) {
    draw_heading(cr, p, MARGIN, p->foot_top,
                 "Degrees by chord: notes (of these landed on)");
    way_matrix_draw(cr, p->review, p->matrix, &frame);
  }
  draw_words(cr, p, MARGIN + MATRIX_WIDTH + GUTTER, p->foot_top, true);
}

// ---- Pages.

static void draw_page(cairo_t* cr, uint32_t page, const void* what) {
  const Page* const p = what;
  if (!page) {
    draw_head(cr, p);
    draw_foot(cr, p);
  } else {
    char text[WAY_NAME_MAX + 48];
    snprintf(text, sizeof(text), "%s, page %u of %u", *p->title ? p->title : "A take",
             page + 1, p->layout->n_pages);
    way_chip_source(cr, p->theme->soft);
    way_label(cr, MARGIN, MARGIN - 8, &(WayLabelStyle){9, false, WAY_ALIGN_LEFT, 0},
              text);
  }
  way_take_draw(cr, p->review, p->layout, page);
  const double legend = page ? HEIGHT - MARGIN + 6 : p->foot_top - 14;
  way_take_legend(cr, MARGIN + 4, legend, LEGEND_SCALE);
}

/// The first layout that keeps to the first page; else the plain one.
static WayStatus lay_out(const Page* p, WayTakeLayout* out) {
  for (size_t i = 0; i <= WAY_COUNT(sizes); ++i) {
    const bool last = i == WAY_COUNT(sizes);
    const WayTakeFrame frame = {.left = MARGIN,
                                .width = INNER,
                                .top = p->picture_top,
                                .bottom = p->foot_top - 21,
                                .top_next = MARGIN + 6,
                                .bottom_next = HEIGHT - MARGIN - 6,
                                .tight = last ? 1 : sizes[i].tight,
                                .scale = last ? 1 : sizes[i].scale};
    const WayStatus st = way_take_layout(p->review, &frame, out);
    if (st || last || out->n_pages == 1) return st;
    way_take_layout_free(out);
  }
  return WAY_OK;
}

static WayStatus write_pages(Page* p, char** bytes, size_t* size) {
  cairo_surface_t* const sheet =
      cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
  cairo_t* const cr = cairo_create(sheet);
  way_remarks(p->review, &p->remarks);
  p->remarks_top = FACTS_TOP + draw_facts(cr, p, false) + REMARKS_GAP;
  p->picture_top = p->remarks_top + draw_remarks(cr, p, false) + REMARKS_GAP;
  p->foot_top = HEIGHT - MARGIN - foot_height(cr, p);
  cairo_destroy(cr);
  cairo_surface_destroy(sheet);
  WayTakeLayout layout;
  WayStatus st = lay_out(p, &layout);
  if (st) return st;
  p->layout = &layout;
  const WayCanvas canvas = {WIDTH, HEIGHT, layout.n_pages, p->title, draw_page, p};
  st = way_canvas_write(&canvas, WAY_CANVAS_PDF, bytes, size);
  way_take_layout_free(&layout);
  return st;
}

WayStatus way_report(const WayReview* review, const char* title, const char* name,
                     char** bytes, size_t* size) {
  WayReviewExtra extra;
  WayMatrix matrix;
  WayStatus st = way_review_extra(review, &extra);
  if (st) return st;
  st = way_matrix_new(review, &matrix);
  if (!st) {
    Page page = {.review = review,
                 .extra = &extra,
                 .matrix = &matrix,
                 .title = title,
                 .name = name,
                 .theme = way_theme(WAY_THEME_PRINT)};
    st = write_pages(&page, bytes, size);
    way_matrix_free(&matrix);
  }
  free(extra.chords);
  return st;
}
