// What the readers of a chart's lines share: their place in the text, the chart so far,
// and how they fail.
#ifndef WAY_CHART_READER_H
#define WAY_CHART_READER_H

#include "base/text.h"
#include "chart/chart.h"

/// How far the reader is in a repeat.
typedef enum {
  WAY_REPEAT_NONE,
  WAY_REPEAT_BODY,   ///< Behind `|:`
  WAY_REPEAT_ENDING, ///< In an ending that is not closed
  WAY_REPEAT_CLOSED, ///< Behind `:|`: an ending may follow
} WayRepeatState;

/// A chart on its way from text.
typedef struct {
  WayCursor at;
  WayError* error; ///< May be NULL
  WayChart* chart; ///< Always fit for way_chart_free()
  uint32_t room_sections, room_bars, room_slots, room_form;
  WayCursor section; ///< Where the section's name stands
  unsigned seen;     ///< Bit n: header n stands in this section (or before the first)
  WayCursor form;    ///< Where the names of `form:` stand
  WayText form_text; ///< They; size 0 if not given
  WayCursor unnamed; ///< Where the first bar stands that is in no named section

  WayRepeatState repeat;
  WayCursor repeat_at; ///< Where its `|:` stands
  WayCursor ending_at; ///< Where its newest ending begins
  uint16_t endings;    ///< All of its endings, as in WayChartBar
  uint16_t ending;     ///< The newest
  bool endings_behind; ///< Its endings stand behind the `:|` of its body
  bool opens;          ///< The next bar is the first of the repeat
} WayChartReader;

/// Fail at `place`, see way_cursor_fail().
WayStatus way_reader_fail(WayChartReader* r, const WayCursor* place, WayStatus status,
                          const char* message);
/// Fail for want of memory.
WayStatus way_reader_no_memory(WayChartReader* r);
/// Pass on the failure of a reader that was given a piece of the line from `place` on.
WayStatus way_reader_fail_inside(WayChartReader* r, const WayCursor* place,
                                 const WayError* inner);
/// Whether a character, as of way_cursor_peek(), is a space, tab or carriage return.
bool way_reader_is_blank(uint32_t c);
/// Whether it ends what a line says: a new line, a comment, the end of the text.
bool way_reader_ends_line(uint32_t c);
/// Whether it is a decimal digit.
bool way_reader_is_digit(uint32_t c);
/// Move past spaces, tabs and carriage returns.
void way_reader_skip_blanks(WayChartReader* r);
/// Whether nothing but a comment is left in the line.
bool way_reader_at_line_end(const WayChartReader* r);
/// Read a whole number, 0 if there is none; large ones stop at 1000000.
uint32_t way_reader_number(WayCursor* c);
/// Begin a section in the key and metre of the chart.
WayStatus way_reader_add_section(WayChartReader* r, WayText name);

#endif
