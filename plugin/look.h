// How the window looks, as text: kept for it between two openings and with the session.
// What it says is the window's own affair (ui/choice.h).
#ifndef WAY_PLUGIN_LOOK_H
#define WAY_PLUGIN_LOOK_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/// Room for it, with its terminator; a multiple of 8.
#define WAY_LOOK_MAX 512u

/// The text, which any thread sets and gets while others do.  Starts as `{0}`: "".
/// Fields are private.
typedef struct {
  atomic_uint turn;                           ///< Odd while it is set
  _Atomic(uint64_t) words[WAY_LOOK_MAX / 8u]; ///< The bytes
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
