#include "theory/role.h"
#include "theory/scale.h"

#include <stddef.h>

#define T(semitones) (1u << (semitones))
#define THIRDS (T(3) | T(4))
#define FIFTHS (T(6) | T(7) | T(8))

// How a pitch outside the chord is named: the first row whose conditions hold.  All
// sets are semitones above the root; docs/theory.md, section "Roles", says why.
static const struct {
  uint8_t interval;
  WayPcSet chord_has;   // all of these
  WayPcSet chord_lacks; // none of these
  WayPcSet scale_has;
  WayPcSet scale_lacks;
  WayDegree degree;
} rules[] = {
    {0, 0, 0, 0, 0, {1, 0}},
    {1, 0, 0, 0, 0, {9, -1}},
    {2, 0, 0, 0, 0, {9, 0}},
    {3, T(4), 0, 0, 0, {9, 1}},
    {3, 0, 0, T(4), 0, {9, 1}},
    {3, 0, 0, 0, 0, {3, -1}},
    {4, T(3), 0, T(4), 0, {11, -1}}, // a diminished fourth above a minor third
    {4, 0, 0, 0, 0, {3, 0}},
    {5, 0, 0, 0, 0, {11, 0}},
    {6, T(3), 0, T(5), T(6), {5, -1}}, // the blues note of a minor chord
    {6, 0, FIFTHS, T(6), T(7), {5, -1}},
    {6, 0, 0, 0, 0, {11, 1}},
    {7, 0, 0, 0, 0, {5, 0}},
    {8, 0, FIFTHS, T(8), T(6) | T(7), {5, 1}},
    {8, 0, 0, 0, 0, {13, -1}},
    {9, T(3) | T(6), T(10) | T(11), T(9), T(10) | T(11), {7, -2}},
    {9, 0, 0, 0, 0, {13, 0}},
    {10, 0, 0, 0, 0, {7, -1}},
    {11, 0, 0, 0, 0, {7, 0}},
};

const char* way_role_name(WayRole role) {
  static const char* const names[WAY_ROLE_COUNT] = {"chord tone", "scale tone",
                                                    "chromatic"};
  return (unsigned)role < WAY_ROLE_COUNT ? names[role] : "";
}

void way_role_degree_write(WayDegree d, WayOut* out) {
  if (d.number == 1 && !d.alter)
    way_out_char(out, 'R');
  else
    way_degree_write(d, out);
}

static WayDegree outside_degree(unsigned interval, WayPcSet chord, WayPcSet scale) {
  size_t i = 0;
  while (rules[i].interval != interval || (rules[i].chord_has & ~chord & WAY_PCS_ALL) ||
         (rules[i].chord_lacks & chord) ||
         (rules[i].scale_has & ~scale & WAY_PCS_ALL) || (rules[i].scale_lacks & scale))
    ++i; // ends: each interval has a row without conditions
  return rules[i].degree;
}

// How a foreign bass is named: by its letter, as a tension.
static WayDegree bass_degree(const WayChord* chord) {
  WayDegree d = way_scale_degree(chord->root, chord->bass);
  if (d.number == 2 || d.number == 4 || d.number == 6)
    d.number = (int8_t)(d.number + 7);
  return d;
}

void way_role_table(const WayChord* chord, WayPcSet scale, WaySpelling tonic,
                    WayRoleOf out[12]) {
  const bool none = way_chord_is_none(chord);
  const WayPc root = way_spelling_pc(none ? tonic : chord->root);
  const WayPcSet above = way_pcs_move(scale, (12u - root) % 12u);
  const WayPcSet tones =
      none ? 0 : way_pcs_move(way_chord_pcs(chord), (12u - root) % 12u);
  for (uint8_t i = 0; i < 12; ++i) {
    WayRoleOf* const r = &out[(root + i) % 12];
    *r = (WayRoleOf){way_pcs_has(above, i) ? WAY_ROLE_SCALE : WAY_ROLE_CHROMATIC, i,
                     false, outside_degree(i, tones, above)};
    // Without a chord nothing is a tension: count within the octave.
    if (none && r->degree.number > 7) r->degree.number = (int8_t)(r->degree.number - 7);
  }
  if (none) return;
  WayRoleOf* const bass = &out[way_spelling_pc(chord->bass)];
  bass->role = WAY_ROLE_CHORD;
  bass->extension = true;
  bass->degree = bass_degree(chord);
  for (unsigned t = chord->n_tones; t-- > 0;) { // backwards: basic tones have the say
    WayRoleOf* const r = &out[(root + way_degree_pc(chord->tones[t])) % 12];
    r->role = WAY_ROLE_CHORD;
    r->extension = t >= chord->n_basic;
    r->degree = chord->tones[t];
  }
}
