// The window on a display: opened, played, resized, closed, and left by its host in
// every way a host can leave it.
#include "check.h"
#include "rng.h"
#include "window_host.h"

#include <lv2/midi/midi.h>
#include <X11/keysym.h>

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define CHART                                                                          \
  "title: Gull Market\nkey: D major\n[A]\n| D | F#m | G>3 | A7 |\n[B]\n| Bm | Em7 A7 " \
  "|\n"
#define WINDOWS 10u

static Host* with_chart(void) {
  Host* const h = host_guide(NULL);
  assert_non_null(h);
  host_chart(h, CHART);
  return h;
}

static void roll(Host* h) {
  const HostPosition p = host_position_at(0, 96);
  host_position(h, h->now, &p);
  for (int i = 0; i < 60; ++i)
    host_midi(h, "melody", h->now + i * 12000, i % 2 ? 0x80 : 0x90,
              (uint8_t)(60 + i / 2 % 12), 90);
}

/// A run of the test: environment variable, else few.
static unsigned times(unsigned few) {
  const char* const many = getenv("WAY_MANY");
  return many ? (unsigned)atoi(many) : few;
}

static void test_it_stands_in_the_hosts_window(void** state) {
  (void)state;
  Host* const h = with_chart();
  WindowHost* const w = window_host_new(h, NULL);
  assert_non_null(w->ui);
  assert_int_equal(w->width, 900);
  assert_int_equal(w->height, 420);
  Window root, parent, *children = NULL;
  unsigned n = 0;
  assert_true(XQueryTree(w->display, w->window, &root, &parent, &children, &n));
  if (children) XFree(children);
  assert_true(parent == w->parent);
  window_host_settle(w);
  cairo_surface_t* const before = window_host_picture(w);
  assert_int_equal(cairo_image_surface_get_width(before), 900);
  roll(h);
  window_host_run(&w, 1, 48000, 512);
  window_host_settle(w);
  cairo_surface_t* const after = window_host_picture(w);
  assert_true(pictures_apart(before, after) > 3000);
  assert_true(w->heard > 30);
  cairo_surface_destroy(before);
  cairo_surface_destroy(after);
  window_host_free(w);
  host_free(h);
}

static void test_the_scale_factor_is_used(void** state) {
  (void)state;
  Host* const h = with_chart();
  const WindowHostOptions options = {.scale = 1.5};
  WindowHost* const w = window_host_new(h, &options);
  assert_int_equal(w->width, 1350);
  assert_int_equal(w->height, 630);
  window_host_settle(w);
  window_host_free(w);
  host_free(h);
}

static void test_it_stands_alone(void** state) {
  (void)state;
  Host* const h = with_chart();
  const WindowHostOptions options = {.no_parent = true};
  WindowHost* const w = window_host_new(h, &options);
  assert_non_null(w->ui);
  assert_int_equal(window_host_idle(w), 0);
  XDestroyWindow(w->display, w->window); // as a window manager does
  XSync(w->display, False);
  assert_int_not_equal(window_host_idle(w), 0);
  assert_int_not_equal(window_host_idle(w), 0);
  window_host_free(w);
  host_free(h);
}

static void test_keys_and_pointer_reach_the_guide(void** state) {
  (void)state;
  Host* const h = with_chart();
  const WindowHostOptions options = {.asks_files = true};
  WindowHost* const w = window_host_new(h, &options);
  window_host_settle(w);
  window_host_key(w, XK_h, 0);
  window_host_settle(w);
  assert_float_equal(*host_control(h, "handling"), 1, 0);
  window_host_key(w, XK_H, 0);
  window_host_settle(w);
  assert_float_equal(*host_control(h, "handling"), 0, 0);
  window_host_pointer(w, ButtonPress, 4, 40, 398); // the wheel, over the stage
  window_host_settle(w);
  assert_float_equal(*host_control(h, "material"), 2, 0); // that of the first stage
  window_host_pointer(w, ButtonPress, 1, 40, 398);
  window_host_pointer(w, ButtonRelease, 1, 40, 398);
  window_host_settle(w);
  assert_float_equal(*host_control(h, "material"), 3, 0);
  assert_int_equal(w->touches, 2 * 5); // all that a stage sets
  window_host_key(w, XK_p, 0);
  window_host_settle(w);
  assert_int_equal(w->file_requests, 1);
  // What the host turns is not sent back to it.
  const unsigned writes = w->writes;
  *host_control(h, "material") = 1;
  window_host_settle(w);
  assert_int_equal(w->writes, writes);
  window_host_free(w);
  host_free(h);
}

static void test_a_typed_chart_is_played(void** state) {
  (void)state;
  Host* const h = host_guide(NULL);
  WindowHost* const w = window_host_new(h, NULL);
  window_host_settle(w);
  static const KeySym keys[] = {XK_slash, XK_bar, XK_E,   XK_b,
                                XK_bar,   XK_F,   XK_bar, XK_Return};
  for (size_t i = 0; i < sizeof(keys) / sizeof(keys[0]); ++i)
    window_host_key(w, keys[i], 0);
  window_host_settle(w);
  host_settle(h);
  window_host_settle(w);
  assert_float_equal(*host_control(h, "chord_root"), 3, 0);
  assert_float_equal(*host_control(h, "next_root"), 5, 0);
  window_host_free(w);
  host_free(h);
}

/// The picture of a window that is opened for it, and closed.
static cairo_surface_t* picture_of_new(Host* h) {
  WindowHost* const w = window_host_new(h, NULL);
  window_host_settle(w);
  window_host_settle(w);
  cairo_surface_t* const picture = window_host_picture(w);
  window_host_free(w);
  return picture;
}

static void test_the_look_outlives_its_window(void** state) {
  (void)state;
  Host* const h = with_chart();
  cairo_surface_t* const before = picture_of_new(h);
  WindowHost* const w = window_host_new(h, NULL);
  window_host_settle(w);
  static const KeySym keys[] = {XK_t, XK_i, XK_i, XK_f, XK_n, XK_Escape};
  for (size_t i = 0; i < sizeof(keys) / sizeof(keys[0]); ++i) {
    window_host_key(w, keys[i], 0);
    window_host_settle(w);
  }
  cairo_surface_t* const changed = window_host_picture(w);
  window_host_free(w);
  cairo_surface_t* const again = picture_of_new(h);
  assert_true(pictures_apart(before, changed) > 100000);
  assert_int_equal(pictures_apart(changed, again), 0);

  // And its session: another instance, as in another process.
  Host* const other = host_guide(NULL);
  host_carry(h, other);
  cairo_surface_t* const next_day = picture_of_new(other);
  assert_int_equal(pictures_apart(changed, next_day), 0);
  cairo_surface_destroy(before);
  cairo_surface_destroy(changed);
  cairo_surface_destroy(again);
  cairo_surface_destroy(next_day);
  host_free(other);
  host_free(h);
}

static void test_it_follows_the_hosts_size_and_the_host_its(void** state) {
  (void)state;
  Host* const h = with_chart();
  WindowHost* const w = window_host_new(h, NULL);
  uint32_t rng = 3;
  for (unsigned i = 0; i < times(60); ++i) {
    const int width = (int)(1 + rng_below(&rng, 1800));
    const int height = (int)(1 + rng_below(&rng, 1100));
    if (i % 2) {
      assert_int_equal(w->resize->ui_resize(w->ui, width, height), 0);
    } else {
      XResizeWindow(w->display, w->parent, (unsigned)width, (unsigned)height);
    }
    for (unsigned k = rng_below(&rng, 3); k; --k) window_host_idle(w);
  }
  XResizeWindow(w->display, w->parent, 1000, 500);
  window_host_settle(w);
  XWindowAttributes a;
  XGetWindowAttributes(w->display, w->window, &a);
  assert_int_equal(a.width, 1000);
  assert_int_equal(a.height, 500);
  window_host_free(w);
  host_free(h);
}

static void test_opened_and_closed_again_and_again(void** state) {
  (void)state;
  Host* const h = with_chart();
  roll(h);
  for (unsigned i = 0; i < times(40); ++i) {
    WindowHost* const w = window_host_new(h, NULL);
    assert_non_null(w->ui);
    for (unsigned k = i % 3; k; --k) {
      host_run(h, 512);
      window_host_idle(w);
    }
    window_host_free(w);
  }
  host_free(h);
}

static void test_ten_windows_show_the_same(void** state) {
  (void)state;
  Host* const h = with_chart();
  WindowHost* windows[WINDOWS];
  for (unsigned i = 0; i < WINDOWS; ++i) windows[i] = window_host_new(h, NULL);
  roll(h);
  window_host_run(windows, WINDOWS, 96000, 1024);
  const HostPosition stop = {.speed = 0,
                             .frame = 0,
                             .bar = 1,
                             .bar_beat = 1,
                             .beats_per_bar = 4,
                             .beat_unit = 4,
                             .bpm = 96};
  host_position(h, h->now, &stop);
  window_host_run(windows, WINDOWS, 16 * 48000, 8192); // all notes are over
  for (unsigned i = 0; i < WINDOWS; ++i) window_host_settle(windows[i]);
  for (unsigned i = 0; i < WINDOWS; ++i) window_host_idle(windows[i]);
  window_host_wait(0.02);
  for (unsigned i = 0; i < WINDOWS; ++i) window_host_idle(windows[i]);
  cairo_surface_t* const first = window_host_picture(windows[0]);
  for (unsigned i = 1; i < WINDOWS; ++i) {
    cairo_surface_t* const other = window_host_picture(windows[i]);
    assert_int_equal(pictures_apart(first, other), 0);
    cairo_surface_destroy(other);
  }
  cairo_surface_destroy(first);
  for (unsigned i = 0; i < WINDOWS; ++i) window_host_free(windows[(i * 7) % WINDOWS]);
  host_free(h);
}

static void test_the_host_closes_in_the_middle_of_a_drag(void** state) {
  (void)state;
  Host* const h = with_chart();
  for (unsigned i = 0; i < 4; ++i) {
    WindowHost* const w = window_host_new(h, NULL);
    window_host_settle(w);
    window_host_pointer(w, ButtonPress, 1, 40, 398);
    window_host_pointer(w, MotionNotify, 1, 40, 380);
    window_host_idle(w);
    window_host_pointer(w, MotionNotify, 1, 40, 360);
    if (i % 2) { // its window first
      XDestroyWindow(w->display, w->parent);
      XSync(w->display, False);
    }
    if (i > 1) window_host_idle(w);
    window_host_free(w);
  }
  host_free(h);
}

/// Of one second in which a host looks sixty times, what the processor works; the host
/// alone without a window.
static double work_of(const WindowHost* w) {
  const clock_t from = clock();
  for (int i = 0; i < 60; ++i) {
    if (w) w->idle->idle(w->ui);
    window_host_wait(1 / 60.0);
  }
  return (double)(clock() - from) / CLOCKS_PER_SEC;
}

static void test_idle_costs_nothing(void** state) {
  (void)state;
  Host* const h = with_chart();
  WindowHost* const w = window_host_new(h, NULL);
  for (int i = 0; i < 5; ++i) window_host_settle(w);
  const double host = work_of(NULL), share = work_of(w) - host;
  print_message(
      "# of one second of a still window the processor works %.2f ms, and %.2f "
      "ms for its host\n",
      share * 1000, host * 1000);
  if (!getenv("WAY_SLOW")) assert_true(share < 0.008);
  window_host_free(w);
  host_free(h);
}

/// Start another X server; its number in `display`.
static pid_t start_server(char display[16]) {
  int fds[2];
  assert_int_equal(pipe(fds), 0);
  const pid_t server = fork();
  if (!server) {
    char number[16];
    snprintf(number, sizeof(number), "%d", fds[1]);
    close(fds[0]);
    if (!freopen("/dev/null", "w", stderr)) _exit(1);
    execlp("Xvfb", "Xvfb", "-displayfd", number, "-screen", "0", "1024x768x24",
           "-nolisten", "tcp", "-noreset", (char*)NULL);
    _exit(1);
  }
  close(fds[1]);
  char number[12] = "";
  size_t n = 0;
  while (n < sizeof(number) - 1 && read(fds[0], &number[n], 1) == 1 &&
         number[n] != '\n')
    ++n;
  number[n] = 0;
  close(fds[0]);
  assert_true(server > 0 && n > 0);
  snprintf(display, 16, ":%s", number);
  return server;
}

static void test_the_display_ends(void** state) {
  (void)state;
  char display[16], before[64];
  snprintf(before, sizeof(before), "%s", getenv("DISPLAY"));
  for (unsigned i = 0; i < 3; ++i) {
    const pid_t server = start_server(display);
    setenv("DISPLAY", display, 1);
    Host* const h = with_chart();
    WindowHost* const w = window_host_new(h, NULL);
    assert_non_null(w->ui);
    for (unsigned k = 0; k < i; ++k) window_host_idle(w);
    XCloseDisplay(w->display); // the host's own connection is its own affair
    w->display = NULL;
    w->parent = 0;
    kill(server, SIGKILL);
    waitpid(server, NULL, 0);
    roll(h);
    int gone = 0;
    for (unsigned k = 0; k < 20; ++k) {
      host_run(h, 512);
      gone = w->idle->idle(w->ui);
      w->resize->ui_resize(w->ui, 500 + (int)k, 300);
    }
    assert_int_not_equal(gone, 0);
    window_host_free(w);
    host_free(h);
    setenv("DISPLAY", before, 1);
  }
}

static void test_without_a_display_it_does_not_open(void** state) {
  (void)state;
  char before[64];
  snprintf(before, sizeof(before), "%s", getenv("DISPLAY"));
  Host* const h = with_chart();
  WindowHost* const w = window_host_new(h, NULL);
  w->descriptor->cleanup(w->ui);
  setenv("DISPLAY", ":12345", 1);
  LV2UI_Widget widget;
  const LV2_Feature map = {LV2_URID__map, &h->map};
  const LV2_Feature* const features[] = {&map, NULL};
  const LV2_Feature* const none[] = {NULL};
  w->ui = w->descriptor->instantiate(w->descriptor, "urn:waymark:guide", "", NULL, NULL,
                                     &widget, features);
  assert_null(w->ui);
  setenv("DISPLAY", before, 1);
  assert_null(w->descriptor->instantiate(w->descriptor, "urn:waymark:guide", "", NULL,
                                         NULL, &widget, none));
  assert_null(w->descriptor->instantiate(w->descriptor, "urn:waymark:another", "", NULL,
                                         NULL, &widget, features));
  window_host_free(w);
  host_free(h);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_it_stands_in_the_hosts_window),
      cmocka_unit_test(test_the_scale_factor_is_used),
      cmocka_unit_test(test_it_stands_alone),
      cmocka_unit_test(test_keys_and_pointer_reach_the_guide),
      cmocka_unit_test(test_a_typed_chart_is_played),
      cmocka_unit_test(test_the_look_outlives_its_window),
      cmocka_unit_test(test_it_follows_the_hosts_size_and_the_host_its),
      cmocka_unit_test(test_opened_and_closed_again_and_again),
      cmocka_unit_test(test_ten_windows_show_the_same),
      cmocka_unit_test(test_the_host_closes_in_the_middle_of_a_drag),
      cmocka_unit_test(test_idle_costs_nothing),
      cmocka_unit_test(test_the_display_ends),
      cmocka_unit_test(test_without_a_display_it_does_not_open),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
