// From the host's position to the engine's clock.
#ifndef WAY_PLUGIN_TRANSPORT_H
#define WAY_PLUGIN_TRANSPORT_H

#include "time/clock.h"
#include "time/timeline.h"
#include "urids.h"

#include <lv2/atom/atom.h>

/// What the position messages said so far.  A number the host left out is NAN.
typedef struct {
  double speed;
  double bar;      ///< From 0
  double bar_beat; ///< In beats since the bar began
  double beat;     ///< In beats since the song began
  double beats_per_bar;
  double beat_unit;
  double beats_per_minute;
  double frame; ///< Of the song; may be negative
} WayPosition;

/// Where the form lies in the song.
typedef struct {
  const WayTimeline* timeline; ///< Borrowed; NULL without a chart
  int32_t start_bar;           ///< Bar of the song where the form begins, from 1
} WaySong;

/// What is known of the host's transport.  Fields are private.
typedef struct {
  double rate;          ///< Frames per second
  WayPosition position; ///< The newest message
  int64_t at;           ///< Frame of that message in the engine's clock
  double said;          ///< The tick it told of; NAN if it told of none
  bool measured;        ///< The host tells bars and a tempo
  bool quarters;        ///< The host's tempo counts quarter notes, whatever its beat
  WayClock clock;       ///< In use
} WayTransport;

/// Stopped at the top of the form.  @par Real-time safe.
void way_transport_init(WayTransport* t, double rate);
/**
   Take in a position.

   What it leaves out is as it was said before; the place goes on from where it was.
   A position that agrees with the clock in use does not move it, so that the result
   does not depend on how often a host repeats itself.
   @param frame When it holds, in the engine's clock.
   @return Whether the clock changed.
   @par Real-time safe: O(1).
*/
bool way_transport_position(WayTransport* t, const WayUrids* urids,
                            const LV2_Atom_Object* object, int64_t frame,
                            const WaySong* song);
/// The metre of the newest position where there is no chart, 4/4 if it says none; an
/// invalid one where it says nothing of bars or tempo.  @par Real-time safe.
WayMetre way_transport_metre(const WayTransport* t);
/// Fit the newest position to another song, from `frame` on.  @par Real-time safe.
void way_transport_refit(WayTransport* t, int64_t frame, const WaySong* song);

#endif
