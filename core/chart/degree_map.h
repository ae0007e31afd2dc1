// The degree map of a form: what each note of a material is over each chord, and what
// each change of chord keeps and brings.
#ifndef WAY_CHART_DEGREE_MAP_H
#define WAY_CHART_DEGREE_MAP_H

#include "base/status.h"
#include "theory/loop_fit.h"
#include "time/timeline.h"

/// One chord of the form; each has one column, in the order they appear.
typedef struct {
  uint32_t harmony; ///< Index into the timeline's harmonies; never N.C.
  uint32_t next;    ///< Column of the chord that follows it first
  WayTick length;   ///< How long it sounds in one chorus, all times together
} WayMapColumn;

/// One change from chord to chord, wherever it happens.  The form goes round, and N.C.
/// is passed over.
typedef struct {
  uint32_t from, to;       ///< Columns
  uint32_t times;          ///< How often in one chorus
  WayPcSet stay;           ///< Chord tones of both
  WayPcSet fresh;          ///< Chord tones of the second alone
  WayPcSet gone;           ///< Chord tones of the first alone
  WayPcSet material_fresh; ///< Notes of the material over the second alone
  WayPcSet material_gone;  ///< Notes of the material over the first alone
} WayMapChange;

/// A degree map.  Made by way_degree_map_new(), not changed afterwards.
typedef struct {
  const WayTimeline* timeline; ///< Borrowed
  WayMaterial material;
  WayLoopChoice choice; ///< For pentatonic, blues and parent: the scale and its
                        ///< runner-up; else `best.scale.n` is 0
  uint8_t n_rows;
  WaySpelling rows[12]; ///< Every note of the material, rising from the tonic
  uint32_t n_columns, n_changes;
  WayMapColumn* columns;
  WayMapChange* changes; ///< In the order they first happen
} WayDegreeMap;

/// One note over one chord.
typedef struct {
  WayRoleOf what;
  bool in_material; ///< The material over this chord has the note
} WayMapCell;

/**
   Make the degree map of a form.

   @param timeline Borrowed as long as the map lives.
   @param out      To be freed with way_degree_map_free(); left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_degree_map_new(const WayTimeline* timeline, WayMaterial material,
                             WayDegreeMap** out);
/// Free a map; NULL is fine.
void way_degree_map_free(WayDegreeMap* map);
/// The harmony of a column (0..n_columns-1).  Borrowed.
const WayHarmony* way_degree_map_harmony(const WayDegreeMap* map, uint32_t column);
/// What the note of a row (0..n_rows-1) is in a column (0..n_columns-1).
WayMapCell way_degree_map_cell(const WayDegreeMap* map, unsigned row, uint32_t column);
/// The chord tones of a column that its material holds.
WayPcSet way_degree_map_shared(const WayDegreeMap* map, uint32_t column);

#endif
