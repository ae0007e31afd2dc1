// The guide-tone click: when it sounds, and on which tone.
#ifndef WAY_LIVE_CLICK_H
#define WAY_LIVE_CLICK_H

#include "live/follow.h"
#include "live/settings.h"

/// Where the line of heard chords begins: in the middle of the range of charts' lines.
#define WAY_CLICK_MIDDLE 67u

/**
   The first click at `from` or behind it.

   Besides the moments of `at`, up to `lead` beats before each change click: beats of
   the bar before it.  Before the form there is nothing but the lead to its first chord,
   which counts as a change.
   @return Ticks from the top of the first chorus; INT64_MAX if there is none.
   @par Real-time safe: O(log n).
*/
WAY_RT WayTick way_click_next(const WayTimeline* t, WayClickAt at, unsigned lead,
                              WayTick from);
/// The span whose tone sounds with the click at `tick`: within the lead the next one.
/// @par Real-time safe: O(log n).
WAY_RT uint32_t way_click_span(const WayTimeline* t, unsigned lead, WayTick tick);
/// The guide tone of a chord nearest to `from`: its third or seventh, or what stands in
/// for one, else its root.
/// @return A MIDI note, or #WAY_LINE_SILENT for N.C.  @par Real-time safe.
WAY_RT uint8_t way_click_tone(const WayChord* chord, uint8_t from);

/// Where the click has got to.  No pointers.
typedef struct {
  WayTick tick;  ///< Where in the music the next click is
  int64_t due;   ///< Its frame; INT64_MAX if there is none
  WayTick last;  ///< Place of the last click; INT64_MIN if the music has jumped since
  int64_t ends;  ///< When the click that sounds ends; INT64_MAX if none does
  uint8_t pitch; ///< Where the line of heard chords has got to
} WayClick;

/// Nothing clicks.  @par Real-time safe.
WAY_RT void way_click_init(WayClick* c);
/// The music has jumped: what is due is so no more, and any place may click.
/// @par Real-time safe.
WAY_RT void way_click_jump(WayClick* c);
/**
   Work out `tick` and `due` of the next click, from `frame` on and behind the last; one
   that is due already stays due, though the frame lie some ticks behind it.

   @param f     Only while it rolls through a chart is there one.
   @param heard Chords are heard, so nothing leads to the chart's.
   @par Real-time safe: O(log n).
*/
WAY_RT void way_click_plan(WayClick* c, const WayFollow* f, const WaySettings* s,
                           bool heard, int64_t frame);

#endif
