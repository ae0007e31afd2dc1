#include "model.h"

#include "chart/chart_read.h"
#include "chart/chart_unroll.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define STEP_PIXELS 14.0 // of a drag, at scale 1
#define AHEAD_MOST 0.3   // seconds a place is guessed ahead of the newest message
#define BACK_MOST 0.12   // seconds it stands still for, rather than go back
#define SILENT_AFTER 2.0 // seconds without a message after which notes are forgotten
#define NOTICE_STAYS 8.0 // seconds
#define NAMED_LEAST 12.0 // unit of settings that has room for a name, at scale 1
#define TAGS_REFUSED                                                                   \
  "Tags refused: not all channels bend alike (a zone, or strings), so notes keep "     \
  "their channels"

/// Items behind the choices shown.
enum {
  ITEM_KEYS = WAY_CHOICES_SHOWN, ///< Opens the list of all choices
  ITEM_TAGS,                     ///< Only there while tags are refused: tells why
};

// ---- Made and unmade.

WayModel* way_model_new(const WayModelHost* host) {
  WayModel* const m = calloc(1, sizeof(*m));
  char *const chart = calloc(1, 1), *const learned = calloc(1, 1);
  if (!m || !chart || !learned) {
    free(m);
    free(chart);
    free(learned);
    return NULL;
  }
  m->host = *host;
  m->chart = chart;
  m->learned = learned;
  m->heard_at = -1;
  m->focus = WAY_SCREEN_NO_ITEM;
  m->drag = WAY_CHOICE_COUNT;
  m->screen.look = way_screen_look_default();
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i)
    m->values[i] = way_choice((WayChoiceId)i)->start;
  return m;
}

void way_model_free(WayModel* m) {
  if (!m) return;
  for (unsigned i = 0; i < m->n_undo; ++i) free(m->undo[i].chart);
  way_timeline_free(m->timeline);
  free(m->chart);
  free(m->learned);
  free(m);
}

void way_model_scale(WayModel* m, double scale) { m->screen.look.scale = scale; }

static double scale_of(const WayModel* m) {
  return m->screen.look.scale > 0 ? m->screen.look.scale : 1;
}

/// Show a line, up to where it can be read: whoever wrote it is not trusted.
static void notify_text(WayModel* m, const char* before, WayText text) {
  WayOut out = way_out(m->notice, sizeof(m->notice));
  way_out_str(&out, before);
  WayCursor c = way_cursor(text);
  while (way_cursor_peek(&c) != WAY_TEXT_END) {
    const size_t from = c.byte;
    const uint32_t code = way_cursor_next(&c);
    if (code != WAY_TEXT_INVALID && code >= 0x20)
      way_out_text(&out, (WayText){text.at + from, c.byte - from});
  }
  m->notice_new = out.size > 0;
}

static void notify(WayModel* m, const char* text) {
  notify_text(m, text, way_text(""));
}

static void clear_notice(WayModel* m) {
  *m->notice = 0;
  m->notice_new = false;
}

static void set_value(WayModel* m, WayChoiceId id, float value) {
  m->values[id] = value;
  m->values[WAY_CHOICE_STAGE] = way_choice_stage(m->values);
}

// ---- News.

/// The same text in memory of its own; NULL if there is none.
static char* copied(WayText text) {
  char* const copy = malloc(text.size + 1);
  if (!copy) return NULL;
  memcpy(copy, text.at, text.size);
  copy[text.size] = 0;
  return copy;
}

static void forget_notes(WayModel* m) {
  m->n_trail = m->n_sounding = m->n_landings = 0;
}

/// Show the chart; without one, the form learned.
static void show_chart(WayModel* m) {
  const bool learned = !way_text_trim(way_text(m->chart)).size;
  const WayText text = way_text(learned ? m->learned : m->chart);
  way_timeline_free(m->timeline);
  m->timeline = NULL;
  m->title[0] = 0;
  forget_notes(m);
  WayChart* chart = NULL;
  if (!way_text_trim(text).size || way_chart_read(text, &chart, NULL)) return;
  if (!way_chart_unroll(chart, &m->timeline))
    snprintf(m->title, sizeof(m->title), "%s",
             learned ? "Learned by ear" : chart->title);
  way_chart_free(chart);
}

/// Another text of the chart or the form learned.
static void take_text(WayModel* m, char** to, WayText text) {
  if (way_text_is(text, *to)) return;
  char* const copy = copied(text);
  if (!copy) return;
  free(*to);
  *to = copy;
  if (to == &m->chart || !way_text_trim(way_text(m->chart)).size) show_chart(m);
}

/// Make room for one more entry of `size` bytes at the end of a full list.
static void drop_first(void* list, uint32_t* n, uint32_t most, size_t size) {
  if (*n < most) return;
  --*n;
  memmove(list, (char*)list + size, *n * size);
}

static void end_note(WayModel* m, const WayWireRecord* r, WayTick tick) {
  for (uint32_t i = 0; i < m->n_sounding; ++i) {
    if (m->sounding[i].pitch != r->pitch || m->channels[i] != r->channel) continue;
    --m->n_sounding;
    memmove(&m->sounding[i], &m->sounding[i + 1],
            (m->n_sounding - i) * sizeof(*m->sounding));
    memmove(&m->channels[i], &m->channels[i + 1], m->n_sounding - i);
    break;
  }
  for (uint32_t i = m->n_trail; i > 0; --i) {
    WayTrailNote* const n = &m->trail[i - 1];
    if (n->pitch != r->pitch || n->end != WAY_TRAIL_SOUNDS) continue;
    n->end = tick > n->start ? tick : n->start;
    return;
  }
}

/// The hand goes to the place of a note that is nearest to where it was.
static void move_hand(WayModel* m, uint8_t pitch) {
  WayFretPlace places[WAY_STRINGS_MAX];
  if (m->screen.look.keyboard || !(m->layout.width > 0) ||
      !way_fret_places(&m->layout.frets, pitch, m->screen.hand, places))
    return;
  m->hand = places[0];
  m->screen.hand = &m->hand;
}

static void begin_note(WayModel* m, const WayWireRecord* r) {
  move_hand(m, r->pitch);
  if (m->n_sounding == WAY_MODEL_SOUNDING) return;
  m->sounding[m->n_sounding] = (WaySounding){r->pitch, 0};
  m->channels[m->n_sounding++] = r->channel;
}

static void add_trail(WayModel* m, const WayWireRecord* r, WayTick tick) {
  drop_first(m->trail, &m->n_trail, WAY_MODEL_NOTES, sizeof(*m->trail));
  m->trail[m->n_trail++] = (WayTrailNote){tick, WAY_TRAIL_SOUNDS, r->pitch, r->role};
}

static void add_landing(WayModel* m, const WayWireRecord* r, WayTick tick) {
  if (!m->timeline || m->place.from != WAY_CHORD_FROM_CHART) return;
  const WayPlace p = way_timeline_at(m->timeline, tick);
  const uint32_t span = r->next ? p.next : p.span;
  const int64_t chorus = p.chorus + (r->next && p.next <= p.span);
  drop_first(m->landings, &m->n_landings, WAY_MODEL_LANDINGS, sizeof(*m->landings));
  m->landings[m->n_landings++] =
      (WayModelLanding){chorus, {span, r->on_target, r->role}};
}

static void take_record(WayModel* m, const WayWireRecord* r, WayTick place) {
  const WayTick tick = place - r->ago;
  switch ((WayWireKind)r->kind) {
  case WAY_WIRE_OFF: end_note(m, r, tick); break;
  case WAY_WIRE_ON: begin_note(m, r); break;
  case WAY_WIRE_ROLE: add_trail(m, r, tick); break;
  case WAY_WIRE_LANDING: add_landing(m, r, tick); break;
  case WAY_WIRE_COUNT: break;
  }
}

/// Tags are refused from now on, or no more.
static void take_tags(WayModel* m, bool refused) {
  if (refused)
    notify(m, TAGS_REFUSED);
  else if (strstr(m->notice, TAGS_REFUSED))
    clear_notice(m);
}

static void take_place(WayModel* m, const WayNews* news, double now) {
  const bool gap = m->heard_at < 0 || now - m->heard_at > SILENT_AFTER;
  const WayTick beat = WAY_TICKS_PER_QUARTER;
  if (gap && m->place.speed > 0) m->n_sounding = 0;
  if (news->tick < m->place.tick - beat / 2 || news->tick > m->place.tick + 64 * beat) {
    const uint32_t sounding = m->n_sounding;
    forget_notes(m); // the transport went elsewhere
    m->n_sounding = sounding;
  }
  if (news->tags_refused != m->place.tags_refused) take_tags(m, news->tags_refused);
  m->place = *news;
  m->heard_at = now;
  for (unsigned i = 0; i < news->n; ++i) take_record(m, &news->records[i], news->tick);
  if (news->from == WAY_CHORD_FROM_NOTES)
    m->heard = way_harmony(&news->chord, news->key,
                           m->timeline ? &m->timeline->loop_pcs : NULL);
}

void way_model_news(WayModel* m, const WayNews* news, double now) {
  switch (news->kind) {
  case WAY_NEWS_PLACE: take_place(m, news, now); break;
  case WAY_NEWS_CHART_TEXT: take_text(m, &m->chart, news->text); break;
  case WAY_NEWS_LEARNED: take_text(m, &m->learned, news->text); break;
  case WAY_NEWS_CHART_FILE: break;
  case WAY_NEWS_LOOK: way_choice_read_look(news->text, m->values); break;
  case WAY_NEWS_CHART_MESSAGE:
    if (news->text.size) notify_text(m, "Chart: ", news->text);
    break;
  }
}

void way_model_control(WayModel* m, WayControl control, float value) {
  const WayChoiceId id = way_choice_by_control(control);
  if (id != WAY_CHOICE_COUNT) set_value(m, id, way_choice_clamped(id, value));
}

// ---- Choices and undo.

/// Keep a step with what all choices were before it.
static void remember(WayModel* m, WayChoiceId id, const float values[WAY_CHOICE_COUNT],
                     char* chart) {
  if (m->n_undo == WAY_MODEL_UNDO) {
    free(m->undo[0].chart);
    --m->n_undo;
    memmove(m->undo, m->undo + 1, m->n_undo * sizeof(*m->undo));
  }
  WayModelStep* const s = &m->undo[m->n_undo++];
  s->choice = id;
  memcpy(s->values, values, sizeof(s->values));
  s->chart = chart;
}

/// Let the guide keep the look.
static void keep_look(WayModel* m) {
  char text[WAY_MODEL_LOOK_MAX];
  WayOut out = way_out(text, sizeof(text));
  way_choice_write_look(m->values, &out);
  m->host.set_text(m->host.to, WAY_MODEL_LOOK, way_text(text));
}

static void use_value(WayModel* m, WayChoiceId id, float value) {
  const WayChoice* const c = way_choice(id);
  set_value(m, id, value);
  if (c->control != WAY_CHOICE_OF_LOOK)
    m->host.set_control(m->host.to, (WayControl)c->control, value);
  else
    keep_look(m);
}

/// Use a stage; for #WAY_STAGE_OWN what the player had instead.
static void use_stage(WayModel* m, float stage, const float own[WAY_CHOICE_COUNT]) {
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const WayChoiceId id = (WayChoiceId)i;
    if (!way_choice_in_stage(id)) continue;
    const float now = m->values[id];
    const float value = stage > WAY_STAGE_OWN
                            ? way_choice_of_stage((unsigned)stage - 1, id, now)
                            : own[id];
    if (value < now || value > now) use_value(m, id, value);
  }
}

static void use(WayModel* m, WayChoiceId id, float value,
                const float own[WAY_CHOICE_COUNT]) {
  if (id == WAY_CHOICE_STAGE)
    use_stage(m, value, own);
  else
    use_value(m, id, value);
}

static void choose(WayModel* m, WayChoiceId id, float value) {
  if (value >= m->values[id] && value <= m->values[id]) return;
  remember(m, id, m->values, NULL);
  use(m, id, value, m->values);
}

/// Tell the value of a choice that is not seen elsewhere.
static void tell_choice(WayModel* m, WayChoiceId id) {
  const WayChoice* const c = way_choice(id);
  if (id < WAY_CHOICES_SHOWN || c->control == WAY_CHOICE_OF_LOOK ||
      m->over == WAY_OVER_HELP)
    return;
  char text[64];
  WayOut out = way_out(text, sizeof(text));
  way_out_str(&out, c->label);
  way_out_char(&out, ' ');
  way_choice_write(id, m->values[id], &out);
  const bool refused =
      id == WAY_CHOICE_TAGS && m->place.tags_refused && m->values[id] > 0;
  if (refused) way_out_str(&out, ". ");
  notify_text(m, text, way_text(refused ? TAGS_REFUSED : ""));
}

static void step_choice(WayModel* m, WayChoiceId id, int steps) {
  clear_notice(m); // it hides the choices
  choose(m, id, way_choice_moved(id, m->values[id], steps));
  tell_choice(m, id);
}

/// Choose a stage and tell what to listen for.
static void choose_stage(WayModel* m, unsigned stage) {
  m->focus = WAY_CHOICE_STAGE;
  choose(m, WAY_CHOICE_STAGE, (float)(stage + 1));
  char name[64];
  snprintf(name, sizeof(name), "%s. ", way_stage(stage)->name);
  notify_text(m, name, way_text(way_stage(stage)->words));
}

static void take_step_back(WayModel* m, const WayModelStep* s) {
  if (s->choice != WAY_CHOICE_COUNT) {
    use(m, s->choice, s->values[s->choice], s->values);
    return;
  }
  m->host.set_text(m->host.to, WAY_MODEL_CHART, way_text(s->chart));
  free(s->chart);
}

static void take_back(WayModel* m) {
  if (!m->n_undo) {
    notify(m, "Nothing to undo");
    return;
  }
  take_step_back(m, &m->undo[--m->n_undo]);
}

// ---- The line.

static unsigned count_lines(const WayLine* l) {
  unsigned n = 1;
  for (const char* at = l->text; (at = strchr(at, '\n')); ++at) ++n;
  return n;
}

static void check_line(WayModel* m) {
  m->line_error = (WayError){.status = WAY_OK};
  const WayText text = {m->line.text, m->line.size};
  if (m->over != WAY_OVER_CHART || !way_text_trim(text).size) return;
  WayChart* chart = NULL;
  if (!way_chart_read(text, &chart, &m->line_error)) way_chart_free(chart);
}

static void open_line(WayModel* m, WayOver over) {
  const WayText text = way_text(over == WAY_OVER_CHART ? m->chart : "");
  m->over = over;
  if (!way_line_set(&m->line, text))
    notify(m, "The chart is too long to be typed here: change its file");
  check_line(m);
}

static void open_file(WayModel* m) {
  if (!m->host.ask_file(m->host.to)) open_line(m, WAY_OVER_PATH);
}

static void finish_line(WayModel* m) {
  const WayText text = way_text_trim((WayText){m->line.text, m->line.size});
  const bool path = m->over == WAY_OVER_PATH;
  if (m->line_error.status) return; // it stays open, with its message
  m->over = WAY_OVER_NOTHING;
  if (path && !text.size) return;
  remember(m, WAY_CHOICE_COUNT, m->values, copied(way_text(m->chart)));
  if (!m->undo[m->n_undo - 1].chart) --m->n_undo;
  m->host.set_text(m->host.to, path ? WAY_MODEL_FILE : WAY_MODEL_CHART,
                   path ? text : (WayText){m->line.text, m->line.size});
}

static void type(WayModel* m, WayText text) {
  if (!way_line_insert(&m->line, text)) notify(m, "That is too long");
}

static void type_key(WayModel* m, uint32_t key) {
  char bytes[4];
  size_t n = 0;
  if (key < 0x80) {
    bytes[n++] = (char)key;
  } else if (key < 0x800) {
    bytes[n++] = (char)(0xC0u | key >> 6);
    bytes[n++] = (char)(0x80u | (key & 0x3Fu));
  } else {
    if (key < 0x10000) {
      bytes[n++] = (char)(0xE0u | key >> 12);
    } else {
      bytes[n++] = (char)(0xF0u | key >> 18);
      bytes[n++] = (char)(0x80u | (key >> 12 & 0x3Fu));
    }
    bytes[n++] = (char)(0x80u | (key >> 6 & 0x3Fu));
    bytes[n++] = (char)(0x80u | (key & 0x3Fu));
  }
  type(m, (WayText){bytes, n});
}

static void line_key(WayModel* m, const WayUiInput* in) {
  WayLine* const l = &m->line;
  switch (in->key) {
  case WAY_KEY_LEFT: way_line_move(l, -1); return;
  case WAY_KEY_RIGHT: way_line_move(l, 1); return;
  case WAY_KEY_UP: way_line_step(l, -1); return;
  case WAY_KEY_DOWN: way_line_step(l, 1); return;
  case WAY_KEY_HOME: way_line_end(l, false); return;
  case WAY_KEY_END: way_line_end(l, true); return;
  case WAY_KEY_BACKSPACE: way_line_delete(l, false); break;
  case WAY_KEY_DELETE: way_line_delete(l, true); break;
  case WAY_KEY_ESCAPE: m->over = WAY_OVER_NOTHING; break;
  case WAY_KEY_ENTER:
    if (!in->shift || m->over == WAY_OVER_PATH) {
      finish_line(m);
      return;
    }
    type_key(m, '\n');
    break;
  default:
    if (in->ctrl && in->key == 'u')
      way_line_set(l, way_text(""));
    else if (!in->ctrl && in->key < WAY_KEY_LEFT)
      type_key(m, in->key);
    break;
  }
  check_line(m);
}

// ---- What a player does.

/// Go to the next choice that has a place on the screen.
static void move_focus(WayModel* m, int by) {
  const uint32_t n = m->over == WAY_OVER_HELP ? WAY_CHOICE_COUNT : WAY_CHOICES_SHOWN;
  clear_notice(m);
  if (m->focus >= n)
    m->focus = by > 0 ? 0 : n - 1;
  else
    m->focus = (m->focus + n + (uint32_t)by) % n;
}

static void step_focus(WayModel* m, int steps) {
  if (m->focus < WAY_CHOICE_COUNT) step_choice(m, (WayChoiceId)m->focus, steps);
}

static bool screen_key(WayModel* m, const WayUiInput* in) {
  const uint32_t key = in->key;
  const WayChoiceId id = in->ctrl ? WAY_CHOICE_COUNT : way_choice_by_key(key);
  if (id != WAY_CHOICE_COUNT) {
    m->focus = id;
    step_choice(m, id, key >= 'a' ? 1 : -1);
    return true;
  }
  if (key >= '1' && key < '1' + WAY_STAGES) {
    choose_stage(m, key - '1');
    return true;
  }
  switch (key) {
  case WAY_KEY_TAB: move_focus(m, in->shift ? -1 : 1); break;
  case WAY_KEY_RIGHT: move_focus(m, 1); break;
  case WAY_KEY_LEFT: move_focus(m, -1); break;
  case WAY_KEY_UP: step_focus(m, 1); break;
  case WAY_KEY_DOWN: step_focus(m, -1); break;
  case WAY_KEY_ESCAPE:
    m->over = WAY_OVER_NOTHING;
    m->focus = WAY_SCREEN_NO_ITEM;
    break;
  case '?':
  case WAY_KEY_HELP:
    m->over = m->over == WAY_OVER_HELP ? WAY_OVER_NOTHING : WAY_OVER_HELP;
    break;
  case '/':
  case WAY_KEY_ENTER: open_line(m, WAY_OVER_CHART); break;
  case 'p': open_file(m); break;
  case 'u':
  case 'z': take_back(m); break;
  default: return false;
  }
  return true;
}

/// What lies at a point and can be turned.
static WayChoiceId choice_at(const WayModel* m, double x, double y) {
  if (m->over == WAY_OVER_HELP) return way_over_choice_at(&m->over_layout, x, y);
  if (m->over != WAY_OVER_NOTHING) return WAY_CHOICE_COUNT;
  switch (way_screen_region_at(&m->layout, x, y)) {
  case WAY_REGION_ITEMS: {
    const uint32_t item = way_screen_item_at(&m->layout, &m->screen, x, y);
    return item < WAY_CHOICES_SHOWN ? (WayChoiceId)item : WAY_CHOICE_COUNT;
  }
  case WAY_REGION_INSTRUMENT:
    return m->screen.look.keyboard ? WAY_CHOICE_OCTAVE : WAY_CHOICE_FRETS;
  default: return WAY_CHOICE_COUNT;
  }
}

/// Tell which controls are in the player's hand, or let go: those of a stage are many.
static void touch(WayModel* m, WayChoiceId id, bool held) {
  for (unsigned i = 0; i < WAY_CHOICE_COUNT; ++i) {
    const WayChoiceId part = (WayChoiceId)i;
    const unsigned control = way_choice(part)->control;
    if (part == id || (id == WAY_CHOICE_STAGE && way_choice_in_stage(part)))
      if (control < WAY_CONTROL_COUNT)
        m->host.touch(m->host.to, (WayControl)control, held);
  }
}

static void let_go(WayModel* m) {
  if (m->drag == WAY_CHOICE_COUNT) return;
  touch(m, m->drag, false);
  m->drag = WAY_CHOICE_COUNT;
}

/// Press what is no choice: it opens or closes something.
static void press_other(WayModel* m, double x, double y) {
  if (m->over != WAY_OVER_NOTHING) {
    if (!way_box_has(m->over_layout.box, x, y)) m->over = WAY_OVER_NOTHING;
    return;
  }
  const uint32_t item = way_screen_item_at(&m->layout, &m->screen, x, y);
  if (item == ITEM_KEYS)
    m->over = WAY_OVER_HELP;
  else if (item == ITEM_TAGS)
    notify(m, TAGS_REFUSED);
  else if (way_screen_region_at(&m->layout, x, y) == WAY_REGION_HEADER)
    open_line(m, WAY_OVER_CHART);
}

static void press(WayModel* m, const WayUiInput* in) {
  let_go(m);
  const WayChoiceId id = choice_at(m, in->x, in->y);
  if (id == WAY_CHOICE_COUNT) {
    press_other(m, in->x, in->y);
    return;
  }
  m->focus = id;
  m->drag = id;
  m->drag_y = in->y;
  memcpy(m->drag_values, m->values, sizeof(m->values));
  clear_notice(m);
  touch(m, id, true);
}

static int drag_steps(const WayModel* m, double y) {
  return (int)lrint((m->drag_y - y) / (STEP_PIXELS * scale_of(m)));
}

static void drag(WayModel* m, double y) {
  if (m->drag == WAY_CHOICE_COUNT) return;
  const float from = m->drag_values[m->drag];
  const float value = way_choice_moved(m->drag, from, drag_steps(m, y));
  if (value < m->values[m->drag] || value > m->values[m->drag])
    use(m, m->drag, value, m->drag_values);
}

/// A press without a drag is a click; a drag is one step to take back.
static void release(WayModel* m, const WayUiInput* in) {
  const WayChoiceId id = m->drag;
  if (id == WAY_CHOICE_COUNT) return;
  drag(m, in->y);
  const float now = m->values[id], before = m->drag_values[id];
  if (now < before || now > before)
    remember(m, id, m->drag_values, NULL);
  else if (!drag_steps(m, in->y) && id != WAY_CHOICE_FRETS && id != WAY_CHOICE_OCTAVE)
    step_choice(m, id, in->button == 3 ? -1 : 1);
  let_go(m);
}

bool way_model_input(WayModel* m, const WayUiInput* in) {
  const bool typing = m->over == WAY_OVER_CHART || m->over == WAY_OVER_PATH;
  switch (in->kind) {
  case WAY_INPUT_PRESS: press(m, in); break;
  case WAY_INPUT_RELEASE: release(m, in); break;
  case WAY_INPUT_MOVE: drag(m, in->y); break;
  case WAY_INPUT_WHEEL: {
    const WayChoiceId id = choice_at(m, in->x, in->y);
    if (id != WAY_CHOICE_COUNT && m->drag == WAY_CHOICE_COUNT)
      step_choice(m, id, in->wheel);
    break;
  }
  case WAY_INPUT_KEY:
    if (!typing) return screen_key(m, in);
    line_key(m, in);
    break;
  case WAY_INPUT_PASTE:
    if (!typing) {
      open_line(m, WAY_OVER_CHART);
      way_line_set(&m->line, way_text(""));
    }
    type(m, in->text);
    check_line(m);
    break;
  case WAY_INPUT_COUNT: break;
  }
  return true;
}

// ---- What is shown.

/// The place now: a little ahead of the newest message, and never back by a little.
static WayTick tick_now(WayModel* m, double now) {
  const WayNews* const p = &m->place;
  if (!(p->speed > 0)) return m->shown_tick = p->tick;
  const double since = fmin(fmax(now - m->heard_at, 0), AHEAD_MOST);
  const WayTick tick = p->tick + (WayTick)(since * p->speed);
  const WayTick back = m->shown_tick - tick;
  if (back > 0 && (double)back < BACK_MOST * p->speed) return m->shown_tick;
  return m->shown_tick = tick;
}

static void show_landings(WayModel* m) {
  WayScreenModel* const s = &m->screen;
  s->n_landings = 0;
  s->landings = m->shown_landings;
  if (!m->timeline) return;
  const int64_t chorus = way_timeline_at(m->timeline, s->tick).chorus;
  for (uint32_t i = 0; i < m->n_landings; ++i)
    if (m->landings[i].chorus == chorus)
      m->shown_landings[s->n_landings++] = m->landings[i].token;
}

/// Strings, if each has a channel: the highest string the chosen one, the next string
/// the next channel (the habit of MIDI guitars; common practice, no source).
static void show_strings(WayModel* m) {
  const int first = (int)m->values[WAY_CHOICE_STRINGS];
  const unsigned n = m->screen.look.frets.tuning.n;
  for (uint32_t i = 0; i < m->n_sounding; ++i) {
    const int from_top = m->channels[i] + 1 - first;
    const bool known = first && from_top >= 0 && from_top < (int)n;
    m->sounding[i].string = known ? (uint8_t)((int)n - from_top) : 0;
  }
}

/// The look; where another neck is shown, nobody knows where the hand is.
static void show_look(WayModel* m) {
  WayScreenLook* const look = &m->screen.look;
  const WayFretboard before = look->frets;
  const bool hand = (int)m->values[WAY_CHOICE_FRETS] == WAY_FRETS_HAND;
  way_choice_look(m->values, look);
  if (hand && m->timeline)
    way_screen_hand(m->timeline, m->screen.material, &look->frets);
  const WayFretboard* const now = &look->frets;
  if (look->keyboard || now->tuning.n != before.tuning.n ||
      now->first != before.first || now->last != before.last)
    m->screen.hand = NULL;
}

static void show_items(WayModel* m) {
  for (unsigned i = 0; i < WAY_CHOICES_SHOWN; ++i) {
    WayOut out = way_out(m->texts[i], sizeof(m->texts[i]));
    way_choice_write((WayChoiceId)i, m->values[i], &out);
    m->items[i] = (WayScreenItem){way_choice((WayChoiceId)i)->label, m->texts[i]};
  }
  m->screen.items = m->items;
  m->items[ITEM_KEYS] = (WayScreenItem){"keys", "?"};
  m->items[ITEM_TAGS] = (WayScreenItem){"tags", "refused"};
  m->screen.n_items = m->place.tags_refused ? ITEM_TAGS + 1 : ITEM_KEYS + 1;
  m->screen.focus = m->focus < WAY_CHOICES_SHOWN ? m->focus : WAY_SCREEN_NO_ITEM;
}

/// A stage says its name, too, where letters stay as large as at 900x420.
static void name_stage(WayModel* m) {
  const unsigned stage = (unsigned)m->values[WAY_CHOICE_STAGE];
  if (stage == WAY_STAGE_OWN) return;
  m->items[WAY_CHOICE_STAGE].value = way_stage(stage - 1)->name;
  if (way_screen_items_unit(&m->layout, &m->screen) < NAMED_LEAST * scale_of(m))
    m->items[WAY_CHOICE_STAGE].value = m->texts[WAY_CHOICE_STAGE];
}

static void show_notice(WayModel* m, double now) {
  if (m->notice_new) m->notice_till = now + NOTICE_STAYS;
  m->notice_new = false;
  if (now > m->notice_till) m->notice[0] = 0;
  m->screen.notice = *m->notice ? m->notice : NULL;
}

/// A chord heard stands for that of the form.
static void show_chord_heard(WayModel* m) {
  WayScreenModel* const s = &m->screen;
  if (m->place.from != WAY_CHORD_FROM_NOTES) return;
  s->now = &m->heard;
  s->next = NULL;
  s->until = s->lasts = 0;
  s->target = (WayDegree){0, 0};
}

bool way_model_moves(const WayModel* m) { return m->place.speed > 0 || *m->notice; }

void way_model_update(WayModel* m, double width, double height, double now) {
  WayScreenModel* const s = &m->screen;
  s->title = m->title;
  s->hint =
      "Enter  type or paste one\np  open a file\nor play chords into the chord track";
  s->material = (WayMaterial)m->values[WAY_CHOICE_MATERIAL];
  show_look(m);
  way_screen_follow(s, m->timeline, tick_now(m, now));
  s->tick = m->shown_tick;
  s->rolling = m->place.speed > 0;
  show_chord_heard(m);
  show_landings(m);
  show_strings(m);
  show_items(m);
  show_notice(m, now);
  s->sounding = m->sounding;
  s->n_sounding = m->n_sounding;
  s->trail = m->trail;
  s->n_trail = m->n_trail;
  m->layout = way_screen_layout(s, width, height);
  name_stage(m);
  const unsigned lines = m->over == WAY_OVER_CHART ? count_lines(&m->line) : 1;
  m->over_layout = way_over_layout(m->over, &m->layout, lines);
}
