// A take over its chords: what each note is, and where the line lands as chords arrive.
// The rules and their reasons are in docs/review.md.
#ifndef WAY_TAKE_REVIEW_H
#define WAY_TAKE_REVIEW_H

#include "take/motifs.h"
#include "take/walk.h"
#include "theory/embellish.h"
#include "time/timeline.h"

/// In place of a harmony's index: the chart has not begun.
#define WAY_NO_HARMONY UINT32_MAX
/// In place of a landing's index: there is none.
#define WAY_NO_LANDING UINT32_MAX
/// Changes of chord a review follows, besides four for each note: a few stray notes
/// hours apart are refused rather than paired with millions of silent changes.
#define WAY_REVIEW_CHANGES_MAX 1000000u

/// A place in the form, for people.
typedef struct {
  int64_t chorus; ///< 1 for the first; 0 before the chart's start
  int64_t bar;    ///< Of the form, from 1; before the start 0, -1 ... counted backwards
  uint32_t section; ///< Index into the timeline's sections
  WayTick in_bar;   ///< Ticks since the bar began
} WayReviewPlace;

/// Shares, in percent, in 456 published jazz solos (Weimar Jazz Database): notes on
/// basic chord tones, notes that open a chord on them, and other notes that step to one
/// next.
#define WAY_PUBLISHED_BASIC 48
#define WAY_PUBLISHED_LANDED 53
#define WAY_PUBLISHED_STEPPED 39
/// What lies no further apart counts as at once: half a sixteenth note, in ticks.
#define WAY_REVIEW_AT_ONCE (WAY_TICKS_PER_QUARTER / 8)

/// What one note of the take is; parallel to the take's notes.
typedef struct {
  uint32_t harmony; ///< Index into the timeline's harmonies: the chord it belongs to;
                    ///< or #WAY_NO_HARMONY
  WayRoleOf role;   ///< Over that chord; over the key where no chord sounds
  WaySpelling name;
  bool basic;   ///< A basic tone of that chord (1 3 5 7, or what stands in for one)
  uint8_t kind; ///< A #WayEmbellish; #WAY_EMBELLISH_COUNT for notes below the line
  uint32_t resolves_to; ///< Where a tension goes: a later note, or the note itself if
                        ///< the chord comes to it; else #WAY_NO_NOTE
} WayReviewNote;

/// How the line meets a change of chord.
typedef enum {
  WAY_ARRIVAL_EARLY,   ///< A note begins inside the early window, and before that
  WAY_ARRIVAL_ON_TIME, ///< A note begins with it, give or take #WAY_REVIEW_AT_ONCE
  WAY_ARRIVAL_LATE,    ///< A note begins later, up to a beat after it (and as much)
  WAY_ARRIVAL_HELD,    ///< None of these, but an earlier note still sounds
  WAY_ARRIVAL_NONE,    ///< A rest of a beat or more
  WAY_ARRIVAL_COUNT,
} WayArrival;

/// One change of chord and what is played there.
typedef struct {
  WayTick change;       ///< From the chart's start
  uint32_t span;        ///< The new chord: index into the timeline's spans
  uint32_t held_over;   ///< The latest note begun before the change (and before the
                        ///< early window) that still sounds at it; or #WAY_NO_NOTE
  uint32_t first_onset; ///< The first note that belongs to the new chord by its onset;
                        ///< or #WAY_NO_NOTE
  WayArrival arrival;
  uint32_t note;    ///< The landing note: `first_onset`, else `held_over`
  WayRoleOf role;   ///< Of the landing note over the new chord; undefined without one
  bool basic;       ///< The landing note is a basic tone of the new chord
  bool met;         ///< The landing note is the planned target
  bool approached;  ///< A note comes before the landing note
  int16_t approach; ///< Semitones from that note to the landing note
} WayLandingSeen;

/// Where a section or a chorus begins, and the notes around it.
typedef struct {
  WayTick tick;    ///< From the chart's start
  bool top;        ///< A chorus begins
  uint32_t before; ///< The last note begun before it; or #WAY_NO_NOTE
  uint32_t at; ///< The first note that begins inside the early window or up to a beat
               ///< after it, else the one held over; or #WAY_NO_NOTE
  uint32_t after; ///< The first note that begins after `at`, else after it; or
                  ///< #WAY_NO_NOTE
} WayFormJoint;

/// Sums over a take.
typedef struct {
  uint32_t roles[WAY_ROLE_COUNT]; ///< Notes by #WayRole
  uint32_t basic;                 ///< Notes on basic tones
  uint32_t without_chord;         ///< Notes where no chord sounds
  /// Notes over chords by degree: number, then alteration + #WAY_ALTER_MAX.
  uint32_t degrees[15][2 * WAY_ALTER_MAX + 1];
  uint32_t arrivals[WAY_ARRIVAL_COUNT]; ///< Landings by #WayArrival
  uint32_t hair_early;   ///< Changes just before which (#WAY_REVIEW_AT_ONCE) a note
                         ///< begins that sounds on and belongs to the chord before
  uint32_t landed;       ///< Landings with a landing note
  uint32_t landed_chord; ///< Of these, on chord tones
  uint32_t landed_basic; ///< Of these, on basic tones
  uint32_t targets, targets_met; ///< Landings with a planned target; met
  uint32_t tensions; ///< Notes of the line over a chord that are no basic tone of it
  uint32_t resolved; ///< Of these, those that resolve
  uint32_t stepped;  ///< Of these, those whose next note is a basic tone a step away
  uint32_t kinds[WAY_EMBELLISH_COUNT]; ///< Notes of the line over chords by kind
  double timing_mean;   ///< Ticks that onsets lie behind the grid, on average
  double timing_spread; ///< Standard deviation of that
} WayReviewTotals;

/// A review.  Borrows its take and timeline.
typedef struct {
  const WayTake* take;
  const WayTimeline* timeline;
  WayTick origin; ///< Where the chart starts, from the start of the file
  WayTick early;  ///< The early window
  WayReviewNote* notes;
  uint32_t n_landings;
  WayLandingSeen* landings; ///< One for each change to a chord, rising; from the
                            ///< chart's start to the end of the last note
  uint32_t n_joints;
  WayFormJoint* joints; ///< From the chart's start to the last onset, rising
  uint32_t n_phrases;
  WayPhrase* phrases; ///< In order
  WayMotif* motifs;   ///< Parallel to `phrases`
  WayReviewTotals totals;
} WayReview;

/**
   Review a take.

   @param origin Ticks of music from the start of the file to the chart's start, 0 or
                 more.
   @param early  Length of the early window before a change, in ticks, 0 or more.
   @param out    Receives a new review, owned by the caller; left untouched on error.
   Time is n log n in notes and changes, memory linear.
   @return #WAY_OK, #WAY_ERR_UNSUPPORTED (more changes than #WAY_REVIEW_CHANGES_MAX
   allows) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_review_new(const WayTake* take, const WayTimeline* timeline,
                         WayTick origin, WayTick early, WayReview** out);
/// Free a review; NULL is fine.
void way_review_free(WayReview* review);
/// Onset of a note in ticks from the chart's start.
static inline WayTick way_review_onset(const WayReview* r, uint32_t note) {
  return r->take->notes[note].start - r->origin;
}
/// The first landing on a chord that arrives at `tick` or later, in ticks as a note's
/// onset; the number of landings if there is none.  O(log n).
uint32_t way_review_landing_from(const WayReview* r, WayTick tick);
/// The landing that a phrase makes: its last one, or its last planned one.  Index into
/// `landings`; #WAY_NO_LANDING if no chord arrives during the phrase.  O(log n) in the
/// number of landings.
uint32_t way_review_phrase_landing(const WayReview* r, uint32_t phrase);
/// The place of the grid nearest to a tick: quarter notes in four and in three.
WayTick way_review_grid(WayTick tick);
/// A tick from the chart's start as a place in the form.
WayReviewPlace way_review_place(const WayTimeline* t, WayTick tick);
/// Ticks in a beat of the bar at a tick.
WayTick way_review_bar_beat(const WayTimeline* t, WayTick tick);
/// Ticks in a beat: the written unit of the form's first bar, throughout.
WayTick way_review_beat(const WayTimeline* t);
/// `early`, `on time`, `late`, `held over` or `none`.  A static string.
const char* way_arrival_name(WayArrival arrival);

#endif
