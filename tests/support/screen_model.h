// Random states of the screen.
#ifndef WAY_TESTS_SCREEN_MODEL_H
#define WAY_TESTS_SCREEN_MODEL_H

#include "draw/screen_paint.h"
#include "rng.h"

/// A model with room for what it points at.
typedef struct {
  WayScreenModel model;
  WayTrailNote trail[24];
  WaySounding sounding[3];
  WayLandingToken landings[8];
  WayScreenItem items[4];
} State;

/// A model of a form at a place, with notes played up to there.
static inline void state_fill(State* s, const WayTimeline* t, uint32_t seed) {
  uint32_t rng = seed;
  *s = (State){.model = {.title = "Gull Market", .focus = rng_next(&rng) % 5}};
  WayScreenModel* const m = &s->model;
  m->look = way_screen_look_default();
  m->look.view = rng_next(&rng) % 4 ? WAY_VIEW_FULL : WAY_VIEW_STAGE;
  m->look.theme = (WayThemeName)(rng_next(&rng) % WAY_THEME_COUNT);
  m->look.keyboard = rng_next(&rng) % 4 == 0;
  m->look.by_name = rng_next(&rng) % 2;
  m->look.frets.tuning = way_tuning(rng_next(&rng) % way_tuning_count());
  m->material = (WayMaterial)(rng_next(&rng) % WAY_MATERIAL_COUNT);
  way_screen_follow(m, t, (WayTick)(rng_next(&rng) % (uint32_t)(2 * t->length)));
  m->n_trail = rng_next(&rng) % 24;
  for (uint32_t i = 0; i < m->n_trail; ++i) {
    const WayTick start = m->tick - (WayTick)(m->n_trail - i) * 2000;
    const uint8_t pitch = (uint8_t)(50 + rng_next(&rng) % 30);
    const WayPlace p = way_timeline_at(t, start);
    s->trail[i] =
        (WayTrailNote){start, start + 1500, pitch,
                       way_harmony_role(way_timeline_harmony(t, p.span), pitch)};
  }
  m->n_sounding = rng_next(&rng) % 3;
  for (uint32_t i = 0; i < m->n_sounding; ++i)
    s->sounding[i] = (WaySounding){(uint8_t)(48 + rng_next(&rng) % 30), 0};
  m->n_landings = rng_next(&rng) % 8;
  for (uint32_t i = 0; i < m->n_landings; ++i) {
    const uint32_t span = i % t->n_spans;
    s->landings[i] = (WayLandingToken){span, rng_next(&rng) % 2,
                                       way_timeline_harmony(t, span)->roles[i]};
  }
  static const char* const labels[] = {"handling", "material", "chords", "click"};
  for (uint32_t i = 0; i < 4; ++i) s->items[i] = (WayScreenItem){labels[i], "some"};
  m->n_items = 4;
  m->trail = s->trail;
  m->sounding = s->sounding;
  m->landings = s->landings;
  m->items = s->items;
}

#endif
