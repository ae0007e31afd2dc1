// How the window looks, as text: kept for it between two openings and with the session.
// What it says is the window's own affair (ui/choice.h).
#ifndef WAY_PLUGIN_LOOK_H
#define WAY_PLUGIN_LOOK_H

#include "notice.h"

/// Room for it, with its terminator; a multiple of 4.
#define WAY_LOOK_MAX 512u
/// The same in words.
#define WAY_LOOK_WORDS (WAY_LOOK_MAX / 4u)

/// The text, which any thread sets and gets while others do.  Starts as `{0}`: "".
/// Fields are private.
typedef struct {
  WayNoticeTurn turn;
  WayNoticeWord words[WAY_LOOK_WORDS]; ///< The bytes
} WayLook;

/**
   Set the text; what is too long is left alone.

   @return Whether it was set; not if another thread does so just now.
   @par Real-time safe: nobody waits.
*/
bool way_look_set(WayLook* look, const char* text, size_t size);
/**
   Get the text, terminated.

   @return Whether it was whole: not if another thread sets it just now.
   @par Real-time safe: nobody waits.
*/
bool way_look_get(const WayLook* look, char out[WAY_LOOK_MAX]);
/// A number that is another each time the text was set.  @par Real-time safe.
unsigned way_look_turn(const WayLook* look);

#endif
