// Learning along the transport: live/learn.h by frames, and which timeline is followed
// for it.
#ifndef WAY_LIVE_LEARNING_H
#define WAY_LIVE_LEARNING_H

#include "live/follow.h"
#include "live/learn.h"
#include "live/settings.h"

/// A stop of the transport no longer than this is part of a loop, in seconds.
#define WAY_LOOP_GAP 0.1

/**
   The chart, and the form that is learned where there is none.

   No pointers but timelines.  Read the fields; change `chart` and `unmeasured` at will,
   all else through the functions.
*/
typedef struct {
  const WayTimeline* chart; ///< As given, borrowed; NULL for none
  const WayTimeline* form;  ///< Of the form learned, borrowed; NULL if none was handed
                            ///< over
  uint32_t form_number;     ///< The form it was made of
  bool unmeasured;          ///< Bars or tempo of the music are not known
  int64_t due;              ///< Frame of the bar line that is waited for
  int64_t left_frame;       ///< When the transport stopped last
  WayLearn learn;
} WayLearning;

/// No chart, nothing learned.  @par Real-time safe.
WAY_RT void way_learning_init(WayLearning* l);
/// Whether the form is learned from what is heard.  @par Real-time safe.
static inline bool way_learning_on(const WayLearning* l, const WaySettings* s) {
  return s->learn && !l->chart && !l->unmeasured && s->source != WAY_SOURCE_CHART;
}
/// The timeline to be followed: the chart, else that of the form learned once it may
/// be; NULL if there is none.  @par Real-time safe.
WAY_RT const WayTimeline* way_learning_wanted(const WayLearning* l,
                                              const WaySettings* s);
/// Work out the frame of the next bar line.  @par Real-time safe.
WAY_RT void way_learning_plan(WayLearning* l, const WaySettings* s, const WayFollow* f);
/// Learn from `frame` on, or stop learning.  @param held Chord keys are held.
/// @par Real-time safe.
WAY_RT void way_learning_begin(WayLearning* l, const WaySettings* s, const WayFollow* f,
                               int64_t frame, bool held);
/// Write down a chord that began at a frame; the rest as for way_learn_hear().
/// @par Real-time safe.
WAY_RT void way_learning_hear(WayLearning* l, const WayFollow* f, int64_t began,
                              const WayChord* chord, uint16_t sound, bool again);
/// Pass the bar line that is due.  @param held Chord keys are held.
/// @par Real-time safe, as way_learn_step().
WAY_RT void way_learning_step(WayLearning* l, const WayFollow* f, bool held);
/**
   The transport has jumped, started or stopped at `frame`; `f` follows it already.

   @param from   Where it would have gone on, as way_follow_tick() has it.
   @param rolled It rolled until now.
   @param held   Chord keys are held.
   @par Real-time safe.
*/
WAY_RT void way_learning_jump(WayLearning* l, const WayFollow* f, int64_t frame,
                              WayTick from, bool rolled, bool held);
/// Whether form `number` is still the one wanted.  @par Real-time safe.
static inline bool way_learning_wants(const WayLearning* l, uint32_t number) {
  return l->learn.known && number == l->learn.number;
}
/// Take the timeline of form `number`.  @param t Borrowed until another is taken.
/// @par Real-time safe.
WAY_RT void way_learning_take(WayLearning* l, uint32_t number, const WayTimeline* t);
/// Take a form that was learned before, with its timeline, borrowed as above.
/// @par Real-time safe.
WAY_RT void way_learning_recall(WayLearning* l, const WayForm* form,
                                const WayTimeline* t);

#endif
