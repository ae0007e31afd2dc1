// How functions report failure.
#ifndef WAY_BASE_STATUS_H
#define WAY_BASE_STATUS_H

#include "base/attributes.h"

#include <stddef.h>
#include <stdint.h>

/// What a function that can fail returns.
typedef enum {
  WAY_OK,              ///< Success; always zero, so `if (st)` reads "if it failed"
  WAY_ERR_RANGE,       ///< A number lies outside its documented range
  WAY_ERR_SYNTAX,      ///< The text is not in the documented grammar
  WAY_ERR_FORMAT,      ///< The file is not in the documented format
  WAY_ERR_UNSUPPORTED, ///< Well-formed, but of a kind this library does not take
  WAY_ERR_FULL,        ///< A fixed-capacity table has no room; nothing was changed
  WAY_ERR_NO_MEMORY,   ///< Allocation failed; nothing was changed
  WAY_ERR_IO,          ///< The system refused to read or write
} WayStatus;

/// Longest message in a #WayError, with its terminator.
#define WAY_ERROR_MAX 160u

/// Where a reader stopped, and what it had expected there.
typedef struct {
  WayStatus status;            ///< What stopped the reader; #WAY_OK if nothing did
  size_t byte;                 ///< Offset into the caller's input, from 0
  uint32_t line;               ///< Line, from 1; 0 where lines mean nothing
  uint32_t column;             ///< Character (not byte) in the line, from 1; 0 if none
  char message[WAY_ERROR_MAX]; ///< One sentence without a full stop, UTF-8
} WayError;

/**
   A short English phrase for a status, in lower case without a full stop.

   @return A static string; never NULL, whatever the value.
   @par Real-time safe.
*/
WAY_RT const char* way_strerror(WayStatus status);

#endif
