#include "take/captions.h"

#include "take/review_words.h"
#include "take/tempo_map.h"

#include <math.h>

typedef struct {
  const WayReview* review;
  const WaySmf* smf;
  const WayTempoMap* tempo;
  double offset;
  uint32_t note;    // the next to be shown
  uint32_t landing; // the next to be told
  FILE* to;
} Writer;

static const char* const classes[WAY_ROLE_COUNT] = {"chord", "scale", "chromatic"};

/// Text with `&`, `<` and `>` escaped and without line ends.
static void put_text(FILE* to, const char* text) {
  for (; *text; ++text) {
    if (*text == '&')
      fputs("&amp;", to);
    else if (*text == '<')
      fputs("&lt;", to);
    else if (*text == '>')
      fputs("&gt;", to);
    else
      putc((unsigned char)*text < 0x20 ? ' ' : *text, to);
  }
}

/// Milliseconds of the video at a tick from the chart's start.
static int64_t at_ms(const Writer* w, WayTick tick) {
  const WayTick file = tick + w->review->origin;
  const uint64_t place = file > 0 ? way_smf_file_tick(w->smf, file) : 0;
  return llround(1000 * (way_tempo_map_seconds(w->tempo, place) + w->offset));
}

static void put_time(FILE* to, int64_t ms) {
  fprintf(to, "%02lld:%02lld:%02lld.%03lld", (long long)(ms / 3600000),
          (long long)(ms / 60000 % 60), (long long)(ms / 1000 % 60),
          (long long)(ms % 1000));
}

static void put_landing(const Writer* w, const WayLandingSeen* l) {
  const WayReview* const r = w->review;
  const WayHarmony* const h = way_timeline_harmony(r->timeline, l->span);
  if (l->note == WAY_NO_NOTE) {
    fputs(", arrives in a rest", w->to);
    return;
  }
  char degree[WAY_SPELLING_MAX], name[WAY_SPELLING_MAX];
  const WayPc pc = way_pc(r->take->notes[l->note].pitch);
  fprintf(w->to, ", lands on %s (%s)%s", way_degree_text(l->role.degree, degree),
          way_note_text(way_harmony_spell(h, pc), name),
          l->arrival == WAY_ARRIVAL_HELD    ? ", held over"
          : l->arrival == WAY_ARRIVAL_EARLY ? ", early"
          : l->arrival == WAY_ARRIVAL_LATE  ? ", late"
                                            : "");
  if (l->met) fputs(", as planned", w->to);
}

static void put_head(const Writer* w, WayTick tick, const WayLandingSeen* landing) {
  const WayTimeline* const t = w->review->timeline;
  const WayReviewPlace p = way_review_place(t, tick);
  const char* const section = t->sections[p.section].name;
  if (tick >= 0) {
    char chord[WAY_SYMBOL_MAX];
    const uint32_t span = way_timeline_at(t, tick).span;
    fputs("<b>", w->to);
    put_text(w->to, way_chord_text(&way_timeline_harmony(t, span)->chord, chord));
    fprintf(w->to, "</b> chorus %lld ", (long long)p.chorus);
  }
  if (*section) {
    put_text(w->to, section);
    putc(' ', w->to);
  }
  fprintf(w->to, "bar %lld", (long long)p.bar);
  if (landing) put_landing(w, landing);
  putc('\n', w->to);
}

/// The degrees of the notes that begin before `until`, each from its own moment on.
static void put_degrees(Writer* w, WayTick until, int64_t from, int64_t end) {
  const WayReview* const r = w->review;
  const uint32_t first = w->note;
  for (; w->note < r->take->n && way_review_onset(r, w->note) < until; ++w->note) {
    const WayReviewNote* const n = &r->notes[w->note];
    const int64_t ms = at_ms(w, way_review_onset(r, w->note));
    if (w->note > first) putc(' ', w->to);
    if (ms > from && ms < end) { // a timestamp lies within its cue
      putc('<', w->to);
      put_time(w->to, ms);
      putc('>', w->to);
      from = ms;
    }
    char degree[WAY_SPELLING_MAX];
    fprintf(w->to, "<c.%s>%s</c>", classes[n->role.role],
            way_degree_text(n->role.degree, degree));
  }
  if (w->note > first) putc('\n', w->to);
}

static void skip_notes(Writer* w, WayTick until) {
  while (w->note < w->review->take->n && way_review_onset(w->review, w->note) < until)
    ++w->note;
}

/// The cue from one tick to another.
static void put_cue(Writer* w, WayTick tick, WayTick until) {
  const WayReview* const r = w->review;
  const WayLandingSeen* landing = NULL;
  if (w->landing < r->n_landings && r->landings[w->landing].change == tick)
    landing = &r->landings[w->landing++];
  const int64_t from = at_ms(w, tick), end = at_ms(w, until);
  if (end <= from || end <= 0) {
    skip_notes(w, until);
    return;
  }
  putc('\n', w->to);
  put_time(w->to, from > 0 ? from : 0);
  fputs(" --> ", w->to);
  put_time(w->to, end);
  putc('\n', w->to);
  put_head(w, tick, landing);
  put_degrees(w, until, from > 0 ? from : 0, end);
}

/// Past the last sound.
static WayTick take_end(const WayReview* r) {
  WayTick end = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    const WayTick length = r->take->notes[i].length;
    const WayTick stop = way_review_onset(r, i) + (length ? length : 1);
    if (stop > end) end = stop;
  }
  return end;
}

/// Where the next bar begins, or the next chord if that is sooner.
static WayTick next_cue(const WayTimeline* t, WayTick tick) {
  const WayPlace p = way_timeline_at(t, tick);
  const WayTick bar_end = way_timeline_bar_end(t, p.bar);
  const WayTick bar = tick - p.tick + bar_end;
  const WayTick change = tick < 0 ? 0 : way_timeline_next_change(t, tick);
  return change > tick && change < bar ? change : bar;
}

static WayStatus put_cues(Writer* w) {
  const WayReview* const r = w->review;
  const WayTick end = take_end(r);
  uint64_t left = WAY_REVIEW_CHANGES_MAX + 4 * (uint64_t)r->take->n;
  WayTick tick = r->take->n && way_review_onset(r, 0) < 0 ? way_review_onset(r, 0) : 0;
  tick -= way_review_place(r->timeline, tick).in_bar;
  if (tick < -r->origin) tick = -r->origin; // no earlier than the file
  while (tick < end) {
    if (!left--) return WAY_ERR_UNSUPPORTED;
    const WayTick next = next_cue(r->timeline, tick);
    put_cue(w, tick, next);
    tick = next;
  }
  return WAY_OK;
}

WayStatus way_captions(const WayReview* review, const WaySmf* smf, const char* title,
                       double offset, FILE* to) {
  WayTempoMap* const tempo = way_tempo_map_new(smf);
  if (!tempo) return WAY_ERR_NO_MEMORY;
  Writer w = {review, smf, tempo, offset, 0, 0, to};
  fputs("WEBVTT", to);
  if (*title) fputs(" - ", to);
  put_text(to, title);
  fputs("\n\nSTYLE\n"
        "::cue(.chord) { color: #009E73; font-weight: bold }\n"
        "::cue(.scale) { color: #56B4E9 }\n"
        "::cue(.chromatic) { color: #D55E00; font-style: italic }\n"
        "::cue(:future) { opacity: 0.35 }\n",
        to);
  const WayStatus st = put_cues(&w);
  way_tempo_map_free(tempo);
  return st;
}
