#include "chart/bar_read.h"

#include "chart/grow.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/numeral_read.h"

static WayChartSection* section_now(const WayChartReader* r) {
  return &r->chart->sections[r->chart->n_sections - 1];
}

// Repeats ---------------------------------------------------------------------------

/// The repeat ends here, unless none is open: see that it is whole.
static WayStatus repeat_end(WayChartReader* r) {
  const WayRepeatState state = r->repeat;
  r->repeat = WAY_REPEAT_NONE;
  if (state == WAY_REPEAT_NONE) return WAY_OK;
  if (state == WAY_REPEAT_BODY)
    return way_reader_fail(r, &r->repeat_at, WAY_ERR_SYNTAX,
                           "expected ':|' to close this repeat");
  if (r->endings & (r->endings + 1u))
    return way_reader_fail(r, &r->repeat_at, WAY_ERR_SYNTAX,
                           "expected the endings of this repeat to be numbered from 1 "
                           "without a gap");
  const bool last = r->ending > 1 && !(r->ending & (r->ending - 1u)) &&
                    r->ending > (r->endings & ~r->ending);
  if (state == WAY_REPEAT_ENDING && !last)
    return way_reader_fail(r, &r->ending_at, WAY_ERR_SYNTAX,
                           "expected ':|' to close every ending but the last");
  return WAY_OK;
}

static WayStatus repeat_open(WayChartReader* r, const WayCursor* place) {
  if (r->repeat == WAY_REPEAT_BODY)
    return way_reader_fail(r, place, WAY_ERR_SYNTAX,
                           "expected ':|' before another '|:'");
  const WayStatus st = repeat_end(r);
  if (st) return st;
  r->repeat = WAY_REPEAT_BODY;
  r->repeat_at = *place;
  r->endings = r->ending = 0;
  r->opens = true;
  r->endings_behind = false;
  return WAY_OK;
}

static WayStatus repeat_close(WayChartReader* r, const WayCursor* place) {
  if (r->opens)
    return way_reader_fail(r, place, WAY_ERR_SYNTAX,
                           "expected a bar between '|:' and ':|'");
  if (r->repeat != WAY_REPEAT_BODY && r->repeat != WAY_REPEAT_ENDING)
    return way_reader_fail(r, place, WAY_ERR_SYNTAX, "expected '|:' before ':|'");
  r->repeat = WAY_REPEAT_CLOSED;
  r->chart->bars[r->chart->n_bars - 1].repeat_close = true;
  return WAY_OK;
}

/// Endings may also stand behind the `:|` of what they end: `|: C :| 1. D | 2. E`. That
/// is kept as if written `|: C | 1. D :| 2. E`.
static WayStatus ending_begin(WayChartReader* r, uint16_t ending,
                              const WayCursor* place) {
  const char* message = NULL;
  if (r->repeat == WAY_REPEAT_NONE)
    message = "expected '|:' before an ending";
  else if (r->repeat == WAY_REPEAT_ENDING && !r->endings_behind)
    message = "expected ':|' before the next ending";
  else if (r->endings & ending)
    message = "expected an ending with a number of its own";
  if (message) return way_reader_fail(r, place, WAY_ERR_SYNTAX, message);
  if (r->repeat == WAY_REPEAT_CLOSED && !r->endings) r->endings_behind = true;
  if (r->endings_behind)
    r->chart->bars[r->chart->n_bars - 1].repeat_close = r->endings != 0;
  r->repeat = WAY_REPEAT_ENDING;
  r->ending_at = *place;
  r->ending = ending;
  r->endings |= ending;
  return WAY_OK;
}

/// Read `1.`, `1.2.`, `1,3.` or `1.-3.` as bits.
static WayStatus ending_read(WayChartReader* r, uint16_t* out) {
  unsigned bits = 0;
  for (uint32_t from = 0;;) {
    const WayCursor place = r->at;
    const uint32_t n = way_reader_number(&r->at);
    if (n < 1 || n > WAY_CHART_ENDING_MAX || n < from)
      return way_reader_fail(r, &place, WAY_ERR_RANGE,
                             "expected the number of an ending, 1 to 16, rising");
    for (uint32_t i = from ? from : n; i <= n; ++i) bits |= 1u << (i - 1);
    from = 0;
    const bool dot = way_cursor_skip(&r->at, ".");
    if (way_cursor_skip(&r->at, "-")) {
      from = n;
    } else if (!way_cursor_skip(&r->at, ",") &&
               !(dot && way_reader_is_digit(way_cursor_peek(&r->at)))) {
      if (!dot)
        return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                               "expected '.' behind the number of an ending");
      *out = (uint16_t)bits;
      return WAY_OK;
    }
  }
}

// Chords ----------------------------------------------------------------------------

bool way_bar_line_begins(const WayCursor* c) {
  const uint32_t first = way_cursor_peek(c);
  if (first != ':') return first == '|';
  WayCursor next = *c;
  way_cursor_next(&next);
  return way_cursor_peek(&next) == '|';
}

static WayText token(WayChartReader* r) {
  const size_t from = r->at.byte;
  for (;;) {
    const uint32_t c = way_cursor_peek(&r->at);
    if (way_reader_is_blank(c) || way_reader_ends_line(c) || c == '>' ||
        way_bar_line_begins(&r->at))
      break;
    way_cursor_next(&r->at);
  }
  return (WayText){r->at.text.at + from, r->at.byte - from};
}

/// Whether a symbol is a numeral: `I` or `V` of either case, behind any accidentals.
static bool is_numeral(WayText text) {
  static const uint32_t accidentals[] = {'b', '#', 0x266D, 0x266F, 0x266E};
  WayCursor c = way_cursor(text);
  for (size_t i = 0; i < WAY_COUNT(accidentals);) {
    if (way_cursor_peek(&c) != accidentals[i]) {
      ++i;
      continue;
    }
    way_cursor_next(&c);
    i = 0;
  }
  const uint32_t first = way_cursor_peek(&c);
  return first == 'I' || first == 'V' || first == 'i' || first == 'v';
}

/// Read a symbol into a slot.
static WayStatus symbol_read(WayChartReader* r, WayChartSlot* slot) {
  const WayCursor place = r->at;
  const WayText text = token(r);
  const WayChartSection* const s = section_now(r);
  WayError inner = {WAY_OK, 0, 0, 0, ""};
  WayOut out = way_out(slot->text, sizeof(slot->text));
  if (is_numeral(text)) {
    if (!r->chart->key_given && !s->key_given)
      return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                             "expected a line 'key:' further up: numerals need a key");
    slot->kind = WAY_SLOT_NUMERAL;
    if (way_numeral_read(text, s->key, &slot->chord, &inner))
      return way_reader_fail_inside(r, &place, &inner);
    way_out_text(&out, text);
  } else {
    slot->kind = WAY_SLOT_CHORD;
    if (way_chord_read(text, &slot->chord, &inner))
      return way_reader_fail_inside(r, &place, &inner);
    way_chord_write(&slot->chord, &out);
  }
  if (out.cut)
    return way_reader_fail(r, &place, WAY_ERR_RANGE, "expected a shorter symbol");
  return WAY_OK;
}

/// Read the target behind `>`.  A bare number means the chord's own tone of that
/// number.
static WayStatus target_read(WayChartReader* r, WayChartSlot* slot) {
  const WayCursor place = r->at;
  way_cursor_next(&r->at);
  if (way_chord_is_none(&slot->chord))
    return way_reader_fail(r, &place, WAY_ERR_SYNTAX, "expected a chord before '>'");
  const WayCursor start = r->at;
  const WayText text = token(r);
  WayCursor c = way_cursor(text);
  WayError inner = {WAY_OK, 0, 0, 0, ""};
  WayDegree degree;
  if (way_degree_read(&c, &degree, &inner))
    return way_reader_fail_inside(r, &start, &inner);
  if (c.byte < text.size) {
    way_cursor_fail(&c, WAY_ERR_SYNTAX, "expected a degree such as 3, b7 or #11",
                    &inner);
    return way_reader_fail_inside(r, &start, &inner);
  }
  const WayDegree* const own = way_chord_tone_numbered(&slot->chord, degree.number);
  slot->target = own && way_reader_is_digit((uint8_t)text.at[0]) ? *own : degree;
  return WAY_OK;
}

static WayStatus slot_add(WayChartReader* r, const WayChartSlot* slot) {
  WayChart* const c = r->chart;
  WayChartSlot* const grown =
      way_grow(c->slots, c->n_slots, &r->room_slots, sizeof(*c->slots));
  if (!grown) return way_reader_no_memory(r);
  c->slots = grown;
  c->slots[c->n_slots++] = *slot;
  ++c->bars[c->n_bars - 1].n_slots;
  return WAY_OK;
}

/// Read `%`.
static WayStatus repeat_slot_read(WayChartReader* r, WayChartBar* bar) {
  const WayChart* const c = r->chart;
  const uint32_t now = c->n_bars - 1;
  if (bar->n_slots)
    return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX, "expected '%' alone in its bar");
  if (!now)
    return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                           "expected a chord: no bar stands before this one");
  const WayChartSection* const s = section_now(r);
  if (s->first_bar == now && c->n_sections > 1) {
    if (!way_metre_equal(s[-1].metre, s->metre))
      return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                             "expected a chord: the bar before is in another metre");
  }
  bar->source = c->bars[now - 1].source;
  const WayChartSlot slot = {.kind = WAY_SLOT_REPEAT, .text = "%", .shares = 1};
  way_cursor_next(&r->at);
  return slot_add(r, &slot);
}

/// Read slashes that stand alone: one share more for the chord before.
static WayStatus slashes_read(WayChartReader* r, const WayChartBar* bar) {
  const WayCursor place = r->at;
  const WayText text = token(r);
  for (size_t i = 0; i < text.size; ++i)
    if (text.at[i] != '/')
      return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                             "expected a blank behind '/', or a chord before it");
  if (!bar->n_slots)
    return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                           "expected a chord before '/' in its bar");
  WayChartSlot* const slot = &r->chart->slots[r->chart->n_slots - 1];
  if (slot->shares + text.size > WAY_CHART_SHARES_MAX)
    return way_reader_fail(r, &place, WAY_ERR_RANGE,
                           "expected at most 64 chords and '/' in a bar");
  slot->shares = (uint8_t)(slot->shares + text.size);
  return WAY_OK;
}

/// Read a chord or numeral, with its target.
static WayStatus chord_slot_read(WayChartReader* r) {
  WayChartSlot slot = {.shares = 1};
  if (way_cursor_peek(&r->at) == '>')
    return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX, "expected a chord before '>'");
  WayStatus st = symbol_read(r, &slot);
  if (!st && way_cursor_peek(&r->at) == '>') st = target_read(r, &slot);
  return st ? st : slot_add(r, &slot);
}

/// See that the shares of a bar fill its beats.
static WayStatus shares_check(WayChartReader* r, const WayChartBar* bar,
                              const WayCursor* place) {
  unsigned shares = 0;
  for (unsigned i = 0; i < bar->n_slots; ++i)
    shares += r->chart->slots[bar->first_slot + i].shares;
  if (shares > WAY_CHART_SHARES_MAX)
    return way_reader_fail(r, place, WAY_ERR_RANGE,
                           "expected at most 64 chords and '/' in a bar");
  const unsigned beats = section_now(r)->metre.beats;
  if (shares == bar->n_slots || shares % beats == 0 || beats % shares == 0)
    return WAY_OK;
  char text[WAY_ERROR_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, "expected the chords and '/' of this bar to fill its ");
  way_out_int(&out, beats);
  way_out_str(&out, " beats evenly, found ");
  way_out_int(&out, shares);
  return way_reader_fail(r, place, WAY_ERR_SYNTAX, text);
}

// Bars ------------------------------------------------------------------------------

/// Add a bar that holds nothing yet.
static WayStatus bar_add(WayChartReader* r) {
  WayChart* const c = r->chart;
  if (!c->n_sections) {
    const WayStatus st = way_reader_add_section(r, way_text(""));
    if (st) return st;
    r->unnamed = r->at;
  }
  WayChartBar* const grown =
      way_grow(c->bars, c->n_bars, &r->room_bars, sizeof(*c->bars));
  if (!grown) return way_reader_no_memory(r);
  c->bars = grown;
  c->bars[c->n_bars] = (WayChartBar){
      .first_slot = c->n_slots, .source = c->n_bars, .repeat_open = r->opens};
  r->opens = false;
  ++c->n_bars;
  ++section_now(r)->n_bars;
  return WAY_OK;
}

/// Add a bar, with the numbers of an ending if there are any; without, a repeat behind
/// its last `:|` is over.
static WayStatus bar_begin(WayChartReader* r) {
  const WayCursor place = r->at;
  uint16_t ending = 0;
  WayStatus st = WAY_OK;
  if (way_reader_is_digit(way_cursor_peek(&r->at))) {
    st = ending_read(r, &ending);
    if (!st) st = ending_begin(r, ending, &place);
  } else if (r->repeat == WAY_REPEAT_CLOSED) {
    st = repeat_end(r);
  }
  if (!st) st = bar_add(r);
  if (!st) r->chart->bars[r->chart->n_bars - 1].endings = ending;
  return st;
}

/// Read what stands between two bar lines.
static WayStatus bar_read(WayChartReader* r) {
  WayStatus st = bar_begin(r);
  if (st) return st;
  WayChartBar* const bar = &r->chart->bars[r->chart->n_bars - 1];
  way_reader_skip_blanks(r);
  const WayCursor place = r->at;
  while (!way_reader_at_line_end(r) && !way_bar_line_begins(&r->at)) {
    const uint32_t c = way_cursor_peek(&r->at);
    if (bar->source != r->chart->n_bars - 1)
      return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                             "expected '%' alone in its bar");
    if (c == '%')
      st = repeat_slot_read(r, bar);
    else if (c == '/')
      st = slashes_read(r, bar);
    else
      st = chord_slot_read(r);
    if (st) return st;
    way_reader_skip_blanks(r);
  }
  if (!bar->n_slots)
    return way_reader_fail(r, &r->at, WAY_ERR_SYNTAX,
                           "expected a chord, 'N.C.' or '%'");
  return shares_check(r, bar, &place);
}

/// Read `|`, `||`, `|:`, `:|` or `:|:`; true in `*plain` if nothing repeats.
static WayStatus bar_line_read(WayChartReader* r, bool* plain) {
  const WayCursor place = r->at;
  const bool closes = way_cursor_skip(&r->at, ":");
  way_cursor_next(&r->at); // the bar line itself
  way_cursor_skip(&r->at, "|");
  WayCursor next = r->at;
  const bool opens = way_cursor_skip(&next, ":") && !way_bar_line_begins(&r->at);
  *plain = !closes && !opens;
  WayStatus st = closes ? repeat_close(r, &place) : WAY_OK;
  if (st || !opens) return st;
  st = repeat_open(r, &place);
  r->at = next;
  return st;
}

/// Read bar lines that follow each other, of which at most one may be plain.
static WayStatus bar_lines_read(WayChartReader* r) {
  for (bool plain_before = false; way_bar_line_begins(&r->at);) {
    const WayCursor place = r->at;
    bool plain;
    const WayStatus st = bar_line_read(r, &plain);
    if (st) return st;
    if (plain && plain_before)
      return way_reader_fail(r, &place, WAY_ERR_SYNTAX,
                             "expected a chord, 'N.C.' or '%'");
    plain_before = plain;
    way_reader_skip_blanks(r);
  }
  return WAY_OK;
}

WayStatus way_bars_read(WayChartReader* r) {
  WayStatus st = bar_lines_read(r);
  while (!st && !way_reader_at_line_end(r)) {
    st = bar_read(r);
    if (!st) st = bar_lines_read(r);
  }
  return st;
}

WayStatus way_bars_end_section(WayChartReader* r) { return repeat_end(r); }
