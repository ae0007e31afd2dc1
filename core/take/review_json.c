#include "take/review_json.h"

#include "take/review_tips.h"
#include "take/review_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
  BUFFER = 1 << 18,
  FRAGMENT = 256, // holds the longest fragment: a symbol and some forty words' worth
  FRAGMENTS = 256,
  NOTE_MAX = 512, // bytes of a note's own members
  DIGITS_MAX = 20,
  PLAIN_MAX = 64,
  BEATS_MAX = 1 + DIGITS_MAX + 7,
  BAR_TEXT = 128 + 6 * WAY_NAME_MAX, // every byte of a name may need an escape
};

/// Text worth keeping because many notes need it.
typedef struct {
  uint32_t harmony;
  uint8_t pc;
  uint16_t size; // 0: not filled yet
  char at[FRAGMENT];
} Fragment;

/// The decimals of some ticks in a quarter note; empty until asked for.
typedef struct {
  uint8_t size; // with the point; 0 also for none at all
  char at[7];
} Decimals;

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
  Decimals decimals[WAY_TICKS_PER_QUARTER];
  char buffer[BUFFER];
} Json;

static void flush(Json* j) {
  fwrite(j->buffer, 1, j->used, j->to);
  j->used = 0;
}

/// Room for `n` more bytes: where they go.  To be ended by wrote().
static char* room(Json* j, size_t n) {
  if (n > BUFFER - j->used) flush(j);
  return j->buffer + j->used;
}

static void wrote(Json* j, const char* end) { j->used = (size_t)(end - j->buffer); }

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
  const size_t n = strlen(name);
  char* to = room(j, n + 4);
  if (j->more) *to++ = ',';
  j->more = true;
  *to++ = '"';
  memcpy(to, name, n);
  to += n;
  *to++ = '"';
  *to++ = ':';
  wrote(j, to);
}

/// Begin a member that is an object or a list.
static void open_member(Json* j, const char* name, char bracket) {
  member(j, name);
  open_with(j, bracket);
}

/// Begin an element of a list that is an object.
static void open_element(Json* j) {
  element(j);
  open_with(j, '{');
}

/// A string that needs no escapes.
static void put_name(Json* j, const char* name) {
  put_char(j, '"');
  put_string(j, name);
  put_char(j, '"');
}

/// Whether a text is as short and plain as most are: ASCII that needs no escapes.
static bool is_plain(WayText text) {
  if (text.size > PLAIN_MAX) return false;
  for (size_t i = 0; i < text.size; ++i)
    if (text.at[i] < ' ' || text.at[i] == '"' || text.at[i] == '\\') return false;
  return true;
}

static void put_text(Json* j, WayText text) {
  if (is_plain(text)) {
    char* const to = room(j, PLAIN_MAX + 2);
    to[0] = '"';
    memcpy(to + 1, text.at, text.size);
    to[1 + text.size] = '"';
    wrote(j, to + 2 + text.size);
    return;
  }
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

// What writes to a place in the buffer returns the place behind.

#define WRITE(to, literal)                                                             \
  ((char*)memcpy(to, literal, sizeof(literal) - 1) + sizeof(literal) - 1)

static inline char* write_digits(char* to, uint64_t value) {
  if (value < 10) {
    *to = (char)('0' + value);
    return to + 1;
  }
  char digits[DIGITS_MAX];
  size_t at = sizeof(digits);
  for (; value > UINT32_MAX; value /= 10) digits[--at] = (char)('0' + value % 10);
  for (uint32_t rest = (uint32_t)value; rest; rest /= 10) // quicker to divide
    digits[--at] = (char)('0' + rest % 10);
  while (at < sizeof(digits)) *to++ = digits[at++];
  return to;
}

static void integer(Json* j, const char* name, int64_t value) {
  member(j, name);
  char* to = room(j, 1 + DIGITS_MAX);
  if (value < 0) *to++ = '-';
  wrote(j, write_digits(to, value < 0 ? 0 - (uint64_t)value : (uint64_t)value));
}

static void boolean(Json* j, const char* name, bool value) {
  member(j, name);
  put_string(j, value ? "true" : "false");
}

static void null(Json* j, const char* name) {
  member(j, name);
  put(j, "null", 4);
}

/// Part of a beat to a millionth, without trailing zeros.
static Decimals decimals_of(uint64_t ticks, uint64_t beat) {
  // Never a whole million: a beat is far shorter than that.
  uint32_t left = (uint32_t)((ticks * 1000000 + beat / 2) / beat);
  Decimals d = {.size = left ? sizeof(d.at) : 0, .at = "."};
  for (size_t i = 6; i; --i, left /= 10) d.at[i] = (char)('0' + left % 10);
  while (d.size && d.at[d.size - 1] == '0') --d.size;
  return d;
}

/// Ticks as beats; takes #BEATS_MAX bytes at most.
static inline char* write_beats(Json* j, char* to, WayTick ticks, WayTick beat) {
  const uint64_t size = ticks < 0 ? 0 - (uint64_t)ticks : (uint64_t)ticks;
  const uint64_t unit = (uint64_t)beat;
  const bool quick = beat == WAY_TICKS_PER_QUARTER;
  const uint64_t whole = quick ? size / WAY_TICKS_PER_QUARTER : size / unit;
  const uint64_t part = size - whole * unit;
  Decimals d = {.size = 0};
  if (part) {
    d = quick ? j->decimals[part] : decimals_of(part, unit);
    if (quick && !d.size) d = j->decimals[part] = decimals_of(part, unit);
  }
  if (ticks < 0 && (whole || d.size)) *to++ = '-';
  to = write_digits(to, whole);
  memcpy(to, d.at, sizeof(d.at)); // what is too much is written over
  return to + d.size;
}

static void put_beats(Json* j, WayTick ticks, WayTick beat) {
  wrote(j, write_beats(j, room(j, BEATS_MAX), ticks, beat));
}

static void beats(Json* j, const char* name, WayTick ticks, WayTick beat) {
  member(j, name);
  put_beats(j, ticks, beat);
}

static void spelling(Json* j, const char* name, WaySpelling value) {
  char buffer[WAY_SPELLING_MAX];
  text(j, name, way_note_text(value, buffer));
}

static void degree(Json* j, const char* name, WayDegree value) {
  char buffer[WAY_SPELLING_MAX];
  text(j, name, way_degree_text(value, buffer));
}

static void chord(Json* j, const WayChord* value) {
  char buffer[WAY_SYMBOL_MAX];
  text(j, "chord", way_chord_text(value, buffer));
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
    const int64_t bar = p.chorus ? p.bar - 1 : (int64_t)way_timeline_at(t, tick).bar;
    const WayMetre metre = t->bars[bar].metre;
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
  char* const to = room(j, 16 + BEATS_MAX);
  wrote(j, write_beats(j, WRITE(to, ",\"beat\":"),
                       tick - j->bar_start + j->bar_beat, // counted from 1
                       j->bar_beat));
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
  char* to = room(j, NOTE_MAX);
  if (j->more) *to++ = ',';
  j->more = true;
  to = write_beats(j, WRITE(to, "{\"onset_beats\":"), onset, beat);
  to = write_beats(j, WRITE(to, ",\"duration_beats\":"), n->length, beat);
  wrote(j, write_digits(WRITE(to, ",\"midi\":"), n->pitch));
  note_over_kept(j, r, i);
  place(j, r->timeline, onset);
  to = room(j, NOTE_MAX);
  to = write_beats(j, WRITE(to, ",\"grid_beats\":"), way_review_grid(onset), beat);
  to = WRITE(to, ",\"embellishment\":");
  if (seen->kind < WAY_EMBELLISH_COUNT) {
    const char* kind = way_embellish_name((WayEmbellish)seen->kind);
    *to++ = '"';
    while (*kind) *to++ = *kind++;
    *to++ = '"';
  } else {
    to = WRITE(to, "null");
  }
  to = WRITE(to, ",\"resolves_to\":");
  to = seen->resolves_to == WAY_NO_NOTE ? WRITE(to, "null")
                                        : write_digits(to, seen->resolves_to);
  to = write_digits(WRITE(to, ",\"velocity\":"), n->velocity);
  to = write_digits(WRITE(to, ",\"channel\":"), n->channel + 1u);
  *to++ = '}';
  wrote(j, to);
}

static void target(Json* j, const WayReview* r, const WayLandingSeen* l) {
  const WayDegree planned = r->timeline->spans[l->span].target;
  if (!planned.number) {
    null(j, "target");
    return;
  }
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  open_member(j, "target", '{');
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
  open_member(j, "held", '{');
  role(j, way_harmony_role(h, r->take->notes[l->held_over].pitch), true);
  close_with(j, '}');
}

static void landing(Json* j, const WayReview* r, const WayLandingSeen* l) {
  const WayTick beat = way_review_beat(r->timeline);
  open_element(j);
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

/// A number of times by degree; nothing for none.
static void times_at(Json* j, WayDegree at, uint32_t times) {
  char buffer[WAY_SPELLING_MAX];
  if (times) integer(j, way_degree_text(at, buffer), times);
}

static void note_totals(Json* j, const WayReviewTotals* t) {
  open_member(j, "roles", '{');
  for (unsigned i = 0; i < WAY_ROLE_COUNT; ++i)
    integer(j, way_role_name((WayRole)i), t->roles[i]);
  close_with(j, '}');
  integer(j, "basic", t->basic);
  integer(j, "without_chord", t->without_chord);
  open_member(j, "degrees", '{');
  for (int8_t number = 1; number < (int8_t)WAY_COUNT(t->degrees); ++number)
    for (int8_t alter = -WAY_ALTER_MAX; alter <= WAY_ALTER_MAX; ++alter)
      times_at(j, (WayDegree){number, alter},
               t->degrees[number][alter + WAY_ALTER_MAX]);
  close_with(j, '}');
}

static void landing_totals(Json* j, const WayReview* r) {
  const WayReviewTotals* const t = &r->totals;
  open_member(j, "landings", '{');
  integer(j, "changes", r->n_landings);
  for (unsigned i = 0; i < WAY_ARRIVAL_COUNT; ++i)
    integer(j, way_arrival_name((WayArrival)i), t->arrivals[i]);
  integer(j, "on_chord_tones", t->landed_chord);
  integer(j, "on_basic", t->landed_basic);
  integer(j, "targets", t->targets);
  integer(j, "targets_met", t->targets_met);
  close_with(j, '}');
}

static void totals(Json* j, const WayReview* r) {
  const WayReviewTotals* const t = &r->totals;
  const WayTick beat = way_review_beat(r->timeline);
  open_member(j, "totals", '{');
  integer(j, "notes", r->take->n);
  note_totals(j, t);
  landing_totals(j, r);
  integer(j, "tensions", t->tensions);
  integer(j, "resolved", t->resolved);
  integer(j, "stepped", t->stepped);
  open_member(j, "embellishments", '{');
  for (unsigned i = 0; i < WAY_EMBELLISH_COUNT; ++i)
    if (t->kinds[i]) integer(j, way_embellish_name((WayEmbellish)i), t->kinds[i]);
  close_with(j, '}');
  beats(j, "timing_mean_beats", llround(t->timing_mean), beat);
  beats(j, "timing_spread_beats", llround(t->timing_spread), beat);
  integer(j, "hair_early", t->hair_early);
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
  open_member(j, "beside", '{');
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    open_member(j, rows[i].name, '{');
    share(j, "here", rows[i].part, rows[i].whole);
    share(j, "published", rows[i].published, 100);
    close_with(j, '}');
  }
  close_with(j, '}');
}

static void chord_row(Json* j, const WayReview* r, const WayChordLandings* c) {
  const WayHarmony* const h = &r->timeline->harmonies[c->harmony];
  open_element(j);
  chord(j, &h->chord);
  integer(j, "arrivals", c->changes);
  open_member(j, "landed", '{');
  for (uint8_t i = 0; i < 12; ++i)
    times_at(j, way_harmony_role(h, way_spelling_pc(h->chord.root) + i).degree,
             c->landed[i]);
  close_with(j, '}');
  open_member(j, "not_yet", '[');
  for (uint8_t i = 0; i < h->chord.n_basic; ++i) {
    char buffer[WAY_SPELLING_MAX];
    if (!way_chord_landings_open(c, h->chord.tones[i])) continue;
    element(j);
    put_name(j, way_degree_text(h->chord.tones[i], buffer));
  }
  close_with(j, ']');
  close_with(j, '}');
}

static void joint(Json* j, const WayReview* r, const WayFormJoint* f) {
  open_element(j);
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
  open_member(j, name, '{');
  integer(j, "midi", r->take->notes[i].pitch);
  note_over_kept(j, r, i);
  close_with(j, '}');
}

static void phrase(Json* j, const WayReview* r, uint32_t k) {
  const WayPhrase* const p = &r->phrases[k];
  const WayTick beat = way_review_beat(r->timeline);
  const uint32_t made = way_review_phrase_landing(r, k);
  open_element(j);
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
  open_member(j, "notes", '[');
  for (uint32_t i = 0; i < r->take->n; ++i) note(j, r, i);
  close_with(j, ']');
  open_member(j, "phrases", '[');
  for (uint32_t i = 0; i < r->n_phrases; ++i) phrase(j, r, i);
  close_with(j, ']');
  form_line(j, r);
  open_member(j, "landings", '[');
  for (uint32_t i = 0; i < r->n_landings; ++i) landing(j, r, &r->landings[i]);
  close_with(j, ']');
  open_member(j, "chords", '[');
  for (uint32_t i = 0; i < extra->n_chords; ++i) chord_row(j, r, &extra->chords[i]);
  close_with(j, ']');
  open_member(j, "form", '[');
  for (uint32_t i = 0; i < r->n_joints; ++i) joint(j, r, &r->joints[i]);
  close_with(j, ']');
  totals(j, r);
  beside(j, r);
  open_member(j, "next", '[');
  for (uint32_t i = 0; i < extra->n_tips; ++i) {
    open_element(j);
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
