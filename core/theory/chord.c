#include "theory/chord.h"

#include <string.h>

WayChord way_chord_none(void) { return (WayChord){{0, 0}, {0, 0}, {{0, 0}}, 0, 0}; }

bool way_chord_equal(const WayChord* a, const WayChord* b) {
  return a->n_tones == b->n_tones && a->n_basic == b->n_basic &&
         way_spelling_equal(a->root, b->root) && way_spelling_equal(a->bass, b->bass) &&
         !memcmp(a->tones, b->tones, a->n_tones * sizeof(a->tones[0]));
}

/// Pitch classes of the first `n` tones.
static WayPcSet pcs_of(const WayChord* c, unsigned n) {
  const WayPc root = way_spelling_pc(c->root);
  WayPcSet set = 0;
  for (unsigned i = 0; i < n; ++i)
    set |= WAY_PC_BIT(way_pc(root + way_degree_semitones(c->tones[i])));
  return set;
}

WayPcSet way_chord_pcs(const WayChord* c) { return pcs_of(c, c->n_tones); }

WayPcSet way_chord_basic_pcs(const WayChord* c) { return pcs_of(c, c->n_basic); }

const WayDegree* way_chord_tone_at(const WayChord* c, WayPc pc) {
  const WayPc above = way_pc(pc - way_spelling_pc(c->root));
  for (unsigned i = 0; i < c->n_tones; ++i)
    if (way_degree_pc(c->tones[i]) == above) return &c->tones[i];
  return NULL;
}

const WayDegree* way_chord_tone_numbered(const WayChord* c, int number) {
  for (unsigned i = 0; i < c->n_tones; ++i)
    if (c->tones[i].number == number) return &c->tones[i];
  return NULL;
}

void way_chord_drop(WayChord* c, int number) {
  uint8_t kept = 0, basic = 0;
  for (uint8_t i = 0; i < c->n_tones; ++i) {
    if (c->tones[i].number == number) continue;
    if (i < c->n_basic) ++basic;
    c->tones[kept++] = c->tones[i];
  }
  c->n_tones = kept;
  c->n_basic = basic;
}

void way_chord_put(WayChord* c, WayDegree tone) {
  way_chord_drop(c, tone.number);
  if (c->n_tones == WAY_CHORD_TONES_MAX) return;
  const bool basic = tone.number < 8;
  uint8_t at = basic ? 0 : c->n_basic;
  const uint8_t end = basic ? c->n_basic : c->n_tones;
  while (at < end && c->tones[at].number < tone.number) ++at;
  memmove(c->tones + at + 1, c->tones + at,
          (size_t)(c->n_tones - at) * sizeof(c->tones[0]));
  c->tones[at] = tone;
  ++c->n_tones;
  c->n_basic = (uint8_t)(c->n_basic + basic);
}

bool way_chord_invert(WayChord* c, int number) {
  const WayDegree* const tone = way_chord_tone_numbered(c, number);
  if (tone) c->bass = way_spelling_above(c->root, *tone);
  return tone != NULL;
}

/// A note moved along the line of fifths, made simple where it can't be written.
static WaySpelling moved(WaySpelling s, int fifths) {
  const WaySpelling to = way_spelling_at_fifths(way_spelling_fifths(s) + fifths);
  const bool writable = to.alter <= WAY_ALTER_MAX && to.alter >= -WAY_ALTER_MAX;
  return writable ? to : way_spelling_simple(to);
}

WayChord way_chord_transposed(const WayChord* c, WaySpelling from, WaySpelling to) {
  WayChord out = *c;
  const int fifths = way_spelling_fifths(to) - way_spelling_fifths(from);
  if (way_chord_is_none(c)) return out;
  out.root = moved(c->root, fifths);
  out.bass = moved(c->bass, fifths);
  return out;
}
