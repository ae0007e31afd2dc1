#include "live/plain.h"

#include "guided.h"
#include "rng.h"

// Random sessions.  A session is made from its seed alone, so it can be played again
// with the calls cut elsewhere.

enum { OPS = 120, FORMS = 3 };

typedef enum { OP_MIDI, OP_TRANSPORT, OP_SET, OP_CHART, OP_ROOM, OP_SILENCE } OpKind;

/// One thing that happens to the engine.
typedef struct {
  int64_t frame;
  WayClock clock;
  WaySettings settings;
  OpKind kind;
  WayInput input;
  unsigned number; ///< Of the form, or room
  uint32_t size;
  uint8_t bytes[8];
} Op;

static Form forms[FORMS];

static int make_forms(void** state) {
  (void)state;
  static const char* const chords[FORMS] = {"C F>3 G7 C", "Dm7 G7 Cmaj7 N.C.",
                                            "Eb Ab Eb Bb7>3 Eb"};
  for (unsigned i = 0; i < FORMS; ++i) form_make(&forms[i], chords[i]);
  return 0;
}

/// A message of any sort; notes lie close together, so that they meet.
static void random_message(Op* op, uint32_t* rng) {
  static const uint8_t others[][6] = {
      {0xB0, 64, 127}, {0xE0, 5, 70},  {0xA0, 61, 20}, {0xF0, 0x7D, 1, 2, 3, 0xF7},
      {0xF8},          {0xC0, 12},     {0xB0, 123, 0}, {0xB0, 120, 0},
      {0xE0, 0, 96},   {0xE0, 0, 0},   {0xE0, 0, 64},  {0xB0, 64, 0},
      {0xB0, 100, 0},  {0xB0, 101, 0}, {0xB0, 6, 12},  {0xB0, 126, 2},
      {0xB0, 127, 0},
  };
  static const uint32_t sizes[] = {3, 3, 3, 6, 1, 2, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3};
  op->input = rng_below(rng, 4) ? WAY_INPUT_MELODY : WAY_INPUT_CHORDS;
  const uint8_t channel = (uint8_t)(rng_below(rng, 3) ? 0 : rng_below(rng, 3));
  op->size = 3;
  op->bytes[1] = (uint8_t)(56 + rng_below(rng, 12));
  op->bytes[2] = (uint8_t)rng_below(rng, 128);
  const uint32_t sort = rng_below(rng, 16);
  if (sort < 8) {
    op->bytes[0] = 0x90;
  } else if (sort < 13) {
    op->bytes[0] = 0x80;
  } else {
    const uint32_t which = rng_below(rng, WAY_COUNT(sizes));
    memcpy(op->bytes, others[which], 6);
    op->size = sizes[which];
  }
  if (op->bytes[0] < 0xF0) op->bytes[0] = (uint8_t)(op->bytes[0] | channel);
}

static void random_settings(WaySettings* s, uint32_t* rng) {
  *s = way_settings_default();
  for (unsigned i = 0; i < WAY_SETTING_COUNT; ++i) {
    const WaySettingRow* const row = &way_setting_rows[i];
    const double parts = rng_below(rng, 1001) / 1000.0;
    if (row->name || rng_below(rng, 3) == 0)
      way_settings_put(s, (WaySetting)i, row->least + parts * (row->most - row->least));
  }
  s->enabled = rng_below(rng, 8) != 0;
  s->range_low = (uint8_t)rng_below(rng, 60); // mostly something is melody
  s->range_high = (uint8_t)(64 + rng_below(rng, 63));
  s->early = rng_below(rng, 3) * 0.4;
  s->melody_channel = (uint8_t)rng_below(rng, 3);
  s->chord_channel = (uint8_t)(1 + rng_below(rng, 3));
  s->split_key = (uint8_t)(56 + rng_below(rng, 8));
  s->tag_channel = (uint8_t)rng_below(rng, 3);
}

static void random_transport(WayClock* c, int64_t frame, uint32_t* rng) {
  c->frame = frame;
  c->tick = (double)rng_below(rng, 6 * BAR) - BAR;
  if (!rng_below(rng, 3)) c->tick = (double)rng_below(rng, 4) * BAR;
  c->ticks_per_frame = rng_below(rng, 5) * 0.37;
}

/// Full sinks are left out of sessions that are played twice: what finds no room then
/// does depend on who calls when.
static void make_session(Op* ops, uint32_t seed, bool with_full_sinks) {
  uint32_t rng = seed;
  int64_t frame = 0;
  for (int i = 0; i < OPS; ++i) {
    Op* const op = &ops[i];
    memset(op, 0, sizeof(*op));
    frame += rng_below(&rng, 3) ? rng_below(&rng, 4000) : 0;
    op->frame = frame;
    const uint32_t sort = rng_below(&rng, 24);
    op->kind = sort == 0   ? OP_SET
               : sort == 1 ? OP_TRANSPORT
               : sort == 2 ? OP_CHART
               : sort == 3 ? (with_full_sinks ? OP_ROOM : OP_SILENCE)
                           : OP_MIDI;
    op->number = rng_below(&rng, FORMS + 1);
    random_message(op, &rng);
    random_settings(&op->settings, &rng);
    random_transport(&op->clock, frame, &rng);
  }
}

static bool short_way;      ///< Plain notes are taken by it
static unsigned n_plain[4]; ///< By what became of messages there

static void mark_newest(int64_t frame, WayMarkKind kind) {
  const WayMark m = {.frame = frame,
                     .chord = &engine.now->chord,
                     .kind = (uint8_t)kind,
                     .pitch = engine.last_pitch,
                     .role = engine.last_role};
  sink.mark(sink.to, &m);
}

static void play_message(const Op* op) {
  WayPlain plain = WAY_PLAIN_NOT;
  if (short_way && op->input == WAY_INPUT_MELODY && op->size == 3)
    plain = way_engine_plain(&engine, &sink, op->frame,
                             op->bytes[0] | (uint32_t)op->bytes[1] << 8 |
                                 (uint32_t)op->bytes[2] << 16);
  ++n_plain[plain];
  if (plain >= WAY_PLAIN_ROLE) mark_newest(op->frame, WAY_MARK_ROLE);
  if (plain == WAY_PLAIN_RESOLVES) mark_newest(op->frame, WAY_MARK_RESOLUTION);
  if (plain == WAY_PLAIN_NOT)
    way_engine_midi(&engine, op->input, op->frame, op->bytes, op->size, &sink);
}

static void play_op(const Op* op) {
  switch (op->kind) {
  case OP_MIDI: play_message(op); break;
  case OP_TRANSPORT: way_engine_transport(&engine, &op->clock, &sink); break;
  case OP_SET: way_engine_set(&engine, &op->settings, op->frame, &sink); break;
  case OP_CHART:
    way_engine_chart(&engine, op->number < FORMS ? &forms[op->number].timeline : NULL,
                     op->frame, &sink);
    break;
  case OP_ROOM: tape.room = op->number ? op->number - 1 : TAPE_MESSAGES; break;
  case OP_SILENCE: way_engine_silence(&engine, op->frame, &sink); break;
  }
}

static int64_t played_to; ///< Where the last session ended

/// Play a session; between two of its ops the engine is asked to go on at up to `cuts`
/// places.
static void play(const Op* ops, uint32_t cuts) {
  uint32_t rng = cuts;
  int64_t frame = 0;
  start(NULL);
  for (int i = 0; i < OPS; ++i) {
    for (uint32_t n = cuts; n; --n) {
      frame += (int64_t)rng_below(&rng, (uint32_t)(ops[i].frame - frame + 1));
      way_engine_flush(&engine, frame, &sink);
      way_engine_advance(&engine, frame, &sink);
    }
    frame = ops[i].frame;
    play_op(&ops[i]);
  }
  played_to = frame + 3 * BAR;
  way_engine_advance(&engine, played_to, &sink);
}

static Op session[OPS];

static bool same_mark(const WayMark* a, const WayMark* b) {
  char texts[2][128];
  WayOut outs[2] = {way_out(texts[0], sizeof(texts[0])),
                    way_out(texts[1], sizeof(texts[1]))};
  way_mark_write(a, &outs[0]);
  way_mark_write(b, &outs[1]);
  return a->frame == b->frame && a->tick == b->tick && a->chorus == b->chorus &&
         a->bar == b->bar && a->pitch == b->pitch && a->early == b->early &&
         !strcmp(texts[0], texts[1]);
}

static bool same_tape(const Tape* a, const Tape* b) {
  if (a->n_messages != b->n_messages || a->n_marks != b->n_marks) return false;
  for (unsigned i = 0; i < a->n_marks; ++i)
    if (!same_mark(&a->marks[i], &b->marks[i]) ||
        !way_chord_equal(&a->chords[i], &b->chords[i]))
      return false;
  return !memcmp(a->messages, b->messages, a->n_messages * sizeof(a->messages[0]));
}

static void test_block_cuts_change_nothing(void** state) {
  (void)state;
  static Tape whole;
  for (uint32_t seed = 1; seed <= 600; ++seed) {
    make_session(session, seed, false);
    play(session, 0);
    whole = tape;
    play(session, 1 + seed % 5);
    if (!same_tape(&tape, &whole))
      fail_msg("seed %u: %u messages and %u marks, cut %u and %u", seed,
               whole.n_messages, whole.n_marks, tape.n_messages, tape.n_marks);
    if (tape.fell) fail_msg("seed %u: frames fall", seed);
  }
}

/// Leave more notes plain than random settings do.
/// @param defaults Keep the settings a session begins with.
static void stay_plain(Op* op, bool defaults) {
  if (op->kind != OP_SET) return;
  if (defaults) op->kind = OP_MIDI;
  op->settings.range_low = 0;
  op->settings.range_high = 127;
  op->settings.melody_channel = 0;
  if (op->number) op->settings.grace = op->settings.strum = 0;
}

static void test_the_short_way_says_the_same(void** state) {
  (void)state;
  static Tape whole;
  memset(n_plain, 0, sizeof(n_plain));
  for (uint32_t seed = 1; seed <= 2000; ++seed) {
    make_session(session, seed, seed & 1);
    for (int i = 0; i < OPS; ++i) stay_plain(&session[i], seed & 2);
    play(session, 0);
    whole = tape;
    short_way = true;
    play(session, 0);
    short_way = false;
    if (!same_tape(&tape, &whole))
      fail_msg("seed %u: %u messages and %u marks, by the short way %u and %u", seed,
               whole.n_messages, whole.n_marks, tape.n_messages, tape.n_marks);
  }
  for (unsigned i = 0; i < 4; ++i) assert_true(n_plain[i] > 500);
}

static void test_no_session_leaves_a_note_hanging(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 3000; ++seed) {
    make_session(session, seed, seed & 1);
    play(session, seed % 3);
    tape.room = TAPE_MESSAGES;
    way_engine_silence(&engine, played_to, &sink);
    way_engine_flush(&engine, played_to, &sink);
    if (tape.synth.total) fail_msg("seed %u: %d notes hang", seed, tape.synth.total);
  }
}

// Every key that went down goes up: that alone must end every note.
static void test_lifting_every_key_ends_every_note(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 1000; ++seed) {
    make_session(session, seed, seed & 1);
    for (int i = 0; i < OPS; ++i) // clicks are nobody's keys
      session[i].settings.click = WAY_CLICK_AT_OFF;
    play(session, 0);
    tape.room = TAPE_MESSAGES;
    for (unsigned key = 0; key < WAY_LEDGER_KEYS; ++key)
      while (engine.ledger.keys[key].strikes)
        send(WAY_INPUT_MELODY, played_to, 0x80 | key >> 7, key & 127, 64);
    way_engine_flush(&engine, played_to, &sink);
    if (tape.synth.total) fail_msg("seed %u: %d notes hang", seed, tape.synth.total);
  }
}

/// Whether a message is neither a note nor from the chord track.
static bool passes(const Op* op) {
  const unsigned kind = op->bytes[0] & 0xF0u;
  return op->kind == OP_MIDI && op->input == WAY_INPUT_MELODY && kind != 0x80 &&
         kind != 0x90;
}

/// Whether a message may be a copy of another for the channel of a tag.
static bool is_copy(const TapeMessage* copy, const Op* of) {
  return copy->frame == of->frame && copy->size == of->size &&
         (copy->bytes[0] & 0xF0) == (of->bytes[0] & 0xF0) &&
         !memcmp(copy->bytes + 1, of->bytes + 1, of->size - 1);
}

static bool is_note(const TapeMessage* m) { return (m->bytes[0] & 0xE0) == 0x80; }

/// Whether a message is an op as it came.
static bool is_op(const TapeMessage* m, const Op* op) {
  return m->frame == op->frame && m->size == op->size &&
         !memcmp(m->bytes, op->bytes, op->size);
}

static void test_other_messages_pass_untouched_and_in_order(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 600; ++seed) {
    make_session(session, seed, false);
    play(session, 0);
    unsigned at = 0;
    const Op* last = NULL;
    for (int i = 0; i < OPS; ++i) {
      const Op* const op = &session[i];
      if (!passes(op)) continue;
      while (
          at < tape.n_messages && !is_op(&tape.messages[at], op) &&
          (is_note(&tape.messages[at]) || (last && is_copy(&tape.messages[at], last))))
        ++at;
      if (at == tape.n_messages || !is_op(&tape.messages[at++], op))
        fail_msg("seed %u: message %d did not pass", seed, i);
      last = op;
    }
  }
}

// With nothing to change, the melody input comes out as it went in.
static void test_plain_tagging_is_transparent(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 300; ++seed) {
    make_session(session, seed, false);
    start(NULL);
    chart("C F");
    roll(0, 0, 0.5);
    unsigned at = 0;
    for (int i = 0; i < OPS; ++i) {
      const Op* const op = &session[i];
      if (op->kind != OP_MIDI || op->input != WAY_INPUT_MELODY) continue;
      if (op->size == 3 && op->bytes[0] >> 4 == 0xB && op->bytes[1] >= 120) continue;
      play_op(op);
      if (tape.n_messages != ++at ||
          memcmp(tape.messages[at - 1].bytes, op->bytes, op->size) != 0)
        fail_msg("seed %u: message %d came out otherwise", seed, i);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_block_cuts_change_nothing),
      cmocka_unit_test(test_the_short_way_says_the_same),
      cmocka_unit_test(test_no_session_leaves_a_note_hanging),
      cmocka_unit_test(test_lifting_every_key_ends_every_note),
      cmocka_unit_test(test_other_messages_pass_untouched_and_in_order),
      cmocka_unit_test(test_plain_tagging_is_transparent),
  };
  return cmocka_run_group_tests(tests, make_forms, NULL);
}
