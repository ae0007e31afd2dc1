// A text being typed: a chart, or the path of one.
#ifndef WAY_UI_LINE_H
#define WAY_UI_LINE_H

#include "base/text.h"

/// Room for the text, with its terminator.
#define WAY_LINE_MAX (32u << 10)

/// A text and a caret.  The text is UTF-8 and terminated.
typedef struct {
  char text[WAY_LINE_MAX];
  uint32_t size;
  uint32_t caret; ///< Byte before which typing goes on; never inside a character
} WayLine;

/// Start with a text, the caret behind it.  @return False if it is too long: empty
/// then.
bool way_line_set(WayLine* l, WayText text);
/// Type a text: what is not UTF-8 or a control character other than a line's end is
/// left out.  @return False if it does not fit: nothing is changed.
bool way_line_insert(WayLine* l, WayText text);
/// Delete the character before the caret, or behind it.
void way_line_delete(WayLine* l, bool behind);
/// Move the caret by a character to the left (-1) or right (1).
void way_line_move(WayLine* l, int by);
/// Move the caret to the start or the end of its line; from there to that of the text.
void way_line_end(WayLine* l, bool end);
/// Move the caret up (-1) or down (1) a line, into the same column where there is one.
void way_line_step(WayLine* l, int by);
/// The line of the text that holds a byte, and where it begins.
WayText way_line_at(const WayLine* l, uint32_t byte, uint32_t* from);

#endif
