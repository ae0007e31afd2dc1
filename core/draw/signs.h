// Words of music as pictures show them: with music signs for sharps and flats.
#ifndef WAY_DRAW_SIGNS_H
#define WAY_DRAW_SIGNS_H

#include "theory/harmony.h"

/// Append a chord's symbol with music signs.
void way_signs_symbol(const WayChord* chord, WayOut* out);
/// Append a numeral with music signs.  @param next The chord that follows; may be NULL.
void way_signs_numeral(const WayChord* chord, const WayChord* next, WayKey key,
                       WayOut* out);
/// Append the notes of a set, from the chord's root upward, with music signs; a dash
/// for none.
void way_signs_notes(const WayHarmony* h, WayPcSet set, WayOut* out);
/// Append a note with music signs.
void way_signs_note(WaySpelling note, WayOut* out);
/// Append a key: `Bb major`, with music signs.
void way_signs_key(WayKey key, WayOut* out);
/// Append a scale's name: `A minor pentatonic`, with music signs.
void way_signs_scale(const WayScale* scale, WayOut* out);

#endif
