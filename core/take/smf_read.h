// Standard MIDI Files, read.
#ifndef WAY_TAKE_SMF_READ_H
#define WAY_TAKE_SMF_READ_H

#include "take/smf.h"

/**
   Read a whole file from memory.

   Accepted although the standard asks for more: a track without its end-of-track
   event, running status that goes on past a meta event or SysEx, more tracks than the
   header counts, padding after the last track, and single system messages (F1..FE)
   outside a SysEx, which come out as the F7 form the standard asks for.  Anything else
   that breaks the format is refused.

   @param bytes Borrowed for this call only.
   @param out   Receives a new file, owned by the caller; left untouched on error.
   @param error Receives the byte where reading stopped, and why; may be NULL.
   @return #WAY_OK, #WAY_ERR_FORMAT, #WAY_ERR_UNSUPPORTED (SMPTE division, a format
   above 2, 4 GiB or more, places past #WAY_SMF_TICK_MAX) or #WAY_ERR_NO_MEMORY.
   Memory is linear in `size`.
*/
WayStatus way_smf_read(const uint8_t* bytes, size_t size, WaySmf** out,
                       WayError* error);

#endif
