// The live guide: notes in, notes and marks out.
#ifndef WAY_LIVE_ENGINE_H
#define WAY_LIVE_ENGINE_H

#include "live/ledger.h"
#include "live/listen.h"
#include "live/mark.h"
#include "live/settings.h"
#include "time/clock.h"
#include "time/timeline.h"

/// Which input an event came by.
typedef enum {
  WAY_INPUT_MELODY, ///< The first input
  WAY_INPUT_CHORDS, ///< The chord track
} WayInput;

/// Where the engine's results go.  Both functions are called on the caller's thread,
/// before the engine function returns, in order of time.
typedef struct {
  void* to; ///< Handed to both functions
  /// One MIDI message; false if there is no room for it (the engine then sends what
  /// must not be lost, note-offs, again later).
  bool (*midi)(void* to, int64_t frame, const uint8_t* bytes, uint32_t size);
  /// One mark; NULL if nobody wants marks.
  void (*mark)(void* to, const WayMark* mark);
} WaySink;

/// What a screen shows of the engine.
typedef struct {
  bool rolling;
  bool has_chord;         ///< A chord is known now
  const WayHarmony* now;  ///< NULL without a chord; valid until the next engine call
  const WayHarmony* next; ///< NULL if not known
  WayPlace place;         ///< All 0 without a chart
  double beats_to_change; ///< 0 if not known
  WayRoleOf last;         ///< The newest melody note's role
  uint8_t last_pitch;     ///< Its pitch as sounded, or #WAY_UNHELD if none yet
} WayGuideView;

/**
   The engine.  One thread at a time; no heap; the only pointer is the timeline.

   Fields are private: use the functions.
*/
typedef struct WayEngine WayEngine;

/// Put an engine in its first state: defaults, no chart, stopped at tick 0.
/// @param rate Frames per second, above 0.  @par Real-time safe.
WAY_RT void way_engine_init(WayEngine* e, double rate);
/**
   Use other settings from `frame` on.

   Notes that sound keep the note-off they were promised, whatever changes.
   @par Real-time safe.
*/
WAY_RT void way_engine_set(WayEngine* e, const WaySettings* s, int64_t frame,
                           const WaySink* sink);
/**
   Use another chart from `frame` on.

   @param t Borrowed until replaced; NULL for none.
   @return The timeline used before, for its owner to free elsewhere.
   @par Real-time safe.
*/
WAY_RT const WayTimeline* way_engine_chart(WayEngine* e, const WayTimeline* t,
                                           int64_t frame, const WaySink* sink);
/**
   The transport stands or rolls along `clock` from `clock->frame` on.

   `clock->tick` counts from the top of the form.  Calling it again with a line that
   agrees with the one in use changes nothing (nothing is marked twice).
   @par Real-time safe.
*/
WAY_RT void way_engine_transport(WayEngine* e, const WayClock* clock,
                                 const WaySink* sink);
/**
   Do everything that is due before `frame`: changes, tops of the form, held notes.

   Call it at least at the end of each block; events do it for themselves.
   @par Real-time safe: O(changes in between * log n).
*/
WAY_RT void way_engine_advance(WayEngine* e, int64_t frame, const WaySink* sink);
/**
   One MIDI message.  Frames must not fall from call to call.

   What is not a note of the melody passes through untouched and in order.
   @param bytes Borrowed; a whole message, system exclusive included.
   @par Real-time safe.
*/
WAY_RT void way_engine_midi(WayEngine* e, WayInput input, int64_t frame,
                            const uint8_t* bytes, uint32_t size, const WaySink* sink);
/// Send note-offs that found no room before.  Call it at the start of a block.
/// @par Real-time safe.
WAY_RT void way_engine_flush(WayEngine* e, int64_t frame, const WaySink* sink);
/// End every sounding note and forget what is held (deactivate).  @par Real-time safe.
WAY_RT void way_engine_silence(WayEngine* e, int64_t frame, const WaySink* sink);
/// What a screen shows now.  @par Real-time safe: O(log n).
WAY_RT WayGuideView way_engine_view(const WayEngine* e, int64_t frame);

#endif
