#include "live/learning.h"

#include <string.h>

void way_learning_init(WayLearning* l) {
  memset(l, 0, sizeof(*l));
  l->due = INT64_MAX;
  l->left_frame = INT64_MIN;
  way_learn_init(&l->learn);
}

const WayTimeline* way_learning_wanted(const WayLearning* l, const WaySettings* s) {
  if (l->chart) return l->chart;
  const bool made = l->form && l->form_number == l->learn.number;
  return made && s->learn && way_learn_usable(&l->learn) ? l->form : NULL;
}

void way_learning_plan(WayLearning* l, const WaySettings* s, const WayFollow* f) {
  const WayTick due = way_learning_on(l, s) ? way_learn_due(&l->learn) : INT64_MAX;
  l->due = INT64_MAX;
  if (due == INT64_MAX || !way_follow_rolls(f)) return;
  l->due = way_clock_frame(&f->clock, due - f->origin);
  if (l->due < f->clock.frame) l->due = f->clock.frame;
}

void way_learning_begin(WayLearning* l, const WaySettings* s, const WayFollow* f,
                        int64_t frame, bool held) {
  way_learn_begin(&l->learn, way_follow_tick(f, frame),
                  way_learning_on(l, s) && way_follow_rolls(f), held);
  way_learning_plan(l, s, f);
}

void way_learning_hear(WayLearning* l, const WayFollow* f, int64_t began,
                       const WayChord* chord, uint16_t sound, bool again) {
  if (began < f->clock.frame) began = f->clock.frame;
  way_learn_hear(&l->learn, way_follow_tick(f, began), chord, sound, again);
}

/// The tempo of what is heard: that which leads to a bar line.
static void set_tempo(WayLearning* l, const WayFollow* f) {
  if (way_follow_rolls(f))
    l->learn.tempo = f->clock.ticks_per_frame * f->rate * 60 / WAY_TICKS_PER_QUARTER;
}

void way_learning_step(WayLearning* l, const WayFollow* f, bool held) {
  set_tempo(l, f);
  way_learn_step(&l->learn, held);
}

void way_learning_jump(WayLearning* l, const WayFollow* f, int64_t frame, WayTick from,
                       bool rolled, bool held) {
  const bool rolls = way_follow_rolls(f);
  if (rolled && !rolls) l->left_frame = frame;
  const bool loops =
      rolled || frame <= l->left_frame + (int64_t)(WAY_LOOP_GAP * f->rate);
  set_tempo(l, f);
  way_learn_jump(&l->learn, from, way_follow_tick(f, frame), loops, rolls, held);
}

void way_learning_take(WayLearning* l, uint32_t number, const WayTimeline* t) {
  l->form = t;
  l->form_number = number;
}

void way_learning_recall(WayLearning* l, const WayForm* form, const WayTimeline* t) {
  way_learn_recall(&l->learn, form);
  way_learning_take(l, l->learn.number, t);
}
