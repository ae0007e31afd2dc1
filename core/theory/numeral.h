// Numerals: chords named by their degree in a key, read and written.
#ifndef WAY_THEORY_NUMERAL_H
#define WAY_THEORY_NUMERAL_H

#include "theory/chord.h"
#include "theory/key.h"

/// Room for a written numeral, with its terminator.
#define WAY_NUMERAL_MAX 96u

/// What a chord does in its key.
typedef enum {
  WAY_FUNCTION_NONE, ///< Silence, or a chord outside the usual vocabulary of the key
  WAY_FUNCTION_TONIC,
  WAY_FUNCTION_PREDOMINANT,
  WAY_FUNCTION_DOMINANT, ///< Of the key or, for an applied chord, of its target
  WAY_FUNCTION_COUNT,
} WayFunction;

/// `none`, `tonic`, `predominant` or `dominant`.  A static string.
/// @par Real-time safe.
WAY_RT const char* way_function_name(WayFunction f);

/**
   Read one numeral; the whole text must be one.

   Case gives the third, accidentals before the letters move the root, figures (`6`,
   `64`, `65`, `43`, `42`) the bass, `/` the key it is applied to or, before a degree or
   a note, the bass.  The full list is in docs/theory.md, section "Numerals".

   @param text  Borrowed, UTF-8.
   @param key   The key it is read in.
   @param out   Left untouched on error.
   @param error Receives column and expectation; may be NULL.
   @return #WAY_OK or #WAY_ERR_SYNTAX, or what way_chord_read() says of the suffix.
   @par Real-time safe: time linear in the text.
*/
WAY_RT WayStatus way_numeral_read(WayText text, WayKey key, WayChord* out,
                                  WayError* error);
/**
   Append the numeral of a chord; way_numeral_read() of it in the same key gives an
   equal chord.

   Chromatic dominants and leading-tone chords are written as applied to the degree they
   lead to (`V7/V`), dominants a semitone above the chord they lead to as tritone
   substitutes (`subV7/ii`).  N.C. is written `N.C.`.

   @param chord Borrowed.
   @param next  The chord that follows, borrowed; NULL if unknown.  Only chooses between
                names that mean the same chord.
   @par Real-time safe.
*/
WAY_RT void way_numeral_write(const WayChord* chord, const WayChord* next, WayKey key,
                              WayOut* out);
/**
   What a chord does in a key, by the root, the third and what follows.

   @param next The chord that follows; NULL if unknown.
   @par Real-time safe.
*/
WAY_RT WayFunction way_numeral_function(const WayChord* chord, const WayChord* next,
                                        WayKey key);

#endif
