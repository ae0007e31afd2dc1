// A chart unrolled to ticks: which chord sounds where, which comes next, and where in
// the form that is.
#ifndef WAY_TIME_TIMELINE_H
#define WAY_TIME_TIMELINE_H

#include "theory/harmony.h"
#include "time/beat.h"

/// Room for a section's or a tune's name, with its terminator.
#define WAY_NAME_MAX 64u

/// One chord for as long as it sounds.  Equal neighbours are one span.
typedef struct {
  WayTick start;    ///< From the top of the form
  uint32_t harmony; ///< Index into the timeline's harmonies
  WayDegree target; ///< Planned for the landing; number 0 if none
  uint8_t line;     ///< Tone of the guide-tone line, a MIDI note, or 255 for silence
} WaySpan;

/// One bar of the unrolled form.
typedef struct {
  WayTick start; ///< From the top of the form
  WayMetre metre;
  uint32_t section; ///< Index into the timeline's sections
} WayBar;

/// One section of the unrolled form.
typedef struct {
  char name[WAY_NAME_MAX]; ///< "" for a chart without sections
  uint32_t first_bar;      ///< Index into the timeline's bars
} WaySection;

/**
   The unrolled form.  Never changed once made, so any thread may read it.

   All arrays belong to whoever made the timeline (way_chart_unroll() puts everything in
   one block).
*/
typedef struct {
  WayTick length; ///< Of one chorus; at least one bar
  WayKey key;
  WayLoopScales loop;
  WayLoopPcs loop_pcs; ///< Of `loop`
  double tempo;        ///< Quarter notes per minute
  uint32_t n_spans, n_bars, n_sections, n_harmonies;
  const WaySpan* spans; ///< Rising starts, the first at 0
  const WayBar* bars;   ///< Rising starts, the first at 0
  const WaySection* sections;
  const WayHarmony* harmonies;
} WayTimeline;

/// A place in the form.
typedef struct {
  int64_t chorus; ///< 0 for the first; negative before the start
  WayTick tick;   ///< From the top of this chorus, 0..length-1
  uint32_t span;  ///< The chord now
  uint32_t next;  ///< The span of the next change (of the next chorus, past the end);
                  ///< equals `span` if there is none
  WayTick since; ///< Ticks since the chord now began (in this chorus or the one before)
  WayTick until; ///< Ticks to the next change, at least 1; 0 if there is none
  uint32_t bar;  ///< Bar of the form, from 0
  WayTick in_bar;   ///< Ticks since the bar began
  uint32_t section; ///< Index of the section
} WayPlace;

/**
   Where `tick` is: chord now and next, bar, section, chorus.

   The form repeats for ever in both directions.  Its top is a change unless the last
   chord equals the first and the first has no target of its own.
   @param tick From the top of the first chorus; may be negative.
   @par Real-time safe: O(log n) in the number of spans and bars.
*/
WAY_RT WayPlace way_timeline_at(const WayTimeline* t, WayTick tick);
/**
   The first change of chord after `tick`: where `tick` is a change, the one behind it.

   @return Ticks from the top of the first chorus; INT64_MAX if the chord never changes
   (or only past the last tick an integer holds).
   @par Real-time safe: O(log n).
*/
WAY_RT WayTick way_timeline_next_change(const WayTimeline* t, WayTick tick);
/**
   The span a note that begins at `tick` belongs to: the next chord's inside the early
   window, else the chord now.

   @param early Length of the window before a change, in ticks, 0 or more.
   @par Real-time safe: O(log n).
*/
WAY_RT uint32_t way_timeline_span_for(const WayTimeline* t, WayTick tick,
                                      WayTick early);
/// Where a span ends: where the next one starts, or the form ends.  @par Real-time
/// safe.
static inline WayTick way_timeline_span_end(const WayTimeline* t, uint32_t span) {
  return span + 1 < t->n_spans ? t->spans[span + 1].start : t->length;
}
/// The same for a bar.  @par Real-time safe.
static inline WayTick way_timeline_bar_end(const WayTimeline* t, uint32_t bar) {
  return bar + 1 < t->n_bars ? t->bars[bar + 1].start : t->length;
}
/// The harmony of a span.  @par Real-time safe.
static inline const WayHarmony* way_timeline_harmony(const WayTimeline* t,
                                                     uint32_t span) {
  return &t->harmonies[t->spans[span].harmony];
}

#endif
