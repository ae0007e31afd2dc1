#include "take/review_text.h"

#include "take/review_tips.h"
#include "theory/chord_name.h"

#include <math.h>
#include <stdlib.h>
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

/// Beats to two places, without the sign of -0.00.
static double in_beats(WayTick ticks, WayTick beat) {
  return round(100.0 * (double)ticks / (double)beat) / 100 + 0.0;
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

/// What the note does in the line, and where a tension goes; nothing for a plain chord
/// tone.
static void put_motion(const WayReview* r, uint32_t i, FILE* to) {
  const WayReviewNote* const n = &r->notes[i];
  const bool named =
      n->kind < WAY_EMBELLISH_COUNT && n->kind != WAY_EMBELLISH_CHORD_TONE;
  if (!named && n->resolves_to == WAY_NO_NOTE) return;
  const size_t width = strlen(way_role_name((WayRole)n->role.role));
  fprintf(to, "%*s", width < 10 ? (int)(12 - width) : 2, "");
  if (named) fputs(way_embellish_name((WayEmbellish)n->kind), to);
  if (n->resolves_to == WAY_NO_NOTE) return;
  if (named) fputs(", ", to);
  char name[WAY_SPELLING_MAX];
  if (n->resolves_to == i)
    fputs("the next chord has it", to);
  else
    fprintf(to, "to %s after %.2f", note_name(r->notes[n->resolves_to].name, name),
            in_beats(way_review_onset(r, n->resolves_to) - way_review_onset(r, i),
                     way_review_beat(r->timeline)));
}

static void put_notes(const WayReview* r, int width, FILE* to) {
  const WayTick beat = way_review_beat(r->timeline);
  fprintf(to,
          "Notes\nchorus   bar   beat   grid  length  note  %-*s  degree  %-10s  %s\n",
          width, "chord", "role", "as");
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayReviewNote* const n = &r->notes[i];
    const WayHarmony* const h =
        n->harmony == WAY_NO_HARMONY ? NULL : &r->timeline->harmonies[n->harmony];
    const WayTick onset = way_review_onset(r, i);
    char chord[WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX], name[WAY_SPELLING_MAX];
    put_place(r->timeline, onset, to);
    fprintf(to, "  %+5.2f  %6.2f  %-4s  %-*s  %-6s  %s",
            in_beats(onset - way_review_grid(onset), beat),
            in_beats(r->take->notes[i].length, beat), note_name(n->name, name), width,
            h ? chord_name(&h->chord, chord) : "-",
            h && !way_chord_is_none(&h->chord) ? degree_name(n->role.degree, degree)
                                               : "-",
            way_role_name((WayRole)n->role.role));
    put_motion(r, i, to);
    putc('\n', to);
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
          "\nLandings: the first note under each chord, else one held over\n"
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

static void put_chords(const WayReview* r, const WayReviewExtra* extra, int width,
                       FILE* to) {
  fprintf(to, "\nLandings by chord\n%-*s  arrives  not yet landed on  landed on\n",
          width, "chord");
  for (uint32_t i = 0; i < extra->n_chords; ++i) {
    const WayChordLandings* const c = &extra->chords[i];
    const WayHarmony* const h = &r->timeline->harmonies[c->harmony];
    char chord[WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX], list[64];
    WayOut open = way_out(list, sizeof(list));
    for (uint8_t k = 0; k < h->chord.n_basic; ++k)
      if (way_chord_landings_open(c, h->chord.tones[k])) {
        way_role_degree_write(h->chord.tones[k], &open);
        way_out_char(&open, ' ');
      }
    fprintf(to, "%-*s  %7u  %-17s", width, chord_name(&h->chord, chord), c->changes,
            open.size ? list : "-");
    bool landed = false;
    for (uint8_t k = 0; k < 12; ++k) {
      const int pitch = way_spelling_pc(h->chord.root) + k;
      if (!c->landed[k]) continue;
      landed = true;
      fprintf(to, "  %s %u", degree_name(way_harmony_role(h, pitch).degree, degree),
              c->landed[k]);
    }
    if (!landed) fputs("  -", to);
    putc('\n', to);
  }
}

/// A note and its degree: `F# (3 of D)`.
static void put_note_over(const WayReview* r, uint32_t i, FILE* to) {
  if (i == WAY_NO_NOTE) {
    fprintf(to, "  %-16s", "-");
    return;
  }
  const WayReviewNote* const n = &r->notes[i];
  char text[2 * WAY_SYMBOL_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_spelling_write(n->name, &out);
  if (n->harmony != WAY_NO_HARMONY &&
      !way_chord_is_none(&r->timeline->harmonies[n->harmony].chord)) {
    way_out_str(&out, " (");
    way_role_degree_write(n->role.degree, &out);
    way_out_str(&out, " of ");
    way_chord_write(&r->timeline->harmonies[n->harmony].chord, &out);
    way_out_char(&out, ')');
  }
  fprintf(to, "  %-16s", text);
}

static void put_form(const WayReview* r, FILE* to) {
  if (r->n_joints < 2) return;
  fprintf(
      to,
      "\nForm: around each top and section\nchorus   bar  %-16s  %-16s  %-16s  %s\n",
      "before", "there", "after", "section");
  for (uint32_t i = 0; i < r->n_joints; ++i) {
    const WayFormJoint* const j = &r->joints[i];
    const WayReviewPlace p = way_review_place(r->timeline, j->tick);
    fprintf(to, "%6lld  %4lld", (long long)p.chorus, (long long)p.bar);
    put_note_over(r, j->before, to);
    put_note_over(r, j->at, to);
    put_note_over(r, j->after, to);
    const char* const name = r->timeline->sections[p.section].name;
    fprintf(to, "  %s%s%s\n", name, *name && j->top ? ", " : "", j->top ? "top" : "");
  }
}

static void put_beside(const WayReviewTotals* t, uint32_t notes, FILE* to) {
  fprintf(to,
          "  beside 456 published jazz solos:\n"
          "    notes on basic chord tones      %3.0f %% here, %d %% there\n",
          percent(t->basic, notes), WAY_PUBLISHED_BASIC);
  if (t->landed)
    fprintf(to, "    landings on basic chord tones   %3.0f %% here, %d %% there\n",
            percent(t->landed_basic, t->landed), WAY_PUBLISHED_LANDED);
  if (t->tensions)
    fprintf(to, "    other notes that step to one    %3.0f %% here, %d %% there\n",
            percent(t->stepped, t->tensions), WAY_PUBLISHED_STEPPED);
}

static void put_remarks(const WayReview* r, FILE* to) {
  const WayReviewTotals* const t = &r->totals;
  if (t->without_chord)
    fprintf(to, "  %u notes where no chord sounds, set against the key\n",
            t->without_chord);
  if (r->take->orphans)
    fprintf(to, "  %u note-offs without a note, left out\n", r->take->orphans);
  if (r->take->unended)
    fprintf(to, "  %u notes never ended, cut at the end of their track\n",
            r->take->unended);
}

static void put_totals(const WayReview* r, FILE* to) {
  const WayReviewTotals* const t = &r->totals;
  const WayTick beat = way_review_beat(r->timeline);
  fprintf(to, "\nTotals\n  %u notes:", r->take->n);
  for (unsigned i = 0; i < WAY_ROLE_COUNT; ++i)
    fprintf(to, "%s %u %s%s", i ? "," : "", t->roles[i], way_role_name((WayRole)i),
            i == WAY_ROLE_CHROMATIC || t->roles[i] == 1 ? "" : "s");
  putc('\n', to);
  put_degrees(t, to);
  fprintf(to, "  %u landings:", r->n_landings);
  for (unsigned i = 0; i < WAY_ARRIVAL_COUNT; ++i)
    fprintf(to, "%s %u %s", i ? "," : "", t->arrivals[i],
            way_arrival_name((WayArrival)i));
  fprintf(to, "; %u on chord tones\n", t->landed_chord);
  if (t->targets)
    fprintf(to, "  %u targets planned, %u met\n", t->targets, t->targets_met);
  fprintf(to, "  %u tensions in the line, %u of them resolved\n", t->tensions,
          t->resolved);
  fprintf(to, "  onsets %+.2f beats from the grid on average, spread %.2f\n",
          in_beats(llround(t->timing_mean), beat),
          in_beats(llround(t->timing_spread), beat));
  put_beside(t, r->take->n, to);
  put_remarks(r, to);
}

static void put_tips(const WayReviewExtra* extra, FILE* to) {
  if (!extra->n_tips) return;
  fputs("\nWhat to try next\n", to);
  for (uint32_t i = 0; i < extra->n_tips; ++i)
    fprintf(to, "  %s.\n    Preset \"%s\".\n", extra->tips[i].text,
            extra->tips[i].preset);
}

WayStatus way_review_text(const WayReview* r, const WayReviewHead* head, FILE* to) {
  WayReviewExtra extra;
  if (way_review_extra(r, &extra)) return WAY_ERR_NO_MEMORY;
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
  put_chords(r, &extra, width, to);
  put_form(r, to);
  put_totals(r, to);
  put_tips(&extra, to);
  free(extra.chords);
  return WAY_OK;
}
