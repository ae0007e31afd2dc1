#include "take/review_text.h"

#include "take/remarks.h"
#include "take/review_tables.h"
#include "take/review_tips.h"
#include "take/review_words.h"
#include "theory/chord_write.h"

#include <stdlib.h>
#include <string.h>

enum {
  LINE_WIDTH = 80,
  SHARE_WIDTH = 21,
  // A report is a page: what goes on for longer is cut, and said to be.
  CHORDS_TOLD = 16,
  JOINTS_TOLD = 12,
  ROWS_TOLD = 12,
  BARS_A_ROW = 8,
};

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

/// Say how many rows are left to the JSON.
static void put_more(uint32_t n, uint32_t told, FILE* to) {
  if (n > told) fprintf(to, "  and %u more (--json)\n", n - told);
}

static void put_chords(const WayReview* r, const WayReviewExtra* extra, int width,
                       FILE* to) {
  fprintf(to, "\nLandings by chord\n%-*s  arrives  not yet landed on  landed on\n",
          width, "chord");
  for (uint32_t i = 0; i < extra->n_chords && i < CHORDS_TOLD; ++i) {
    const WayChordLandings* const c = &extra->chords[i];
    const WayHarmony* const h = &r->timeline->harmonies[c->harmony];
    char chord[WAY_SYMBOL_MAX], degree[WAY_SPELLING_MAX], list[64];
    WayOut open = way_out(list, sizeof(list));
    for (uint8_t k = 0; k < h->chord.n_basic; ++k)
      if (way_chord_landings_open(c, h->chord.tones[k])) {
        way_role_degree_write(h->chord.tones[k], &open);
        way_out_char(&open, ' ');
      }
    fprintf(to, "%-*s  %7u  %-17s", width, way_chord_text(&h->chord, chord), c->changes,
            open.size ? list : "-");
    bool landed = false;
    for (uint8_t k = 0; k < 12; ++k) {
      const int pitch = way_spelling_pc(h->chord.root) + k;
      if (!c->landed[k]) continue;
      landed = true;
      fprintf(to, "  %s %u", way_degree_text(way_harmony_role(h, pitch).degree, degree),
              c->landed[k]);
    }
    if (!landed) fputs("  -", to);
    putc('\n', to);
  }
  put_more(extra->n_chords, CHORDS_TOLD, to);
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
  for (uint32_t i = 0; i < r->n_joints && i < JOINTS_TOLD; ++i) {
    const WayFormJoint* const j = &r->joints[i];
    const WayReviewPlace p = way_review_place(r->timeline, j->tick);
    fprintf(to, "%6lld  %4lld", (long long)p.chorus, (long long)p.bar);
    put_note_over(r, j->before, to);
    put_note_over(r, j->at, to);
    put_note_over(r, j->after, to);
    const char* const name = r->timeline->sections[p.section].name;
    fprintf(to, "  %s%s%s\n", name, *name && j->top ? ", " : "", j->top ? "top" : "");
  }
  put_more(r->n_joints, JOINTS_TOLD, to);
}

/// The marks of the phrases that begin from `from` on and before `until`; `*k` is the
/// first phrase not yet written, `*gap` the blanks due before the cell.
static void put_cell(const WayReview* r, uint32_t* k, WayTick from, WayTick until,
                     int* gap, FILE* to) {
  const bool goes_on = *k && r->phrases[*k - 1].end - r->origin > from;
  char text[64] = "";
  WayOut out = way_out(text, sizeof(text));
  for (; *k < r->n_phrases; ++*k) {
    if (way_review_grid(r->phrases[*k].start - r->origin) >= until) break;
    if (out.size) way_out_char(&out, ' ');
    way_motif_mark_write(&r->motifs[*k], &out);
  }
  const char* const shown = out.size ? text : goes_on ? "-" : ".";
  fprintf(to, "%*s%s", *gap, "", shown);
  *gap = strlen(shown) < 6 ? 8 - (int)strlen(shown) : 2;
}

/// The form line over the bars, a row for some of them.
static void put_line(const WayReview* r, FILE* to) {
  const WayTimeline* const t = r->timeline;
  fputs(
      "\n  A letter where a phrase begins, A' where one like A begins, - where it goes "
      "on\n",
      to);
  WayTick bar = way_review_grid(r->phrases[0].start - r->origin);
  bar -= way_timeline_at(t, bar).in_bar;
  uint32_t k = 0;
  for (unsigned row = 0; row < ROWS_TOLD && k < r->n_phrases; ++row) {
    const WayReviewPlace p = way_review_place(t, bar);
    char where[48] = "";
    WayOut out = way_out(where, sizeof(where));
    if (p.chorus > 1) {
      way_out_str(&out, "chorus ");
      way_out_int(&out, p.chorus);
      way_out_char(&out, ' ');
    }
    way_out_str(&out, "bar ");
    way_out_int(&out, p.bar);
    fprintf(to, "  %-15s", where);
    int gap = 2;
    for (unsigned i = 0; i < BARS_A_ROW && k < r->n_phrases; ++i) {
      const WayTick next =
          bar + way_metre_bar(t->bars[way_timeline_at(t, bar).bar].metre);
      put_cell(r, &k, bar, next, &gap, to);
      bar = next;
      if (way_review_place(t, bar).bar == 1) break; // a chorus begins a row
    }
    putc('\n', to);
  }
  if (k < r->n_phrases) fputs("  and so on (--json)\n", to);
}

/// One share on a line from 0 to all: `o` there, `x` here.
static void put_share(const char* what, uint32_t part, uint32_t whole, unsigned there,
                      FILE* to) {
  if (!whole) return;
  const unsigned here = (unsigned)((100 * (uint64_t)part + whole / 2) / whole);
  char line[SHARE_WIDTH + 1];
  memset(line, '.', SHARE_WIDTH);
  line[SHARE_WIDTH] = '\0';
  line[there * (SHARE_WIDTH - 1) / 100] = 'o';
  line[here * (SHARE_WIDTH - 1) / 100] = 'x';
  fprintf(to, "  %-30s  %s  %3u %% here, %u %% there\n", what, line, here, there);
}

static void put_beside(const WayReview* r, FILE* to) {
  const WayReviewTotals* const t = &r->totals;
  fputs("\nBeside 456 published jazz solos (o there, x here)\n", to);
  put_share("notes on basic chord tones", t->basic, r->take->n, WAY_PUBLISHED_BASIC,
            to);
  put_share("landings on basic chord tones", t->landed_basic, t->landed,
            WAY_PUBLISHED_LANDED, to);
  put_share("other notes that step to one", t->stepped, t->tensions,
            WAY_PUBLISHED_STEPPED, to);
}

/// What the figures leave out, or take differently.
static void put_left_out(const WayReview* r, FILE* to) {
  const struct {
    uint32_t n;
    const char *one, *many;
  } rows[] = {{r->totals.without_chord,
               "note where no chord sounds, set against the key",
               "notes where no chord sounds, set against the key"},
              {r->take->orphans, "note-off without a note, left out",
               "note-offs without a note, left out"},
              {r->take->unended, "note that never ended, cut at the end of its track",
               "notes that never ended, cut at the end of their track"}};
  bool any = false;
  for (size_t i = 0; i < WAY_COUNT(rows); ++i) {
    if (!rows[i].n) continue;
    if (!any) fputs("\nAlso in the take\n", to);
    any = true;
    fprintf(to, "  %u %s\n", rows[i].n, rows[i].n == 1 ? rows[i].one : rows[i].many);
  }
}

/// Words in lines of #LINE_WIDTH, from column `at` on, further lines behind a margin.
static void put_wrapped(const char* words, int margin, int at, FILE* to) {
  for (bool first = true; *words; first = false) {
    const int n = (int)strcspn(words, " ");
    if (!first && at + 1 + n > LINE_WIDTH) {
      fprintf(to, "\n%*s", margin, "");
      at = margin;
    } else if (!first) {
      putc(' ', to);
      ++at;
    }
    fwrite(words, 1, (size_t)n, to);
    at += n;
    words += n;
    words += *words == ' ';
  }
  putc('\n', to);
}

static void put_remarks(WayTopic topic, const WayRemarks* all, FILE* to) {
  bool any = false;
  for (uint32_t i = 0; i < all->n; ++i) {
    if (all->remarks[i].topic != topic) continue;
    if (!any) fprintf(to, "\n%s\n", way_topic_name(topic));
    any = true;
    fputs("  ", to);
    put_wrapped(all->remarks[i].text, 4, 2, to);
  }
}

static void put_tips(const WayReviewExtra* extra, FILE* to) {
  if (!extra->n_tips) return;
  fputs("\nWhat to try next\n", to);
  for (uint32_t i = 0; i < extra->n_tips; ++i) {
    const WayTip* const tip = &extra->tips[i];
    char text[WAY_TIP_TEXT_MAX + 128];
    WayOut out = way_out(text, sizeof(text));
    way_out_str(&out, tip->text);
    way_out_str(&out, ". Stage \"");
    way_out_str(&out, tip->preset);
    way_out_str(&out, "\"; its notes: waymark map -m ");
    way_out_str(&out, way_material_name(tip->material));
    way_out_str(&out, " CHART.");
    fprintf(to, "  %u. ", i + 1);
    put_wrapped(text, 5, 5, to);
  }
}

static void put_head(const WayReview* r, const WayReviewHead* head, FILE* to) {
  char key[WAY_NAME_MAX];
  WayOut out = way_out(key, sizeof(key));
  way_key_write(r->timeline->key, &out);
  put_text(way_text(*head->title ? head->title : "A take over its chords"), to);
  fprintf(to, " in %s, %u %s a chorus\n", key, r->timeline->n_bars,
          r->timeline->n_bars == 1 ? "bar" : "bars");
  put_text(way_text(head->take), to);
  fprintf(to, ", track %u", r->take->track);
  if (head->track.size) {
    fputs(" (", to);
    put_text(head->track, to);
    putc(')', to);
  }
  fprintf(to, ": %u %s\n", r->take->n, r->take->n == 1 ? "note" : "notes");
}

WayStatus way_review_text(const WayReview* r, const WayReviewHead* head, bool tables,
                          FILE* to) {
  WayReviewExtra extra;
  if (way_review_extra(r, &extra)) return WAY_ERR_NO_MEMORY;
  WayRemarks remarks;
  way_remarks(r, &remarks);
  put_head(r, head, to);
  if (tables) way_review_tables(r, to);
  put_remarks(WAY_TOPIC_ARRIVING, &remarks, to);
  put_chords(r, &extra, way_chord_column(r->timeline), to);
  put_remarks(WAY_TOPIC_LEANING, &remarks, to);
  put_remarks(WAY_TOPIC_PHRASES, &remarks, to);
  if (r->n_phrases) put_line(r, to);
  put_form(r, to);
  put_beside(r, to);
  put_left_out(r, to);
  put_tips(&extra, to);
  free(extra.chords);
  return WAY_OK;
}
