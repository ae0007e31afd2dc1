// Colours of a picture, apart from those of the roles, which never change.
#ifndef WAY_DRAW_THEME_H
#define WAY_DRAW_THEME_H

#include "base/text.h"
#include "draw/chip.h"

/// The themes there are.
typedef enum {
  WAY_THEME_LIGHT,
  WAY_THEME_DARK,
  WAY_THEME_CONTRAST, ///< Black and white, with heavier lines
  WAY_THEME_PRINT,    ///< Dark on white paper
  WAY_THEME_COUNT,
} WayThemeName;

/// A theme.
typedef struct {
  WayColour ground; ///< Behind everything
  WayColour band;   ///< Behind what matters now
  WayColour ink;    ///< Letters and signs
  WayColour soft;   ///< Letters that matter less; still 4.5 : 1 on ground and band
  WayColour hair;   ///< Thin lines
  WayColour target; ///< The halo of a target
  WayColour edge;   ///< On both sides of the halo, so that it shows on any ground
  double weight;    ///< Lines are this much heavier than usual
  bool plain;       ///< Roles in ink, told by their shapes alone
} WayTheme;

/// A theme by its name.  A static value.
const WayTheme* way_theme(WayThemeName name);
/// The name used on the command line and on screen: `light`.  A static string.
const char* way_theme_name(WayThemeName name);

#endif
