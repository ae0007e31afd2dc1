// Words that some thread puts up and others read whole, while nobody waits for anybody.
#ifndef WAY_PLUGIN_NOTICE_H
#define WAY_PLUGIN_NOTICE_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/// Counts how often words were put up, twice each time: odd while it is done.  Starts
/// as 0.
typedef _Atomic(uint32_t) WayNoticeTurn;
/// One of the words.
typedef _Atomic(uint32_t) WayNoticeWord;

/**
   Put up `n` words.

   @return Whether they were; not if another thread puts up words just now.
   @par Real-time safe: nobody waits.
*/
bool way_notice_put(WayNoticeTurn* turn, WayNoticeWord* notice, const uint32_t* words,
                    size_t n);
/**
   Read the `n` words.

   @return Whether they belong together: not if another thread puts up words just now;
           what was read is then of no use.
   @par Real-time safe: nobody waits.
*/
bool way_notice_read(const WayNoticeTurn* turn, const WayNoticeWord* notice,
                     uint32_t* words, size_t n);

#endif
