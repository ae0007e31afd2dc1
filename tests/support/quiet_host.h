// A window's host that takes all and does nothing.
#ifndef WAY_TESTS_QUIET_HOST_H
#define WAY_TESTS_QUIET_HOST_H

#include "../../plugin/ui/model.h"

static inline void quiet_control(void* to, WayControl control, float value) {
  (void)to;
  (void)control;
  (void)value;
}

static inline void quiet_touch(void* to, WayControl control, bool held) {
  (void)to;
  (void)control;
  (void)held;
}

static inline void quiet_text(void* to, WayModelText what, WayText text) {
  (void)to;
  (void)what;
  (void)text;
}

static inline bool quiet_file(void* to) {
  (void)to;
  return false;
}

/// A model in such a host; NULL without memory.
static inline WayModel* quiet_model(void) {
  const WayModelHost host = {NULL, quiet_control, quiet_touch, quiet_text, quiet_file};
  return way_model_new(&host);
}

#endif
