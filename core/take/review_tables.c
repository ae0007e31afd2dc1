#include "take/review_tables.h"

#include "take/review_words.h"

#include <math.h>
#include <string.h>

/// Beats to two places, without the sign of -0.00.
static double in_beats(WayTick ticks, WayTick beat) {
  return round(100.0 * (double)ticks / (double)beat) / 100 + 0.0;
}

/// A place; what would round up to the end of its bar is the beginning of the next.
static void put_place(const WayTimeline* t, WayTick tick, FILE* to) {
  const WayTick hair = way_review_bar_beat(t, tick) / 200;
  WayReviewPlace p = way_review_place(t, tick + hair);
  p.in_bar = p.in_bar > hair ? p.in_bar - hair : 0;
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
    fprintf(to, "to %s after %.2f", way_note_text(r->notes[n->resolves_to].name, name),
            in_beats(way_review_onset(r, n->resolves_to) - way_review_onset(r, i),
                     way_review_beat(r->timeline)));
}

static void put_notes(const WayReview* r, int width, FILE* to) {
  const WayTick beat = way_review_beat(r->timeline);
  fprintf(
      to,
      "\nNotes\nchorus   bar   beat   grid  length  note  %-*s  degree  %-10s  %s\n",
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
            in_beats(r->take->notes[i].length, beat), way_note_text(n->name, name),
            width, h ? way_chord_text(&h->chord, chord) : "-",
            h && !way_chord_is_none(&h->chord) ? way_degree_text(n->role.degree, degree)
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
    fprintf(to, "  %-4s  %-6s  %-*s",
            way_note_text(way_harmony_spell(h, way_pc(r->take->notes[l->note].pitch)),
                          name),
            way_degree_text(l->role.degree, degree), width,
            way_role_name((WayRole)l->role.role));
  if (planned.number)
    fprintf(to, "  %s%s", way_degree_text(planned, degree), l->met ? ", met" : "");
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
            way_chord_text(&way_timeline_harmony(r->timeline, l->span)->chord, chord));
    put_arrival(r, l, to);
    put_landing_note(r, l, to);
    putc('\n', to);
  }
}

/// Degree and role of a note: `b3 chord tone`; the role alone where no chord sounds.
static void put_role(const WayReview* r, uint32_t i, FILE* to) {
  const WayReviewNote* const n = &r->notes[i];
  const bool over = n->harmony != WAY_NO_HARMONY &&
                    !way_chord_is_none(&r->timeline->harmonies[n->harmony].chord);
  char degree[WAY_SPELLING_MAX], text[WAY_SPELLING_MAX + 16];
  snprintf(text, sizeof(text), "%s%s%s",
           over ? way_degree_text(n->role.degree, degree) : "", over ? " " : "",
           way_role_name((WayRole)n->role.role));
  fprintf(to, "  %-15s", text);
}

static void put_phrases(const WayReview* r, FILE* to) {
  const WayTick beat = way_review_beat(r->timeline);
  fprintf(to,
          "\nPhrases\nchorus   bar   beat  notes  length   space  range  %-15s  %-15s  "
          "motif\n",
          "first", "last");
  for (uint32_t k = 0; k < r->n_phrases; ++k) {
    const WayPhrase* const p = &r->phrases[k];
    const WayMotif* const m = &r->motifs[k];
    char mark[WAY_MOTIF_MARK_MAX];
    WayOut out = way_out(mark, sizeof(mark));
    way_motif_mark_write(m, &out);
    put_place(r->timeline, p->start - r->origin, to);
    fprintf(to, "  %5u  %6.2f  %6.2f  %5d", p->last - p->first + 1,
            in_beats(p->end - p->start, beat), in_beats(p->space, beat),
            p->high - p->low);
    put_role(r, p->first, to);
    put_role(r, p->last, to);
    fprintf(to, "  %s", mark);
    if (m->kind != WAY_MOTIF_NEW)
      fprintf(to, ", %s", way_motif_kind_name((WayMotifKind)m->kind));
    putc('\n', to);
  }
}

static void put_degrees(const WayReviewTotals* t, FILE* to) {
  fputs("  degrees over their chords:", to);
  for (int8_t number = 1; number < (int8_t)WAY_COUNT(t->degrees); ++number)
    for (int8_t alter = -WAY_ALTER_MAX; alter <= WAY_ALTER_MAX; ++alter) {
      const uint32_t n = t->degrees[number][alter + WAY_ALTER_MAX];
      char degree[WAY_SPELLING_MAX];
      if (n)
        fprintf(to, "  %s %u", way_degree_text((WayDegree){number, alter}, degree), n);
    }
  putc('\n', to);
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
}

void way_review_tables(const WayReview* r, FILE* to) {
  const int width = way_chord_column(r->timeline);
  put_notes(r, width, to);
  put_landings(r, width, to);
  put_phrases(r, to);
  put_totals(r, to);
}
