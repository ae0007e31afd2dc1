#include "transport.h"

#include "object.h"

#include <math.h>
#include <string.h>

/// Used where neither host nor chart tells.
static const WayMetre plain_metre = {4, 4};
static const double plain_tempo = 120.0;

#define TICK_MAX 1e15   ///< Whole numbers up to it are exact
#define TICK_NOISE 0.01 ///< How far beside their place hosts are by rounding, in ticks

static bool known(double value) { return !isnan(value); }

/// A number atom of any type; NAN for anything else.
static double number(const WayUrids* u, const LV2_Atom* atom) {
  const void* const body = atom + 1;
  double value = NAN;
  if (atom->type == u->atom_Float && atom->size == sizeof(float)) {
    float v;
    memcpy(&v, body, sizeof(v));
    value = (double)v;
  } else if (atom->type == u->atom_Double && atom->size == sizeof(double)) {
    memcpy(&value, body, sizeof(value));
  } else if (atom->type == u->atom_Int && atom->size == sizeof(int32_t)) {
    int32_t v;
    memcpy(&v, body, sizeof(v));
    value = v;
  } else if (atom->type == u->atom_Long && atom->size == sizeof(int64_t)) {
    int64_t v;
    memcpy(&v, body, sizeof(v));
    value = (double)v;
  }
  return fabs(value) < 1e12 ? value : NAN; // nothing beyond it is a real position
}

static double* field_of(WayPosition* p, const WayUrids* u, LV2_URID key) {
  if (key == u->time_speed) return &p->speed;
  if (key == u->time_bar) return &p->bar;
  if (key == u->time_barBeat) return &p->bar_beat;
  if (key == u->time_beat) return &p->beat;
  if (key == u->time_beatsPerBar) return &p->beats_per_bar;
  if (key == u->time_beatUnit) return &p->beat_unit;
  if (key == u->time_beatsPerMinute) return &p->beats_per_minute;
  if (key == u->time_frame) return &p->frame;
  return NULL;
}

static WayPosition read_position(const WayUrids* u, const LV2_Atom_Object* object) {
  WayPosition p = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
  WayObjectWalk walk = way_object_walk(object);
  const LV2_Atom_Property_Body* property;
  while ((property = way_object_next(&walk))) {
    double* const field = field_of(&p, u, property->key);
    if (field) *field = number(u, &property->value);
  }
  if (!(p.beats_per_bar > 0.0)) p.beats_per_bar = NAN;
  if (!(p.beat_unit > 0.0)) p.beat_unit = NAN;
  if (!(p.beats_per_minute > 0.0)) p.beats_per_minute = NAN;
  return p;
}

/// Ticks from the top of the first chorus to bar `bar` of the form, which repeats for
/// ever both ways; the metre there goes to `metre`.
static double bar_start(const WaySong* song, int64_t bar, WayMetre* metre) {
  const WayTimeline* const t = song->timeline;
  if (!t) return (double)bar * (double)way_metre_bar(*metre);
  const int64_t n = t->n_bars;
  const int64_t chorus = bar / n - (bar % n < 0);
  const WayBar* const b = &t->bars[bar - chorus * n];
  *metre = b->metre;
  return (double)chorus * (double)t->length + (double)b->start;
}

/// The host's metre.
static WayMetre host_metre(const WayPosition* p) {
  WayMetre m = plain_metre;
  if (p->beats_per_bar >= 1.0 && p->beats_per_bar <= 64.0)
    m.beats = (uint8_t)p->beats_per_bar;
  if (p->beat_unit >= 1.0 && p->beat_unit <= 64.0) m.unit = (uint8_t)p->beat_unit;
  return way_metre_valid(m) ? m : plain_metre;
}

WayMetre way_transport_metre(const WayTransport* t) {
  return t->measured ? host_metre(&t->position) : (WayMetre){0, 0};
}

/// What a message leaves out is as it was.  But a host that tells its place by frames
/// alone knows of no bars, nor of a tempo.
static void complete(WayTransport* t, const WayPosition* before) {
  WayPosition* const p = &t->position;
  const bool in_bars = known(p->bar) || known(p->beat);
  if (!known(p->speed)) p->speed = before->speed;
  if (in_bars || !known(p->frame)) {
    if (!known(p->beats_per_bar)) p->beats_per_bar = before->beats_per_bar;
    if (!known(p->beat_unit)) p->beat_unit = before->beat_unit;
    if (!known(p->beats_per_minute)) p->beats_per_minute = before->beats_per_minute;
  }
  if (in_bars || known(p->frame)) t->measured = in_bars && known(p->beats_per_minute);
}

/// The metre where nothing is known of the bar: the chart's first, else the host's.
static WayMetre first_metre(const WayPosition* p, const WaySong* song) {
  return song->timeline ? song->timeline->bars[0].metre : host_metre(p);
}

/// How many of the host's beats make a quarter note.
static double beats_in_quarter(const WayPosition* p) {
  return known(p->beat_unit) ? p->beat_unit / 4.0 : 1.0;
}

/**
   The straight line the newest position tells of.

   A host's bar is a bar of the form, so where the two count its beats differently (4/4
   against 12/8) the host's beats are stretched to fill it.
   @param fallback Where the music stands if the host does not say.
*/
static WayClock line(const WayTransport* t, const WaySong* song, double fallback) {
  const WayPosition* const p = &t->position;
  WayMetre metre = first_metre(p, song);
  const double tempo = song->timeline ? song->timeline->tempo : plain_tempo;
  WayClock c = {t->at, fallback, tempo * WAY_TICKS_PER_QUARTER / 60.0 / t->rate};

  double top = NAN, beats = NAN;
  if (known(p->bar)) {
    top = bar_start(song, (int64_t)floor(p->bar) - (song->start_bar - 1), &metre);
    beats = known(p->bar_beat) ? p->bar_beat : 0.0;
  } else if (known(p->beat)) {
    top = bar_start(song, 1 - (int64_t)song->start_bar, &metre);
    beats = p->beat;
  }
  double beat = (double)way_metre_beat(metre);
  if (known(p->beats_per_bar)) beat *= metre.beats / p->beats_per_bar;
  const double tempo_beat = t->quarters ? beat * beats_in_quarter(p) : beat;
  if (known(p->beats_per_minute))
    c.ticks_per_frame = p->beats_per_minute * tempo_beat / 60.0 / t->rate;
  if (known(top))
    c.tick = top + beats * beat;
  else if (known(p->frame))
    c.tick = bar_start(song, 1 - (int64_t)song->start_bar, &metre) +
             p->frame * c.ticks_per_frame;
  c.ticks_per_frame *= p->speed > 0.0 ? p->speed : 0.0;
  // Absurd numbers must not grow from message to message.
  c.tick = fmin(fmax(c.tick, -TICK_MAX), TICK_MAX);
  c.ticks_per_frame = fmin(c.ticks_per_frame, WAY_TICKS_PER_QUARTER);
  return c;
}

/// How far, in ticks, a position may lie from the clock in use and still agree.
static double tolerance(const WayTransport* t, double ticks_per_frame) {
  // Some hosts count 1920 ticks to a beat, and say the tick a frame lies in.
  const double grid = t->position.bar_beat * 1920.0;
  const bool coarse = fabs(grid - nearbyint(grid)) < 1e-3;
  return fmax(TICK_NOISE, ticks_per_frame) + (coarse ? 2.0 : 0.0);
}

/**
   Find out what the host's tempo counts.

   LV2 says beats of the metre; some hosts count quarter notes in every metre.  Two
   messages apart, the place tells which.
   @param before What the message before said.
   @param c      The line as read so far.
   @return Whether it is the other way than thought.
*/
static bool counts_otherwise(const WayTransport* t, const WayTransport* before,
                             const WayClock* c) {
  const WayPosition *now = &t->position, *then = &before->position;
  const double ratio = beats_in_quarter(now);
  const bool steady = now->beats_per_minute == then->beats_per_minute &&
                      now->beat_unit == then->beat_unit && now->speed == then->speed;
  if (!steady || ratio == 1.0 || !known(before->said) || !(c->ticks_per_frame > 0.0))
    return false;
  const double frames = (double)(c->frame - before->at);
  const double other = c->ticks_per_frame * (t->quarters ? 1.0 / ratio : ratio);
  return frames > 0.0 &&
         fabs((c->tick - before->said) / frames - other) < 0.25 * fabs(other);
}

void way_transport_init(WayTransport* t, double rate) {
  const WayPosition nothing = {0.0, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
  t->rate = rate;
  t->position = nothing;
  t->at = 0;
  t->said = NAN;
  t->measured = t->quarters = false;
  t->clock = (WayClock){0, 0.0, 0.0};
}

bool way_transport_position(WayTransport* t, const WayUrids* urids,
                            const LV2_Atom_Object* object, int64_t frame,
                            const WaySong* song) {
  const WayTransport last = *t;
  const double running = way_clock_exact(&t->clock, frame);
  t->position = read_position(urids, object);
  t->at = frame;
  complete(t, &last.position);

  WayClock c = line(t, song, running);
  if (counts_otherwise(t, &last, &c)) {
    t->quarters = !t->quarters;
    c = line(t, song, running);
  }
  t->said = known(t->position.bar) ? c.tick : NAN;
  const double before = t->clock.ticks_per_frame;
  if (fabs(c.tick - running) <= tolerance(t, c.ticks_per_frame)) {
    const bool same = fabs(c.ticks_per_frame - before) <= 1e-12 * before;
    if (same) return false;
    if (before > 0.0) c.tick = running; // another tempo, without a jump
  }
  t->clock = c;
  return true;
}

void way_transport_refit(WayTransport* t, int64_t frame, const WaySong* song) {
  const WayClock c = line(t, song, way_clock_exact(&t->clock, t->at));
  t->said = NAN; // it was said of another song
  t->clock = (WayClock){frame, way_clock_exact(&c, frame), c.ticks_per_frame};
}
