#include "theory/key_degree.h"

static const uint8_t major_steps[7] = {0, 2, 4, 5, 7, 9, 11};

int way_key_degree_lowered(WayMode mode, int number) {
  if (number == 5) return 0;
  const WayPcSet set = way_mode_set(mode);
  for (int pc = 0, seen = 0; pc < 12; ++pc) {
    if (!way_pcs_has(set, (WayPc)pc) || ++seen < number) continue;
    const int alter = pc - major_steps[number - 1];
    return alter < 0 ? alter : 0;
  }
  return 0;
}

int way_key_degree_alter(WayMode mode, int number, int accidental, bool minor_third) {
  const int lowered = way_key_degree_lowered(mode, number);
  if (!lowered || accidental < 0) return accidental;
  if (!minor_third || number < 6) return lowered + accidental;
  return accidental ? accidental - 1 : 0;
}

int way_key_degree_accidental(WayMode mode, int number, int alter, bool minor_third) {
  static const int8_t tries[] = {0, -1, 1, -2, 2, -3, 3, -4, 4};
  if (alter < 0 && mode != WAY_MODE_MINOR) return alter;
  for (size_t i = 0; i < WAY_COUNT(tries); ++i)
    if (way_key_degree_alter(mode, number, tries[i], minor_third) == alter)
      return tries[i];
  return alter;
}

WayDegree way_degree_between(WaySpelling from, WaySpelling to) {
  const int number = (to.letter - from.letter + 7) % 7 + 1;
  const int natural =
      way_spelling_fifths(way_spelling_above(from, (WayDegree){(int8_t)number, 0}));
  // Seven fifths are one sharp.
  const int alter = (way_spelling_fifths(to) - natural) / 7;
  return (WayDegree){(int8_t)number, (int8_t)alter};
}

WayDegree way_key_degree_above(WaySpelling root, int number, WayKey key) {
  const WaySpelling plain = way_spelling_above(root, (WayDegree){(int8_t)number, 0});
  const int signature = way_key_signature(key);
  // Letters in the order sharps arrive: F C G D A E B; every seven come round again.
  const int order = way_spelling_fifths((WaySpelling){plain.letter, 0}) + 1;
  const int alter = (signature - order + 6 + 70) / 7 - 10; // rounded down
  return (WayDegree){(int8_t)number, (int8_t)(alter - plain.alter)};
}
