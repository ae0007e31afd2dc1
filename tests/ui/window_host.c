#include "window_host.h"

#include <cairo-xlib.h>
#include <lv2/midi/midi.h>
#include <X11/Xutil.h>

#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define GUIDE "urn:waymark:guide"

static void need(bool good, const char* what) {
  if (good) return;
  fprintf(stderr, "window host: %s\n", what);
  exit(1);
}

static void write_port(LV2UI_Controller controller, uint32_t port, uint32_t size,
                       uint32_t protocol, const void* buffer) {
  WindowHost* const w = controller;
  need(port < w->host->n_ports, "a port that is not there was written");
  if (!protocol) {
    need(size == sizeof(float), "a control is a float");
    memcpy(&w->host->controls[port], buffer, sizeof(float));
    ++w->writes;
    if (w->options.no_echo) w->said[port] = w->host->controls[port];
    return;
  }
  const LV2_Atom* const atom = buffer;
  need(protocol == host_urid(w->host, LV2_ATOM__eventTransfer) &&
           size == sizeof(*atom) + atom->size,
       "messages are whole atoms");
  host_insert(host_events(w->host, "melody"), w->host->now, atom->type, atom + 1,
              atom->size);
  ++w->messages;
}

static int take_size(LV2UI_Feature_Handle handle, int width, int height) {
  WindowHost* const w = handle;
  w->width = width;
  w->height = height;
  if (w->parent)
    XResizeWindow(w->display, w->parent, (unsigned)width, (unsigned)height);
  return 0;
}

static void take_touch(LV2UI_Feature_Handle handle, uint32_t port, bool held) {
  WindowHost* const w = handle;
  (void)port;
  (void)held;
  ++w->touches;
}

static LV2UI_Request_Value_Status ask_value(LV2UI_Feature_Handle handle, LV2_URID key,
                                            LV2_URID type,
                                            const LV2_Feature* const* features) {
  WindowHost* const w = handle;
  (void)features;
  if (key != host_urid(w->host, GUIDE "#chartFile") ||
      type != host_urid(w->host, LV2_ATOM__Path))
    return LV2UI_REQUEST_VALUE_ERR_UNKNOWN;
  ++w->file_requests;
  return LV2UI_REQUEST_VALUE_SUCCESS;
}

static void open_ui(WindowHost* w) {
  Host* const h = w->host;
  w->host_resize = (LV2UI_Resize){w, take_size};
  w->host_touch = (LV2UI_Touch){w, take_touch};
  w->host_request = (LV2UI_Request_Value){w, ask_value};
  const float scale = (float)w->options.scale;
  const LV2_Options_Option options[] = {
      {LV2_OPTIONS_INSTANCE, 0, host_urid(h, LV2_UI__scaleFactor), sizeof(scale),
       host_urid(h, LV2_ATOM__Float), &scale},
      {LV2_OPTIONS_INSTANCE, 0, 0, 0, 0, NULL}};
  const LV2_Feature all[] = {
      {LV2_URID__map, &h->map},
      {LV2_UI__resize, &w->host_resize},
      {LV2_UI__touch, &w->host_touch},
      {LV2_UI__parent, (void*)(uintptr_t)w->parent},     // NOLINT
      {LV2_OPTIONS__options, (void*)(uintptr_t)options}, // NOLINT
      {LV2_UI__requestValue, &w->host_request},
  };
  const LV2_Feature* features[7] = {&all[0], &all[1], &all[2]};
  unsigned n = 3;
  if (w->parent) features[n++] = &all[3];
  if (w->options.scale > 0) features[n++] = &all[4];
  if (w->options.asks_files) features[n++] = &all[5];
  LV2UI_Widget widget = NULL;
  w->ui = w->descriptor->instantiate(w->descriptor, GUIDE, UI_BUNDLE_DIR "/",
                                     write_port, w, &widget, features);
  w->window = (Window)(uintptr_t)widget;
}

WindowHost* window_host_new(Host* host, const WindowHostOptions* options) {
  WindowHost* const w = calloc(1, sizeof(*w));
  need(w != NULL, "no memory");
  *w = (WindowHost){.host = host, .width = 64, .height = 64};
  if (options) w->options = *options;
  w->display = XOpenDisplay(NULL);
  need(w->display != NULL, "there is no display");
  const Window root = DefaultRootWindow(w->display);
  if (!w->options.no_parent) {
    w->parent = XCreateSimpleWindow(w->display, root, 0, 0, 64, 64, 0, 0, 0);
    XMapWindow(w->display, w->parent);
    XSync(w->display, False);
  }
  // Kept open: a host may, and checkers then know the names of its functions.
  void* const library = dlopen(UI_BUNDLE_DIR "/waymark_ui.so", RTLD_NOW | RTLD_LOCAL);
  need(library != NULL, "the window's library does not open");
  LV2UI_DescriptorFunction find = NULL;
  *(void**)&find = dlsym(library, "lv2ui_descriptor");
  need(find != NULL, "it has no lv2ui_descriptor");
  w->descriptor = find(0);
  need(!find(1) && !strcmp(w->descriptor->URI, GUIDE "#window"), "another window");
  open_ui(w);
  w->idle = w->descriptor->extension_data(LV2_UI__idleInterface);
  w->resize = w->descriptor->extension_data(LV2_UI__resize);
  need(w->idle && w->resize, "it has no idle or resize");
  for (unsigned i = 0; i < HOST_PORTS_MAX; ++i) w->said[i] = NAN;
  if (w->display) XSync(w->display, False);
  return w;
}

void window_host_free(WindowHost* w) {
  if (!w) return;
  if (w->ui) w->descriptor->cleanup(w->ui);
  if (w->display) XCloseDisplay(w->display);
  free(w);
}

/// Tell of controls that are not as the window was told.
static void tell_controls(WindowHost* w) {
  for (uint32_t i = 0; i < w->host->n_ports; ++i) {
    const float value = w->host->controls[i];
    if (w->host->buffers[i] || (value >= w->said[i] && value <= w->said[i])) continue;
    w->said[i] = value;
    w->descriptor->port_event(w->ui, i, sizeof(value), 0, &value);
  }
}

static void tell_events(WindowHost* w) {
  const HostEvents* const out = host_events(w->host, "out");
  const uint32_t port = host_port(w->host, "out");
  const uint32_t transfer = host_urid(w->host, LV2_ATOM__eventTransfer);
  if (w->next > out->n) w->next = 0; // the list was cleared
  for (; w->next < out->n; ++w->next) {
    const HostEvent* const e = &out->at[w->next];
    LV2_Atom* const atom = calloc(1, sizeof(*atom) + e->size + 8);
    need(atom != NULL, "no memory");
    *atom = (LV2_Atom){e->size, e->type};
    memcpy(atom + 1, e->body, e->size);
    w->descriptor->port_event(w->ui, port, (uint32_t)sizeof(*atom) + e->size, transfer,
                              atom);
    w->heard += e->type != host_urid(w->host, LV2_MIDI__MidiEvent);
    free(atom);
  }
}

int window_host_idle(WindowHost* w) {
  if (w->parent) XSync(w->display, False);
  tell_controls(w);
  tell_events(w);
  return w->idle->idle(w->ui);
}

void window_host_run(WindowHost* const* windows, unsigned n, int64_t frames,
                     uint32_t block) {
  Host* const h = windows[0]->host;
  for (const int64_t end = h->now + frames; h->now < end;) {
    const int64_t left = end - h->now;
    host_run(h, left < block ? (uint32_t)left : block);
    for (unsigned i = 0; i < n; ++i) window_host_idle(windows[i]);
  }
}

void window_host_wait(double seconds) {
  const struct timespec t = {(time_t)seconds,
                             (long)((seconds - (double)(time_t)seconds) * 1e9)};
  nanosleep(&t, NULL);
}

void window_host_settle(WindowHost* w) {
  for (int i = 0; i < 6; ++i) {
    host_run(w->host, 1024);
    window_host_idle(w);
    window_host_wait(0.017);
  }
}

void window_host_key(WindowHost* w, KeySym sym, unsigned state) {
  XKeyEvent e = {.display = w->display,
                 .window = w->window,
                 .root = DefaultRootWindow(w->display),
                 .same_screen = True,
                 .state = state,
                 .keycode = XKeysymToKeycode(w->display, sym)};
  // A capital letter or sign may stand above another on its key.
  if (XLookupKeysym(&e, 0) != sym) e.state |= ShiftMask;
  for (int type = KeyPress; type <= KeyRelease; ++type) {
    e.type = type;
    XSendEvent(w->display, w->window, False, KeyPressMask, (XEvent*)&e);
  }
  XSync(w->display, False);
}

void window_host_pointer(WindowHost* w, int type, unsigned button, int x, int y) {
  XEvent e = {.type = type};
  if (type == MotionNotify) {
    e.xmotion.window = w->window;
    e.xmotion.x = x;
    e.xmotion.y = y;
    e.xmotion.same_screen = True;
  } else {
    e.xbutton.window = w->window;
    e.xbutton.x = x;
    e.xbutton.y = y;
    e.xbutton.button = button;
    e.xbutton.same_screen = True;
  }
  XSendEvent(w->display, w->window, False, NoEventMask, &e);
  XSync(w->display, False);
}

cairo_surface_t* window_host_picture(WindowHost* w) {
  XWindowAttributes a;
  if (w->parent) XRaiseWindow(w->display, w->parent); // what is covered has no picture
  XSync(w->display, False);
  window_host_settle(w);
  XSync(w->display, False);
  need(XGetWindowAttributes(w->display, w->window, &a) != 0, "the window is gone");
  XImage* const image = XGetImage(w->display, w->window, 0, 0, (unsigned)a.width,
                                  (unsigned)a.height, AllPlanes, ZPixmap);
  need(image && image->bits_per_pixel == 32, "no picture of the window");
  cairo_surface_t* const s =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, a.width, a.height);
  cairo_surface_flush(s);
  for (int y = 0; y < a.height; ++y)
    memcpy(cairo_image_surface_get_data(s) +
               (size_t)y * (size_t)cairo_image_surface_get_stride(s),
           image->data + (size_t)y * (size_t)image->bytes_per_line,
           (size_t)a.width * 4);
  cairo_surface_mark_dirty(s);
  XDestroyImage(image);
  return s;
}

size_t pictures_apart(cairo_surface_t* a, cairo_surface_t* b) {
  const int width = cairo_image_surface_get_width(a);
  const int height = cairo_image_surface_get_height(a);
  size_t apart = 0;
  if (cairo_image_surface_get_width(b) != width ||
      cairo_image_surface_get_height(b) != height)
    return SIZE_MAX;
  for (int y = 0; y < height; ++y) {
    const unsigned char* const p =
        cairo_image_surface_get_data(a) +
        (size_t)y * (size_t)cairo_image_surface_get_stride(a);
    const unsigned char* const q =
        cairo_image_surface_get_data(b) +
        (size_t)y * (size_t)cairo_image_surface_get_stride(b);
    for (int x = 0; x < width; ++x)
      for (int i = 0; i < 3; ++i) apart += p[4 * x + i] != q[4 * x + i];
  }
  return apart;
}
