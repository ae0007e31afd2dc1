#include "draw/fretboard.h"

#include <math.h>
#include <stdlib.h>

#define CAPO_MAX 24u
#define OPEN_COLUMN 1.0 // width of the open strings' column, in cells,
#define OPEN_MOST 2.4   // and at most, in gaps
#define SIGN_GAP 0.475  // radius of a sign, in gaps
#define SIGN_CELL 0.4   // the same, in cells
#define NUMBER 1.15     // size of numbers, in radii of signs: as large as their letters

WayFretboard way_fretboard_default(void) {
  return (WayFretboard){.tuning = way_tuning(0), .last = 12};
}

WayFretboard way_fretboard_clamped(const WayFretboard* board) {
  WayFretboard b = *board;
  if (b.capo > CAPO_MAX) b.capo = CAPO_MAX;
  if (b.last > WAY_FRET_MAX) b.last = WAY_FRET_MAX;
  if (b.first > WAY_FRET_MAX) b.first = WAY_FRET_MAX;
  if (b.first < b.capo) b.first = b.capo;
  if (b.last <= b.first) b.last = (uint8_t)(b.first + (b.first == b.capo));
  return b;
}

static double least(double a, double b) { return a < b ? a : b; }

WayFretLayout way_fret_layout(const WayFretboard* board, WayBox box) {
  WayFretLayout l = {.board = way_fretboard_clamped(board)};
  const unsigned n = l.board.tuning.n;
  const bool open = l.board.first == l.board.capo;
  const unsigned frets = (unsigned)(l.board.last - l.board.first) + (open ? 0 : 1);
  // Open halos reach 0.8 gaps above and below; the numbers stand clear of them.
  l.gap = box.height / (n + 1.1);
  const double share = OPEN_COLUMN * box.width / (frets + OPEN_COLUMN);
  l.open = open ? least(share, OPEN_MOST * l.gap) : 0;
  l.cell = (box.width - l.open) / frets;
  l.strings = (WayBox){box.x + (l.board.left ? 0 : l.open), box.y + 0.72 * l.gap,
                       frets * l.cell, (n - 1) * l.gap};
  l.radius = least(SIGN_GAP * l.gap, SIGN_CELL * l.cell);
  l.number = NUMBER * l.radius;
  l.number_y = way_box_bottom(l.strings) + 1.06 * l.gap;
  return l;
}

/// From the nut's side to the left edge or, on a left-handed board, from the right.
static double from_nut(const WayFretLayout* l, double along) {
  return l->board.left ? way_box_right(l->strings) - along : l->strings.x + along;
}

double way_fret_x(const WayFretLayout* l, unsigned fret) {
  if (l->open > 0 && fret == l->board.capo) return from_nut(l, -l->open / 2);
  return from_nut(l, (fret - way_fret_first(l) + 0.5) * l->cell);
}

double way_fret_wire(const WayFretLayout* l, unsigned fret) {
  return from_nut(l, ((double)fret - way_fret_first(l) + 1) * l->cell);
}

double way_fret_y(const WayFretLayout* l, unsigned string) {
  return way_box_bottom(l->strings) - string * l->gap;
}

/// How far the hand has to move: along the neck, then across it.
static int distance(WayFretPlace a, WayFretPlace b) {
  return 16 * abs(a.fret - b.fret) + abs(a.string - b.string);
}

unsigned way_fret_places(const WayFretLayout* l, int pitch, const WayFretPlace* near,
                         WayFretPlace out[WAY_STRINGS_MAX]) {
  const WayFretPlace hand =
      near ? *near
           : (WayFretPlace){l->board.tuning.n / 2,
                            (uint8_t)((l->board.first + l->board.last) / 2)};
  unsigned n = 0;
  for (uint8_t s = 0; s < l->board.tuning.n; ++s) {
    const int fret = pitch - l->board.tuning.open[s];
    if (fret < l->board.first || fret > l->board.last) continue;
    const WayFretPlace place = {s, (uint8_t)fret};
    unsigned at = n++;
    for (; at && distance(place, hand) < distance(out[at - 1], hand); --at)
      out[at] = out[at - 1];
    out[at] = place;
  }
  return n;
}
