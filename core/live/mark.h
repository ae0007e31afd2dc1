// Events that say what happened.
#ifndef WAY_LIVE_MARK_H
#define WAY_LIVE_MARK_H

#include "base/text.h"
#include "theory/chord.h"
#include "theory/role.h"
#include "time/beat.h"

/// What a mark tells.
typedef enum {
  WAY_MARK_ROLE,    ///< A melody note began: what it is to its chord
  WAY_MARK_LANDING, ///< A note sounds as a chord arrives: held over, or the first after
                    ///< it
  WAY_MARK_CHANGE,  ///< The chord changed
  WAY_MARK_TOP,     ///< The form began again
  WAY_MARK_RESOLUTION, ///< A chromatic note went by a step to one that is not
  WAY_MARK_LEARNED,    ///< A form that was heard is known from here on
  WAY_MARK_COUNT,
} WayMarkKind;

/// How a landing relates to the new chord.
typedef enum {
  WAY_LANDING_TARGET,     ///< On the planned tone
  WAY_LANDING_CHORD_TONE, ///< On another basic or extended tone of the chord
  WAY_LANDING_OTHER,      ///< On any other note
  WAY_LANDING_COUNT,
} WayLanding;

/// One mark.  Roles and resolutions come with notes and carry no place: their frame
/// says when.
typedef struct {
  int64_t frame;         ///< When, in the clock of the engine's caller
  WayTick tick;          ///< Where in the music, from the start bar; and
  int64_t chorus;        ///< which time through the form, from 0; and
  uint32_t bar;          ///< which bar of it, from 0 (none of these for
                         ///< roles and resolutions)
  uint8_t kind;          ///< A #WayMarkKind
  uint8_t landing;       ///< A #WayLanding (landing)
  uint8_t pitch;         ///< MIDI note as sounded (role, landing)
  bool again;            ///< The note began before: it has become another (role)
  bool early;            ///< The note belongs to the next chord already (role, landing)
  bool held_over;        ///< The note began before the change (landing)
  WayRoleOf role;        ///< Of the note over its chord (role, landing)
  uint16_t bars;         ///< Of the form (learned)
  const WayChord* chord; ///< The chord meant; N.C. if none is known.  Borrowed: what
                         ///< the engine hands over is valid until the sink returns
} WayMark;

/// `role`, `landing`, `change`, `top`, `resolution` or `learned`.  A static string.
/// @par Real-time safe.
WAY_RT const char* way_mark_name(WayMarkKind kind);
/// `target`, `chord tone` or `other`.  A static string.  @par Real-time safe.
WAY_RT const char* way_landing_name(WayLanding landing);

/// How many lanes there are.
#define WAY_LANE_COUNT 10u
/// One lane of the marks port: a MIDI note that stands for one sort of mark.
typedef struct {
  uint8_t note;     ///< 0..127
  const char* name; ///< For a host's piano roll
} WayLane;
/// The lanes: roles, landings, changes, tops, resolutions, learned forms.
extern const WayLane way_lanes[WAY_LANE_COUNT];
/// The index of the lane of resolutions.
#define WAY_LANE_RESOLUTION                                                            \
  (WAY_ROLE_COUNT + WAY_LANDING_COUNT + (WAY_MARK_RESOLUTION - WAY_MARK_CHANGE))
/// The index of a mark's lane.
static inline unsigned way_mark_lane(const WayMark* mark) {
  if (mark->kind == WAY_MARK_ROLE) return mark->role.role;
  if (mark->kind == WAY_MARK_LANDING) return WAY_ROLE_COUNT + mark->landing;
  return WAY_ROLE_COUNT + WAY_LANDING_COUNT + (unsigned)mark->kind - WAY_MARK_CHANGE;
}
/// Whether a mark tells of one note.
static inline bool way_mark_of_note(const WayMark* mark) {
  return mark->kind <= WAY_MARK_LANDING || mark->kind == WAY_MARK_RESOLUTION;
}
/// The velocity of the MIDI note of a note's mark, 1..127: the interval above the root
/// plus 1.
static inline uint8_t way_mark_note_velocity(const WayRoleOf* role) {
  return (uint8_t)(role->interval + 1);
}
/// The velocity of any mark's MIDI note; 100 if it is not of a note.
static inline uint8_t way_mark_velocity(const WayMark* mark) {
  return way_mark_of_note(mark) ? way_mark_note_velocity(&mark->role) : 100;
}
/// Room for the words of a mark, with their terminator.
#define WAY_MARK_TEXT_MAX (WAY_SYMBOL_MAX + 64u)
/// Append the words of a mark, as Marker meta events and screens get them;
/// docs/marks.md has the grammar: `role b3 chord tone over Dm7`.  @par Real-time safe.
WAY_RT void way_mark_write(const WayMark* mark, WayOut* out);

#endif
