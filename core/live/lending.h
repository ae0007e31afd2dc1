// Messages that are no notes, on the channels of the tags: bends and pedals go there
// with the notes, and are followed until they are let go.
#ifndef WAY_LIVE_LENDING_H
#define WAY_LIVE_LENDING_H

#include "live/ledger.h"

/// What is held there.  All 0: nothing.  No pointers.
typedef struct {
  uint16_t lent;    ///< Bit n: channel n holds a bend or pedal as a tag's
  uint16_t lenders; ///< Bit n: it came in on channel n
  uint8_t held;     ///< What is held there
} WayLending;

/**
   Send a message to the channels of the tags, too, and to those of former tags where a
   bend or a pedal is held: from a channel that is tagged, or that brought one there.

   Only messages of a channel that tell how it sounds are: not its modes, as all notes
   off.
   @param tags  The channels of the tags, as bits; 0 where its channel is not tagged.
   @param bytes Borrowed; a whole message, 1 byte or more.
   @par Real-time safe.
*/
WAY_RT void way_lending_send(WayLending* l, WayLedger* ledger, const WaySink* sink,
                             int64_t frame, uint16_t tags, const uint8_t* bytes,
                             uint32_t size);

#endif
