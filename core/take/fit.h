// A sketched melody moved to the material of its chords: which notes go where, and why.
// The rules are in docs/teacher.md.
#ifndef WAY_TAKE_FIT_H
#define WAY_TAKE_FIT_H

#include "live/settings.h"
#include "take/take.h"
#include "time/timeline.h"

/// Embellishing tones that stay if they resolve: a set of bits.
typedef enum {
  WAY_FIT_KEEP_PASSING = 1,
  WAY_FIT_KEEP_NEIGHBOUR = 2, ///< Upper, lower, double and incomplete
  WAY_FIT_KEEP_APPROACH = 4,  ///< Chromatic approaches
} WayFitKeep;

/// What is fitted to what, and how.
typedef struct {
  WayTakeChoice melody;
  const WayTimeline* chart; ///< Borrowed for the call only
  WayTick origin;           ///< Where it begins, in ticks from the file's start
  WayTick early;            ///< Length of the early window, in ticks
  WayMaterial material;
  WayScope scope; ///< Which notes are asked to lie in the material; the others move
                  ///< only where the shape of the melody needs it
  unsigned keep;  ///< A set of #WayFitKeep
  WaySnap snap;   ///< Which way notes may move; nearest: both
  uint8_t max_distance; ///< Most semitones a note may move
  uint8_t low, high;    ///< Range: MIDI notes, both included
  bool by_channel;      ///< Each channel has a line of its own
} WayFitChoice;

/// What became of a note, and why.
typedef enum {
  WAY_FIT_IN,         ///< Stays: it is where it may be
  WAY_FIT_KEPT,       ///< Stays: an embellishing tone that resolves
  WAY_FIT_UNASKED,    ///< Stays outside: not one of those asked for
  WAY_FIT_MATERIAL,   ///< Moved: it was outside the material
  WAY_FIT_TARGET,     ///< Moved: to the target planned for the chord
  WAY_FIT_RANGE,      ///< Moved: it was outside the range
  WAY_FIT_SHAPE,      ///< Moved along, so that the melody keeps its shape
  WAY_FIT_LEFT_FAR,   ///< Left outside: no place for it within the limits
  WAY_FIT_LEFT_HELD,  ///< Left outside: it sounds on under later notes
  WAY_FIT_LEFT_SHAPE, ///< Left outside: its places would break the shape
  WAY_FIT_WHY_COUNT,
} WayFitWhy;

/// One note of a line.
typedef struct {
  WayTick start;    ///< Ticks from the chart's start
  uint32_t harmony; ///< Index into the timeline's harmonies: the chord it belongs to;
                    ///< #WAY_NO_HARMONY (take/review.h) before the chart
  uint32_t first_byte, n_bytes; ///< Its part of WayFit.bytes; none if it stays
  uint8_t channel;              ///< 0..15
  uint8_t from, to;             ///< Pitch as sounded, before and after
  uint8_t key;                  ///< Note number after; #from - #to off that before
  uint8_t why;                  ///< A #WayFitWhy
  uint8_t kind;                 ///< A #WayEmbellish; #WAY_EMBELLISH_COUNT if untold
} WayFitNote;

/// A fit.  Made by way_fit_new(), ended by way_fit_free().
typedef struct {
  uint32_t track; ///< The track it is about
  uint32_t n;
  WayFitNote* notes; ///< Of all lines, by start
  uint32_t n_bytes;
  uint32_t* bytes; ///< Places in the file of note numbers that change, by note
  uint32_t below;  ///< Notes of the choice that are in no line: under its top
} WayFit;

/// The price of leaving a planned target: more than of any other notes around it.
#define WAY_FIT_TARGET_PRICE (1u << 20)
/// What a semitone of movement weighs: at least this,
#define WAY_FIT_WEIGHT 4
/// and this more for each step of way_embellish_strength(),
#define WAY_FIT_WEIGHT_STRENGTH 2
/// and 1 more for each half beat of length, up to this,
#define WAY_FIT_WEIGHT_LENGTH 8
/// and this more for a landing.
#define WAY_FIT_WEIGHT_LANDING 8

/// The name of a reason; a static string.
const char* way_fit_why_name(WayFitWhy why);
/// The choices as given where nothing is chosen: all notes of the top line, chord
/// scale, an octave either way, the whole range of MIDI.  No chart.
WayFitChoice way_fit_choice_default(void);
/**
   Work out where the notes of a melody go.

   A line is made of the highest of notes that begin at once (half a sixteenth note),
   without those that begin under a line note which sounds on over more than half of
   them.  Drums (channel 10) are no melody unless chosen.  No note is moved to a key
   that sounds meanwhile on its channel.

   @param bytes  The file, as read into `smf`.  Borrowed for this call only.
   @param smf    As read, and borrowed for this call only.
   @param out    Receives a new fit, owned by the caller; left untouched on error.
   @param error  Receives a message, without a place; may be NULL.
   @return #WAY_OK, #WAY_ERR_RANGE (no such track, or no notes in it),
   #WAY_ERR_UNSUPPORTED (too many changes of chord, see way_review_new()) or
   #WAY_ERR_NO_MEMORY.  Time and memory are linear, up to the sorting of chords.
*/
WayStatus way_fit_new(const uint8_t* bytes, const WaySmf* smf,
                      const WayFitChoice* choice, WayFit** out, WayError* error);
/// Write the new note numbers into the bytes of the file the fit was made from.
void way_fit_apply(const WayFit* fit, uint8_t* bytes);
/// Free a fit; NULL is fine.
void way_fit_free(WayFit* fit);

#endif
