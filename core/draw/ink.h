// Colours of what is printed on white, apart from those of the roles.
#ifndef WAY_DRAW_INK_H
#define WAY_DRAW_INK_H

#include "draw/chip.h"

/// Letters and signs.
#define WAY_INK ((WayColour){0.07, 0.08, 0.09})
/// Letters that matter less; 6 : 1 on white.
#define WAY_INK_SOFT ((WayColour){0.33, 0.35, 0.37})
/// Thin lines.
#define WAY_INK_HAIR ((WayColour){0.80, 0.81, 0.82})
/// Behind what belongs together.
#define WAY_INK_BAND ((WayColour){0.955, 0.95, 0.935})

#endif
