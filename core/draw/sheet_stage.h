// The stages of practice, as the presets of the plug-in name them.
#ifndef WAY_DRAW_SHEET_STAGE_H
#define WAY_DRAW_SHEET_STAGE_H

#include "theory/material.h"

/// How many stages there are.
#define WAY_STAGES 8u

/// One stage.  Source: presets/*.ttl, which a test compares.
typedef struct {
  const char* name;  ///< `1 Five notes all the way`
  const char* words; ///< What to play, and what to listen to
  WayMaterial material;
} WayStage;

/// Stage `index` (0..#WAY_STAGES - 1).  A static value.
const WayStage* way_stage(unsigned index);
/// Whether a material changes with the chord; else it is one for the whole form.
bool way_stage_by_chord(const WayStage* stage);

#endif
