#include "theory/numeral_write.h"

#include "theory/applied.h"
#include "theory/chord_write.h"
#include "theory/key_degree.h"
#include "theory/numeral_degree.h"
#include "theory/numeral_figure.h"
#include "theory/numeral_named.h"

#include <string.h>

/// A degree and a chord family, ready to be written.
typedef struct {
  const char* lead; ///< `` or `sub`
  WayDegree degree; ///< Against the major scale
  WayMode mode;     ///< Of the key it is written in
} Place;

static void write_degree(const Place* p, bool third_is_minor, bool lower, WayOut* out) {
  const int8_t number = p->degree.number;
  const int sign =
      way_key_degree_accidental(p->mode, number, p->degree.alter, third_is_minor);
  way_out_str(out, p->lead);
  way_numeral_degree_write((WayNumeralDegree){sign, number, lower}, out);
}

/// The chord symbol's own suffix, for every other chord.
static void write_suffix(const WayChord* on_c, const Place* p, bool lower,
                         WayOut* out) {
  char buffer[WAY_SYMBOL_MAX];
  WayOut symbol = way_out(buffer, sizeof(buffer));
  WayChord rooted = *on_c;
  rooted.bass = rooted.root;
  way_chord_write(&rooted, &symbol);
  const char* suffix = buffer + 1;
  if (lower && suffix[0] == 'm') ++suffix;
  // A 6 would be a figure, and a lone 9 on the fifth degree of minor the key's own.
  const bool fifth = p->degree.number == 5 && way_key_degree_lowered(p->mode, 3) < 0;
  if (fifth && !strcmp(suffix, "9")) suffix = "7add9";
  if (way_text_starts(way_text(suffix), "dim6")) {
    way_out_str(out, "dim");
    suffix += 3;
  }
  if (way_text_starts(way_text(suffix), "6/9")) {
    way_out_str(out, "69");
    suffix += 3;
  } else if (suffix[0] == '6') {
    way_out_str(out, "add");
  }
  way_out_str(out, suffix);
}

/// Write degree and suffix; true if a bass the figures cannot tell is still to follow.
static bool write_plain(const WayChord* chord, const Place* p, WayOut* out) {
  const bool lower = way_chord_has(chord, 3, -1);
  const WayChord on_c = way_chord_transposed(chord, chord->root, (WaySpelling){0, 0});
  write_degree(p, lower, lower, out);
  if (way_numeral_figure_write(&on_c, out)) return false;
  write_suffix(&on_c, p, lower, out);
  return !way_spelling_equal(chord->root, chord->bass);
}

static void write_bass(const WayChord* chord, WayOut* out) {
  way_out_char(out, '/');
  way_degree_write(way_degree_between(chord->root, chord->bass), out);
}

/// How each kind is written in the target's key: by the degree of the chord's root.
static const struct {
  WayDegree root; ///< Only so spelled does the numeral read back
  const char* lead;
  WayDegree written;
} applied_names[] = {
    [WAY_APPLIED_NOT] = {{0, 0}, "", {0, 0}},
    [WAY_APPLIED_DOMINANT] = {{5, 0}, "", {5, 0}},
    [WAY_APPLIED_SUBSTITUTE] = {{2, -1}, "sub", {5, 0}},
    [WAY_APPLIED_LEADING] = {{7, 0}, "", {7, 0}},
    [WAY_APPLIED_PREDOMINANT] = {{2, 0}, "", {2, 0}},
};

/// Write an applied chord; false if the chord is none, or its letters are not those.
static bool write_applied(const WayChord* chord, const WayApplied* a, WayKey key,
                          WayOut* out) {
  const WaySpelling root = way_spelling_above(key.tonic, a->target);
  const WayDegree degree = way_degree_between(root, chord->root);
  if (degree.number != applied_names[a->kind].root.number ||
      degree.alter != applied_names[a->kind].root.alter)
    return false;
  const WayMode mode = a->target_minor ? WAY_MODE_MINOR : WAY_MODE_MAJOR;
  const Place place = {applied_names[a->kind].lead, applied_names[a->kind].written,
                       mode};
  const bool bass = write_plain(chord, &place, out);
  if (a->target.number != 1) {
    way_out_char(out, '/');
    const Place target = {"", a->target, key.mode};
    write_degree(&target, a->target_minor, a->target_minor, out);
  }
  if (bass) write_bass(chord, out);
  return true;
}

void way_numeral_write(const WayChord* chord, const WayChord* next, WayKey key,
                       WayOut* out) {
  if (way_chord_is_none(chord)) {
    way_out_str(out, "N.C.");
    return;
  }
  if (way_numeral_named_write(chord, key, out)) return;
  const WayApplied a = way_applied(chord, next, key);
  if (write_applied(chord, &a, key, out)) return;
  const Place place = {"", way_degree_between(key.tonic, chord->root), key.mode};
  if (write_plain(chord, &place, out)) write_bass(chord, out);
}
