// A host with a window: the guide, and its window inside one of the host's own.
#ifndef WAY_TESTS_WINDOW_HOST_H
#define WAY_TESTS_WINDOW_HOST_H

#include "host.h"

#include <cairo.h>
#include <lv2/options/options.h>
#include <lv2/ui/ui.h>
#include <X11/Xlib.h>

/// What a host may do another way; zeroes give a plain one.
typedef struct {
  double scale;    ///< ui:scaleFactor; 0 for none
  bool asks_files; ///< Offers ui:requestValue
  bool no_parent;  ///< Lets the window stand alone
  bool no_echo;    ///< Does not tell the window what it set itself
} WindowHostOptions;

/// One window of a host.
typedef struct {
  WindowHostOptions options;
  Host* host;       ///< Shared by several windows, perhaps
  Display* display; ///< The host's own connection
  Window parent;
  const LV2UI_Descriptor* descriptor;
  LV2UI_Handle ui; ///< NULL if it did not open
  const LV2UI_Idle_Interface* idle;
  const LV2UI_Resize* resize;
  LV2UI_Resize host_resize; ///< The host's own features
  LV2UI_Touch host_touch;
  LV2UI_Request_Value host_request;
  Window window;              ///< The guide's
  size_t next;                ///< First event of the out port not handed over yet
  float said[HOST_PORTS_MAX]; ///< Controls as told to the window
  int width, height;          ///< Asked for by the window
  unsigned writes;            ///< Controls it has set
  unsigned messages;          ///< Messages it has sent
  unsigned touches;           ///< Times it took or let go a control
  unsigned file_requests;
  unsigned heard; ///< Messages of the guide handed over
} WindowHost;

/// Open a window for a guide; `ui` is NULL if it did not open.  Ends the program
/// without a display.  @param host Borrowed.
WindowHost* window_host_new(Host* host, const WindowHostOptions* options);
/// Close it; NULL is fine.
void window_host_free(WindowHost* w);
/// Hand over what the guide said, and let the window work once.
/// @return What its idle function returned.
int window_host_idle(WindowHost* w);
/// Run the guide for `frames` in blocks of `block`, with all windows working along.
void window_host_run(WindowHost* const* windows, unsigned n, int64_t frames,
                     uint32_t block);
/// Do nothing for a while.
void window_host_wait(double seconds);
/// Let it work until it had time to show all there is.
void window_host_settle(WindowHost* w);
/// Press and let go a key.  @param state As in XKeyEvent.
void window_host_key(WindowHost* w, KeySym sym, unsigned state);
/// A pointer event.  @param type ButtonPress, ButtonRelease or MotionNotify.
void window_host_pointer(WindowHost* w, int type, unsigned button, int x, int y);
/// What the window shows now; to be destroyed by the caller.
cairo_surface_t* window_host_picture(WindowHost* w);
/// Bytes of a picture that differ from another of the same size.
size_t pictures_apart(cairo_surface_t* a, cairo_surface_t* b);

#endif
