#include "take/review_json.h"

#include "take/review_tips.h"
#include "theory/chord_name.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
  BUFFER = 1 << 16,
  FRAGMENT = 256, // holds the longest fragment: a symbol and some forty words' worth
  FRAGMENTS = 256,
  BAR_TEXT = 128 + 6 * WAY_NAME_MAX, // every byte of a name may need an escape
};

/// Text worth keeping because many notes need it.
typedef struct {
  uint32_t harmony;
  uint8_t pc;
  uint16_t size; // 0: not filled yet
  char at[FRAGMENT];
} Fragment;

/// Writes members with the commas between them.
typedef struct {
  FILE* to;
  bool more; // a comma is due
  size_t used;
  // The bar of the note before: most notes are in the same one.
  WayTick bar_start, bar_end, bar_beat;
  size_t bar_size;
  char bar_text[BAR_TEXT];   // chorus, bar and section
  Fragment roles[FRAGMENTS]; // name, chord and role of a pitch class over a harmony
  char buffer[BUFFER];
} Json;

static void flush(Json* j) {
  fwrite(j->buffer, 1, j->used, j->to);
  j->used = 0;
}

static void put_long(Json* j, const char* bytes, size_t n) {
  while (n > BUFFER - j->used) {
    const size_t part = BUFFER - j->used;
    memcpy(j->buffer + j->used, bytes, part);
    j->used += part;
    bytes += part;
    n -= part;
    flush(j);
  }
  memcpy(j->buffer + j->used, bytes, n);
  j->used += n;
}

static inline void put(Json* j, const char* bytes, size_t n) {
  if (n > BUFFER - j->used) {
    put_long(j, bytes, n);
    return;
  }
  memcpy(j->buffer + j->used, bytes, n);
  j->used += n;
}
#define PUT(j, literal) put(j, literal, sizeof(literal) - 1)

static void put_char(Json* j, char c) { put(j, &c, 1); }
static void put_string(Json* j, const char* string) { put(j, string, strlen(string)); }

static void open_with(Json* j, char bracket) {
  put_char(j, bracket);
  j->more = false;
}

static void close_with(Json* j, char bracket) {
  put_char(j, bracket);
  j->more = true;
}

/// Begin an element of a list.
static void element(Json* j) {
  if (j->more) put_char(j, ',');
  j->more = true;
}

/// Begin a member; `name` needs no escapes.
static void member(Json* j, const char* name) {
  element(j);
  put_char(j, '"');
  put_string(j, name);
  put(j, "\":", 2);
}

/// A string that needs no escapes.
static void put_name(Json* j, const char* name) {
  put_char(j, '"');
  put_string(j, name);
  put_char(j, '"');
}

static void put_text(Json* j, WayText text) {
  put_char(j, '"');
  WayCursor c = way_cursor(text);
  for (size_t from = 0; from < text.size; from = c.byte) {
    const uint32_t scalar = way_cursor_next(&c);
    if (scalar == WAY_TEXT_INVALID) {
      put_string(j, "\xEF\xBF\xBD");
    } else if (scalar < 0x20) {
      char escape[8];
      put(j, escape, (size_t)snprintf(escape, sizeof(escape), "\\u%04X", scalar));
    } else {
      if (scalar == '"' || scalar == '\\') put_char(j, '\\');
      put(j, text.at + from, c.byte - from);
    }
  }
  put_char(j, '"');
}

static void text(Json* j, const char* name, const char* value) {
  member(j, name);
  put_text(j, way_text(value));
}

static void put_digits(Json* j, uint64_t value) {
  char digits[20];
  size_t at = sizeof(digits);
  do {
    digits[--at] = (char)('0' + value % 10);
    value /= 10;
  } while (value);
  put(j, digits + at, sizeof(digits) - at);
}

static void integer(Json* j, const char* name, int64_t value) {
  member(j, name);
  if (value < 0) put_char(j, '-');
  put_digits(j, value < 0 ? 0 - (uint64_t)value : (uint64_t)value);
}

static void boolean(Json* j, const char* name, bool value) {
  member(j, name);
  put_string(j, value ? "true" : "false");
}

static void null(Json* j, const char* name) {
  member(j, name);
  put(j, "null", 4);
}

/// Ticks as beats, to a millionth, without trailing zeros.
static void put_beats(Json* j, WayTick ticks, WayTick beat) {
  const uint64_t size = ticks < 0 ? 0 - (uint64_t)ticks : (uint64_t)ticks;
  const uint64_t unit = (uint64_t)beat;
  const uint64_t whole = size / unit;
  // Never a whole million: a beat is far shorter than that.
  const uint64_t part = (size % unit * 1000000 + unit / 2) / unit;
  if (ticks < 0 && (whole || part)) put_char(j, '-');
  put_digits(j, whole);
  uint32_t left = (uint32_t)part;
  if (!left) return;
  char digits[7] = ".";
  for (size_t i = 6; i; --i, left /= 10) digits[i] = (char)('0' + left % 10);
  size_t n = sizeof(digits);
  while (digits[n - 1] == '0') --n;
  put(j, digits, n);
}

static void beats(Json* j, const char* name, WayTick ticks, WayTick beat) {
  member(j, name);
  put_beats(j, ticks, beat);
}

static void spelling(Json* j, const char* name, WaySpelling value) {
  char buffer[WAY_SPELLING_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_spelling_write(value, &out);
  text(j, name, buffer);
}

static void degree(Json* j, const char* name, WayDegree value) {
  char buffer[WAY_SPELLING_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_role_degree_write(value, &out);
  text(j, name, buffer);
}

static void chord(Json* j, const WayChord* value) {
  char buffer[WAY_SYMBOL_MAX];
  WayOut out = way_out(buffer, sizeof(buffer));
  way_chord_write(value, &out);
  text(j, "chord", buffer);
}

/// An index; they all have the same value for none.
static void index_or_null(Json* j, const char* name, uint32_t index) {
  if (index == UINT32_MAX)
    null(j, name);
  else
    integer(j, name, index);
}

/// Interval, role and degree; the first and last count from a chord's root.
static void role(Json* j, WayRoleOf value, bool over_chord) {
  if (over_chord)
    integer(j, "interval", value.interval);
  else
    null(j, "interval");
  text(j, "role", way_role_name((WayRole)value.role));
  if (over_chord)
    degree(j, "degree", value.degree);
  else
    null(j, "degree");
}

/// Where a tick is: chorus, bar, section and beat.
static void place(Json* j, const WayTimeline* t, WayTick tick) {
  if (tick < j->bar_start || tick >= j->bar_end) {
    const WayReviewPlace p = way_review_place(t, tick);
    const WayMetre metre = t->bars[way_timeline_at(t, tick).bar].metre;
    j->bar_start = tick - p.in_bar;
    j->bar_end = j->bar_start + way_metre_bar(metre);
    j->bar_beat = way_metre_beat(metre);
    if (BUFFER - j->used < BAR_TEXT) flush(j);
    const size_t from = j->used;
    integer(j, "chorus", p.chorus);
    integer(j, "bar", p.bar);
    text(j, "section", t->sections[p.section].name);
    j->bar_size = j->used - from;
    memcpy(j->bar_text, j->buffer + from, j->bar_size);
  } else {
    put(j, j->bar_text, j->bar_size);
  }
  PUT(j, ",\"beat\":");
  put_beats(j, tick - j->bar_start + j->bar_beat, j->bar_beat); // counted from 1
}

/// Name, chord and role of a note.
static void note_over(Json* j, const WayReview* r, const WayReviewNote* seen) {
  const WayChord* const over = seen->harmony == WAY_NO_HARMONY
                                   ? NULL
                                   : &r->timeline->harmonies[seen->harmony].chord;
  spelling(j, "name", seen->name);
  if (over)
    chord(j, over);
  else
    null(j, "chord");
  role(j, seen->role, over && !way_chord_is_none(over));
  boolean(j, "basic", seen->basic);
}

/// The same, kept for the next note like it.
static void note_over_kept(Json* j, const WayReview* r, uint32_t i) {
  const WayReviewNote* const seen = &r->notes[i];
  const uint8_t pc = way_pc(r->take->notes[i].pitch);
  Fragment* const f = &j->roles[(seen->harmony * 12 + pc) % FRAGMENTS];
  if (f->size && f->harmony == seen->harmony && f->pc == pc) {
    put(j, f->at, f->size);
    return;
  }
  if (BUFFER - j->used < FRAGMENT) flush(j);
  const size_t from = j->used;
  note_over(j, r, seen);
  f->harmony = seen->harmony;
  f->pc = pc;
  f->size = (uint16_t)(j->used - from);
  memcpy(f->at, j->buffer + from, f->size);
}

static void note(Json* j, const WayReview* r, uint32_t i) {
  const WayNote* const n = &r->take->notes[i];
  const WayReviewNote* const seen = &r->notes[i];
  const WayTick beat = way_review_beat(r->timeline);
  const WayTick onset = way_review_onset(r, i);
  element(j);
  PUT(j, "{\"onset_beats\":");
  put_beats(j, onset, beat);
  PUT(j, ",\"duration_beats\":");
  put_beats(j, n->length, beat);
  PUT(j, ",\"midi\":");
  put_digits(j, n->pitch);
  note_over_kept(j, r, i);
  place(j, r->timeline, onset);
  PUT(j, ",\"grid_beats\":");
  put_beats(j, way_review_grid(onset), beat);
  PUT(j, ",\"embellishment\":");
  if (seen->kind < WAY_EMBELLISH_COUNT)
    put_name(j, way_embellish_name((WayEmbellish)seen->kind));
  else
    PUT(j, "null");
  PUT(j, ",\"resolves_to\":");
  if (seen->resolves_to == WAY_NO_NOTE)
    PUT(j, "null");
  else
    put_digits(j, seen->resolves_to);
  PUT(j, ",\"velocity\":");
  put_digits(j, n->velocity);
  PUT(j, ",\"channel\":");
  put_digits(j, n->channel + 1u);
  PUT(j, "}");
}

static void target(Json* j, const WayReview* r, const WayLandingSeen* l) {
  const WayDegree planned = r->timeline->spans[l->span].target;
  if (!planned.number) {
    null(j, "target");
    return;
  }
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  member(j, "target");
  open_with(j, '{');
  degree(j, "degree", planned);
  spelling(j, "name", way_spelling_above(h->chord.root, planned));
  boolean(j, "met", l->met);
  close_with(j, '}');
}

/// What the note held over is to the new chord.
static void held(Json* j, const WayReview* r, const WayLandingSeen* l) {
  if (l->held_over == WAY_NO_NOTE) {
    null(j, "held");
    return;
  }
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  member(j, "held");
  open_with(j, '{');
  role(j, way_harmony_role(h, r->take->notes[l->held_over].pitch), true);
  close_with(j, '}');
}

static void landing(Json* j, const WayReview* r, const WayLandingSeen* l) {
  const WayTick beat = way_review_beat(r->timeline);
  element(j);
  open_with(j, '{');
  beats(j, "change_beats", l->change, beat);
  chord(j, &way_timeline_harmony(r->timeline, l->span)->chord);
  index_or_null(j, "held_over", l->held_over);
  index_or_null(j, "first_onset", l->first_onset);
  if (l->first_onset == WAY_NO_NOTE)
    null(j, "lag_beats");
  else
    beats(j, "lag_beats", way_review_onset(r, l->first_onset) - l->change, beat);
  text(j, "arrival", way_arrival_name(l->arrival));
  if (l->note == WAY_NO_NOTE) {
    null(j, "interval");
    null(j, "role");
    null(j, "degree");
  } else {
    role(j, l->role, true);
  }
  held(j, r, l);
  if (l->approached)
    integer(j, "approach", l->approach);
  else
    null(j, "approach");
  target(j, r, l);
  place(j, r->timeline, l->change);
  close_with(j, '}');
}

static void totals(Json* j, const WayReview* r) {
  const WayReviewTotals* const t = &r->totals;
  member(j, "totals");
  open_with(j, '{');
  integer(j, "notes", r->take->n);
  member(j, "roles");
  open_with(j, '{');
  for (unsigned i = 0; i < WAY_ROLE_COUNT; ++i)
    integer(j, way_role_name((WayRole)i), t->roles[i]);
  close_with(j, '}');
  integer(j, "basic", t->basic);
  integer(j, "without_chord", t->without_chord);
  member(j, "degrees");
  open_with(j, '{');
  for (int8_t number = 1; number < (int8_t)WAY_COUNT(t->degrees); ++number)
    for (int8_t alter = -WAY_ALTER_MAX; alter <= WAY_ALTER_MAX; ++alter) {
      const uint32_t n = t->degrees[number][alter + WAY_ALTER_MAX];
      if (!n) continue;
      char buffer[WAY_SPELLING_MAX];
      WayOut out = way_out(buffer, sizeof(buffer));
      way_role_degree_write((WayDegree){number, alter}, &out);
      integer(j, buffer, n);
    }
  close_with(j, '}');
  member(j, "landings");
  open_with(j, '{');
  integer(j, "changes", r->n_landings);
  for (unsigned i = 0; i < WAY_ARRIVAL_COUNT; ++i)
    integer(j, way_arrival_name((WayArrival)i), t->arrivals[i]);
  integer(j, "on_chord_tones", t->landed_chord);
  integer(j, "on_basic", t->landed_basic);
  integer(j, "targets", t->targets);
  integer(j, "targets_met", t->targets_met);
  close_with(j, '}');
  integer(j, "tensions", t->tensions);
  integer(j, "resolved", t->resolved);
  integer(j, "stepped", t->stepped);
  member(j, "embellishments");
  open_with(j, '{');
  for (unsigned i = 0; i < WAY_EMBELLISH_COUNT; ++i)
    if (t->kinds[i]) integer(j, way_embellish_name((WayEmbellish)i), t->kinds[i]);
  close_with(j, '}');
  const WayTick beat = way_review_beat(r->timeline);
  beats(j, "timing_mean_beats", llround(t->timing_mean), beat);
  beats(j, "timing_spread_beats", llround(t->timing_spread), beat);
  integer(j, "orphans", r->take->orphans);
  integer(j, "unended", r->take->unended);
  close_with(j, '}');
}

/// A share to a thousandth; null of nothing.
static void share(Json* j, const char* name, uint32_t part, uint32_t whole) {
  if (whole)
    beats(j, name, (1000 * (WayTick)part + whole / 2) / whole, 1000);
  else
    null(j, name);
}

/// The take beside published solos.
static void beside(Json* j, const WayReview* r) {
  const WayReviewTotals* const t = &r->totals;
  const struct {
    const char* name;
    uint32_t part, whole, published;
  } rows[] = {
      {"notes_on_basic", t->basic, r->take->n, WAY_PUBLISHED_BASIC},
      {"landings_on_basic", t->landed_basic, t->landed, WAY_PUBLISHED_LANDED},
      {"tensions_stepping_home", t->stepped, t->tensions, WAY_PUBLISHED_STEPPED}};
  member(j, "beside");
  open_with(j, '{');
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    member(j, rows[i].name);
    open_with(j, '{');
    share(j, "here", rows[i].part, rows[i].whole);
    share(j, "published", rows[i].published, 100);
    close_with(j, '}');
  }
  close_with(j, '}');
}

static void chord_row(Json* j, const WayReview* r, const WayChordLandings* c) {
  const WayHarmony* const h = &r->timeline->harmonies[c->harmony];
  element(j);
  open_with(j, '{');
  chord(j, &h->chord);
  integer(j, "arrivals", c->changes);
  member(j, "landed");
  open_with(j, '{');
  for (uint8_t i = 0; i < 12; ++i) {
    char buffer[WAY_SPELLING_MAX];
    WayOut out = way_out(buffer, sizeof(buffer));
    way_role_degree_write(
        way_harmony_role(h, way_spelling_pc(h->chord.root) + i).degree, &out);
    if (c->landed[i]) integer(j, buffer, c->landed[i]);
  }
  close_with(j, '}');
  member(j, "not_yet");
  open_with(j, '[');
  for (uint8_t i = 0; i < h->chord.n_basic; ++i) {
    char buffer[WAY_SPELLING_MAX];
    WayOut out = way_out(buffer, sizeof(buffer));
    way_role_degree_write(h->chord.tones[i], &out);
    if (!way_chord_landings_open(c, h->chord.tones[i])) continue;
    element(j);
    put_name(j, buffer);
  }
  close_with(j, ']');
  close_with(j, '}');
}

static void joint(Json* j, const WayReview* r, const WayFormJoint* f) {
  element(j);
  open_with(j, '{');
  beats(j, "beats", f->tick, way_review_beat(r->timeline));
  place(j, r->timeline, f->tick);
  boolean(j, "top", f->top);
  index_or_null(j, "before", f->before);
  index_or_null(j, "at", f->at);
  index_or_null(j, "after", f->after);
  close_with(j, '}');
}

static void motif(Json* j, const WayMotif* m) {
  char letter[WAY_MOTIF_MARK_MAX], mark[WAY_MOTIF_MARK_MAX];
  WayOut out = way_out(letter, sizeof(letter));
  way_motif_letter_write(m->motif, &out);
  text(j, "motif", letter);
  out = way_out(mark, sizeof(mark));
  way_motif_mark_write(m, &out);
  text(j, "mark", mark);
  text(j, "kind", way_motif_kind_name((WayMotifKind)m->kind));
  index_or_null(j, "like", m->like);
  boolean(j, "shifted", m->shifted);
  index_or_null(j, "answers", m->answers);
}

/// A note at the edge of a phrase, over its own chord.
static void edge(Json* j, const char* name, const WayReview* r, uint32_t i) {
  member(j, name);
  open_with(j, '{');
  note_over(j, r, &r->notes[i]);
  close_with(j, '}');
}

static void phrase(Json* j, const WayReview* r, uint32_t k) {
  const WayPhrase* const p = &r->phrases[k];
  const WayTick beat = way_review_beat(r->timeline);
  const uint32_t made = way_review_phrase_landing(r, k);
  element(j);
  open_with(j, '{');
  integer(j, "first_note", p->first);
  integer(j, "last_note", p->last);
  beats(j, "start_beats", p->start - r->origin, beat);
  beats(j, "length_beats", p->end - p->start, beat);
  beats(j, "space_beats", p->space, beat);
  integer(j, "low", p->low);
  integer(j, "high", p->high);
  edge(j, "first", r, p->first);
  edge(j, "last", r, p->last);
  motif(j, &r->motifs[k]);
  index_or_null(j, "landing", made);
  if (made != WAY_NO_LANDING &&
      r->timeline->spans[r->landings[made].span].target.number)
    boolean(j, "target_met", r->landings[made].met);
  else
    null(j, "target_met");
  place(j, r->timeline, p->start - r->origin);
  close_with(j, '}');
}

/// The marks of all phrases on one line.
static void form_line(Json* j, const WayReview* r) {
  member(j, "form_line");
  put_char(j, '"');
  for (uint32_t i = 0; i < r->n_phrases; ++i) {
    char mark[WAY_MOTIF_MARK_MAX];
    WayOut out = way_out(mark, sizeof(mark));
    way_motif_mark_write(&r->motifs[i], &out);
    if (i) put_char(j, ' ');
    put_string(j, mark);
  }
  put_char(j, '"');
}

static void lists(Json* j, const WayReview* r, const WayReviewExtra* extra) {
  member(j, "notes");
  open_with(j, '[');
  for (uint32_t i = 0; i < r->take->n; ++i) note(j, r, i);
  close_with(j, ']');
  member(j, "phrases");
  open_with(j, '[');
  for (uint32_t i = 0; i < r->n_phrases; ++i) phrase(j, r, i);
  close_with(j, ']');
  form_line(j, r);
  member(j, "landings");
  open_with(j, '[');
  for (uint32_t i = 0; i < r->n_landings; ++i) landing(j, r, &r->landings[i]);
  close_with(j, ']');
  member(j, "chords");
  open_with(j, '[');
  for (uint32_t i = 0; i < extra->n_chords; ++i) chord_row(j, r, &extra->chords[i]);
  close_with(j, ']');
  member(j, "form");
  open_with(j, '[');
  for (uint32_t i = 0; i < r->n_joints; ++i) joint(j, r, &r->joints[i]);
  close_with(j, ']');
  totals(j, r);
  beside(j, r);
  member(j, "next");
  open_with(j, '[');
  for (uint32_t i = 0; i < extra->n_tips; ++i) {
    element(j);
    open_with(j, '{');
    text(j, "text", extra->tips[i].text);
    text(j, "preset", extra->tips[i].preset);
    text(j, "material", way_material_name(extra->tips[i].material));
    close_with(j, '}');
  }
  close_with(j, ']');
}

WayStatus way_review_json(const WayReview* r, const WayReviewHead* head, FILE* to) {
  Json* const j = calloc(1, sizeof(*j));
  WayReviewExtra extra;
  if (!j || way_review_extra(r, &extra)) {
    free(j);
    return WAY_ERR_NO_MEMORY;
  }
  j->to = to;
  char key[WAY_NAME_MAX];
  WayOut out = way_out(key, sizeof(key));
  way_key_write(r->timeline->key, &out);
  open_with(j, '{');
  text(j, "take", head->take);
  text(j, "title", head->title);
  text(j, "key", key);
  integer(j, "track", r->take->track);
  member(j, "track_name");
  put_text(j, head->track);
  lists(j, r, &extra);
  close_with(j, '}');
  put_char(j, '\n');
  flush(j);
  free(extra.chords);
  free(j);
  return WAY_OK;
}
