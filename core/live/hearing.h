// Chord keys in time: which of them belong together, when their chord is read, and when
// it is forgotten.
#ifndef WAY_LIVE_HEARING_H
#define WAY_LIVE_HEARING_H

#include "live/follow.h"
#include "live/listen.h"

/// Chord keys struck within this time of each other belong together; in seconds.
#define WAY_STRUM 0.08

/// How many times the time to strum a chord waits for more keys.
#define WAY_STRUMS 3

/// How long a chord is held on to once all its keys are up, where nothing else is set:
/// then the chart's counts again; in seconds.
#define WAY_HEARD_STAYS 2.0

/**
   What is held, what it spelled last, and what is due when.

   No pointers.  Read the fields, change them through the functions.  Times are told by
   way_follow_later().
*/
typedef struct {
  WayListen listen;
  int64_t settle_due;     ///< Where its notes are read; INT64_MAX if they are
  int64_t forget_due;     ///< Where it is silent for too long; INT64_MAX if never
  int64_t together_until; ///< Keys struck before this join those before
  int64_t silent_since;   ///< When the last key went up
  int64_t struck_first;   ///< When the first of those together was struck
  bool joined;            ///< The newest key joined others, and none went up since
  bool read;              ///< Those together were read before
  bool again;             ///< The chord read last is one read before with fewer keys
} WayHearing;

/// Nothing was ever heard.  @par Real-time safe.
WAY_RT void way_hearing_init(WayHearing* h);
/// A key goes down.  @param key Channel 0..15 and number 0..127, as for
/// way_listen_strike().  @param strum Time to wait for more keys, in seconds, 0 or
/// more.
/// @par Real-time safe.
WAY_RT void way_hearing_strike(WayHearing* h, const WayFollow* f, int64_t frame,
                               uint8_t channel, uint8_t number, double strum);
/// A key goes up.  @param stays After how many seconds without a key the chord is
/// forgotten; 0 for #WAY_HEARD_STAYS.  @par Real-time safe.
WAY_RT void way_hearing_lift(WayHearing* h, const WayFollow* f, int64_t frame,
                             uint8_t channel, uint8_t number, double stays);
/// A chord that is silent stays for another time after its last key; it has until
/// `frame`.  @param stays As above.  @par Real-time safe.
WAY_RT void way_hearing_stay(WayHearing* h, const WayFollow* f, int64_t frame,
                             double stays);
/// A chord was read at `frame`: if its keys are up already, it stays from then on.
/// @param stays As above.  @par Real-time safe.
WAY_RT void way_hearing_fade(WayHearing* h, const WayFollow* f, int64_t frame,
                             double stays);
/// The sustain pedal of a channel goes down or up.  @param stays As above.
/// @par Real-time safe.
WAY_RT void way_hearing_pedal(WayHearing* h, const WayFollow* f, int64_t frame,
                              uint8_t channel, bool down, double stays);
/// All keys of a channel go up, whatever its pedal does.  @param stays As above.
/// @par Real-time safe.
WAY_RT void way_hearing_clear(WayHearing* h, const WayFollow* f, int64_t frame,
                              uint8_t channel, double stays);
/// Read the notes held, as way_listen_settle() does; then none are due to be read.
/// @par Real-time safe.
WAY_RT bool way_hearing_settle(WayHearing* h, const WayKey* key);
/// When the chord began that was read at frame `read`: with its first key, but what a
/// key let go brings out began now.  @param strum As above.  @par Real-time safe.
WAY_RT int64_t way_hearing_began(const WayHearing* h, const WayFollow* f, int64_t read,
                                 double strum);
/// Whether the chord is known, and has been silent for as long as it stays.
/// @par Real-time safe.
static inline bool way_hearing_silent(const WayHearing* h) {
  return h->listen.known && !h->listen.held.n && h->forget_due == INT64_MAX;
}

#endif
