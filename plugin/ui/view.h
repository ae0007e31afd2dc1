// Paints the model into one image that is kept: only what changed, and nothing when
// nothing did.
#ifndef WAY_UI_VIEW_H
#define WAY_UI_VIEW_H

#include "model.h"

#include <cairo.h>

/// Most boxes that change at once.
#define WAY_VIEW_CHANGES ((unsigned)WAY_REGION_COUNT)

/// The picture as painted last.  Starts as `{0}`.
typedef struct {
  cairo_surface_t* image; ///< NULL before the first frame
  int width, height;
  uint64_t stamps[WAY_REGION_COUNT];
  uint64_t over; ///< Stamp of what lies over the screen; 0 for nothing
} WayPicture;

/// What a frame changed.
typedef struct {
  unsigned n;
  WayBox boxes[WAY_VIEW_CHANGES]; ///< In pixels
} WayViewChanges;

/// Bring the picture up to date with a model that is.
/// @return What was painted; nothing without memory.
WayViewChanges way_ui_view_paint(WayPicture* v, const WayModel* m);
/// Give the picture back.
void way_ui_view_clear(WayPicture* v);

#endif
