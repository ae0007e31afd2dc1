// A form as it was heard: one chord a beat.  A value, without pointers.
#ifndef WAY_LIVE_FORM_H
#define WAY_LIVE_FORM_H

#include "base/text.h"
#include "time/timeline.h"

/// Longest form, in bars, and in beats.
#define WAY_FORM_BARS_MAX 128u
#define WAY_FORM_BEATS_MAX 1024u
/// Farthest place it begins at, in ticks.
#define WAY_FORM_ORIGIN_MAX INT64_C(1000000000000000)
/// Most different chords, N.C. among them.
#define WAY_FORM_CHORDS_MAX 64u

/// Room for any form as text.
#define WAY_FORM_TEXT_MAX (64u << 10)

/// Different chords, by number.  Number 0 is N.C.
typedef struct {
  uint8_t n;
  uint16_t sounds[WAY_FORM_CHORDS_MAX]; ///< Pitch classes, and the bass in bits 12..15
  WayChord chords[WAY_FORM_CHORDS_MAX];
} WayFormChords;

/// One chorus, beat by beat.
typedef struct {
  WayTick origin; ///< Where its first chorus begins, from the start bar: at a bar line
                  ///< from 0 to #WAY_FORM_ORIGIN_MAX
  WayMetre metre;
  uint16_t bars; ///< 1..#WAY_FORM_BARS_MAX
  double tempo;  ///< Quarter notes a minute, 10..1000
  WayFormChords chords;
  uint8_t beats[WAY_FORM_BEATS_MAX]; ///< Numbers of chords
} WayForm;

/// What sounds, as #WayFormChords tells it.
static inline uint16_t way_form_sound(WayPcSet notes, WayPc bass) {
  return (uint16_t)(notes | WAY_PC_BIT(bass) | bass << 12);
}
/// N.C. alone.  @par Real-time safe.
WAY_RT void way_form_chords_init(WayFormChords* c);
/**
   The number of a chord, entered if it is new.  A chord that sounds like another, or is
   written like it, is the same.

   @param sound From way_form_sound().
   @return #WAY_FORM_CHORDS_MAX if there is no room.
   @par Real-time safe.
*/
WAY_RT uint8_t way_form_enter(WayFormChords* c, const WayChord* chord, uint16_t sound);
/// Whether two numbers of two lists are the same chord.  @par Real-time safe.
WAY_RT bool way_form_same(const WayFormChords* a, uint8_t i, const WayFormChords* b,
                          uint8_t k);
/// Beats of a whole chorus.
static inline uint32_t way_form_beats(const WayForm* f) {
  return (uint32_t)f->bars * f->metre.beats;
}
/// The number of the chord on a beat, counted from the start bar; the form repeats for
/// ever both ways.  @par Real-time safe.
WAY_RT uint8_t way_form_at(const WayForm* f, int64_t beat);
/// Whether two forms have the same chords at the same places of the music.
/// @par Real-time safe: O(beats).
WAY_RT bool way_form_equal(const WayForm* a, const WayForm* b);
/**
   Write a form as a chart, its roots spelled in the key that its chords make.

   Its first line tells in a comment where it begins, if not in the start bar.  Four
   bars stand in a line; one that repeats the bar before it in the line is a `%`.
   @par Real-time safe: O(beats).
*/
WAY_RT void way_form_write(const WayForm* f, WayOut* out);
/**
   Read a form back from the timeline of its chart.

   @param origin As in #WayForm.
   @param out    Left untouched if it does not fit: its metre changes, it is too long,
                 has too many chords or begins beside a bar line.
   @return Whether it fits.
   @par Real-time safe: O(beats * log n).
*/
WAY_RT bool way_form_of(const WayTimeline* t, WayTick origin, WayForm* out);

#endif
