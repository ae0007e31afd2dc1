// Learning the form: heard chords are written down bar by bar until they come round.
#ifndef WAY_LIVE_LEARN_H
#define WAY_LIVE_LEARN_H

#include "live/form.h"

/// Fewest bars of a form, and fewest bars that come again before one is believed.
#define WAY_LEARN_BARS_MIN 2u
#define WAY_LEARN_AGAIN_MIN 2u
/// Most beats written down at once; older ones are forgotten.
#define WAY_LEARN_HEARD_MAX 2048u
/// How near to a bar line the music jumps from it or to it, in ticks: a 64th note.
#define WAY_LEARN_NEAR (WAY_TICKS_PER_QUARTER / 16)

/**
   What was heard, and the form found in it.  No pointers.

   All places are ticks from the start bar, so that what is learned depends on the music
   alone and not on frames, blocks or threads.

   **Writing down.**  While the music rolls on from the start bar, each beat gets the
   chord that was heard last when it has come.  A chord belongs to the beat it is
   nearest to; one that is early by a little more than half a beat still belongs to the
   beat it pushes.  Bars before the first chord are left out.  A jump begins a new page.

   **Coming round.**  At each bar line: a form of P bars is one in which of the chords
   that arrive four of five arrive again P bars on, on the same beats, and the bar just
   heard does so altogether.  At least max(2, P / 4) bars must have come again, and two
   chords.  Of several the one that agrees best is taken, of equals the shortest; one in
   force stays as long as it comes round itself.  Its chords are on each beat those of
   most choruses, else those heard first.

   **Loops.**  If the music jumps back from a bar line to a bar line, and all between
   was heard, that is the form.

   **Keep.**  When the player wants to keep, what was heard up to the nearest bar line
   is the form, unless one is in force already.  As long as it is wanted, no other form
   replaces it.

   **In force.**  A form that was found comes into force at the next bar line, so that
   there is a bar's time to make a timeline of it.  It stays in force as long as what is
   heard agrees with it: a chord read that the form has neither there nor on the beat it
   is early for, or one still held at a bar line where the form has another, puts it out
   of force, and the next whole bar that agrees puts it back.  Silence agrees.  Of a
   chord whose keys come one by one, and that is read more than once, the last reading
   counts.

   Read the fields, change them through the functions.
*/
typedef struct {
  // The page.
  WayMetre metre; ///< Of the music now
  bool rolls;
  WayTick left;   ///< Where it rolled to last, once it does not
  bool partial;   ///< The bar that is being heard was entered in its middle
  int64_t began;  ///< First bar of the page, with chords or not
  int64_t top;    ///< Bar of the first chord
  int64_t first;  ///< First bar still written down
  uint32_t n;     ///< Whole bars written down
  int64_t filled; ///< First beat not written yet
  uint8_t now;    ///< Number of the chord heard last
  double tempo;   ///< Quarter notes a minute, for the form's text
  WayFormChords chords;
  uint8_t beats[WAY_LEARN_HEARD_MAX]; ///< By beat of the music, in a ring: chord, flags
  uint16_t arrivals[WAY_FORM_BARS_MAX + 1]; ///< By length of the form: chords that
                                            ///< arrive, and
  uint16_t again[WAY_FORM_BARS_MAX + 1];    ///< those of them that arrive again
  // The form.
  uint32_t number; ///< Counts the forms found; 0: none yet
  bool known;      ///< `form` is one
  bool ready;      ///< It is in use: its timeline is followed
  bool agrees;     ///< In use, and nothing heard is against it: it is in force
  bool agreed;     ///< It was so before the chord heard last
  bool keeps;      ///< No other form replaces it
  uint8_t wait;    ///< Bar lines until it may be used
  WayForm form;
} WayLearn;

/// Nothing heard, nothing known, in 4/4.  @par Real-time safe.
WAY_RT void way_learn_init(WayLearn* l);
/// Forget the form and what was heard.  @par Real-time safe.
WAY_RT void way_learn_forget(WayLearn* l);
/// Begin a new page at `tick`, whatever was before; so it is to be after a change of
/// `metre`, which the caller sets.  @par Real-time safe.
WAY_RT void way_learn_begin(WayLearn* l, WayTick tick, bool rolls, bool held);
/**
   The music starts, stops or jumps.

   @param from  Where it would have gone on, @param to where it does.
   @param loops It rolled until now, or almost.
   @param rolls It rolls now.
   @param held  Chord keys are held.
   @par Real-time safe.
*/
WAY_RT void way_learn_jump(WayLearn* l, WayTick from, WayTick to, bool loops,
                           bool rolls, bool held);
/// The next bar line at which way_learn_step() is to be called; INT64_MAX if none.
/// @par Real-time safe.
WAY_RT WayTick way_learn_due(const WayLearn* l);
/// Pass the bar line that is due.  @param held Chord keys are held.
/// @par Real-time safe: O(#WAY_FORM_BARS_MAX * beats of a bar).
WAY_RT void way_learn_step(WayLearn* l, bool held);
/**
   A chord was heard, or silence (N.C.).

   @param tick  Where it began.
   @param sound From way_form_sound().
   @param again It is the chord heard last, read again with the keys that joined it.
   @par Real-time safe.
*/
WAY_RT void way_learn_hear(WayLearn* l, WayTick tick, const WayChord* chord,
                           uint16_t sound, bool again);
/// The player wants to keep what was heard up to `tick`, or does not any more.
/// @par Real-time safe.
WAY_RT void way_learn_keep(WayLearn* l, bool keep, WayTick tick);
/// Take a form that was learned before.  @par Real-time safe.
WAY_RT void way_learn_recall(WayLearn* l, const WayForm* form);
/// The timeline of the form is followed from `tick` on (or is not any more).
/// @par Real-time safe.
WAY_RT void way_learn_use(WayLearn* l, bool use, WayTick tick);
/// Whether the form may be followed: it is known, has waited for its bar line, and is
/// in the metre of the music.  @par Real-time safe.
WAY_RT bool way_learn_usable(const WayLearn* l);

#endif
