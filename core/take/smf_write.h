// Standard MIDI Files, written.
#ifndef WAY_TAKE_SMF_WRITE_H
#define WAY_TAKE_SMF_WRITE_H

#include "take/smf.h"

/**
   Write a file to memory, with running status off and every track ended.

   A pause too long for one delta time (2^28 ticks) is bridged by empty text events.

   @param out  Receives bytes to be freed with free(); left untouched on error.
   @param size Receives their number.
   @return #WAY_OK, #WAY_ERR_RANGE (a track above 4 GiB or more than 65535 tracks) or
   #WAY_ERR_NO_MEMORY.
*/
WayStatus way_smf_write(const WaySmf* smf, uint8_t** out, size_t* size);

#endif
