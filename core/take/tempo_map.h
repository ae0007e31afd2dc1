// The tempos of a MIDI file: from its ticks to seconds.
#ifndef WAY_TAKE_TEMPO_MAP_H
#define WAY_TAKE_TEMPO_MAP_H

#include "take/smf.h"

/// A tempo map: file ticks to seconds.
typedef struct WayTempoMap WayTempoMap;
/// Made from every track's tempo metas (track 0's for format 2); a tempo of zero is
/// passed over.  NULL if out of memory.
WayTempoMap* way_tempo_map_new(const WaySmf* smf);
/// Free a map; NULL is fine.
void way_tempo_map_free(WayTempoMap* map);
/// Seconds from the start of the file.  O(log n).
double way_tempo_map_seconds(const WayTempoMap* map, uint64_t tick);
/// Microseconds a quarter note in force at `tick`.  O(log n).
uint32_t way_tempo_map_at(const WayTempoMap* map, uint64_t tick);

#endif
