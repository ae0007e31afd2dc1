// Chords set so that the live guide hears them as they are written.
#ifndef WAY_TAKE_BACKING_CHORDS_H
#define WAY_TAKE_BACKING_CHORDS_H

#include "live/listen.h"

/// Most keys of a chord: all twelve pitch classes and a bass below them.
#define WAY_BLOCK_MAX 13u

/// Keys struck together, the bass lowest.
typedef struct {
  uint8_t n; ///< 0 under N.C.
  uint8_t key[WAY_BLOCK_MAX];
} WayBlock;

/// Listens as the guide does: with the key of a chart, and without.  Starts as `{0}`.
typedef struct {
  WayListen by_key, alone;
} WayBlockEar;

/**
   Set a chord in close position over its bass, and hear it.

   All its tones are set, unless the guide would then hear another chord (or none) and
   hears this one without the fifth, without some extensions, or with its basic tones
   alone; those are tried in this order.  Where no choice is heard as the chord itself
   the one that comes nearest is taken.

   @param ear  What was heard so far; it hears this chord too.
   @param key  Of the chart.
   @par Real-time safe.
*/
WayBlock way_block_of(const WayChord* chord, const WayKey* key, WayBlockEar* ear);
/// Whether two chords sound alike: the same root, bass and pitch classes, however they
/// are spelled.  @par Real-time safe.
bool way_block_alike(const WayChord* a, const WayChord* b);

#endif
