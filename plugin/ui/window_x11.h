// A window inside a host's: opened, polled and filled from one picture.  Nothing else
// of the program knows Xlib.
#ifndef WAY_UI_WINDOW_X11_H
#define WAY_UI_WINDOW_X11_H

#include "model.h"

#include <cairo.h>

/// Smallest size asked of a window manager, in pixels at scale 1.
#define WAY_WINDOW_LEAST_WIDTH 480
#define WAY_WINDOW_LEAST_HEIGHT 270

/// A window with a connection of its own.
typedef struct WayWindow WayWindow;

/// What it tells; called from way_window_poll() only.
typedef struct {
  void* to; ///< Handed to all functions
  /// @return Whether that is something; a key that is not goes on to the host.
  bool (*input)(void* to, const WayUiInput* in);
} WayWindowListener;

/**
   Open a window.

   @param parent Window to stand in; 0 for none.
   @return NULL if there is no display, or no memory.
*/
WayWindow* way_window_open(uintptr_t parent, int width, int height, double scale,
                           const WayWindowListener* listener);
/// Close it; NULL is fine.
void way_window_close(WayWindow* w);
/// Its number, for the host.
uintptr_t way_window_id(const WayWindow* w);
/// Take in what happened, without waiting.
/// @return False once the window is gone: the host destroyed it, or the display ended.
bool way_window_poll(WayWindow* w);
/// Its size in pixels.
void way_window_size(const WayWindow* w, int* width, int* height);
/// Ask for another size.
void way_window_resize(WayWindow* w, int width, int height);
/// Whether all of it has to be shown anew, and that this was done.
bool way_window_take_exposed(WayWindow* w);
/// Show a part of a picture of the window's size.
void way_window_show(WayWindow* w, cairo_surface_t* picture, WayBox part);

#endif
