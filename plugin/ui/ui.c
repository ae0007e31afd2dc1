// The window as an LV2 user interface: callbacks, and nothing that draws.
#include "model.h"
#include "news.h"
#include "view.h"
#include "window_x11.h"

#include <lv2/atom/forge.h>
#include <lv2/atom/util.h>
#include <lv2/core/lv2_util.h>
#include <lv2/options/options.h>
#include <lv2/ui/ui.h>

#include <stdlib.h>
#include <string.h>
#include <time.h>

#define SCREEN_UI_URI "urn:waymark:guide#window"
#define WIDTH 900.0
#define HEIGHT 420.0
#define SCALE_MOST 8.0
#define FRAME_SECONDS 0.016 // from frame to frame, at least
#define FIRST_SECONDS 0.15  // the first waits so long for chart and look, at most
#define ASK_SECONDS 1.0     // after which the guide is asked to go on telling, or
#define ASK_MESSAGES 50u    // messages: a host may run faster than time
#define MESSAGE_MAX (WAY_LINE_MAX + 256u)

/// The port of each control.
static const uint8_t ports[WAY_CONTROL_COUNT] = {
#define CONTROL_PORT(name, symbol) [WAY_CONTROL_##name] = WAY_PORT_##name,
    WAY_PORTS(WAY_PORTS_NONE, CONTROL_PORT, WAY_PORTS_NONE)
#undef CONTROL_PORT
};

/// A window of an instance.
typedef struct {
  LV2UI_Write_Function write;
  LV2UI_Controller controller;
  const LV2UI_Touch* touch;           ///< NULL in a host without
  const LV2UI_Request_Value* request; ///< Likewise
  const LV2UI_Resize* resize;         ///< Likewise
  WayUrids urids;
  LV2_URID event_transfer;
  LV2_Atom_Forge forge;
  WayModel* model;
  WayPicture picture;
  WayWindow* window;
  bool stirred;   ///< Something came since the newest frame
  bool exposed;   ///< All of the window has to be shown anew
  double opened;  ///< When, in seconds; 0 once there is something to paint
  double painted; ///< When the newest frame was
  double asked;   ///< When the guide was asked last
  unsigned told;  ///< Messages since
  uint8_t message[MESSAGE_MAX];
} Ui;

static double seconds(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

// ---- To the guide.

static void send(Ui* ui) {
  const LV2_Atom* const atom = (const LV2_Atom*)(const void*)ui->message;
  ui->write(ui->controller, WAY_PORT_MELODY, lv2_atom_total_size(atom),
            ui->event_transfer, atom);
}

/// Ask for a property; 0 asks for all there is about the chart.
static void get(Ui* ui, LV2_URID property) {
  LV2_Atom_Forge* const f = &ui->forge;
  LV2_Atom_Forge_Frame frame;
  lv2_atom_forge_set_buffer(f, ui->message, sizeof(ui->message));
  lv2_atom_forge_object(f, &frame, 0, ui->urids.patch_Get);
  lv2_atom_forge_key(f, ui->urids.patch_subject);
  lv2_atom_forge_urid(f, ui->urids.guide);
  if (property) {
    lv2_atom_forge_key(f, ui->urids.patch_property);
    lv2_atom_forge_urid(f, property);
  }
  lv2_atom_forge_pop(f, &frame);
  send(ui);
}

static void set_text(void* to, WayModelText what, WayText text) {
  Ui* const ui = to;
  const WayUrids* const u = &ui->urids;
  const LV2_URID properties[] = {[WAY_MODEL_CHART] = u->chart_text,
                                 [WAY_MODEL_FILE] = u->chart_file,
                                 [WAY_MODEL_LOOK] = u->look};
  LV2_Atom_Forge* const f = &ui->forge;
  LV2_Atom_Forge_Frame frame;
  lv2_atom_forge_set_buffer(f, ui->message, sizeof(ui->message));
  lv2_atom_forge_object(f, &frame, 0, u->patch_Set);
  lv2_atom_forge_key(f, u->patch_subject);
  lv2_atom_forge_urid(f, u->guide);
  lv2_atom_forge_key(f, u->patch_property);
  lv2_atom_forge_urid(f, properties[what]);
  lv2_atom_forge_key(f, u->patch_value);
  const LV2_Atom_Forge_Ref value = lv2_atom_forge_typed_string(
      f, what == WAY_MODEL_FILE ? u->atom_Path : u->atom_String, text.at,
      (uint32_t)text.size);
  lv2_atom_forge_pop(f, &frame);
  if (value) send(ui);
}

static void set_control(void* to, WayControl control, float value) {
  Ui* const ui = to;
  ui->write(ui->controller, ports[control], sizeof(value), 0, &value);
}

static void touch(void* to, WayControl control, bool held) {
  const Ui* const ui = to;
  if (ui->touch) ui->touch->touch(ui->touch->handle, ports[control], held);
}

static bool ask_file(void* to) {
  const Ui* const ui = to;
  if (!ui->request) return false;
  const LV2UI_Request_Value_Status status = ui->request->request(
      ui->request->handle, ui->urids.chart_file, ui->urids.atom_Path, NULL);
  return status == LV2UI_REQUEST_VALUE_SUCCESS || status == LV2UI_REQUEST_VALUE_BUSY;
}

static bool on_input(void* to, const WayUiInput* in) {
  Ui* const ui = to;
  ui->stirred = true;
  return way_model_input(ui->model, in);
}

// ---- Made and unmade.

/// The host's scale factor; 1 without.
static double scale_of(const LV2_Feature* const* features, LV2_URID_Map* map,
                       LV2_URID float_type) {
  const LV2_Options_Option* o =
      (const LV2_Options_Option*)lv2_features_data(features, LV2_OPTIONS__options);
  const LV2_URID key = map->map(map->handle, LV2_UI__scaleFactor);
  for (; o && (o->key || o->value); ++o) {
    if (o->key != key || o->type != float_type || o->size != sizeof(float)) continue;
    const double scale = (double)*(const float*)o->value;
    if (scale >= 0.5 && scale <= SCALE_MOST) return scale;
  }
  return 1;
}

static void cleanup(LV2UI_Handle handle) {
  Ui* const ui = handle;
  way_window_close(ui->window);
  way_ui_view_clear(&ui->picture);
  way_model_free(ui->model);
  free(ui);
}

static bool open_window(Ui* ui, const LV2_Feature* const* features, double scale) {
  const WayModelHost host = {ui, set_control, touch, set_text, ask_file};
  const WayWindowListener listener = {ui, on_input};
  const uintptr_t parent = (uintptr_t)lv2_features_data(features, LV2_UI__parent);
  const int width = (int)(WIDTH * scale), height = (int)(HEIGHT * scale);
  ui->model = way_model_new(&host);
  if (!ui->model) return false;
  way_model_scale(ui->model, scale);
  ui->window = way_window_open(parent, width, height, scale, &listener);
  if (!ui->window) return false;
  if (ui->resize) ui->resize->ui_resize(ui->resize->handle, width, height);
  return true;
}

static LV2UI_Handle instantiate(const LV2UI_Descriptor* descriptor,
                                const char* plugin_uri, const char* bundle_path,
                                LV2UI_Write_Function write, LV2UI_Controller controller,
                                LV2UI_Widget* widget,
                                const LV2_Feature* const* features) {
  (void)descriptor;
  (void)bundle_path;
  LV2_URID_Map* const map = (LV2_URID_Map*)lv2_features_data(features, LV2_URID__map);
  if (!map || strcmp(plugin_uri, WAY_GUIDE_URI) != 0) return NULL;
  Ui* const ui = calloc(1, sizeof(*ui));
  if (!ui) return NULL;
  ui->write = write;
  ui->controller = controller;
  ui->touch = (const LV2UI_Touch*)lv2_features_data(features, LV2_UI__touch);
  ui->request =
      (const LV2UI_Request_Value*)lv2_features_data(features, LV2_UI__requestValue);
  ui->resize = (const LV2UI_Resize*)lv2_features_data(features, LV2_UI__resize);
  way_urids_init(&ui->urids, map);
  lv2_atom_forge_init(&ui->forge, map);
  ui->event_transfer = map->map(map->handle, LV2_ATOM__eventTransfer);
  if (!open_window(ui, features, scale_of(features, map, ui->urids.atom_Float))) {
    cleanup(ui);
    return NULL;
  }
  const uintptr_t id = way_window_id(ui->window);
  memcpy(widget, &id, sizeof(*widget)); // a number in a pointer's clothes
  ui->opened = seconds();
  get(ui, 0);
  return ui;
}

// ---- From the guide.

static void port_event(LV2UI_Handle handle, uint32_t port, uint32_t size,
                       uint32_t format, const void* buffer) {
  Ui* const ui = handle;
  ui->stirred = true;
  if (!format && size == sizeof(float)) {
    for (unsigned i = 0; i < WAY_CONTROL_COUNT; ++i)
      if (ports[i] == port)
        way_model_control(ui->model, (WayControl)i, *(const float*)buffer);
  } else if (format == ui->event_transfer && port == WAY_PORT_OUT &&
             size >= sizeof(LV2_Atom)) {
    WayNews news;
    if (!way_news_read(&ui->urids, (const LV2_Atom*)buffer, size, &news)) return;
    way_model_news(ui->model, &news, seconds());
    if (news.kind != WAY_NEWS_PLACE) ui->opened = 0;
    ++ui->told;
  }
}

/// Show what changed, and what was covered.
static void show(Ui* ui, double now) {
  int width, height;
  way_window_size(ui->window, &width, &height);
  way_model_update(ui->model, width, height, now);
  const WayViewChanges changes = way_ui_view_paint(&ui->picture, ui->model);
  if (!ui->picture.image) return;
  if (ui->exposed) {
    ui->exposed = false;
    way_window_show(ui->window, ui->picture.image, (WayBox){0, 0, width, height});
    return;
  }
  for (unsigned i = 0; i < changes.n; ++i)
    way_window_show(ui->window, ui->picture.image, changes.boxes[i]);
}

static int idle(LV2UI_Handle handle) {
  Ui* const ui = handle;
  if (!way_window_poll(ui->window)) return 1;
  const double now = seconds();
  if (now - ui->asked >= ASK_SECONDS || ui->told >= ASK_MESSAGES) {
    ui->asked = now;
    ui->told = 0;
    get(ui, ui->urids.screen);
  }
  if (now - ui->painted < FRAME_SECONDS || now - ui->opened < FIRST_SECONDS) return 0;
  ui->exposed |= way_window_take_exposed(ui->window);
  if (!ui->stirred && !ui->exposed && !way_model_moves(ui->model)) return 0;
  ui->stirred = false;
  ui->painted = now;
  show(ui, now);
  return 0;
}

static int host_resized(LV2UI_Feature_Handle handle, int width, int height) {
  Ui* const ui = handle;
  way_window_resize(ui->window, width, height);
  return 0;
}

static const void* extension_data(const char* uri) {
  static const LV2UI_Idle_Interface idle_interface = {idle};
  static const LV2UI_Resize resize = {NULL, host_resized};
  if (!strcmp(uri, LV2_UI__idleInterface)) return &idle_interface;
  if (!strcmp(uri, LV2_UI__resize)) return &resize;
  return NULL;
}

static const LV2UI_Descriptor descriptor = {SCREEN_UI_URI, instantiate, cleanup,
                                            port_event, extension_data};

LV2_SYMBOL_EXPORT const LV2UI_Descriptor* lv2ui_descriptor(uint32_t index) {
  return index ? NULL : &descriptor;
}
