// The live guide: notes in, notes and marks out.
#ifndef WAY_LIVE_ENGINE_H
#define WAY_LIVE_ENGINE_H

#include "live/click.h"
#include "live/hearing.h"
#include "live/intake.h"
#include "live/learning.h"
#include "live/lending.h"
#include "live/recent.h"
#include "live/settling.h"
#include "live/sink.h"
#include "live/waiting.h"

/// Which input an event came by.
typedef enum {
  WAY_INPUT_MELODY, ///< The first input
  WAY_INPUT_CHORDS, ///< The chord track: heard, and never passed on
} WayInput;

/// What a screen shows of the engine.
typedef struct {
  bool rolling;
  bool has_chord;         ///< A chord is known now
  const WayHarmony* now;  ///< NULL without a chord; valid until the next engine call
  const WayHarmony* next; ///< NULL if not known
  WayPlace place;         ///< All 0 without a chart
  double beats_to_change; ///< 0 if not known
  WayRoleOf last;         ///< The newest melody note's role
  uint8_t last_pitch;     ///< Its pitch as sounded, or #WAY_UNHELD if none yet
} WayGuideView;

/// How long a bend rests on a pitch before it has settled; in seconds.
#define WAY_BEND_SETTLES 0.05

/**
   The engine.  One thread at a time; no heap; the only pointer is the timeline.

   Results depend on the frames of what comes in, never on how the calls are cut: any
   number of way_engine_advance() in between changes nothing.

   What the transport brings due at a frame (top of the form, change of chord, held
   notes, the landing of a note held over), and a chord whose notes came at it, is done
   before the first note of the melody that begins at it, and after all else that comes
   in at it before that note.  So a note on the very frame of a change meets the new
   chord, one that ends there is not held over, and a chord struck at the frame of a
   melody note counts for it if it is handed in first.

   **Before the form** (ticks below 0) the chart has no chord; notes inside the early
   window before tick 0 belong to its first.

   **Changes.**  A change is marked when another chord comes into force while it
   matters: always when chords are heard, and while the transport rolls when they come
   from the chart.  A start of the transport tells the chord anew; a locate or loop
   tells it only if it is another one.  The top of the form is marked when the transport
   passes it, and when it starts at or jumps to it.

   **Landings.**  Every marked change of chord has at most one, and N.C. has none:
   - the first note-on inside the early window before it, else
   - of the notes held through it the one struck last, marked at the change, else
   - the first note-on from the change until the next one.
   Notes that a filter leaves out, and held notes that are released, are no landings.

   **Heard chords** are read when their notes are struck; with a time to strum, when
   that has passed without another key (three times as long at the most).  A chord began
   with its first key: notes begun since then, or within `grace` before it, are marked
   again, and the first of them is its landing.  Keys under the sustain pedal are held.
   A chord whose keys are up is forgotten after `chord_stays`, which is marked as a
   change to N.C.; without one it stays, but #WAY_SOURCE_AUTO goes back to the chart
   after #WAY_HEARD_STAYS.

   **Bends.**  A note is what it sounds: the pitch of its key and the bend of its
   channel, rounded to a semitone.  When a bend settles on another pitch, the melody's
   notes on its channel are marked again.  A snapped note moves by whole semitones and
   keeps its bend.  With tags, what comes in on a channel of the melody besides notes
   goes out on the channels of the tags, too, so that bends and pedals reach the notes;
   a bend or pedal that is held there is followed until it is let go, whatever becomes
   of the tags.  Where channels are bent apart from each other (zones, strings) that
   cannot be, and notes keep their channels.

   **Click.**  While the transport rolls through a chart, guide tones click on their
   beats: tones of the chart's line, or for heard chords those nearest to the click
   before.  Without a chart heard chords click as they change.

   **Learning** (setting `learn`).  Where there is no chart, heard chords are written
   down and a form is found in them (live/learn.h).  The caller sees `number` of
   way_engine_learn() rise, makes a timeline of the form as of any chart, and hands it
   to way_engine_learned(); from the next bar line on it counts as the chart, and its
   chord is the one in force as long as what is heard agrees.  A caller that is quicker
   than a bar of music always gets the same events.

   **Times**, too, are counted in ticks while the music rolls: so what comes just as a
   time has passed is in the same order at every rate.

   **Held notes** (settings `held`) are looked at when a change is marked, whatever the
   handling.  A held note that is moved is marked with its new role.

   Fields are private: use the functions.
*/
typedef struct {
  // What every note needs lies together.
  int64_t plain_until;   ///< Until here notes are plain; see live/plain.h
  int64_t due;           ///< The first frame at which anything is due
  int64_t early_frame;   ///< From here on notes belong to the chart's next chord
  const WayHarmony* now; ///< In force; NULL if none is known or the guide is off
  WayIntake intake;      ///< Of the settings and bends in use
  bool landing_open;     ///< The chord in force waits for its landing
  uint8_t line;       ///< Pitch sounded last, or #WAY_UNHELD: where the line comes from
  uint8_t last_pitch; ///< The same, if the note had a role
  WayRoleOf last_role;
  WayBends bends;
  WayLedger ledger;

  WaySettings settings;
  WayFollow follow;
  WayHearing hearing;
  WayHarmony heard; ///< Of the chord heard; meant if one is known
  WayRecent recent;
  WaySettling settling;
  WayWaiting waiting;
  WayLending lending;
  WayClick click;
  int64_t top_marked;   ///< Frame of the last top, so none is marked twice
  WayChord told;        ///< The chord the last change was marked for
  bool has_told;        ///< There is one
  bool landed_early;    ///< A note in the early window was the next chord's landing
  uint32_t early_chord; ///< That chord's index in the timeline's harmonies
  WayLearning learning;
  uint32_t form_told; ///< The newest form that was marked
} WayEngine;

/// Put an engine in its first state: defaults, no chart, stopped at tick 0.
/// @param rate Frames per second, above 0.  @par Real-time safe.
WAY_RT void way_engine_init(WayEngine* e, double rate);
/**
   Use other settings from `frame` on.  Values out of range are first brought into it.

   `start_bar` is for whoever makes the clock: the engine counts from the top of the
   form. Notes that sound keep the note-off they were promised, whatever changes.
   @par Real-time safe.
*/
WAY_RT void way_engine_set(WayEngine* e, const WaySettings* s, int64_t frame,
                           const WaySink* sink);
/**
   Use another chart from `frame` on.

   @param t Borrowed until replaced; NULL for none.
   @return The timeline used before, for its owner to free elsewhere.
   @par Real-time safe.
*/
WAY_RT const WayTimeline* way_engine_chart(WayEngine* e, const WayTimeline* t,
                                           int64_t frame, const WaySink* sink);
/// What was learned, the form and its number included; borrowed.  @par Real-time safe.
static inline const WayLearn* way_engine_learn(const WayEngine* e) {
  return &e->learning.learn;
}
/**
   The timeline of form `number` is ready.

   @param t Borrowed until another is handed over; the one before is in use no more once
            way_engine_learn() shows another number.
   @return Whether it is still the form wanted; if not, `t` is not borrowed.
   @par Real-time safe.
*/
WAY_RT bool way_engine_learned(WayEngine* e, uint32_t number, const WayTimeline* t,
                               int64_t frame, const WaySink* sink);
/// Use a form that was learned before, from `frame` on.
/// @param t Its timeline, borrowed as above.  @par Real-time safe.
WAY_RT void way_engine_recall(WayEngine* e, const WayForm* form, const WayTimeline* t,
                              int64_t frame, const WaySink* sink);
/// The metre of the music from `frame` on, for learning: 4/4 at first.  With one that
/// is not valid, nothing is learned: bars or tempo are not known.  @par Real-time safe.
WAY_RT void way_engine_metre(WayEngine* e, WayMetre metre, int64_t frame,
                             const WaySink* sink);
/**
   The transport stands or rolls along `clock` from `clock->frame` on.

   `clock->tick` counts from the start bar: with a chart, the top of the form.  Calling
   it again with a line that agrees with the one in use changes nothing (nothing is
   marked twice).
   @par Real-time safe.
*/
WAY_RT void way_engine_transport(WayEngine* e, const WayClock* clock,
                                 const WaySink* sink);
/**
   Do everything that is due before `frame`: changes, tops of the form, held notes.

   Call it at least at the end of each block; events do it for themselves.
   @par Real-time safe: O(changes in between * log n).
*/
WAY_RT void way_engine_advance(WayEngine* e, int64_t frame, const WaySink* sink);
/// Whether notes keep their channels although tags are asked for: they are bent apart.
/// @par Real-time safe.
static inline bool way_engine_tags_refused(const WayEngine* e) {
  return e->settings.tag_channel && !e->intake.tag_channel;
}
/// The first frame at which the engine has something to do by itself: INT64_MIN while
/// it owes note-offs, INT64_MAX if nothing is due.  @par Real-time safe.
static inline int64_t way_engine_due(const WayEngine* e) {
  return e->ledger.total_owed ? INT64_MIN : e->due;
}
/**
   One MIDI message.  Frames must not fall from call to call.

   What is not a note of the melody passes through untouched and in order; notes that
   hold chords on the melody input pass, too.  All sound off and all notes off (CC 120
   and 123) end every note that came in on their channel, and pass.  Note messages that
   are not three bytes of MIDI are left out.
   @param bytes Borrowed; a whole message, system exclusive included.
   @par Real-time safe.
*/
WAY_RT void way_engine_midi(WayEngine* e, WayInput input, int64_t frame,
                            const uint8_t* bytes, uint32_t size, const WaySink* sink);
/// Send note-offs that found no room before.  Call it at the start of a block.
/// @par Real-time safe.
WAY_RT void way_engine_flush(WayEngine* e, int64_t frame, const WaySink* sink);
/// End every sounding note and forget what is held (deactivate).  @par Real-time safe.
WAY_RT void way_engine_silence(WayEngine* e, int64_t frame, const WaySink* sink);
/// The form being followed: the chart, or the one learned; NULL if there is none.
/// @par Real-time safe.
static inline const WayTimeline* way_engine_timeline(const WayEngine* e) {
  return e->follow.timeline;
}
/// Its clock: ticks from the top of its first chorus.  @par Real-time safe.
static inline const WayClock* way_engine_clock(const WayEngine* e) {
  return &e->follow.clock;
}
/// Fill in where in the music a mark is that the engine makes now, by its frame.
/// @par Real-time safe.
WAY_RT void way_engine_place(const WayEngine* e, WayMark* mark);
/// What a screen shows now.  @par Real-time safe: O(log n).
WAY_RT WayGuideView way_engine_view(const WayEngine* e, int64_t frame);

#endif
