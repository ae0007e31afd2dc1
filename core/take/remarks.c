#include "take/remarks.h"

#include "take/bar_list.h"
#include "theory/chord_write.h"

#include <math.h>

/// Phrases that go back to earlier ones and are told of.
#define RETURNS_TOLD 3

const char* way_topic_name(WayTopic topic) {
  static const char* const names[] = {"Arriving", "Leaning and letting go", "Phrases"};
  return names[topic];
}

// ---- Words.

/// Begin a remark; none is begun past the last one's room.
static WayOut begin(WayRemarks* all, WayTopic topic) {
  WayRemark* const r = &all->remarks[all->n < WAY_REMARKS_MAX ? all->n++ : all->n - 1];
  r->topic = (uint8_t)topic;
  return way_out(r->text, sizeof(r->text));
}

/// `1 note`, `2 notes`.
static void put_count(WayOut* out, uint32_t n, const char* one, const char* many) {
  way_out_int(out, n);
  way_out_char(out, ' ');
  way_out_str(out, n == 1 ? one : many);
}

/// ` (bars 3 and 5)`.
static void put_in_bars(WayOut* out, const WayBarList* bars) {
  way_out_str(out, " (");
  way_bar_list_write(bars, out);
  way_out_char(out, ')');
}

/// The bar of an onset; a hair before a bar line is in the bar behind it.
static void put_bar(WayOut* out, const WayReview* r, WayTick tick) {
  WayBarList one = {.n = 0};
  way_bar_list_add(&one, r->timeline, way_review_grid(tick));
  way_bar_list_write(&one, out);
}

/// Beats to a quarter: `half a beat`, `1.5 beats`.
static void put_beats(WayOut* out, WayTick ticks, WayTick beat) {
  static const char* const parts[] = {"", ".25", ".5", ".75"};
  const WayTick quarters = (4 * ticks + beat / 2) / beat;
  if (quarters <= 1) {
    way_out_str(out, "a quarter of a beat");
  } else if (quarters == 2) {
    way_out_str(out, "half a beat");
  } else if (quarters == 4) {
    way_out_str(out, "a beat");
  } else {
    way_out_int(out, quarters / 4);
    way_out_str(out, parts[quarters % 4]);
    way_out_str(out, " beats");
  }
}

/// `the third`, `the b9`.
static void put_degree(WayOut* out, WayDegree degree) {
  way_out_str(out, "the ");
  if (degree.number == 1 && !degree.alter)
    way_out_str(out, "root");
  else if (degree.number == 3)
    way_out_str(out, "third");
  else if (degree.number == 5 && !degree.alter)
    way_out_str(out, "fifth");
  else
    way_role_degree_write(degree, out);
}

/// `Bb, the b13 of D`; only the name where no chord sounds.
static void put_note(WayOut* out, const WayReview* r, uint32_t i) {
  const WayReviewNote* const n = &r->notes[i];
  way_spelling_write(n->name, out);
  if (n->harmony == WAY_NO_HARMONY) return;
  const WayChord* const chord = &r->timeline->harmonies[n->harmony].chord;
  if (way_chord_is_none(chord)) return;
  way_out_str(out, ", ");
  put_degree(out, n->role.degree);
  way_out_str(out, " of ");
  way_chord_write(chord, out);
}

// ---- Arriving.

static const WayDegree* planned(const WayReview* r, const WayLandingSeen* l) {
  const WayDegree* const d = &r->timeline->spans[l->span].target;
  return d->number ? d : NULL;
}

static void tell_targets(const WayReview* r, WayRemarks* all) {
  const uint32_t targets = r->totals.targets, met = r->totals.targets_met;
  if (!targets) return;
  WayBarList there = {.n = 0}, open = {.n = 0};
  for (uint32_t i = 0; i < r->n_landings; ++i)
    if (planned(r, &r->landings[i]))
      way_bar_list_add(r->landings[i].met ? &there : &open, r->timeline,
                       r->landings[i].change);
  WayOut out = begin(all, WAY_TOPIC_ARRIVING);
  if (met == targets || !met) {
    way_out_str(&out,
                targets == 1 ? "The planned landing is" : "All planned landings are");
    way_out_str(&out, met ? " there" : " still open");
    put_in_bars(&out, met ? &there : &open);
    way_out_char(&out, '.');
    return;
  }
  way_out_str(&out, "Of ");
  way_out_int(&out, targets);
  way_out_str(&out, " planned landings, ");
  way_out_int(&out, met);
  way_out_str(&out, met == 1 ? " is there" : " are there");
  put_in_bars(&out, &there);
  way_out_str(&out, " and ");
  way_out_int(&out, targets - met);
  way_out_str(&out, targets - met == 1 ? " is still open" : " are still open");
  put_in_bars(&out, &open);
  way_out_char(&out, '.');
}

/// Notes that an early window would take to the new chord; many of them change all the
/// rest, so that they are told first.
static void tell_hair_early(const WayReview* r, WayRemarks* all, bool many) {
  const uint32_t n = r->totals.hair_early;
  if (!n || (4 * (uint64_t)n >= r->n_landings) != many) return;
  WayOut out = begin(all, WAY_TOPIC_ARRIVING);
  put_count(&out, n,
            "note begins a hair before its chord and counts for the chord before; "
            "--early 0.13 takes it along.",
            "notes begin a hair before their chords and count for the chords before; "
            "--early 0.13 takes them along.");
}

static void tell_arrivals(const WayReview* r, WayRemarks* all) {
  static const char* const words[] = {" a little ahead", " as they arrive",
                                      " after they arrive", " by a note held over",
                                      " in a rest"};
  static const char* const all_words[] = {"met a little ahead", "met as it arrives",
                                          "met after it arrives",
                                          "met by a note held over", "left to a rest"};
  const uint32_t* const n = r->totals.arrivals;
  if (!r->n_landings) return;
  WayArrival most = WAY_ARRIVAL_EARLY;
  for (unsigned i = 1; i < WAY_ARRIVAL_COUNT; ++i)
    if (n[i] > n[most]) most = (WayArrival)i;
  WayOut out = begin(all, WAY_TOPIC_ARRIVING);
  if (n[most] == r->n_landings) {
    way_out_str(&out, "Every chord is ");
    way_out_str(&out, all_words[most]);
    way_out_char(&out, '.');
    return;
  }
  way_out_str(&out, "Of ");
  put_count(&out, r->n_landings, "chord, ", "chords, ");
  way_out_int(&out, n[most]);
  bool met = most != WAY_ARRIVAL_NONE;
  const char* const verbs[] = {n[most] == 1 ? " arrives" : " arrive",
                               n[most] == 1 ? " is met" : " are met"};
  way_out_str(&out, verbs[met]);
  way_out_str(&out, words[most]);
  for (unsigned i = 0; i < WAY_ARRIVAL_COUNT; ++i) {
    if (i == most || !n[i]) continue;
    way_out_str(&out, ", ");
    way_out_int(&out, n[i]);
    if (!met) way_out_str(&out, n[i] == 1 ? " is met" : " are met");
    met = true;
    way_out_str(&out, words[i]);
    WayBarList bars = {.n = 0};
    for (uint32_t k = 0; k < r->n_landings; ++k)
      if (r->landings[k].arrival == i)
        way_bar_list_add(&bars, r->timeline, r->landings[k].change);
    put_in_bars(&out, &bars);
  }
  way_out_char(&out, '.');
}

/// Whether a landing is on the tone that tells its chord from others.
static bool on_guide_tone(const WayReview* r, const WayLandingSeen* l) {
  const WayChord* const c = &way_timeline_harmony(r->timeline, l->span)->chord;
  for (int number = 3; number <= 7; number += 4) {
    const WayDegree* const tone = way_chord_tone_numbered(c, number);
    if (tone && way_degree_pc(*tone) == l->role.interval) return true;
  }
  return false;
}

static void tell_landings(const WayReview* r, WayRemarks* all) {
  const uint32_t landed = r->totals.landed;
  if (!landed) return;
  uint32_t guides = 0;
  WayBarList outside = {.n = 0};
  for (uint32_t i = 0; i < r->n_landings; ++i) {
    const WayLandingSeen* const l = &r->landings[i];
    if (l->note == WAY_NO_NOTE) continue;
    guides += on_guide_tone(r, l);
    if (!l->basic) way_bar_list_add(&outside, r->timeline, l->change);
  }
  const uint32_t leaning = landed - r->totals.landed_basic;
  WayOut out = begin(all, WAY_TOPIC_ARRIVING);
  const uint32_t basic = r->totals.landed_basic;
  const uint32_t others = basic > guides ? basic - guides : 0;
  way_out_str(&out, "The landings: ");
  if (guides) put_count(&out, guides, "third or seventh", "thirds and sevenths");
  if (guides && others) way_out_str(&out, ", ");
  if (others)
    put_count(&out, others, guides ? "other basic chord tone" : "root or fifth",
              guides ? "other basic chord tones" : "roots and fifths");
  if (leaning) {
    if (guides || others) way_out_str(&out, ", ");
    put_count(&out, leaning, "that leans on its chord", "that lean on their chords");
    put_in_bars(&out, &outside);
  }
  way_out_char(&out, '.');
}

/// Hundredths of a beat.
static void put_hundredths(WayOut* out, double ticks, WayTick beat) {
  const long n = lround(100 * fabs(ticks) / (double)beat);
  way_out_int(out, n / 100);
  way_out_char(out, '.');
  way_out_int(out, n / 10 % 10);
  way_out_int(out, n % 10);
}

static void tell_timing(const WayReview* r, WayRemarks* all) {
  const WayTick beat = way_review_beat(r->timeline);
  const WayReviewTotals* const t = &r->totals;
  WayOut out = begin(all, WAY_TOPIC_ARRIVING);
  way_out_str(&out, "Notes begin ");
  if (200 * fabs(t->timing_mean) < (double)beat) {
    way_out_str(&out, "on the grid");
  } else {
    put_hundredths(&out, t->timing_mean, beat);
    way_out_str(&out, t->timing_mean < 0 ? " beats before the grid"
                                         : " beats behind the grid");
  }
  way_out_str(&out, " on average, give or take ");
  put_hundredths(&out, t->timing_spread, beat);
  way_out_str(&out, " beats.");
}

// ---- Leaning.

static WayTick waits(const WayReview* r, uint32_t i) {
  return r->take->notes[r->notes[i].resolves_to].start - r->take->notes[i].start;
}

static bool lets_go(const WayReview* r, uint32_t i) {
  const uint32_t to = r->notes[i].resolves_to;
  return to != WAY_NO_NOTE && to != i;
}

static bool is_chromatic(const WayReview* r, uint32_t i) {
  return r->notes[i].role.role == WAY_ROLE_CHROMATIC;
}

/// The resolution most worth hearing again: chromatic before others, then the longest
/// note.
static uint32_t telling_resolution(const WayReview* r) {
  uint32_t best = WAY_NO_NOTE;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    if (!lets_go(r, i)) continue;
    if (best == WAY_NO_NOTE || is_chromatic(r, i) > is_chromatic(r, best) ||
        (is_chromatic(r, i) == is_chromatic(r, best) &&
         r->take->notes[i].length > r->take->notes[best].length))
      best = i;
  }
  return best;
}

static uint32_t longest_wait(const WayReview* r) {
  uint32_t best = WAY_NO_NOTE;
  for (uint32_t i = 0; i < r->take->n; ++i)
    if (lets_go(r, i) && (best == WAY_NO_NOTE || waits(r, i) > waits(r, best)))
      best = i;
  return best;
}

static void tell_resolution(const WayReview* r, WayRemarks* all, uint32_t i,
                            const char* before) {
  const WayTick beat = way_review_beat(r->timeline);
  WayOut out = begin(all, WAY_TOPIC_LEANING);
  way_out_str(&out, before);
  put_bar(&out, r, way_review_onset(r, i));
  way_out_str(&out, ": ");
  put_note(&out, r, i);
  way_out_str(&out, ", goes to ");
  put_note(&out, r, r->notes[i].resolves_to);
  way_out_str(&out, ", after ");
  put_beats(&out, waits(r, i), beat);
  way_out_char(&out, '.');
}

static void tell_open(const WayReview* r, WayRemarks* all) {
  WayBarList bars = {.n = 0};
  uint32_t n = 0;
  for (uint32_t i = 0; i < r->take->n; ++i) {
    if (r->notes[i].kind >= WAY_EMBELLISH_COUNT || !is_chromatic(r, i) ||
        r->notes[i].resolves_to != WAY_NO_NOTE)
      continue;
    ++n;
    way_bar_list_add(&bars, r->timeline, way_review_grid(way_review_onset(r, i)));
  }
  if (!n) return;
  WayOut out = begin(all, WAY_TOPIC_LEANING);
  put_count(&out, n, "chromatic note moves on", "chromatic notes move on");
  way_out_str(&out, " without stepping into the chord");
  put_in_bars(&out, &bars);
  way_out_char(&out, '.');
}

static void tell_leaning(const WayReview* r, WayRemarks* all) {
  const WayReviewTotals* const t = &r->totals;
  WayOut out = begin(all, WAY_TOPIC_LEANING);
  if (!t->tensions) {
    way_out_str(&out, "The line stays on the basic tones of its chords.");
    return;
  }
  put_count(&out, t->tensions, "note leans on its chord; ",
            "notes lean on their chords; ");
  if (t->resolved == t->tensions)
    way_out_str(&out, t->resolved == 1 ? "it settles by step." : "all settle by step.");
  else if (!t->resolved)
    way_out_str(&out, t->tensions == 1 ? "it moves on by leap or stays."
                                       : "they move on by leap or stay.");
  else {
    way_out_int(&out, t->resolved);
    way_out_str(&out, t->resolved == 1 ? " of them settles by step."
                                       : " of them settle by step.");
  }
  const uint32_t telling = telling_resolution(r), longest = longest_wait(r);
  if (telling != WAY_NO_NOTE) tell_resolution(r, all, telling, "Listen again to ");
  if (longest != WAY_NO_NOTE && longest != telling)
    tell_resolution(r, all, longest, "The longest wait is in ");
  tell_open(r, all);
}

// ---- Phrases.

static WayTick phrase_onset(const WayReview* r, uint32_t k) {
  return r->phrases[k].start - r->origin;
}

static void tell_sizes(const WayReview* r, WayRemarks* all) {
  const WayTick beat = way_review_beat(r->timeline);
  uint32_t longest = 0, widest = 0, ends = 0;
  for (uint32_t k = 0; k < r->n_phrases; ++k) {
    const WayPhrase *p = &r->phrases[k], *l = &r->phrases[longest];
    if (p->end - p->start > l->end - l->start) longest = k;
    if (p->space > r->phrases[widest].space) widest = k;
    ends += r->notes[p->last].basic;
  }
  WayOut out = begin(all, WAY_TOPIC_PHRASES);
  const WayPhrase* const p = &r->phrases[longest];
  if (r->n_phrases == 1) {
    way_out_str(&out, "The take is one phrase, from ");
    put_bar(&out, r, phrase_onset(r, 0));
    way_out_str(&out, " on for ");
  } else {
    put_count(&out, r->n_phrases, "phrase", "phrases");
    way_out_str(&out, "; the longest begins in ");
    put_bar(&out, r, phrase_onset(r, longest));
    way_out_str(&out, " and lasts ");
  }
  put_beats(&out, p->end - p->start, beat);
  if (r->phrases[widest].space >= beat / 4) {
    way_out_str(&out, ". The widest space, ");
    put_beats(&out, r->phrases[widest].space, beat);
    way_out_str(&out, ", comes before ");
    put_bar(&out, r, phrase_onset(r, widest + 1));
  }
  if (ends) {
    way_out_str(&out, ". ");
    if (ends == r->n_phrases)
      way_out_str(&out, ends == 1 ? "It" : "All");
    else
      way_out_int(&out, ends);
    way_out_str(&out, ends == 1 ? " ends on a basic chord tone"
                                : " end on basic chord tones");
  }
  way_out_char(&out, '.');
}

static void tell_range(const WayReview* r, WayRemarks* all) {
  uint32_t low = 0, high = 0;
  for (uint32_t i = 1; i < r->take->n; ++i) {
    if (r->take->notes[i].pitch < r->take->notes[low].pitch) low = i;
    if (r->take->notes[i].pitch > r->take->notes[high].pitch) high = i;
  }
  WayOut out = begin(all, WAY_TOPIC_PHRASES);
  way_out_str(&out, "The line reaches from ");
  way_spelling_write(r->notes[low].name, &out);
  way_out_str(&out, " in ");
  put_bar(&out, r, way_review_onset(r, low));
  way_out_str(&out, " up to ");
  way_spelling_write(r->notes[high].name, &out);
  way_out_str(&out, " in ");
  put_bar(&out, r, way_review_onset(r, high));
  way_out_str(&out, ", ");
  put_count(&out, (uint32_t)(r->take->notes[high].pitch - r->take->notes[low].pitch),
            "semitone", "semitones");
  way_out_char(&out, '.');
}

/// Where the phrase's landing goes, after a comma: planned first.
static void put_landing(WayOut* out, const WayReview* r, uint32_t k) {
  const uint32_t at = way_review_phrase_landing(r, k);
  if (at == WAY_NO_LANDING || r->landings[at].note == WAY_NO_NOTE) return;
  const WayLandingSeen* const l = &r->landings[at];
  way_out_str(out, r->motifs[k].answers != WAY_NO_PHRASE ? "; the answer lands on "
                                                         : "; it lands on ");
  put_degree(out, l->role.degree);
  way_out_str(out, " of ");
  way_chord_write(&way_timeline_harmony(r->timeline, l->span)->chord, out);
  const WayDegree* const plan = planned(r, l);
  if (!plan) return;
  way_out_str(out, l->met ? ", as planned" : " (planned: ");
  if (l->met) return;
  put_degree(out, *plan);
  way_out_char(out, ')');
}

static void tell_return(const WayReview* r, WayRemarks* all, uint32_t k) {
  static const char* const how[] = {"", ", note for note",
                                    " at another place of the bar", " on other notes",
                                    " in a variation"};
  const WayMotif* const m = &r->motifs[k];
  WayOut out = begin(all, WAY_TOPIC_PHRASES);
  way_out_str(&out, "The phrase of ");
  put_bar(&out, r, phrase_onset(r, k));
  way_out_str(&out, " takes up that of ");
  put_bar(&out, r, phrase_onset(r, m->like));
  way_out_str(&out, how[m->kind]);
  put_landing(&out, r, k);
  way_out_char(&out, '.');
}

/// How many answers land on the planned tone, or on a basic one.
static void tell_answers(const WayReview* r, WayRemarks* all) {
  uint32_t answers = 0, landed = 0, plans = 0;
  for (uint32_t k = 0; k < r->n_phrases; ++k) {
    if (r->motifs[k].answers == WAY_NO_PHRASE) continue;
    const uint32_t at = way_review_phrase_landing(r, k);
    if (at == WAY_NO_LANDING) continue;
    const WayLandingSeen* const l = &r->landings[at];
    ++answers;
    plans += planned(r, l) != NULL;
    landed += planned(r, l) ? l->met : l->note != WAY_NO_NOTE && l->basic;
  }
  if (!landed) return;
  WayOut out = begin(all, WAY_TOPIC_PHRASES);
  put_count(&out, answers, "phrase answers", "phrases answer");
  way_out_str(&out, " the one before; ");
  if (landed == answers) {
    way_out_str(&out, landed == 1 ? "it lands" : "all land");
  } else {
    way_out_int(&out, landed);
    way_out_str(&out, landed == 1 ? " lands" : " land");
  }
  way_out_str(&out, !plans             ? " on a basic chord tone."
                    : plans == answers ? " on the planned tone."
                                       : " on the planned tone or, with none planned, "
                                         "on a basic one.");
}

static void tell_phrases(const WayReview* r, WayRemarks* all) {
  tell_sizes(r, all);
  tell_range(r, all);
  uint32_t told = 0;
  for (uint32_t k = 0; k < r->n_phrases && told < RETURNS_TOLD; ++k)
    if (r->motifs[k].kind != WAY_MOTIF_NEW) {
      tell_return(r, all, k);
      ++told;
    }
  tell_answers(r, all);
}

void way_remarks(const WayReview* r, WayRemarks* out) {
  out->n = 0;
  if (!r->take->n) return;
  tell_hair_early(r, out, true);
  tell_targets(r, out);
  tell_arrivals(r, out);
  tell_landings(r, out);
  tell_hair_early(r, out, false);
  tell_timing(r, out);
  tell_leaning(r, out);
  tell_phrases(r, out);
}
