#include "theory/tones.h"

WayTones way_tones_normal(WayTones t) {
  static const struct {
    WayTones under;  // where one of these sounds, `simple` becomes `compound`
    WayTones simple; // every 2, 4 or 6
    unsigned up;     // bits from a simple number to its compound
  } rules[] = {
      {WAY_TONES_NUMBERED(3), WAY_TONES_NUMBERED(2), 30},
      {WAY_TONES_NUMBERED(3), WAY_TONES_NUMBERED(4), 25},
      {WAY_TONES_NUMBERED(7), WAY_TONES_NUMBERED(6), 20},
  };
  for (unsigned i = 0; i < WAY_COUNT(rules); ++i) {
    const WayTones simple = t & rules[i].simple;
    if (t & rules[i].under)
      t = (t & ~simple) | simple << rules[i].up;
    else
      t &= ~(simple << rules[i].up);
  }
  return t;
}

WayTones way_tones_of_chord(const WayChord* c) {
  WayTones t = 0;
  for (unsigned i = 0; i < c->n_tones; ++i) {
    const WayDegree d = c->tones[i];
    if (way_tones_number_ok(d.number) && d.alter >= -WAY_TONES_ALTER_MAX &&
        d.alter <= WAY_TONES_ALTER_MAX)
      t |= WAY_TONE(d.number, d.alter);
  }
  return t;
}

unsigned way_tones_count(WayTones t) {
  unsigned n = 0;
  for (; t; t &= t - 1) ++n;
  return n;
}

WayTones way_tones_of_figure(int figure, WayTones triad, WayTones seventh) {
  const WayTones ninth = WAY_TONE(9, 0), eleventh = WAY_TONE(11, 0);
  const bool dominant = !(triad & WAY_TONE(3, -1)) && seventh == WAY_TONE(7, -1);
  switch (figure) {
  case 2: return WAY_TONE(2, 0);
  case 6: return WAY_TONE(6, 0);
  case 7: return seventh;
  case 9: return seventh | ninth;
  case 11: return seventh | ninth | eleventh;
  case 13: return seventh | ninth | WAY_TONE(13, 0) | (dominant ? 0 : eleventh);
  default: return 0;
  }
}

WayChord way_tones_chord(WayTones t, WaySpelling root) {
#define ROW(number)                                                                    \
  {number, -2}, {number, -1}, {number, 0}, {number, 1}, { number, 2 }
  static const WayDegree degrees[50] = {ROW(1), ROW(2), ROW(3), ROW(4),  ROW(5),
                                        ROW(6), ROW(7), ROW(9), ROW(11), ROW(13)};
#undef ROW
  WayChord c = {root, root, {{0, 0}}, 0, 0};
  for (; t && c.n_tones < WAY_CHORD_TONES_MAX; t &= t - 1) {
    c.n_basic = (uint8_t)(c.n_basic + ((t & -t & WAY_TONES_BASIC) != 0));
    c.tones[c.n_tones++] = degrees[__builtin_ctzll(t)];
  }
  return c;
}
