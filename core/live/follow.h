// Following the transport through a chart: where the music is, and what is due when.
#ifndef WAY_LIVE_FOLLOW_H
#define WAY_LIVE_FOLLOW_H

#include "time/clock.h"
#include "time/timeline.h"

/// How near a note begins to a beat that it is on, in beats.
#define WAY_ON_BEAT 0.125

/// What a step or a new line brought.
typedef enum {
  WAY_NEWS_NONE = 0,
  WAY_NEWS_CHANGE = 1, ///< The chart's next chord has come
  WAY_NEWS_TOP = 2,    ///< The form begins again
  WAY_NEWS_JUMP = 4,   ///< The place was read anew: a start, a stop or a locate
  WAY_NEWS_START = 8,  ///< The transport began to roll
} WayNews;

/**
   Where the music is.  No pointers but the timeline.

   Before tick 0 no chord sounds, and the first one comes at tick 0: what a song has
   there, a count-in or a pick-up, is not in the chart.

   Everything due is kept as a frame, so that between two dues nothing is looked up.
   Read the fields, change them through the functions.
*/
typedef struct {
  double rate;                 ///< Frames per second
  WayClock clock;              ///< Ticks from the top of the first chorus
  WayTick origin;              ///< Where that is, in the ticks of the lines given
  const WayTimeline* timeline; ///< Borrowed, or NULL
  WayPlace place;      ///< As last read; before the form, `next` is the first chord
  bool before;         ///< The form has not begun: the place lies before tick 0
  WayTick change;      ///< The next change of chord; INT64_MAX if none
  WayTick top;         ///< The next top of the form; INT64_MAX if none
  WayTick early;       ///< Length of the early window before that change
  double early_beats;  ///< The same as set
  int64_t due;         ///< The first frame of either; INT64_MAX if none
  int64_t early_frame; ///< Where the early window opens; INT64_MAX if never
} WayFollow;

/// Stopped at tick 0, without a chart.  @param rate Frames per second, above 0.
/// @par Real-time safe.
WAY_RT void way_follow_init(WayFollow* f, double rate);
/// Whether the transport rolls.
static inline bool way_follow_rolls(const WayFollow* f) {
  return f->clock.ticks_per_frame > 0;
}
/// The place in the music at `frame`, in the ticks of the lines given.
/// @par Real-time safe.
static inline WayTick way_follow_tick(const WayFollow* f, int64_t frame) {
  return way_clock_tick(&f->clock, frame) + f->origin;
}
/**
   The frame from which on more than `seconds` have passed since `frame`.

   While the music rolls, be it as slowly as a quarter note a minute, they are counted
   in its ticks, else half a millisecond is left: so what comes just in time does so at
   every rate, however frames were rounded.
   @par Real-time safe.
*/
WAY_RT int64_t way_follow_later(const WayFollow* f, int64_t frame, double seconds);
/**
   The frame `beats` later, in the beats of the bar at `frame`: where the music has
   ticks, that of the very tick.  Where it does not roll through a chart, a beat is half
   a second, as for way_follow_later().
   @par Real-time safe: O(log n).
*/
WAY_RT int64_t way_follow_beats_later(const WayFollow* f, int64_t frame, double beats);
/**
   Whether `frame` is within #WAY_ON_BEAT of a beat; always, where the music does not
   roll through a chart.

   @param strong Only strong beats count, as way_metre_strong() has them.
   @par Real-time safe: O(log n).
*/
WAY_RT bool way_follow_on_beat(const WayFollow* f, int64_t frame, bool strong);
/**
   Go on along another line from `clock->frame`.

   - A line that agrees with the one in use (within a frame or half a tick, and the same
     speed) is not taken over: hosts repeat themselves, and round.
   - A line that starts within a 64th note of where the old one stands is a correction
   or a change of tempo: what has come stays, and what is due stays due.
   - Anything else, and every start and stop, is a jump: the place is read anew.

   A line that is not finite is ignored; one that runs backwards stands still.

   @return A set of #WayNews: JUMP, with START where the transport began to roll, and
   with TOP where it rolls from the first tick of the form.
   @par Real-time safe: O(log n).
*/
WAY_RT unsigned way_follow_line(WayFollow* f, const WayClock* clock);
/// Use another timeline (or none) from `frame` on.
/// @param origin Where its first chorus begins, in the ticks of the lines.
/// @return JUMP, perhaps with TOP.  @par Real-time safe: O(log n).
WAY_RT unsigned way_follow_chart(WayFollow* f, const WayTimeline* t, WayTick origin,
                                 int64_t frame);
/// Use another early window, in beats: 0..#WAY_EARLY_MAX.  @par Real-time safe: O(log
/// n).
WAY_RT void way_follow_early(WayFollow* f, double beats);
/// Take what is due at `f->due`.  @return CHANGE, TOP or both.  @par Real-time safe:
/// O(log n).
WAY_RT unsigned way_follow_step(WayFollow* f);

#endif
