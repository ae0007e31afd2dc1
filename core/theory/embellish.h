// Embellishing tones: what a melody note outside its chord does, told by how it is
// approached, how it is left and where it stands in the metre.
#ifndef WAY_THEORY_EMBELLISH_H
#define WAY_THEORY_EMBELLISH_H

#include "base/attributes.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/**
   The kinds of tones, as the open textbook Open Music Theory defines them (chapter
   "Embellishing tones"), with the approach by a chromatic half step that jazz teaching
   adds.  Definitions and worked examples: docs/theory.md, section "Embellishing tones".
*/
typedef enum {
  WAY_EMBELLISH_CHORD_TONE, ///< Of its chord from beginning to end: no embellishment
  WAY_EMBELLISH_PASSING,
  WAY_EMBELLISH_UPPER_NEIGHBOUR,
  WAY_EMBELLISH_LOWER_NEIGHBOUR,
  WAY_EMBELLISH_DOUBLE_NEIGHBOUR, ///< Either note of an enclosure
  WAY_EMBELLISH_INCOMPLETE_NEIGHBOUR,
  WAY_EMBELLISH_APPOGGIATURA,
  WAY_EMBELLISH_ESCAPE,
  WAY_EMBELLISH_SUSPENSION,
  WAY_EMBELLISH_RETARDATION,
  WAY_EMBELLISH_ANTICIPATION,
  WAY_EMBELLISH_SYNCOPATION, ///< An early arrival tied into the chord it belongs to
  WAY_EMBELLISH_PEDAL,
  WAY_EMBELLISH_CHROMATIC_APPROACH,
  WAY_EMBELLISH_FREE, ///< Neither side is bound by step or repetition
  WAY_EMBELLISH_COUNT,
} WayEmbellish;

/// One note of a melody, with what its harmony says of it.
typedef struct {
  uint8_t pitch;          ///< MIDI note
  uint8_t strength;       ///< Of its place in the metre: see way_embellish_strength()
  bool after_rest;        ///< It begins a phrase: what came before does not lead to it
  bool chord_tone;        ///< Of the chord at its onset
  bool chord_tone_at_end; ///< Of the chord at its end; differs only if the chord
                          ///< changes while it sounds
  bool chromatic;         ///< Not in the scale of the chord at its onset
} WayMelodyNote;

/// The name of a kind, in lower case.  A static string.  @par Real-time safe.
WAY_RT const char* way_embellish_name(WayEmbellish kind);
/**
   How strong a place of the bar is: 4 its first beat, 3 half of it (if beats divide
   evenly), 2 any other beat, 1 half a beat, 0 anything finer.

   @param at   Place in the bar, 0..bar-1, in any unit.
   @param beat Length of a beat, at least 1.
   @param bar  Length of the bar, at least 1.
   @par Real-time safe.
*/
WAY_RT uint8_t way_embellish_strength(int64_t at, int64_t beat, int64_t bar);
/**
   Name every note of a finished melody (one voice).

   @param notes Borrowed.
   @param kinds Receives `n` values of #WayEmbellish.
   @par Real-time safe: O(n), no allocation.
*/
WAY_RT void way_embellish(const WayMelodyNote* notes, size_t n, uint8_t* kinds);

#endif
