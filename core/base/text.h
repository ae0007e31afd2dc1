// Reading and writing text in borrowed, bounded memory.
#ifndef WAY_BASE_TEXT_H
#define WAY_BASE_TEXT_H

#include "base/attributes.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/// A borrowed piece of text: not terminated, may hold any bytes.
typedef struct {
  const char* at; ///< First byte; never NULL
  size_t size;    ///< Bytes
} WayText;

/// A reader's place in a borrowed text.
typedef struct {
  WayText text;    ///< The whole text
  size_t byte;     ///< Place of the next byte, 0..text.size
  uint32_t line;   ///< Line of that byte, from 1
  uint32_t column; ///< Character in that line, from 1 (UTF-8 sequences count once)
} WayCursor;

/// Returned by way_cursor_peek() at the end of the text.
#define WAY_TEXT_END 0xFFFFFFFFu
/// Returned by way_cursor_peek() for a byte that is not UTF-8.
#define WAY_TEXT_INVALID 0xFFFFFFFEu

/// Borrow a terminated string.  @par Real-time safe.
WAY_RT WayText way_text(const char* string);
/// Whether two texts hold the same bytes.  @par Real-time safe.
WAY_RT bool way_text_is(WayText text, const char* string);
/// The same, with ASCII letters compared without case.  @par Real-time safe.
WAY_RT bool way_text_is_nocase(WayText text, const char* string);
/// `text` without ASCII blanks (space, tab, CR, LF) at both ends.  @par Real-time safe.
WAY_RT WayText way_text_trim(WayText text);
/// Whether it begins with the bytes of a terminated string.  @par Real-time safe.
WAY_RT bool way_text_starts(WayText text, const char* string);
/// Byte `i`; 0 if `i` is behind the end.  @par Real-time safe.
static inline char way_text_char(WayText text, size_t i) {
  return i < text.size ? text.at[i] : '\0';
}
/// Whether a byte is one of the characters 0 to 9.  @par Real-time safe.
static inline bool way_is_digit(char c) { return c >= '0' && c <= '9'; }

/// A cursor at the start of `text`.  @par Real-time safe.
WAY_RT WayCursor way_cursor(WayText text);
/**
   The Unicode scalar at the cursor, without moving it.

   @return The code point, #WAY_TEXT_END, or #WAY_TEXT_INVALID for a byte that does
   not start a well-formed UTF-8 sequence (overlong forms and surrogates are not).
   @par Real-time safe.
*/
WAY_RT uint32_t way_cursor_peek(const WayCursor* c);
/// Like way_cursor_peek(), and move past it (by one byte if invalid).
/// @par Real-time safe.
WAY_RT uint32_t way_cursor_next(WayCursor* c);
/// Move past `word` if the text goes on with exactly these bytes.  @par Real-time safe.
WAY_RT bool way_cursor_skip(WayCursor* c, const char* word);
/// Move past ASCII spaces and tabs.  @par Real-time safe.
WAY_RT void way_cursor_skip_blanks(WayCursor* c);
/**
   Record in `error` (which may be NULL) that reading failed at the cursor.

   @param message Copied, cut at #WAY_ERROR_MAX - 1 bytes.
   @return `status`, so a reader can `return way_cursor_fail(...)`.
   @par Real-time safe.
*/
WAY_RT WayStatus way_cursor_fail(const WayCursor* c, WayStatus status,
                                 const char* message, WayError* error);

/**
   Record in `error` (which may be NULL) that something failed at no place of a text.

   @param message Copied, cut at #WAY_ERROR_MAX - 1 bytes.
   @return `status`, so that one can `return way_fail(...)`.
   @par Real-time safe.
*/
WAY_RT WayStatus way_fail(WayStatus status, const char* message, WayError* error);

/**
   A writer into a caller's buffer.

   The buffer is always terminated.  What does not fit is left out, at a UTF-8
   boundary, and `cut` is set; later writes then do nothing.
*/
typedef struct {
  char* at;    ///< The buffer
  size_t room; ///< Its size in bytes, at least 1
  size_t size; ///< Bytes written, without the terminator
  bool cut;    ///< Something did not fit
} WayOut;

/// Start writing into `buffer` of `room` bytes (at least 1).  @par Real-time safe.
WAY_RT WayOut way_out(char* buffer, size_t room);
/// Append a terminated string.  @par Real-time safe.
WAY_RT void way_out_str(WayOut* out, const char* string);
/// Append a borrowed text.  @par Real-time safe.
WAY_RT void way_out_text(WayOut* out, WayText text);
/// Append one ASCII character.  @par Real-time safe.
WAY_RT void way_out_char(WayOut* out, char c);
/// Append a decimal number.  @par Real-time safe.
WAY_RT void way_out_int(WayOut* out, int64_t value);

#endif
