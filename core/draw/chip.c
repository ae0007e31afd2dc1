#include "draw/chip.h"
#include "draw/label.h"

#include <math.h>

#define TURN 6.283185307179586

WayColour way_chip_colour(WayRole role) {
  static const WayColour colours[WAY_ROLE_COUNT] = {
      [WAY_ROLE_CHORD] = {0x00 / 255.0, 0x9E / 255.0, 0x73 / 255.0},
      [WAY_ROLE_SCALE] = {0x56 / 255.0, 0xB4 / 255.0, 0xE9 / 255.0},
      [WAY_ROLE_CHROMATIC] = {0xD5 / 255.0, 0x5E / 255.0, 0x00 / 255.0},
  };
  return colours[role];
}

void way_chip_source(cairo_t* cr, WayColour colour) {
  cairo_set_source_rgb(cr, colour.red, colour.green, colour.blue);
}

static void ring(cairo_t* cr, double x, double y, double radius, double line) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, radius - line / 2, 0, TURN);
  cairo_set_line_width(cr, line);
  cairo_stroke(cr);
}

static void disc(cairo_t* cr, double x, double y, double radius) {
  cairo_new_sub_path(cr);
  cairo_arc(cr, x, y, radius, 0, TURN);
  cairo_fill(cr);
}

static void diamond(cairo_t* cr, double x, double y, double half) {
  cairo_move_to(cr, x, y - half);
  cairo_line_to(cr, x + half, y);
  cairo_line_to(cr, x, y + half);
  cairo_line_to(cr, x - half, y);
  cairo_close_path(cr);
  cairo_fill(cr);
}

/// The colours of a sign.
typedef struct {
  WayColour role, letters, on_disc;
} Inks;

static void sign(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
                 const char* text, Inks inks, const WayColour* ground) {
  const double line = radius / 9;
  WayLabelStyle style = {radius * 1.12, false, WAY_ALIGN_CENTRE, radius * 1.46};
  if (ground && (what.role != WAY_ROLE_CHORD || what.extension)) {
    way_chip_source(cr, *ground);
    disc(cr, x, y, radius);
  }
  way_chip_source(cr, inks.role);
  switch ((WayRole)what.role) {
  case WAY_ROLE_CHORD:
    disc(cr, x, y, what.extension ? radius - 2.2 * line : radius);
    if (what.extension) ring(cr, x, y, radius, line);
    style.bold = true;
    inks.letters = inks.on_disc;
    break;
  case WAY_ROLE_SCALE:
    ring(cr, x, y, radius, 1.5 * line);
    style.most = radius * 1.66;
    break;
  default:
    diamond(cr, x - radius * 0.7, y, radius * 0.3);
    style.most = radius * 1.5;
    x += radius * 0.36;
    break;
  }
  way_chip_source(cr, inks.letters);
  if (*text) way_label(cr, x, y, &style, text);
}

void way_chip_sign(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
                   const char* text, WayColour ink, const WayColour* ground) {
  const Inks inks = {way_chip_colour((WayRole)what.role), ink, {0.04, 0.08, 0.07}};
  sign(cr, x, y, radius, what, text, inks, ground);
}

void way_chip_plain(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
                    const char* text, WayColour ink, WayColour ground) {
  sign(cr, x, y, radius, what, text, (Inks){ink, ink, ground}, &ground);
}

void way_chip(cairo_t* cr, double x, double y, double radius, WayRoleOf what,
              WayColour ink) {
  char degree[WAY_SPELLING_MAX], signs[3 * WAY_SPELLING_MAX];
  WayOut plain = way_out(degree, sizeof(degree));
  way_role_degree_write(what.degree, &plain);
  WayOut out = way_out(signs, sizeof(signs));
  way_label_signs(degree, &out);
  way_chip_sign(cr, x, y, radius, what, signs, ink, NULL);
}

void way_chip_dot(cairo_t* cr, double x, double y, double radius, WayRole role) {
  way_chip_source(cr, way_chip_colour(role));
  switch (role) {
  case WAY_ROLE_CHORD: disc(cr, x, y, radius); break;
  case WAY_ROLE_SCALE: ring(cr, x, y, radius, 0.45 * radius); break;
  default: diamond(cr, x, y, radius); break;
  }
}
