#include "draw/staff_paint.h"

#include "draw/label.h"

#include <math.h>
#include <stdio.h>

#define TURN 6.283185307179586

// Lengths in spaces, as engravers measure.
#define LINE 0.11
#define STEM 0.13
#define STEM_LENGTH 3.3
#define HEAD_X 0.64 // half a head
#define HEAD_Y 0.44
#define LEDGER 0.34 // how far a ledger line goes past the head
#define CLEF_WIDTH 2.9
#define SIGN_WIDTH 1.0
#define METRE_WIDTH 1.9

// ---- A stroke of a broad pen: a smooth line through points, each with its width.

/// A point of a stroke, in spaces, y upward.
typedef struct {
  double x, y, width;
} Pen;

static double smooth(double a, double b, double c, double d, double t) {
  // Catmull-Rom.
  return 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t +
                (3 * b - a - 3 * c + d) * t * t * t);
}

#define CUTS 10u // per stretch between two points
#define STROKE_MAX 320u

/// The pen at part t (0..1) of stretch i.
static Pen pen_at(const Pen* p, unsigned n, unsigned i, double t) {
  const Pen a = p[i ? i - 1 : 0], b = p[i], c = p[i + 1],
            d = p[i + 2 < n ? i + 2 : i + 1];
  return (Pen){smooth(a.x, b.x, c.x, d.x, t), smooth(a.y, b.y, c.y, d.y, t),
               b.width + (c.width - b.width) * t};
}

static void stroke(cairo_t* cr, const Pen* points, unsigned n) {
  Pen way[STROKE_MAX];
  unsigned many = 0;
  for (unsigned i = 0; i + 1 < n; ++i)
    for (unsigned k = 0; k < CUTS; ++k)
      way[many++] = pen_at(points, n, i, (double)k / CUTS);
  way[many++] = points[n - 1];
  // Along one side of the line, and back along the other.
  for (unsigned i = 0; i < 2 * many; ++i) {
    const bool back = i >= many;
    const unsigned at = back ? 2 * many - 1 - i : i;
    const Pen from = way[at ? at - 1 : 0], to = way[at + 1 < many ? at + 1 : at];
    const double dx = to.x - from.x, dy = to.y - from.y;
    const double out = (back ? -0.5 : 0.5) * way[at].width / hypot(dx, dy);
    cairo_line_to(cr, way[at].x - dy * out, -(way[at].y + dx * out));
  }
  cairo_close_path(cr);
  cairo_fill(cr);
}

static void disc(cairo_t* cr, double x, double y, double radius) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, -y, radius, 0, TURN);
  cairo_fill(cr);
}

/// Paint in spaces around a point.
static void begin(cairo_t* cr, const WayStaffPlace* at, double x, double step) {
  cairo_save(cr);
  cairo_translate(cr, x, at->bottom - step * at->space / 2);
  cairo_scale(cr, at->space, at->space);
  cairo_new_path(cr);
}

// ---- Staff, clefs, signature, metre.

static void line(cairo_t* cr, double x0, double y0, double x1, double y1,
                 double width) {
  cairo_set_line_width(cr, width);
  cairo_move_to(cr, x0, y0);
  cairo_line_to(cr, x1, y1);
  cairo_stroke(cr);
}

void way_staff_lines(cairo_t* cr, const WayStaffPlace* at, double left, double right) {
  for (int step = 0; step <= 8; step += 2)
    line(cr, left, way_staff_y(at, step), right, way_staff_y(at, step),
         LINE * at->space);
}

void way_staff_bar_line(cairo_t* cr, const WayStaffPlace* at, double x, bool last) {
  const double top = way_staff_y(at, 8), bottom = at->bottom;
  if (!last) {
    line(cr, x, top, x, bottom, 0.16 * at->space);
    return;
  }
  line(cr, x - 0.25 * at->space, top, x - 0.25 * at->space, bottom, 0.5 * at->space);
  line(cr, x - 0.95 * at->space, top, x - 0.95 * at->space, bottom, 0.16 * at->space);
}

static void treble(cairo_t* cr) {
  // From the curl around the G line, up and over the top, and down the stem.
  static const Pen points[] = {
      {-0.08, -0.52, 0.08}, {-0.46, -0.20, 0.12}, {-0.40, 0.38, 0.16},
      {0.08, 0.72, 0.24},   {0.72, 0.42, 0.30},   {0.88, -0.26, 0.28},
      {0.52, -0.86, 0.18},  {-0.16, -1.04, 0.16}, {-0.88, -0.72, 0.22},
      {-1.24, 0.06, 0.28},  {-1.02, 0.98, 0.32},  {-0.40, 1.76, 0.34},
      {0.24, 2.52, 0.34},   {0.52, 3.36, 0.26},   {0.42, 4.06, 0.12},
      {0.18, 4.28, 0.10},   {-0.10, 3.84, 0.22},  {-0.22, 3.02, 0.24},
      {-0.10, 1.90, 0.17},  {0.12, 0.60, 0.15},   {0.36, -0.86, 0.15},
      {0.42, -1.72, 0.15},  {0.18, -2.40, 0.14},  {-0.28, -2.56, 0.10},
      {-0.62, -2.34, 0.08}};
  stroke(cr, points, WAY_COUNT(points));
  disc(cr, -0.45, -2.10, 0.32);
}

static void bass(cairo_t* cr) {
  static const Pen points[] = {
      {-0.86, 0.24, 0.08}, {-0.74, 0.68, 0.12},  {-0.20, 1.00, 0.16},
      {0.46, 0.80, 0.30},  {0.78, 0.10, 0.38},   {0.66, -0.74, 0.32},
      {0.20, -1.54, 0.22}, {-0.44, -2.12, 0.14}, {-1.00, -2.46, 0.06}};
  stroke(cr, points, WAY_COUNT(points));
  disc(cr, -0.56, 0.06, 0.34);
  disc(cr, 1.36, 0.5, 0.2);
  disc(cr, 1.36, -0.5, 0.2);
}

double way_staff_clef(cairo_t* cr, const WayStaffPlace* at, double x, WayClef clef) {
  begin(cr, at, x + 1.3 * at->space, clef == WAY_CLEF_BASS ? 6 : 2);
  if (clef == WAY_CLEF_BASS)
    bass(cr);
  else
    treble(cr);
  cairo_restore(cr);
  return CLEF_WIDTH * at->space;
}

static void sharp(cairo_t* cr) {
  line(cr, -0.2, 1.32, -0.2, -1.44, 0.13);
  line(cr, 0.2, 1.44, 0.2, -1.32, 0.13);
  line(cr, -0.46, 0.62, 0.46, 0.34, 0.26);
  line(cr, -0.46, -0.34, 0.46, -0.62, 0.26);
}

static void natural(cairo_t* cr) {
  line(cr, -0.3, -1.4, -0.3, 0.66, 0.12);
  line(cr, 0.3, 1.4, 0.3, -0.66, 0.12);
  line(cr, -0.3, 0.58, 0.3, 0.36, 0.26);
  line(cr, -0.3, -0.36, 0.3, -0.58, 0.26);
}

static void flat(cairo_t* cr) {
  static const Pen bow[] = {{-0.32, 0.30, 0.14}, {-0.04, 0.52, 0.20},
                            {0.26, 0.42, 0.26},  {0.28, 0.04, 0.24},
                            {0.02, -0.34, 0.16}, {-0.33, -0.66, 0.10}};
  line(cr, -0.34, 0.66, -0.34, -1.74, 0.13);
  stroke(cr, bow, WAY_COUNT(bow));
}

static void twice_sharp(cairo_t* cr) {
  line(cr, -0.38, -0.38, 0.38, 0.38, 0.22);
  line(cr, -0.38, 0.38, 0.38, -0.38, 0.22);
}

void way_staff_alter(cairo_t* cr, const WayStaffPlace* at, double x, int step,
                     int alter) {
  begin(cr, at, x - 0.5 * at->space, step);
  if (alter >= 2)
    twice_sharp(cr);
  else if (alter == 1)
    sharp(cr);
  else if (!alter)
    natural(cr);
  else
    for (; alter < 0; ++alter, cairo_translate(cr, -0.82, 0)) flat(cr);
  cairo_restore(cr);
}

double way_staff_signs(cairo_t* cr, const WayStaffPlace* at, double x, WayClef clef,
                       WayKey key) {
  int8_t steps[WAY_SIGNATURE_MAX];
  const int n = way_staff_signature(clef, key, steps), many = n < 0 ? -n : n;
  for (int i = 0; i < many; ++i)
    way_staff_alter(cr, at, x + (i + 1) * SIGN_WIDTH * at->space, steps[i],
                    n < 0 ? -1 : 1);
  return many ? (many + 0.6) * SIGN_WIDTH * at->space : 0;
}

double way_staff_metre(cairo_t* cr, const WayStaffPlace* at, double x, WayMetre metre) {
  const double width = METRE_WIDTH * at->space;
  const WayLabelStyle style = {2.35 * at->space, true, WAY_ALIGN_CENTRE, width};
  char text[8];
  snprintf(text, sizeof(text), "%u", metre.beats);
  way_label(cr, x + width / 2, way_staff_y(at, 6), &style, text);
  snprintf(text, sizeof(text), "%u", metre.unit);
  way_label(cr, x + width / 2, way_staff_y(at, 2), &style, text);
  return 1.3 * width;
}

// ---- Notes.

static void ledgers(cairo_t* cr, const WayStaffPlace* at, double x, int step) {
  const double half = (HEAD_X + LEDGER) * at->space;
  for (int s = 10; s <= step; s += 2)
    line(cr, x - half, way_staff_y(at, s), x + half, way_staff_y(at, s),
         1.3 * LINE * at->space);
  for (int s = -2; s >= step; s -= 2)
    line(cr, x - half, way_staff_y(at, s), x + half, way_staff_y(at, s),
         1.3 * LINE * at->space);
}

/// An ellipse, leaning.
static void oval(cairo_t* cr, double half_x, double half_y, double lean) {
  cairo_save(cr);
  cairo_rotate(cr, -lean);
  cairo_scale(cr, half_x, half_y);
  cairo_new_sub_path(cr);
  cairo_arc(cr, 0, 0, 1, 0, TURN);
  cairo_restore(cr);
}

static void head(cairo_t* cr, const WayStaffValue* value) {
  cairo_set_fill_rule(cr, CAIRO_FILL_RULE_EVEN_ODD);
  const bool hollow = value && value->hollow;
  if (hollow && !value->stem) {
    oval(cr, 0.84, HEAD_Y + 0.04, 0);
    oval(cr, 0.34, 0.42, -0.6);
  } else {
    oval(cr, HEAD_X + 0.03, HEAD_Y, 0.35);
    if (hollow) oval(cr, HEAD_X - 0.06, 0.22, 0.52);
  }
  cairo_fill(cr);
}

static void flag(cairo_t* cr, double x, double y, int down) {
  // Drawn for a stem that goes up; the other is its mirror image.
  const Pen points[] = {{x, y, 0.3},
                        {x + 0.34, y - 0.62 * down, 0.28},
                        {x + 0.86, y - 1.24 * down, 0.2},
                        {x + 0.72, y - 2.2 * down, 0.06}};
  stroke(cr, points, WAY_COUNT(points));
}

static void stem(cairo_t* cr, int step, const WayStaffValue* value) {
  const int up = step < 4 ? 1 : -1;
  const double x = up * (HEAD_X - STEM / 2);
  // The stem of a note far from the staff reaches its middle line.
  const double middle = fabs(step - 4.0) / 2;
  const double length = middle > STEM_LENGTH ? middle : STEM_LENGTH;
  line(cr, x, -0.12 * up, x, -up * length, STEM);
  for (unsigned i = 0; i < value->flags; ++i) flag(cr, x, up * (length - 0.9 * i), up);
}

void way_staff_note(cairo_t* cr, const WayStaffPlace* at, double x, int step,
                    const WayStaffValue* value) {
  ledgers(cr, at, x, step);
  begin(cr, at, x, step);
  head(cr, value);
  if (value && value->stem) stem(cr, step, value);
  // On a line the dot stands in the space above.
  if (value && value->dot) disc(cr, 1.3, step % 2 ? 0 : 0.5, 0.2);
  cairo_restore(cr);
}

void way_staff_tie(cairo_t* cr, const WayStaffPlace* at, double from, double to,
                   int step) {
  const double side = step < 4 ? 1 : -1; // away from the stem
  const double y = way_staff_y(at, step) + side * 0.75 * at->space;
  const double left = from + 0.5 * at->space, right = to - 0.5 * at->space;
  const double third = (right - left) / 3, bow = side * 0.75 * at->space;
  cairo_move_to(cr, left, y);
  cairo_curve_to(cr, left + third, y + bow, right - third, y + bow, right, y);
  cairo_curve_to(cr, right - third, y + 1.3 * bow, left + third, y + 1.3 * bow, left,
                 y);
  cairo_close_path(cr);
  cairo_fill(cr);
}

void way_staff_rest(cairo_t* cr, const WayStaffPlace* at, double x) {
  cairo_rectangle(cr, x - 0.6 * at->space, way_staff_y(at, 6), 1.2 * at->space,
                  0.5 * at->space);
  cairo_fill(cr);
}
