#include "take/labels.h"

#include "base/midi.h"
#include "live/mark.h"
#include "take/run.h"
#include "take/splice.h"
#include "take/tempo_map.h"

#include <stdlib.h>
#include <string.h>

const char* way_label_name(WayLabelKind kind) {
  static const char* const names[WAY_LABEL_COUNT] = {"top", "section", "change",
                                                     "landing", "role"};
  return names[kind];
}

// ---- The list.

typedef struct {
  const WayReview* review;
  WayLabel* labels;
  uint32_t n;
  uint32_t last[WAY_LABEL_COUNT]; // of each kind so far; its end is not known yet
} List;

/// Add a label that lasts until the next of its kind.
static void add(List* l, WayLabelKind kind, uint32_t of, WayTick start) {
  if (l->last[kind] != UINT32_MAX) l->labels[l->last[kind]].end = start;
  l->last[kind] = l->n;
  l->labels[l->n++] = (WayLabel){start, start, of, (uint8_t)kind};
}

/// Add a label of a note, which lasts as long as the note sounds.
static void add_note(List* l, WayLabelKind kind, uint32_t of, WayTick start,
                     uint32_t note) {
  const WayNote* const n = &l->review->take->notes[note];
  const WayTick end = n->start + n->length;
  l->labels[l->n++] = (WayLabel){start, end > start ? end : start, of, (uint8_t)kind};
}

static const char* section_name(const WayReview* r, uint32_t joint) {
  const WayReviewPlace p = way_review_place(r->timeline, r->joints[joint].tick);
  return r->timeline->sections[p.section].name;
}

static void fill(List* l) {
  const WayReview* const r = l->review;
  for (uint32_t i = 0; i < r->n_joints; ++i) {
    const WayTick start = r->joints[i].tick + r->origin;
    if (r->joints[i].top) add(l, WAY_LABEL_TOP, i, start);
    if (*section_name(r, i)) add(l, WAY_LABEL_SECTION, i, start);
  }
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const s = &r->landings[i];
    const WayTick change = s->change + r->origin;
    add(l, WAY_LABEL_CHANGE, i, change);
    if (s->note == WAY_NO_NOTE) continue;
    const bool held = s->note == s->held_over;
    add_note(l, WAY_LABEL_LANDING, i, held ? change : r->take->notes[s->note].start,
             s->note);
  }
  for (uint32_t i = 0; i < r->take->n; ++i)
    add_note(l, WAY_LABEL_ROLE, i, r->take->notes[i].start, i);
}

static int by_place(const void* a, const void* b) {
  const WayLabel *const x = a, *const y = b;
  if (x->start != y->start) return x->start < y->start ? -1 : 1;
  if (x->kind != y->kind) return x->kind - y->kind;
  return x->of < y->of ? -1 : x->of > y->of;
}

WayStatus way_labels_new(const WayReview* review, WayLabel** out, uint32_t* n) {
  const size_t most =
      2 * ((size_t)review->n_joints + review->n_landings) + review->take->n;
  List l = {.review = review, .labels = malloc((most + 1) * sizeof(WayLabel))};
  if (!l.labels) return WAY_ERR_NO_MEMORY;
  memset(l.last, 0xFF, sizeof(l.last));
  fill(&l);
  WayTick end = 0;
  for (uint32_t i = 0; i < l.n; ++i)
    if (l.labels[i].end > end) end = l.labels[i].end;
  for (unsigned k = 0; k < WAY_LABEL_COUNT; ++k)
    if (l.last[k] != UINT32_MAX) l.labels[l.last[k]].end = end;
  qsort(l.labels, l.n, sizeof(*l.labels), by_place);
  *out = l.labels;
  *n = l.n;
  return WAY_OK;
}

// ---- What they say.

static WayMark mark_of(const WayReview* r, const WayLabel* label) {
  static const WayChord none;
  WayMark m = {.chord = &none};
  if (label->kind == WAY_LABEL_TOP) {
    m.kind = WAY_MARK_TOP;
    m.chorus = way_review_place(r->timeline, r->joints[label->of].tick).chorus - 1;
  } else if (label->kind == WAY_LABEL_ROLE) {
    const WayReviewNote* const n = &r->notes[label->of];
    m.kind = WAY_MARK_ROLE;
    m.role = n->role;
    if (n->harmony != WAY_NO_HARMONY)
      m.chord = &r->timeline->harmonies[n->harmony].chord;
  } else {
    const WayLandingSeen* const s = &r->landings[label->of];
    m.kind = label->kind == WAY_LABEL_CHANGE ? WAY_MARK_CHANGE : WAY_MARK_LANDING;
    m.chord = &way_timeline_harmony(r->timeline, s->span)->chord;
    m.role = s->role;
    m.held_over = s->note == s->held_over;
    m.landing = s->met                           ? WAY_LANDING_TARGET
                : s->role.role == WAY_ROLE_CHORD ? WAY_LANDING_CHORD_TONE
                                                 : WAY_LANDING_OTHER;
  }
  return m;
}

void way_label_write(const WayReview* r, const WayLabel* label, WayOut* out) {
  if (label->kind == WAY_LABEL_SECTION) {
    way_out_str(out, "section ");
    way_out_str(out, section_name(r, label->of));
    return;
  }
  const WayMark mark = mark_of(r, label);
  way_mark_write(&mark, out);
}

// ---- As Marker events.

static WayStatus put_markers(const WayReview* r, const WaySmf* smf, WaySmf* made) {
  WayLabel* labels = NULL;
  uint32_t n = 0;
  if (!way_smf_add_track(made)) return WAY_ERR_NO_MEMORY;
  WayStatus st = way_labels_new(r, &labels, &n);
  if (st) return st;
  st = way_smf_add_text(made, 0, 0, WAY_META_NAME, WAY_MARKS_TRACK);
  for (uint32_t i = 0; !st && i < n; ++i) {
    char text[WAY_LABEL_TEXT_MAX];
    WayOut out = way_out(text, sizeof(text));
    way_label_write(r, &labels[i], &out);
    st = way_smf_add_text(made, 0, way_smf_file_tick(smf, labels[i].start),
                          WAY_META_MARKER, text);
  }
  free(labels);
  return st;
}

WayStatus way_labels_midi(const WayReview* r, const WaySmf* smf, const uint8_t* bytes,
                          uint8_t** out, size_t* size) {
  WaySmf* const made = way_smf_new(1, smf->division);
  if (!made) return WAY_ERR_NO_MEMORY;
  WayStatus st = put_markers(r, smf, made);
  if (!st) st = way_splice(bytes, smf, WAY_NO_TRACK, made, out, size);
  way_smf_free(made);
  return st;
}

// ---- As a table.

/// A field; in quotes if it holds anything that needs them.
static void put_field(const char* text, FILE* to) {
  if (!strpbrk(text, ",\"\r\n")) {
    fputs(text, to);
    return;
  }
  putc('"', to);
  for (; *text; ++text) {
    if (*text == '"') putc('"', to);
    putc(*text, to);
  }
  putc('"', to);
}

/// Note, degree and role; empty for labels without a note.
static void put_note(const WayReview* r, const WayLabel* label, FILE* to) {
  const bool landing = label->kind == WAY_LABEL_LANDING;
  if (!landing && label->kind != WAY_LABEL_ROLE) {
    fputs(",,,", to);
    return;
  }
  const uint32_t note = landing ? r->landings[label->of].note : label->of;
  const WayMark mark = mark_of(r, label);
  WaySpelling name = r->notes[note].name;
  if (landing) {
    const WayHarmony* const h =
        way_timeline_harmony(r->timeline, r->landings[label->of].span);
    name = way_harmony_spell(h, way_pc(r->take->notes[note].pitch));
  }
  char text[2 * WAY_SPELLING_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_spelling_write(name, &out);
  way_out_char(&out, ',');
  way_role_degree_write(mark.role.degree, &out);
  fprintf(to, ",%s,%s", text, way_role_name((WayRole)mark.role.role));
}

static void put_row(const WayReview* r, const WaySmf* smf, const WayTempoMap* tempo,
                    const WayLabel* label, FILE* to) {
  const WayTick at = label->start - r->origin;
  const WayReviewPlace p = way_review_place(r->timeline, at);
  const WayTick beat = way_review_bar_beat(r->timeline, at);
  char text[WAY_LABEL_TEXT_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_label_write(r, label, &out);
  fprintf(to, "%.3f,%.3f,%lld,%lld,%.3f,%s,",
          way_tempo_map_seconds(tempo, way_smf_file_tick(smf, label->start)),
          way_tempo_map_seconds(tempo, way_smf_file_tick(smf, label->end)),
          (long long)p.chorus, (long long)p.bar, 1 + (double)p.in_bar / (double)beat,
          way_label_name((WayLabelKind)label->kind));
  put_field(text, to);
  put_note(r, label, to);
  fputs("\r\n", to);
}

WayStatus way_labels_csv(const WayReview* r, const WaySmf* smf, FILE* to) {
  WayLabel* labels = NULL;
  uint32_t n = 0;
  WayTempoMap* const tempo = way_tempo_map_new(smf);
  const WayStatus st = tempo ? way_labels_new(r, &labels, &n) : WAY_ERR_NO_MEMORY;
  if (!st)
    fputs("seconds,end_seconds,chorus,bar,beat,kind,text,note,degree,role\r\n", to);
  for (uint32_t i = 0; !st && i < n; ++i) put_row(r, smf, tempo, &labels[i], to);
  free(labels);
  way_tempo_map_free(tempo);
  return st;
}
