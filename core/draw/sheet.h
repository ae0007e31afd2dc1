// A lesson hand-out: what is on it, and on which page it stands.  Pure geometry.
#ifndef WAY_DRAW_SHEET_H
#define WAY_DRAW_SHEET_H

#include "chart/chart.h"
#include "chart/degree_map.h"
#include "draw/box.h"
#include "draw/fretboard.h"
#include "draw/position.h"
#include "draw/shown.h"
#include "draw/staff.h"
#include "theory/guide_line.h"

/// Paper.
typedef enum { WAY_PAPER_A4, WAY_PAPER_LETTER, WAY_PAPER_COUNT } WayPaper;
/// `A4` or `Letter`.  A static string.
const char* way_paper_name(WayPaper paper);

// How much stands side by side, and sizes that layout and painting share.
#define WAY_SHEET_BARS 4u      ///< Written bars, at most
#define WAY_SHEET_STAGES 2u    ///< Stages
#define WAY_SHEET_POSITIONS 3u ///< Positions
#define WAY_SHEET_NOTES 44.0   ///< Width of the degree map's column of notes
#define WAY_SHEET_COLUMN 41.0  ///< Width of one of its chords
#define WAY_SHEET_NAMES 34.0   ///< Height of their names
#define WAY_SHEET_ROW 19.0     ///< Height of one of its notes
#define WAY_SHEET_COLUMNS 18.0 ///< Height of the names of the changes' columns
#define WAY_SHEET_GUTTER 34.0  ///< Beside the bars, for a short name of a section
#define WAY_SHEET_SHORT 3u     ///< Letters of a short one
#define WAY_SHEET_LARGE 1.25   ///< Large print is so much larger

/// How a sheet looks.
typedef struct {
  WayFretboard frets; ///< Tuning, capo, hand; with `window` also the frets shown
  bool window;        ///< Show the frets of `frets`, not those of a hand position
  uint8_t position; ///< Fret of the first finger; 0: the best one for the parent scale
  bool all_positions; ///< Also the parent scale in every position
  bool keyboard;      ///< Keyboards instead of fretboards
  bool by_name;       ///< Signs say notes, not degrees
  bool mono;          ///< Black and white
  bool large;         ///< Large print
  WayPaper paper;
} WaySheetLook;

/// The part of a fretboard that a look shows for a set of notes.
/// @param root Of the set: decides between equal positions.
WayFretboard way_sheet_board(const WaySheetLook* look, WayPcSet set, WayPc root);
/**
   The positions worth playing a set in: those with the fewest gaps, up the neck.

   @param out Room for #WAY_POSITIONS.
   @return How many.
*/
unsigned way_sheet_positions(const WaySheetLook* look, WayPcSet set,
                             WayPosition out[WAY_POSITIONS]);

/// What a piece of a page holds.
typedef enum {
  WAY_BLOCK_TITLE,     ///< The tune's name and particulars
  WAY_BLOCK_HEAD,      ///< Name of a part; `first` is the #WaySheetPart
  WAY_BLOCK_BARS,      ///< Written bars `first`..`first + n - 1` of a section
  WAY_BLOCK_LINE,      ///< Bars of the form as played, with the guide-tone line
  WAY_BLOCK_STAGES,    ///< Stages of practice, side by side
  WAY_BLOCK_CHORD,     ///< Column `first` of the map: tones and scale
  WAY_BLOCK_MAP,       ///< Columns of the degree map
  WAY_BLOCK_CHANGES,   ///< Changes of the degree map
  WAY_BLOCK_POSITIONS, ///< Positions of the parent scale, side by side
  WAY_BLOCK_COUNT,
} WayBlockKind;

/// The parts of a sheet.
typedef enum {
  WAY_PART_CHART,
  WAY_PART_LINE,
  WAY_PART_STAGES,
  WAY_PART_CHORDS,
  WAY_PART_MAP,
  WAY_PART_CHANGES,
  WAY_PART_POSITIONS,
  WAY_PART_COUNT,
} WaySheetPart;

/// A piece of a page.
typedef struct {
  WayBlockKind kind;
  WaySheetPart part;
  uint32_t first, n; ///< As its kind says
  uint32_t page;     ///< From 0
  WayBox box;        ///< On the page, in the sheet's units
} WayBlock;

/// Most pages of a sheet.
#define WAY_SHEET_PAGES_MAX 400u

/// A sheet.  Made by way_sheet_new(), not changed afterwards.
typedef struct {
  WaySheetLook look;
  const WayChart* chart;   ///< Borrowed
  const WayTimeline* form; ///< Borrowed
  WayFretboard board;      ///< What every diagram shows
  WayDegreeMap* map;       ///< Of the parent scale
  WayLineTone* line;       ///< The guide-tone line: one tone a span
  uint32_t* played;        ///< By written bar: the bar of the form that plays it first,
                           ///< or UINT32_MAX
  WayClef clef;            ///< Bass for an instrument that lies as low
  uint32_t line_bars;      ///< Bars a row of the line, at most: 4, or 8 of few chords
  double deep;             ///< Free below a row of the line, for notes far down
  WayPosition positions[WAY_POSITIONS];
  unsigned n_positions;
  double width, height; ///< Of a page, in the sheet's units
  double scale;         ///< Points a unit
  WayBox body;          ///< Of every page: between header and footer
  bool narrow;          ///< Large print: fewer words a line, so more lines
  uint32_t n_pages, n_blocks, room;
  WayBlock* blocks; ///< In order
} WaySheet;

/**
   Make a sheet.

   @param chart, form Borrowed as long as the sheet lives.
   @param out         To be freed with way_sheet_free(); left untouched on error.
   @return #WAY_OK, #WAY_ERR_NO_MEMORY, or #WAY_ERR_FULL above #WAY_SHEET_PAGES_MAX
   pages.
*/
WayStatus way_sheet_new(const WayChart* chart, const WayTimeline* form,
                        const WaySheetLook* look, WaySheet** out);
/// Free a sheet; NULL is fine.
void way_sheet_free(WaySheet* sheet);

/// The width beside the written bars, where sections are named: 0 without any.
double way_sheet_gutter(const WayChart* chart);
/// The widths that a written bar, and a bar of the form in the guide-tone line, want
/// for their symbols, by an estimate.
double way_sheet_bar_wants(const WaySheet* sheet, uint32_t bar);
double way_sheet_line_wants(const WaySheet* sheet, uint32_t bar);

/// The stage that cell `index` (0..#WAY_STAGES - 1) shows: its notes, and over which
/// column of the map (UINT32_MAX: over the whole form, or a form without chords).
WayShown way_sheet_stage_shown(const WaySheet* sheet, unsigned index, uint32_t* column);

#endif
