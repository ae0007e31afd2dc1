#include "theory/scale_fit.h"
#include "theory/chord_write.h"
#include "theory/key.h"

// The chords, looked at once.
typedef struct {
  const WayChord *first, *last;
  const WayChord* leads[12]; // by pitch class: a dominant that leads there
  WaySpelling spelled[12];   // by pitch class: as the chords write it, or their key
  WayPcSet pcs;
} Chords;

static bool is_dominant(const WayChord* c) {
  const WayDegree* const third = way_chord_tone_numbered(c, 3);
  const WayDegree* const seventh = way_chord_tone_numbered(c, 7);
  return third && !third->alter && seventh && seventh->alter == -1;
}

static WayPc root_of(const WayChord* c) { return way_spelling_pc(c->root); }

// A dominant leads a fifth down if the next chord is there (after the last one comes
// the first), or if the chord before it stands a fifth above it.
static void note_lead(Chords* all, const WayChord* before, const WayChord* c,
                      const WayChord* after) {
  if (!is_dominant(c)) return;
  const WayPc goal = way_pc(root_of(c) + 5);
  if (root_of(after) == goal || root_of(before) == way_pc(root_of(c) + 7))
    all->leads[goal] = c;
}

static void note_spelling(Chords* all, const WayChord* c) {
  for (unsigned i = 0; i < c->n_tones; ++i) {
    const WaySpelling s = way_spelling_above(c->root, c->tones[i]);
    all->spelled[way_spelling_pc(s)] = s;
  }
}

static Chords look_at(const WayChord* chords, size_t n) {
  Chords all = {0};
  for (size_t i = 0; i < n; ++i) {
    if (way_chord_is_none(&chords[i])) continue;
    if (!all.first) all.first = &chords[i];
    all.last = &chords[i];
    all.pcs |= way_chord_pcs(&chords[i]);
  }
  if (!all.first) return all;
  const WayKey key = {all.last->root, WAY_MODE_MAJOR};
  for (WayPc pc = 0; pc < 12; ++pc) all.spelled[pc] = way_key_spell(key, pc);
  const WayChord* before = all.last;
  for (size_t i = 0; i < n; ++i) {
    if (way_chord_is_none(&chords[i])) continue;
    size_t next = i + 1;
    while (next < n && way_chord_is_none(&chords[next])) ++next;
    note_lead(&all, before, &chords[i], next < n ? &chords[next] : all.first);
    note_spelling(&all, &chords[i]);
    before = &chords[i];
  }
  // Roots have the last word: a scale on one of them is written as it is.
  for (size_t i = 0; i < n; ++i)
    if (!way_chord_is_none(&chords[i]))
      all.spelled[root_of(&chords[i])] = chords[i].root;
  return all;
}

// How strongly the chords speak for the scale's tonic.
static int evidence(const WayScaleFit* f) {
  return (f->led ? 3 : 0) + (f->last ? 2 : 0) + (f->first ? 2 : 0) + (f->plain ? 1 : 0);
}

// Whether `a` stands before `b`.
static bool is_better(const WayScaleFit* a, const WayScaleFit* b) {
  const WayScaleType* const x = a->scale.type;
  const WayScaleType* const y = b->scale.type;
  if (x->family != y->family) return x->family < y->family;
  const unsigned more = way_pcs_count(a->others);
  if (more != way_pcs_count(b->others)) return more < way_pcs_count(b->others);
  if (evidence(a) != evidence(b)) return evidence(a) > evidence(b);
  return x < y; // the table's order
}

// Keep `out` sorted and free of scales with the same notes.
static size_t enter(const WayScaleFit* fit, WayScaleFit* out, size_t n, size_t room) {
  const WayPcSet pcs = way_scale_pcs(&fit->scale);
  size_t same = 0;
  while (same < n && way_scale_pcs(&out[same].scale) != pcs) ++same;
  if (same < n && !is_better(fit, &out[same])) return n;
  size_t at = same < n ? same : n;
  if (at == room && (!room || !is_better(fit, &out[--at]))) return n;
  const size_t filled = same < n || n == room ? n : n + 1;
  for (; at > 0 && is_better(fit, &out[at - 1]); --at) out[at] = out[at - 1];
  out[at] = *fit;
  return filled;
}

size_t way_scale_fit(const WayChord* chords, size_t n, WayScaleFit* out, size_t room) {
  const Chords all = look_at(chords, n);
  const WayScaleType* const major = way_scale_find(way_text("major"));
  const WayScaleType* const minor = way_scale_find(way_text("minor"));
  size_t found = 0;
  for (unsigned t = 0; all.first && t < way_scale_count(); ++t) {
    const WayScale on_c = way_scale_on((WaySpelling){0, 0}, way_scale_type(t));
    for (WayPc pc = 0; pc < 12; ++pc) {
      const WayPcSet pcs = way_pcs_move(way_scale_pcs(&on_c), pc);
      if (all.pcs & ~pcs) continue;
      const WayScaleFit fit = {
          .scale = way_scale_on(all.spelled[pc], on_c.type),
          .others = (WayPcSet)(pcs & ~all.pcs),
          .first = root_of(all.first) == pc,
          .last = root_of(all.last) == pc,
          .led = all.leads[pc],
          .plain = on_c.type == major || on_c.type == minor,
      };
      found = enter(&fit, out, found, room);
    }
  }
  return found;
}

static void write_others(const WayScaleFit* fit, WayOut* out) {
  way_out_str(out, fit->others ? "adds" : "adds nothing");
  for (unsigned i = 0; i < fit->scale.n; ++i) {
    const WaySpelling note = way_scale_note(&fit->scale, i);
    if (!way_pcs_has(fit->others, way_spelling_pc(note))) continue;
    way_out_char(out, ' ');
    way_spelling_write(note, out);
  }
}

void way_scale_fit_write(const WayScaleFit* fit, WayOut* out) {
  write_others(fit, out);
  if (fit->first && fit->last)
    way_out_str(out, "; on the root of the first and last chord");
  else if (fit->first || fit->last)
    way_out_str(out, fit->first ? "; on the root of the first chord"
                                : "; on the root of the last chord");
  if (!fit->led) return;
  way_out_str(out, "; ");
  way_chord_write(fit->led, out);
  way_out_str(out, " leads to it");
}
