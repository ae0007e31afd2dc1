#include "draw/staff.h"

#include <string.h>

/// Letters counted from C0 up, on the bottom line.
static const int bottoms[] = {
    [WAY_CLEF_TREBLE] = 4 * 7 + 2, [WAY_CLEF_BASS] = 2 * 7 + 4};

int way_staff_step(WayClef clef, WaySpelling note, int pitch) {
  const int octave = (pitch - note.alter + 12) / 12 - 2;
  return 7 * octave + note.letter - bottoms[clef];
}

int way_staff_signature(WayClef clef, WayKey key, int8_t steps[WAY_SIGNATURE_MAX]) {
  // Common practice: F#5 C#5 G#5 D#5 A#4 E#5 B#4 and Bb4 Eb5 Ab4 Db5 Gb4 Cb5 Fb4 in
  // the treble clef; two octaves, or two steps on the page, lower in the bass clef.
  static const int8_t sharps[WAY_SIGNATURE_MAX] = {8, 5, 9, 6, 3, 7, 4};
  static const int8_t flats[WAY_SIGNATURE_MAX] = {4, 7, 3, 6, 2, 5, 1};
  const int n = way_key_signature(key);
  if (n < -(int)WAY_SIGNATURE_MAX || n > (int)WAY_SIGNATURE_MAX) return 0;
  for (unsigned i = 0; i < WAY_SIGNATURE_MAX; ++i)
    steps[i] = (int8_t)((n > 0 ? sharps : flats)[i] - (clef == WAY_CLEF_BASS ? 2 : 0));
  return n;
}

#define STEP_ZERO 32
#define STEPS 64

static int letter_at(WayClef clef, int step) {
  return ((step + bottoms[clef]) % 7 + 7) % 7;
}

WayStaffBar way_staff_bar(WayClef clef, WayKey key) {
  WayStaffBar bar = {.by_letter = {0}};
  int8_t steps[WAY_SIGNATURE_MAX];
  const int n = way_staff_signature(clef, key, steps);
  for (int i = 0; i < (n < 0 ? -n : n); ++i)
    bar.by_letter[letter_at(clef, steps[i])] = n < 0 ? -1 : 1;
  for (int i = 0; i < STEPS; ++i)
    bar.step[i] = bar.by_letter[letter_at(clef, i - STEP_ZERO)];
  return bar;
}

bool way_staff_accidental(WayStaffBar* bar, WaySpelling note, int step) {
  int8_t* const in_force = &bar->step[(step + STEP_ZERO) & (STEPS - 1)];
  const bool needs = *in_force != note.alter;
  *in_force = note.alter;
  return needs;
}

unsigned way_staff_values(WayTick length, WayStaffValue out[WAY_VALUES_MAX]) {
  static const WayTick quarter = WAY_TICKS_PER_QUARTER;
  static const WayStaffValue values[] = {
      {6 * quarter, true, false, 0, true},     {4 * quarter, true, false, 0, false},
      {3 * quarter, true, true, 0, true},      {2 * quarter, true, true, 0, false},
      {3 * quarter / 2, false, true, 0, true}, {quarter, false, true, 0, false},
      {3 * quarter / 4, false, true, 1, true}, {quarter / 2, false, true, 1, false},
      {quarter / 4, false, true, 2, false}};
  unsigned n = 0;
  for (unsigned i = 0; i < WAY_COUNT(values);)
    if (values[i].ticks > length) {
      ++i;
    } else {
      if (n == WAY_VALUES_MAX) return 0;
      out[n++] = values[i];
      length -= values[i].ticks;
    }
  return length ? 0 : n;
}
