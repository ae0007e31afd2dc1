// The bars of a MIDI file, by its time signatures.
#ifndef WAY_TAKE_BARS_H
#define WAY_TAKE_BARS_H

#include "take/smf.h"

/**
   Where a bar of the file begins.

   A time signature begins a bar where it stands.  One that makes no sense is passed
   over.

   @param bar   From 1.
   @param metre In force until the file's first time signature.
   @param out   Receives ticks of music from the file's start; left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_bars_start(const WaySmf* smf, uint32_t bar, WayMetre metre, WayTick* out);

/// The metre of a file at a place.
/// @param metre Until the first time signature.  @param out Left untouched on error.
/// @return #WAY_OK or #WAY_ERR_NO_MEMORY.
WayStatus way_bars_metre(const WaySmf* smf, WayTick tick, WayMetre metre,
                         WayMetre* out);

#endif
