#include "window_x11.h"

#include <X11/keysym.h>
#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <X11/Xlibint.h>
#include <X11/Xutil.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>
#undef min
#undef max

#define PASTE_MAX (64 << 10) ///< Bytes

struct WayWindow {
  WayWindowListener listener;
  Display* display;
  Window window;
  Window parent; ///< 0 for none
  int width, height;
  Visual* visual; ///< 8 bits each of red, green and blue, as cairo has them
  Colormap colours;
  GC gc;
  Atom clipboard, utf8, pasted, delete_window;
  bool exposed; ///< All of it has to be shown anew
  bool gone;    ///< The window was destroyed
  bool lost;    ///< The connection ended: nothing may be asked of it
};

// ---- What must not end the host's program.

/// The connection ended: Xlib goes on to the display's own handler, below or another's,
/// instead of leaving the program at once.
static int on_io_error(Display* display) {
  (void)display;
  return 0;
}

/// Before anything is asked of the display.  @return For leave().
static XIOErrorHandler enter(void) { return XSetIOErrorHandler(on_io_error); }

/// Afterwards: the program's own handler is back.
static void leave(XIOErrorHandler before) { XSetIOErrorHandler(before); }

/// This connection ended; without this Xlib would leave the program.
static void on_lost(Display* display, void* to) {
  WayWindow* const w = to;
  (void)display;
  w->lost = w->gone = true;
}

/// An error of this connection alone: mostly a window that the host took away.  The
/// handler of the program, which is the host's, never hears of it.
static Bool on_error(Display* display, XErrorEvent* event, xError* wire) {
  (void)display;
  (void)event;
  (void)wire;
  return False;
}

static void guard(WayWindow* w) {
  XSetIOErrorExitHandler(w->display, on_lost, w);
  for (int code = 1; code < 256; ++code) XESetWireToError(w->display, code, on_error);
}

// ---- Opened and closed.

static Atom atom(const WayWindow* w, const char* name) {
  return XInternAtom(w->display, name, False);
}

static void set_hints(const WayWindow* w, double scale) {
  XSizeHints hints = {.flags = PMinSize | PBaseSize | PSize,
                      .min_width = (int)lrint(WAY_WINDOW_LEAST_WIDTH * scale),
                      .min_height = (int)lrint(WAY_WINDOW_LEAST_HEIGHT * scale),
                      .base_width = w->width,
                      .base_height = w->height,
                      .width = w->width,
                      .height = w->height};
  XSetWMNormalHints(w->display, w->window, &hints);
  XStoreName(w->display, w->window, "Waymark");
  Atom wanted = w->delete_window;
  if (!w->parent) XSetWMProtocols(w->display, w->window, &wanted, 1);
}

#define DEPTH 24 ///< Of the window, whatever the host's is

static bool make_window(WayWindow* w, double scale) {
  Display* const d = w->display;
  const Window parent = w->parent ? w->parent : DefaultRootWindow(d);
  XVisualInfo info;
  if (!XMatchVisualInfo(d, DefaultScreen(d), DEPTH, TrueColor, &info) ||
      info.red_mask != 0xFF0000 || info.green_mask != 0xFF00 || info.blue_mask != 0xFF)
    return false;
  w->visual = info.visual;
  w->colours = XCreateColormap(d, parent, info.visual, AllocNone);
  XSetWindowAttributes attributes = {
      .background_pixmap = None, // nothing flashes while it grows
      .border_pixel = 0,
      .colormap = w->colours,
      .bit_gravity = NorthWestGravity,
      .event_mask = ExposureMask | StructureNotifyMask | KeyPressMask |
                    ButtonPressMask | ButtonReleaseMask | ButtonMotionMask |
                    FocusChangeMask};
  w->window = XCreateWindow(d, parent, 0, 0, (unsigned)w->width, (unsigned)w->height, 0,
                            DEPTH, InputOutput, info.visual,
                            CWBackPixmap | CWBorderPixel | CWColormap | CWBitGravity |
                                CWEventMask,
                            &attributes);
  w->gc = XCreateGC(d, w->window, 0, NULL);
  if (w->parent) XSelectInput(d, w->parent, StructureNotifyMask);
  set_hints(w, scale);
  XMapWindow(d, w->window);
  XWindowAttributes got; // also waits until all this is done
  return XGetWindowAttributes(d, w->window, &got) && w->gc && !w->lost;
}

WayWindow* way_window_open(uintptr_t parent, int width, int height, double scale,
                           const WayWindowListener* listener) {
  WayWindow* const w = calloc(1, sizeof(*w));
  if (!w) return NULL;
  const XIOErrorHandler before = enter();
  *w = (WayWindow){.listener = *listener,
                   .display = XOpenDisplay(NULL),
                   .parent = (Window)parent,
                   .width = width,
                   .height = height,
                   .exposed = true};
  if (!w->display) {
    leave(before);
    free(w);
    return NULL;
  }
  guard(w);
  w->clipboard = atom(w, "CLIPBOARD");
  w->utf8 = atom(w, "UTF8_STRING");
  w->pasted = atom(w, "WAYMARK_PASTED");
  w->delete_window = atom(w, "WM_DELETE_WINDOW");
  const bool made = make_window(w, scale);
  leave(before);
  if (made) return w;
  way_window_close(w);
  return NULL;
}

void way_window_close(WayWindow* w) {
  if (!w) return;
  const XIOErrorHandler before = enter();
  if (w->gc) XFreeGC(w->display, w->gc);
  if (!w->gone && w->window) XDestroyWindow(w->display, w->window);
  if (!w->lost && w->colours) XFreeColormap(w->display, w->colours);
  XCloseDisplay(w->display);
  leave(before);
  free(w);
}

uintptr_t way_window_id(const WayWindow* w) { return (uintptr_t)w->window; }

void way_window_size(const WayWindow* w, int* width, int* height) {
  *width = w->width;
  *height = w->height;
}

// ---- What happened.

static void use_size(WayWindow* w, int width, int height) {
  if (width < 1 || height < 1 || (width == w->width && height == w->height)) return;
  w->width = width;
  w->height = height;
  w->exposed = true;
}

void way_window_resize(WayWindow* w, int width, int height) {
  if (w->gone || width < 1 || height < 1) return;
  const XIOErrorHandler before = enter();
  XResizeWindow(w->display, w->window, (unsigned)width, (unsigned)height);
  use_size(w, width, height);
  leave(before);
}

static bool tell(WayWindow* w, const WayUiInput* in) {
  return w->listener.input(w->listener.to, in);
}

/// A key as the model knows it; 0 for one it does not know.
static uint32_t key_of(KeySym sym) {
  static const struct {
    KeySym sym;
    uint32_t key;
  } keys[] = {
      {XK_Left, WAY_KEY_LEFT},
      {XK_KP_Left, WAY_KEY_LEFT},
      {XK_Right, WAY_KEY_RIGHT},
      {XK_KP_Right, WAY_KEY_RIGHT},
      {XK_Up, WAY_KEY_UP},
      {XK_KP_Up, WAY_KEY_UP},
      {XK_Down, WAY_KEY_DOWN},
      {XK_KP_Down, WAY_KEY_DOWN},
      {XK_Home, WAY_KEY_HOME},
      {XK_KP_Home, WAY_KEY_HOME},
      {XK_End, WAY_KEY_END},
      {XK_KP_End, WAY_KEY_END},
      {XK_Delete, WAY_KEY_DELETE},
      {XK_KP_Delete, WAY_KEY_DELETE},
      {XK_BackSpace, WAY_KEY_BACKSPACE},
      {XK_Return, WAY_KEY_ENTER},
      {XK_KP_Enter, WAY_KEY_ENTER},
      {XK_Escape, WAY_KEY_ESCAPE},
      {XK_Tab, WAY_KEY_TAB},
      {XK_ISO_Left_Tab, WAY_KEY_TAB},
      {XK_F1, WAY_KEY_HELP},
  };
  for (size_t i = 0; i < sizeof(keys) / sizeof(keys[0]); ++i)
    if (keys[i].sym == sym) return keys[i].key;
  if ((sym >= 0x20 && sym <= 0x7E) || (sym >= 0xA0 && sym <= 0xFF))
    return (uint32_t)sym;
  // X11 protocol, appendix A: keysyms of Unicode characters
  return sym > 0x01000000 && sym < 0x01110000 ? (uint32_t)(sym - 0x01000000) : 0;
}

static void ask_for_paste(const WayWindow* w, Atom selection, Time time) {
  XConvertSelection(w->display, selection, w->utf8, w->pasted, w->window, time);
}

/// A key that is nothing here goes to the host: its space bar starts and stops.  One
/// that came from there does not go back.
static void pass_on(const WayWindow* w, const XKeyEvent* e) {
  if (!w->parent || e->send_event) return;
  for (int type = KeyPress; type <= KeyRelease; ++type) {
    XEvent copy = {.xkey = *e};
    copy.type = type;
    copy.xkey.window = w->parent;
    XSendEvent(w->display, w->parent, False,
               type == KeyPress ? KeyPressMask : KeyReleaseMask, &copy);
  }
}

static void on_key(WayWindow* w, XKeyEvent* e) {
  char none[8];
  KeySym sym = NoSymbol;
  XLookupString(e, none, sizeof(none), &sym, NULL);
  const bool ctrl = e->state & ControlMask, shift = e->state & ShiftMask;
  if ((ctrl && (sym == XK_v || sym == XK_V)) || (shift && sym == XK_Insert)) {
    ask_for_paste(w, w->clipboard, e->time);
    return;
  }
  const WayUiInput in = {
      .kind = WAY_INPUT_KEY, .key = key_of(sym), .shift = shift, .ctrl = ctrl};
  const bool of_host = e->state & Mod1Mask; // menus, mostly
  if (!in.key || of_host || !tell(w, &in)) pass_on(w, e);
}

static void on_button(WayWindow* w, const XButtonEvent* e) {
  WayUiInput in = {.x = e->x, .y = e->y, .button = e->button};
  const bool down = e->type == ButtonPress;
  if (e->button == 4 || e->button == 5) {
    in.kind = WAY_INPUT_WHEEL;
    in.wheel = e->button == 4 ? 1 : -1;
    if (down) tell(w, &in);
    return;
  }
  if (down) XSetInputFocus(w->display, w->window, RevertToParent, e->time);
  if (e->button == 2) {
    if (down) ask_for_paste(w, XA_PRIMARY, e->time);
    return;
  }
  in.kind = down ? WAY_INPUT_PRESS : WAY_INPUT_RELEASE;
  if (e->button == 1 || e->button == 3) tell(w, &in);
}

static void on_selection(WayWindow* w, const XSelectionEvent* e) {
  Atom type = None;
  int format = 0;
  unsigned long n = 0, more = 0;
  unsigned char* bytes = NULL;
  if (e->property == None) return;
  if (XGetWindowProperty(w->display, w->window, w->pasted, 0, PASTE_MAX / 4, True,
                         w->utf8, &type, &format, &n, &more, &bytes))
    return;
  if (bytes && type == w->utf8 && format == 8) {
    const WayUiInput in = {.kind = WAY_INPUT_PASTE, .text = {(const char*)bytes, n}};
    tell(w, &in);
  }
  if (bytes) XFree(bytes);
}

static void on_structure(WayWindow* w, const XEvent* e) {
  if (e->type == DestroyNotify) {
    const Window which = e->xdestroywindow.window;
    if (which == w->window || which == w->parent) w->gone = true;
  } else if (e->type == ConfigureNotify) {
    const XConfigureEvent* const c = &e->xconfigure;
    if (c->window == w->window)
      use_size(w, c->width, c->height);
    else if (c->window == w->parent)
      way_window_resize(w, c->width, c->height);
  }
}

static void take_event(WayWindow* w, XEvent* e) {
  switch (e->type) {
  case Expose: w->exposed = true; break;
  case KeyPress: on_key(w, &e->xkey); break;
  case ButtonPress:
  case ButtonRelease: on_button(w, &e->xbutton); break;
  case MotionNotify: {
    const WayUiInput in = {
        .kind = WAY_INPUT_MOVE, .x = e->xmotion.x, .y = e->xmotion.y};
    tell(w, &in);
    break;
  }
  case SelectionNotify: on_selection(w, &e->xselection); break;
  case ClientMessage:
    if ((Atom)e->xclient.data.l[0] == w->delete_window) w->gone = true;
    break;
  default: on_structure(w, e); break;
  }
}

bool way_window_poll(WayWindow* w) {
  const XIOErrorHandler before = enter();
  while (!w->gone && XPending(w->display) > 0) {
    XEvent e;
    XNextEvent(w->display, &e);
    if (!w->lost) take_event(w, &e);
  }
  leave(before);
  return !w->gone;
}

// ---- What is shown.

bool way_window_take_exposed(WayWindow* w) {
  const bool exposed = w->exposed;
  w->exposed = false;
  return exposed;
}

void way_window_show(WayWindow* w, cairo_surface_t* picture, WayBox part) {
  // No surface of cairo's own for the window: it waits for ever once a display has
  // ended.
  const int width = cairo_image_surface_get_width(picture);
  const int height = cairo_image_surface_get_height(picture);
  const int x = (int)fmax(part.x, 0), y = (int)fmax(part.y, 0);
  const int right = (int)fmin(ceil(part.x + part.width), width);
  const int bottom = (int)fmin(ceil(part.y + part.height), height);
  if (w->gone || right <= x || bottom <= y) return;
  cairo_surface_flush(picture);
  const XIOErrorHandler before = enter();
  XImage* const image =
      XCreateImage(w->display, w->visual, DEPTH, ZPixmap, 0,
                   (char*)cairo_image_surface_get_data(picture), (unsigned)width,
                   (unsigned)height, 32, cairo_image_surface_get_stride(picture));
  if (image) {
    const uint16_t one = 1;
    image->byte_order = *(const uint8_t*)&one ? LSBFirst : MSBFirst; // as this machine
    XPutImage(w->display, w->window, w->gc, image, x, y, x, y, (unsigned)(right - x),
              (unsigned)(bottom - y));
    image->data = NULL; // the picture's
    XDestroyImage(image);
  }
  XFlush(w->display);
  leave(before);
}
