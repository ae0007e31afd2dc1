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

/// The time signatures of a file, followed from place to place.
typedef struct {
  const WaySmf* smf;
  WaySmf* signatures;
  uint32_t next; ///< First one not passed yet
  WayMetre now;
} WayMetres;
/// Begin in front of them all.
/// @param smf Borrowed as long as they are followed.  @param metre Until the first.
/// @return #WAY_OK or #WAY_ERR_NO_MEMORY; then, too, way_metres_free() is fine.
WayStatus way_metres_init(WayMetres* m, const WaySmf* smf, WayMetre metre);
/// The metre at a tick of music, no earlier than the one asked for before.
WayMetre way_metres_at(WayMetres* m, WayTick tick);
/// Give back what it holds.
void way_metres_free(WayMetres* m);

/// The metre of a file at a place.
/// @param metre Until the first time signature.  @param out Left untouched on error.
/// @return #WAY_OK or #WAY_ERR_NO_MEMORY.
WayStatus way_bars_metre(const WaySmf* smf, WayTick tick, WayMetre metre,
                         WayMetre* out);

#endif
