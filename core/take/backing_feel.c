#include "take/backing_feel.h"

#include <string.h>

/// Longest cell, in beats.
#define CELL_MAX 4

/**
   Patterns, by bar (even, odd) and beats of the cell.  One character a step: `X` and
   `x` strike the chord, loud and soft; `R 3 5 8 a` are bass notes (root, third, fifth,
   octave, approach); `-` holds on, `.` rests.
*/
typedef struct {
  const char* name;
  int steps; ///< To the beat
  const char* cells[WAY_FEEL_PARTS][2][CELL_MAX + 1];
} Feel;

static const Feel feels[] = {
    {"straight",
     2,
     {{{"", "X-", "X-x-", "X---x-", "X-----x-"},
       {"", "X-", "X-x-", "X---x-", "X---x-x-"}},
      {{"", "R-", "R-5-", "R---5-", "R---5---"},
       {"", "R-", "R-5-", "R---5-", "R---5-8-"}}}},
    {"swing",
     3,
     {{{"", "X-.", "X-...x", "X-...x...", "X-...x-....."},
       {"", "X-.", "..x-..", "..x-..x-.", "..x-....x-.."}},
      {{"", "R--", "R--a--", "R--5--a--", "R--3--5--a--"},
       {"", "R--", "R--a--", "R--3--a--", "R--5--8--a--"}}}},
    {"waltz",
     2,
     {{{"", "X-", "..x-", "..X-x-", "..X-x-x-"},
       {"", "X-", "..x-", "..X-x.", "..X-x-x."}},
      {{"", "R-", "R---", "R-----", "R-----5-"},
       {"", "R-", "R---", "R---5-", "R---5---"}}}},
    {"bossa",
     2,
     {{{"", "X.", "X-.x", "X-.x-.", "X-.x-.x-"},
       {"", "X.", ".x-.", ".x-.x-", ".x-.X-x-"}},
      {{"", "R-", "R--5", "R--R5-", "R--R5--5"},
       {"", "R-", "R--5", "R--55-", "R--55--R"}}}},
};

const char* way_feel_name(WayFeel feel) {
  return (unsigned)feel < WAY_FEEL_COUNT ? feels[feel].name : "";
}

WayFeel way_feel_of_metre(WayMetre metre) {
  return metre.beats == 3 && metre.unit == 4 ? WAY_FEEL_WALTZ : WAY_FEEL_STRAIGHT;
}

/// Beats of the next cell where `left` beats of a bar are left.
static int next_cell(WayMetre metre, int left) {
  if (way_metre_group(metre) == 3) return 3;
  if (left == 5) return 3;
  return left < CELL_MAX ? left : CELL_MAX;
}

static uint8_t tone_of(char c) {
  switch (c) {
  case '3': return WAY_BASS_THIRD;
  case '5': return WAY_BASS_FIFTH;
  case '8': return WAY_BASS_OCTAVE;
  case 'a': return WAY_BASS_APPROACH;
  default: return WAY_BASS_ROOT;
  }
}

/// Append the hits of a cell that begins at `at`.
static unsigned add_cell(const char* cell, WayTick at, WayTick step, WayHit* out) {
  unsigned n = 0;
  for (size_t i = 0; cell[i]; ++i) {
    if (cell[i] == '.' || cell[i] == '-') continue;
    const size_t steps = 1 + strspn(cell + i + 1, "-");
    out[n++] = (WayHit){at + (WayTick)i * step, (WayTick)steps * step, cell[i] != 'x',
                        tone_of(cell[i])};
  }
  return n;
}

unsigned way_feel_bar(WayFeel feel, WayFeelPart part, WayMetre metre, uint32_t bar,
                      WayHit* out) {
  const Feel* const f = &feels[feel];
  const WayTick beat = way_metre_beat(metre);
  unsigned n = 0;
  for (int at = 0; at < metre.beats;) {
    const int beats = next_cell(metre, metre.beats - at);
    n += add_cell(f->cells[part][bar & 1][beats], at * beat, beat / f->steps, out + n);
    at += beats;
  }
  return n;
}
