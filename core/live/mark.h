// Events that say what happened.
#ifndef WAY_LIVE_MARK_H
#define WAY_LIVE_MARK_H

#include "base/text.h"
#include "theory/role.h"
#include "time/beat.h"

/// What a mark tells.
typedef enum {
  WAY_MARK_ROLE,    ///< A melody note began: what it is to its chord
  WAY_MARK_LANDING, ///< A note sounds as a chord arrives: held over, or the first after
                    ///< it
  WAY_MARK_CHANGE,  ///< The chord changed
  WAY_MARK_TOP,     ///< The form began again
  WAY_MARK_COUNT,
} WayMarkKind;

/// How a landing relates to the new chord.
typedef enum {
  WAY_LANDING_TARGET,     ///< On the planned tone
  WAY_LANDING_CHORD_TONE, ///< On another basic or extended tone of the chord
  WAY_LANDING_OTHER,      ///< On any other note
  WAY_LANDING_COUNT,
} WayLanding;

/// One mark.  A value without pointers.
typedef struct {
  int64_t frame; ///< When, in the clock of the engine's caller
  WayTick tick;  ///< Where in the music, from the top of the first chorus
  WayMarkKind kind;
  uint8_t pitch;    ///< MIDI note as sounded (role, landing); else 0
  uint8_t velocity; ///< Of that note; else 0
  WayRoleOf role;   ///< Of that note over its chord (role, landing)
  WayLanding landing;
  bool held_over;   ///< A landing on a note that began before the change
  WaySpelling root; ///< Of the chord (all kinds)
  WayPcSet pcs;     ///< The chord's pitch classes (all kinds)
  int64_t chorus;   ///< From 0
  uint32_t bar;     ///< Bar of the form, from 0
} WayMark;

/// `role`, `landing`, `change` or `top`.  A static string.  @par Real-time safe.
WAY_RT const char* way_mark_name(WayMarkKind kind);
/// `target`, `chord tone` or `other`.  A static string.  @par Real-time safe.
WAY_RT const char* way_landing_name(WayLanding landing);
/**
   The lane of a mark: the MIDI note that stands for it on the marks port.

   The table is in docs/marks.md; velocity is the role's interval above the root plus 1
   (role and landing), else 100.
   @return 0..127.
   @par Real-time safe.
*/
WAY_RT uint8_t way_mark_lane(const WayMark* mark);
/// Append the text of a mark as written to Marker meta events: `role b3 scale tone over
/// D`.
/// @par Real-time safe.
WAY_RT void way_mark_write(const WayMark* mark, WayOut* out);

#endif
