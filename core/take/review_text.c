#include "take/review_text.h"

#include "theory/chord_name.h"

#include <string.h>

/// Widest column of chord symbols; longer ones push their line to the right.
#define CHORD_WIDTH_MAX 16

static const char* chord_name(const WayChord* chord, char buffer[WAY_SYMBOL_MAX]) {
  WayOut out = way_out(buffer, WAY_SYMBOL_MAX);
  way_chord_write(chord, &out);
  return buffer;
}

static const char* degree_name(WayDegree degree, char buffer[WAY_SPELLING_MAX]) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_role_degree_write(degree, &out);
  return buffer;
}

static const char* note_name(WaySpelling note, char buffer[WAY_SPELLING_MAX]) {
  WayOut out = way_out(buffer, WAY_SPELLING_MAX);
  way_spelling_write(note, &out);
  return buffer;
}

static int chord_width(const WayTimeline* t) {
  size_t width = strlen("chord");
  char buffer[WAY_SYMBOL_MAX];
  for (uint32_t i = 0; i < t->n_harmonies && width < CHORD_WIDTH_MAX; ++i) {
    const size_t n = strlen(chord_name(&t->harmonies[i].chord, buffer));
    if (n > width) width = n < CHORD_WIDTH_MAX ? n : CHORD_WIDTH_MAX;
  }
  return (int)width;
}

static double in_beats(WayTick ticks, WayTick beat) {
  return (double)ticks / (double)beat;
}

/// Text from a file: control characters and bytes that are not UTF-8 become `?`.
static void put_text(WayText text, FILE* to) {
  WayCursor c = way_cursor(text);
  for (size_t from = 0; from < text.size; from = c.byte) {
    const uint32_t scalar = way_cursor_next(&c);
    if (scalar == WAY_TEXT_INVALID || scalar < 0x20 || scalar == 0x7F)
      putc('?', to);
    else
      fwrite(text.at + from, 1, c.byte - from, to);
  }
}

static void put_place(const WayTimeline* t, WayTick tick, FILE* to) {
  const WayReviewPlace p = way_review_place(t, tick);
  fprintf(to, "%6lld  %4lld  %5.2f", (long long)p.chorus, (long long)p.bar,
          1 + in_beats(p.in_bar, way_review_bar_beat(t, tick)));
}

static void put_notes(const WayReview* r, int width, FILE* to) {
  const WayTick beat = way_review_beat(r->timeline);
  fprintf(to, "Notes\nchorus   bar   beat  length  note  %-*s  degree  role\n", width,
          "chord");
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayReviewNote* const n = &r->notes[i];
    const WayHarmony* const h =
        n->harmony == WAY_NO_HARMONY ? NULL : &r->timeline->harmonies[n->harmony];
    char chord[WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX], name[WAY_SPELLING_MAX];
    put_place(r->timeline, way_review_onset(r, i), to);
    fprintf(
        to, "  %6.2f  %-4s  %-*s  %-6s  %s\n", in_beats(r->take->notes[i].length, beat),
        note_name(n->name, name), width, h ? chord_name(&h->chord, chord) : "-",
        h && !way_chord_is_none(&h->chord) ? degree_name(n->role.degree, degree) : "-",
        way_role_name((WayRole)n->role.role));
  }
}

static void put_arrival(const WayReview* r, const WayLandingSeen* l, FILE* to) {
  fprintf(to, "  %-9s", way_arrival_name(l->arrival));
  if (l->first_onset == WAY_NO_NOTE)
    fputs("       -", to);
  else
    fprintf(to, "  %6.2f",
            in_beats(way_review_onset(r, l->first_onset) - l->change,
                     way_review_beat(r->timeline)));
}

static void put_landing_note(const WayReview* r, const WayLandingSeen* l, FILE* to) {
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  const WayDegree planned = r->timeline->spans[l->span].target;
  const int width = planned.number ? 10 : 0; // of the role, if a column follows
  char degree[WAY_SPELLING_MAX], name[WAY_SPELLING_MAX];
  if (l->note == WAY_NO_NOTE)
    fprintf(to, "  %-4s  %-6s  %-*s", "-", "-", width, "-");
  else
    fprintf(
        to, "  %-4s  %-6s  %-*s",
        note_name(way_harmony_spell(h, way_pc(r->take->notes[l->note].pitch)), name),
        degree_name(l->role.degree, degree), width,
        way_role_name((WayRole)l->role.role));
  if (planned.number)
    fprintf(to, "  %s%s", degree_name(planned, degree), l->met ? ", met" : "");
}

static void put_landings(const WayReview* r, int width, FILE* to) {
  fprintf(to,
          "\nLandings: what sounds as each chord arrives\n"
          "chorus   bar   beat  %-*s  arrival       lag  note  degree  %-10s  target\n",
          width, "chord", "role");
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const l = &r->landings[i];
    char chord[WAY_SYMBOL_MAX];
    put_place(r->timeline, l->change, to);
    fprintf(to, "  %-*s", width,
            chord_name(&way_timeline_harmony(r->timeline, l->span)->chord, chord));
    put_arrival(r, l, to);
    put_landing_note(r, l, to);
    putc('\n', to);
  }
}

static double percent(uint32_t part, uint32_t whole) {
  return whole ? 100.0 * part / whole : 0;
}

static void put_degrees(const WayReviewTotals* t, FILE* to) {
  fputs("  degrees over their chords:", to);
  for (int8_t number = 1; number < (int8_t)WAY_COUNT(t->degrees); ++number)
    for (int8_t alter = -WAY_ALTER_MAX; alter <= WAY_ALTER_MAX; ++alter) {
      const uint32_t n = t->degrees[number][alter + WAY_ALTER_MAX];
      char degree[WAY_SPELLING_MAX];
      if (n) fprintf(to, "  %s %u", degree_name((WayDegree){number, alter}, degree), n);
    }
  putc('\n', to);
}

static void put_totals(const WayReview* r, FILE* to) {
  const WayReviewTotals* const t = &r->totals;
  fprintf(to, "\nTotals\n  %u notes:", r->take->n);
  for (unsigned i = 0; i < WAY_ROLE_COUNT; ++i)
    fprintf(to, "%s %u %s%s", i ? "," : "", t->roles[i], way_role_name((WayRole)i),
            i == WAY_ROLE_CHROMATIC || t->roles[i] == 1 ? "" : "s");
  fprintf(to, "; %u on basic chord tones (%.0f %%)\n", t->basic,
          percent(t->basic, r->take->n));
  put_degrees(t, to);
  fprintf(to, "  %u landings:", r->n_landings);
  for (unsigned i = 0; i < WAY_ARRIVAL_COUNT; ++i)
    fprintf(to, "%s %u %s", i ? "," : "", t->arrivals[i],
            way_arrival_name((WayArrival)i));
  fprintf(to, "; %u on chord tones\n", t->landed_chord);
  if (t->targets)
    fprintf(to, "  %u targets planned, %u met\n", t->targets, t->targets_met);
  if (t->without_chord)
    fprintf(to, "  %u notes where no chord sounds, set against the key\n",
            t->without_chord);
  if (r->take->orphans)
    fprintf(to, "  %u note-offs without a note, left out\n", r->take->orphans);
  if (r->take->unended)
    fprintf(to, "  %u notes never ended, cut at the end of their track\n",
            r->take->unended);
}

void way_review_text(const WayReview* r, const WayReviewHead* head, FILE* to) {
  char key[WAY_NAME_MAX];
  WayOut out = way_out(key, sizeof(key));
  way_key_write(r->timeline->key, &out);
  put_text(way_text(head->take), to);
  fprintf(to, ", track %u", r->take->track);
  if (head->track.size) {
    fputs(" (", to);
    put_text(head->track, to);
    putc(')', to);
  }
  fputs(", over ", to);
  put_text(way_text(*head->title ? head->title : "its chart"), to);
  fprintf(to, " in %s: %u bars a chorus\n\n", key, r->timeline->n_bars);
  const int width = chord_width(r->timeline);
  put_notes(r, width, to);
  put_landings(r, width, to);
  put_totals(r, to);
}
