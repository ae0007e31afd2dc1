// A MIDI file with tracks put in, its other tracks kept byte for byte.
#ifndef WAY_TAKE_SPLICE_H
#define WAY_TAKE_SPLICE_H

#include "take/smf.h"

/// In place of a track's index: none.
#define WAY_NO_TRACK UINT32_MAX

/**
   Write a file again with the tracks of another: the first in place of one of its own,
   if that is asked for, all others behind its last.

   A file of format 0 becomes one of format 1.
   @param bytes    The file as it was read; borrowed.
   @param smf      The same, read by way_smf_read().
   @param replaced Track whose place the first track of `made` takes; or #WAY_NO_TRACK.
   @param made     Tracks in the file's division; none that holds 4 GiB.
   @param out      Receives bytes to be freed with free(); left untouched on error.
   @param size     Receives their number.
   @return #WAY_OK, #WAY_ERR_RANGE (more than 65535 tracks) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_splice(const uint8_t* bytes, const WaySmf* smf, uint32_t replaced,
                     const WaySmf* made, uint8_t** out, size_t* size);

#endif
