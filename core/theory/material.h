// The sets of pitches a player can choose to work with.
#ifndef WAY_THEORY_MATERIAL_H
#define WAY_THEORY_MATERIAL_H

#include "theory/chord.h"
#include "theory/key.h"
#include "theory/scale.h"

/// The set of pitches in play.
typedef enum {
  WAY_MATERIAL_TRIAD,       ///< The chord's triad tones
  WAY_MATERIAL_SEVENTH,     ///< All basic tones of the chord
  WAY_MATERIAL_PENTATONIC,  ///< The loop's pentatonic
  WAY_MATERIAL_BLUES,       ///< The loop's pentatonic with the blues note
  WAY_MATERIAL_PARENT,      ///< The loop's parent scale
  WAY_MATERIAL_CHORD_SCALE, ///< The scale of the chord of the moment
  WAY_MATERIAL_ALL,         ///< All twelve
  WAY_MATERIAL_COUNT,
} WayMaterial;

/// The materials that belong to a whole loop, chosen once for all its chords.
typedef struct {
  WayScale pentatonic;
  WayScale blues;
  WayScale parent;
} WayLoopScales;

/// The pitch classes of a loop's scales.
typedef struct {
  WayPcSet pentatonic;
  WayPcSet blues;
  WayPcSet parent;
} WayLoopPcs;

/// The name used on the command line, in presets and on screen (`chord-scale`).  A
/// static string.  @par Real-time safe.
WAY_RT const char* way_material_name(WayMaterial m);
/// The loop scales that go with a key when nothing else is known.  @par Real-time safe.
WAY_RT WayLoopScales way_material_of_key(WayKey key);
/// The pitch classes of way_material_of_key(), found without writing the scales.
/// @par Real-time safe.
WAY_RT WayLoopPcs way_material_pcs_of_key(WayKey key);
/// The pitch classes of a loop's scales.  @par Real-time safe.
WAY_RT WayLoopPcs way_material_pcs(const WayLoopScales* loop);
/**
   The scale of one chord inside a key: the smallest change to the key's scale that
   holds the chord's tones.  The rule and worked examples are in docs/theory.md.

   With N.C. it is the key's own scale.
   @par Real-time safe.
*/
WAY_RT WayScale way_material_chord_scale(const WayChord* chord, WayKey key);
/// The pitch classes of that scale, found without writing it.  @par Real-time safe.
WAY_RT WayPcSet way_material_chord_scale_pcs(const WayChord* chord, WayKey key);
/**
   The pitch classes of every material over a chord.

   @param chord With N.C. triad and seventh are the chord scale too.
   @param chord_scale From way_material_chord_scale_pcs().
   @param out By #WayMaterial.
   @par Real-time safe.
*/
WAY_RT void way_material_sets(const WayChord* chord, const WayLoopPcs* loop,
                              WayPcSet chord_scale, WayPcSet out[WAY_MATERIAL_COUNT]);

#endif
