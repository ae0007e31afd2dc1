// Painting the chord now and the chord next.
#ifndef WAY_DRAW_PANEL_PAINT_H
#define WAY_DRAW_PANEL_PAINT_H

#include "draw/panel.h"
#include "draw/theme.h"
#include "theory/harmony.h"

/// Paint the chord now: symbol, tones, degrees.  @param now NULL if none is known.
void way_panel_now_paint(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                         const WayHarmony* now);
/**
   Paint the chord next: symbol, the beats left, the way there, its tones.

   Tones that the chord now does not have stand out: bold, with a bar above.  The target
   has a ring around its degree.
   @param next   NULL if not known.
   @param now    NULL if none is known.
   @param until, lasts Beats; 0 if not known.
   @param pulse  How beats go together.
   @param target To land on; number 0 for none.
*/
void way_panel_next_paint(cairo_t* cr, const WayChordPanel* p, const WayTheme* theme,
                          const WayHarmony* now, const WayHarmony* next, double until,
                          double lasts, WayPanelPulse pulse, WayDegree target);

#endif
