#include "take/review_json.h"

#include "theory/chord_name.h"

/// Writes members with the commas between them.
typedef struct {
  FILE* to;
  bool more; // a comma is due
} Json;

static void open_with(Json* j, char bracket) {
  putc(bracket, j->to);
  j->more = false;
}

static void close_with(Json* j, char bracket) {
  putc(bracket, j->to);
  j->more = true;
}

/// Begin an element of a list.
static void element(Json* j) {
  if (j->more) putc(',', j->to);
  j->more = true;
}

/// Begin a member; `name` needs no escapes.
static void member(Json* j, const char* name) {
  element(j);
  putc('"', j->to);
  fputs(name, j->to);
  fputs("\":", j->to);
}

static void put_text(Json* j, WayText text) {
  putc('"', j->to);
  WayCursor c = way_cursor(text);
  for (size_t from = 0; from < text.size; from = c.byte) {
    const uint32_t scalar = way_cursor_next(&c);
    if (scalar == WAY_TEXT_INVALID)
      fputs("\xEF\xBF\xBD", j->to);
    else if (scalar < 0x20)
      fprintf(j->to, "\\u%04X", scalar);
    else {
      if (scalar == '"' || scalar == '\\') putc('\\', j->to);
      fwrite(text.at + from, 1, c.byte - from, j->to);
    }
  }
  putc('"', j->to);
}

static void text(Json* j, const char* name, const char* value) {
  member(j, name);
  put_text(j, way_text(value));
}

static void integer(Json* j, const char* name, int64_t value) {
  char digits[24];
  WayOut out = way_out(digits, sizeof(digits));
  way_out_int(&out, value);
  member(j, name);
  fputs(digits, j->to);
}

static void boolean(Json* j, const char* name, bool value) {
  member(j, name);
  fputs(value ? "true" : "false", j->to);
}

static void null(Json* j, const char* name) {
  member(j, name);
  fputs("null", j->to);
}

/// Ticks as beats, to a millionth, without trailing zeros.
static void beats(Json* j, const char* name, WayTick ticks, WayTick beat) {
  const uint64_t size = ticks < 0 ? 0 - (uint64_t)ticks : (uint64_t)ticks;
  const uint64_t unit = (uint64_t)beat;
  uint64_t whole = size / unit;
  uint64_t part = (size % unit * 1000000 + unit / 2) / unit;
  if (part == 1000000) {
    ++whole;
    part = 0;
  }
  char digits[32];
  WayOut out = way_out(digits, sizeof(digits));
  if (ticks < 0 && (whole || part)) way_out_char(&out, '-');
  way_out_int(&out, (int64_t)whole);
  if (part) way_out_char(&out, '.');
  for (uint64_t place = 100000; part; part %= place, place /= 10)
    way_out_char(&out, (char)('0' + part / place));
  member(j, name);
  fputs(digits, j->to);
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

static void index_or_null(Json* j, const char* name, uint32_t note) {
  if (note == WAY_NO_NOTE)
    null(j, name);
  else
    integer(j, name, note);
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

static void place(Json* j, const WayTimeline* t, WayTick tick) {
  const WayReviewPlace p = way_review_place(t, tick);
  integer(j, "chorus", p.chorus);
  integer(j, "bar", p.bar);
  const WayTick beat = way_review_bar_beat(t, tick);
  beats(j, "beat", p.in_bar + beat, beat); // counted from 1
  text(j, "section", t->sections[p.section].name);
}

static void note(Json* j, const WayReview* r, uint32_t i) {
  const WayNote* const n = &r->take->notes[i];
  const WayReviewNote* const seen = &r->notes[i];
  const WayTick beat = way_review_beat(r->timeline);
  const WayTick onset = way_review_onset(r, i);
  const WayChord* const over = seen->harmony == WAY_NO_HARMONY
                                   ? NULL
                                   : &r->timeline->harmonies[seen->harmony].chord;
  element(j);
  open_with(j, '{');
  beats(j, "onset_beats", onset, beat);
  beats(j, "duration_beats", n->length, beat);
  integer(j, "midi", n->pitch);
  spelling(j, "name", seen->name);
  if (over)
    chord(j, over);
  else
    null(j, "chord");
  role(j, seen->role, over && !way_chord_is_none(over));
  boolean(j, "basic", seen->basic);
  place(j, r->timeline, onset);
  integer(j, "velocity", n->velocity);
  integer(j, "channel", n->channel + 1);
  close_with(j, '}');
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
  integer(j, "orphans", r->take->orphans);
  integer(j, "unended", r->take->unended);
  close_with(j, '}');
}

void way_review_json(const WayReview* r, const WayReviewHead* head, FILE* to) {
  Json j = {to, false};
  char key[WAY_NAME_MAX];
  WayOut out = way_out(key, sizeof(key));
  way_key_write(r->timeline->key, &out);
  open_with(&j, '{');
  text(&j, "take", head->take);
  text(&j, "title", head->title);
  text(&j, "key", key);
  integer(&j, "track", r->take->track);
  member(&j, "track_name");
  put_text(&j, head->track);
  member(&j, "notes");
  open_with(&j, '[');
  for (uint32_t i = 0; i < r->take->n; ++i) note(&j, r, i);
  close_with(&j, ']');
  member(&j, "landings");
  open_with(&j, '[');
  for (uint32_t i = 0; i < r->n_landings; ++i) landing(&j, r, &r->landings[i]);
  close_with(&j, ']');
  totals(&j, r);
  close_with(&j, '}');
  putc('\n', to);
}
