#include "check.h"
#include "live/plain.h"
#include "rng.h"
#include "tape.h"
#include "theory/chord_read.h"

#include <stdio.h>

// Charts of 4/4 bars with a chord a bar.  At 3840 ticks a quarter and one tick a frame
// a frame number can be read as a place.

enum { BEAT = WAY_TICKS_PER_QUARTER, BAR = 4 * BEAT, BARS_MAX = 8 };

typedef struct {
  WayTimeline timeline;
  WayHarmony harmonies[BARS_MAX];
  WaySpan spans[BARS_MAX];
  WayBar bars[BARS_MAX];
  WaySection section;
} Form;

/// A form in C major of these chords, separated by blanks; `>3` behind a chord plans
/// its landing on the third.
static void form_make(Form* f, const char* chords) {
  memset(f, 0, sizeof(*f));
  const WayKey key = {{0, 0}, WAY_MODE_MAJOR};
  const WayLoopScales loop = way_material_of_key(key);
  const WayLoopPcs loop_pcs = way_material_pcs(&loop);
  uint32_t n = 0;
  for (const char* c = chords; *c; ++n) {
    const size_t size = strcspn(c, " >");
    WayChord chord;
    assert_int_equal(way_chord_read((WayText){c, size}, &chord, NULL), WAY_OK);
    f->harmonies[n] = way_harmony(&chord, key, &loop_pcs);
    f->spans[n] = (WaySpan){n * BAR, n, {0, 0}, (uint8_t)(60 + n)};
    f->bars[n] = (WayBar){n * BAR, {4, 4}, 0};
    c += size;
    if (*c == '>') {
      f->spans[n].target = (WayDegree){(int8_t)(c[1] - '0'), 0};
      c += 2;
    }
    c += strspn(c, " ");
  }
  f->timeline = (WayTimeline){.length = n * BAR,
                              .key = key,
                              .loop = loop,
                              .loop_pcs = loop_pcs,
                              .tempo = 120,
                              .n_spans = n,
                              .n_bars = n,
                              .n_sections = 1,
                              .n_harmonies = n,
                              .spans = f->spans,
                              .bars = f->bars,
                              .sections = &f->section,
                              .harmonies = f->harmonies};
}

static Form form;
static Tape tape;
/// Half a millisecond, in frames: while the music stands, times last that much longer.
enum { SLACK = 24 };

static WaySink sink;
static WayEngine engine;
static WaySettings settings;

static int start(void** state) {
  (void)state;
  tape_start(&tape);
  sink = tape_sink(&tape);
  settings = way_settings_default();
  way_engine_init(&engine, 48000);
  return 0;
}

static void use(void) { way_engine_set(&engine, &settings, 0, &sink); }

static void chart(const char* chords) {
  form_make(&form, chords);
  way_engine_chart(&engine, &form.timeline, 0, &sink);
}

static void roll(int64_t frame, double tick, double speed) {
  const WayClock clock = {frame, tick, speed};
  way_engine_transport(&engine, &clock, &sink);
}

static void send(WayInput input, int64_t frame, unsigned a, unsigned b, unsigned c) {
  const uint8_t bytes[3] = {(uint8_t)a, (uint8_t)b, (uint8_t)c};
  way_engine_midi(&engine, input, frame, bytes, 3, &sink);
}
static void on(int64_t frame, unsigned pitch) {
  send(WAY_INPUT_MELODY, frame, 0x90, pitch, 100);
}
static void off(int64_t frame, unsigned pitch) {
  send(WAY_INPUT_MELODY, frame, 0x80, pitch, 64);
}

/// Append what went out to a text: `240:90.60 ` a message.
static const char* sent(void) {
  static char text[1024];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < tape.n_messages; ++i) {
    const TapeMessage* const m = &tape.messages[i];
    char one[64];
    snprintf(one, sizeof(one), "%lld:%02X.%d ", (long long)m->frame, m->bytes[0],
             m->bytes[1]);
    way_out_str(&out, one);
  }
  tape.n_messages = 0;
  return text;
}

/// The marks since the last call: frame, then the text of the mark, separated by `; `.
static const char* marked(void) {
  static char text[2048];
  WayOut out = way_out(text, sizeof(text));
  for (unsigned i = 0; i < tape.n_marks; ++i) {
    if (i) way_out_str(&out, "; ");
    way_out_int(&out, tape.marks[i].frame);
    way_out_char(&out, ' ');
    way_mark_write(&tape.marks[i], &out);
  }
  tape.n_marks = 0;
  return text;
}

// Where the chord comes from, and what is marked.

static void test_a_start_marks_top_and_chord(void** state) {
  (void)state;
  chart("C F");
  assert_string_equal(marked(), "");
  roll(10, 0, 1);
  assert_string_equal(marked(), "10 top chorus 1; 10 change C");
  roll(10, 0, 1);
  assert_string_equal(marked(), "");
}

static void test_changes_come_on_the_beat(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  way_engine_advance(&engine, BAR, &sink);
  assert_string_equal(marked(), "0 top chorus 1; 0 change C");
  way_engine_advance(&engine, 2 * BAR + 1, &sink);
  assert_string_equal(marked(), "15360 change F; 30720 top chorus 2; 30720 change C");
}

static void test_a_note_on_the_change_meets_the_new_chord(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(BAR - 1, 69);
  off(BAR - 1, 69);
  on(BAR, 69);
  assert_string_equal(marked(),
                      "0 top chorus 1; 0 change C; 15359 role 13 scale tone over C; "
                      "15359 landing 13 other over C; 15360 change F; "
                      "15360 role 3 chord tone over F; "
                      "15360 landing 3 chord tone over F");
}

static void test_a_stopped_transport_holds_its_chord(void** state) {
  (void)state;
  chart("C F");
  roll(0, BAR, 0);
  on(99, 65);
  assert_string_equal(marked(), "99 role R chord tone over F");
}

static void test_a_locate_tells_only_another_chord(void** state) {
  (void)state;
  chart("C C7 F");
  roll(0, BEAT, 1);
  assert_string_equal(marked(), "0 change C");
  roll(100, 2 * BEAT, 1);
  assert_string_equal(marked(), "");
  roll(200, 2 * BAR + BEAT, 1);
  assert_string_equal(marked(), "200 change F");
  roll(300, 0, 1);
  assert_string_equal(marked(), "300 top chorus 1; 300 change C");
}

static void test_a_chart_swapped_in_at_the_top_marks_it_once(void** state) {
  (void)state;
  static Form other;
  form_make(&other, "G");
  chart("C F");
  roll(0, 0, 1);
  marked();
  way_engine_chart(&engine, &other.timeline, 0, &sink);
  assert_string_equal(marked(), "0 change G");
}

static void test_before_the_form_there_is_no_chord(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, -BAR, 1);
  on(5, 65);
  off(6, 65);
  const WayGuideView v = way_engine_view(&engine, 7);
  assert_false(v.has_chord);
  assert_ptr_equal(v.next, &form.harmonies[0]);
  assert_string_equal(marked(), "");
  on(BAR - BEAT, 64);
  roll(BAR - 9, -9, 1); // hosts repeat themselves
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "11520 role 3 chord tone over C; "
                                "11520 landing 3 chord tone over C; "
                                "15360 top chorus 1; 15360 change C");
}

static void test_no_chord_passes_notes_and_marks_nothing(void** state) {
  (void)state;
  settings.handling = WAY_HANDLING_SNAP;
  settings.tag_channel = 3;
  use();
  roll(0, 0, 1);
  on(5, 61);
  off(9, 61);
  assert_string_equal(sent(), "5:90.61 9:80.61 ");
  assert_string_equal(marked(), "");
  assert_false(way_engine_view(&engine, 9).has_chord);
}

static void test_bypass_passes_notes_and_marks_nothing(void** state) {
  (void)state;
  chart("C F");
  settings.handling = WAY_HANDLING_SNAP;
  settings.enabled = false;
  use();
  roll(0, 0, 1);
  on(5, 61);
  way_engine_advance(&engine, 2 * BAR, &sink);
  assert_string_equal(sent(), "5:90.61 ");
  assert_string_equal(marked(), "");
}

// Handling.

static void test_tagging_sends_each_role_on_its_channel(void** state) {
  (void)state;
  chart("C");
  settings.tag_channel = 4;
  use();
  on(0, 60);
  on(0, 62);
  on(0, 61);
  off(1, 62);
  assert_string_equal(sent(), "0:93.60 0:94.62 0:95.61 1:84.62 ");
}

static void test_a_filter_leaves_the_whole_note_out(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_FILTER;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 62);
  on(1, 64);
  off(2, 62);
  off(3, 64);
  assert_string_equal(sent(), "1:90.64 3:80.64 ");
  assert_string_equal(marked(), "1 role 3 chord tone over C");
}

static void test_snapping_moves_and_marks_the_note_that_sounds(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 63);
  off(1, 63);
  on(2, 62); // from E down: C
  assert_string_equal(sent(), "0:90.64 1:80.64 2:90.60 ");
  assert_string_equal(marked(),
                      "0 role 3 chord tone over C; 2 role R chord tone over C");
}

static void test_ties_go_the_way_the_line_moves(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(0, 60);
  on(1, 62); // from C up: E
  assert_string_equal(sent(), "0:90.60 1:90.64 ");
  start(NULL);
  on(0, 60); // no chord is known yet
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  on(1, 62);
  assert_string_equal(sent(), "0:90.60 1:90.64 ");
}

static void test_a_note_keeps_its_off_when_settings_change(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  settings.tag_channel = 5;
  use();
  on(0, 61);
  settings.enabled = false;
  use();
  off(1, 61);
  assert_string_equal(sent(), "0:94.60 1:84.60 ");
}

static void test_other_channels_pass(void** state) {
  (void)state;
  chart("C");
  settings.handling = WAY_HANDLING_SNAP;
  settings.melody_channel = 2;
  use();
  on(0, 61);
  send(WAY_INPUT_MELODY, 0, 0x91, 61, 100);
  assert_string_equal(sent(), "0:90.61 0:91.60 ");
}

static void test_everything_else_passes_in_order(void** state) {
  (void)state;
  chart("C");
  static const uint8_t sysex[] = {0xF0, 0x7D, 1, 2, 3, 4, 5, 6, 7, 8, 0xF7};
  send(WAY_INPUT_MELODY, 1, 0xE0, 0, 64);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 1, sysex, sizeof(sysex), &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 1, (const uint8_t[]){0xC0, 5}, 2, &sink);
  send(WAY_INPUT_MELODY, 1, 0xA0, 60, 9);
  assert_int_equal(tape.n_messages, 4);
  assert_int_equal(tape.messages[1].size, sizeof(sysex));
  assert_memory_equal(tape.messages[1].bytes, sysex, TAPE_BYTES);
  assert_string_equal(sent(), "1:E0.0 1:F0.125 1:C0.5 1:A0.60 ");
}

static void test_all_notes_off_ends_all_and_passes(void** state) {
  (void)state;
  chart("C");
  settings.tag_channel = 1;
  use();
  on(0, 60);
  on(0, 62);
  send(WAY_INPUT_MELODY, 1, 0xB0, 123, 0);
  assert_string_equal(sent(), "0:90.60 0:91.62 1:80.60 1:81.62 1:B0.123 ");
}

static void test_broken_note_messages_are_left_out(void** state) {
  (void)state;
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0x90, 60}, 2, &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0x90, 60, 200}, 3,
                  &sink);
  way_engine_midi(&engine, WAY_INPUT_MELODY, 0, (const uint8_t[]){0}, 0, &sink);
  assert_string_equal(sent(), "");
}

// The early window and landings.

static void test_an_early_note_belongs_to_the_next_chord(void** state) {
  (void)state;
  chart("C F>3");
  settings.early = 0.5;
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - BEAT / 2 - 1, 70); // just outside: C's
  off(BAR - BEAT / 2 - 1, 70);
  on(BAR - BEAT / 2, 70); // inside: F's, and its landing
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "13439 role R chord tone over C; "
                                "13439 landing R chord tone over C; "
                                "13440 role 3 chord tone over F; "
                                "13440 landing 3 target over F; 15360 change F");
  on(BAR + 9, 65); // F has had its landing
  assert_string_equal(marked(), "15369 role R chord tone over F");
}

static void test_of_two_early_notes_the_first_lands(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - 200, 65);
  on(BAR - 100, 69);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "15160 role R chord tone over F; "
                                "15160 landing R chord tone over F; "
                                "15260 role 3 chord tone over F; 15360 change F");
}

static void test_an_early_note_counts_for_its_own_chord_only(void** state) {
  (void)state;
  static Form other;
  form_make(&other, "C G");
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  on(BAR - 200, 65);
  marked();
  way_engine_chart(&engine, &other.timeline, BAR - 100, &sink);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(marked(), "15360 change G; 15360 landing held b7 other over G");
}

static void test_a_note_held_over_is_the_landing(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(5, 67);
  on(6, 60);
  marked();
  on(BAR + 5, 65);
  assert_string_equal(marked(),
                      "15360 change F; 15360 landing held 5 chord tone over F; "
                      "15365 role R chord tone over F");
}

static void test_a_note_that_ends_on_the_change_is_not_held(void** state) {
  (void)state;
  chart("C F");
  settings.held = WAY_HELD_MOVE;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  on(5, 67);
  marked();
  sent();
  send(WAY_INPUT_MELODY, BAR, 0xB0, 64, 0);
  off(BAR, 67);
  on(BAR, 69);
  assert_string_equal(sent(), "15360:B0.64 15360:80.67 15360:90.69 ");
  assert_string_equal(marked(), "15360 change F; 15360 role 3 chord tone over F; "
                                "15360 landing 3 chord tone over F");
}

static void test_a_loop_lands_an_early_note_once(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(2 * BAR - 100, 64);
  assert_string_equal(marked(), "15360 change F; 30620 role 3 chord tone over C; "
                                "30620 landing 3 chord tone over C");
  roll(2 * BAR, 0, 1);
  on(2 * BAR + 50, 60);
  assert_string_equal(marked(), "30720 top chorus 1; 30720 change C; "
                                "30770 role R chord tone over C");
}

static void test_a_jump_away_from_a_change_leaves_its_landing(void** state) {
  (void)state;
  chart("C F");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  on(BAR - 100, 65);
  off(BAR - 60, 65);
  marked();
  roll(BAR - 50, 0, 1); // C again
  on(2 * BAR, 65);
  assert_string_equal(marked(), "15310 top chorus 1; 30670 change F; "
                                "30720 role R chord tone over F; "
                                "30720 landing R chord tone over F");
}

static void test_silence_has_no_landing(void** state) {
  (void)state;
  chart("C N.C.");
  roll(0, 0, 1);
  on(BAR, 60);
  assert_string_equal(marked(), "0 top chorus 1; 0 change C; 15360 change N.C.; "
                                "15360 role R scale tone over N.C.");
}

static void test_an_early_note_does_not_land_on_silence(void** state) {
  (void)state;
  chart("C N.C.");
  settings.early = 1;
  use();
  roll(0, 0, 1);
  marked();
  on(BAR - 9, 60);
  assert_string_equal(marked(), "15351 role R scale tone over N.C.");
}

// Held notes.

static void test_held_notes_ring_on(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  roll(0, 0, 1);
  on(0, 64);
  way_engine_advance(&engine, BAR + 1, &sink);
  assert_string_equal(sent(), "0:90.64 ");
}

static void test_held_notes_are_released(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  settings.held = WAY_HELD_RELEASE;
  use();
  roll(0, 0, 1);
  on(0, 64);
  on(0, 67);
  marked();
  way_engine_advance(&engine, BAR + 1, &sink);
  off(BAR + 2, 64);
  off(BAR + 3, 67);
  assert_string_equal(sent(), "0:90.64 0:90.67 15360:80.64 15363:80.67 ");
  assert_string_equal(marked(),
                      "15360 change Eb; 15360 landing held 3 chord tone over Eb");
}

static void test_held_notes_are_moved(void** state) {
  (void)state;
  chart("C Eb");
  settings.material = WAY_MATERIAL_TRIAD;
  settings.held = WAY_HELD_MOVE;
  use();
  roll(0, 0, 1);
  on(0, 64);
  marked();
  way_engine_advance(&engine, BAR + 1, &sink);
  off(BAR + 2, 64);
  assert_string_equal(sent(), "0:90.64 15360:80.64 15360:90.63 15362:80.63 ");
  assert_string_equal(marked(), "15360 change Eb; 15360 role R chord tone over Eb; "
                                "15360 landing held R chord tone over Eb");
}

// Chords that are heard.

static void hear_chord(WayInput input, int64_t frame, unsigned status,
                       const char* pitches) {
  for (; *pitches; ++pitches) send(input, frame, status, (uint8_t)*pitches, 100);
}

static void test_the_chord_track_is_heard_and_kept_back(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37"); // C E G
  on(10, 64);
  assert_string_equal(marked(), "10 change C; 10 role 3 chord tone over C; "
                                "10 landing 3 chord tone over C");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x90, "\x30\x35\x39"); // C F A
  way_engine_advance(&engine, 21, &sink);
  assert_string_equal(marked(), "20 change F/C; 20 landing held 7 other over F/C");
  assert_string_equal(sent(), "10:90.64 ");
}

static void test_chords_may_overlap(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");     // C E G
  hear_chord(WAY_INPUT_CHORDS, 48000, 0x90, "\x35\x39\x3C"); // F A C
  hear_chord(WAY_INPUT_CHORDS, 48500, 0x80, "\x30\x34\x37");
  way_engine_advance(&engine, 50000, &sink);
  assert_string_equal(marked(), "0 change C; 48000 change F");
}

static void test_the_last_note_of_the_old_chord_may_linger(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 47000, 0x80, "\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 48000, 0x90, "\x35\x39\x3E"); // F A D over C
  hear_chord(WAY_INPUT_CHORDS, 48500, 0x80, "\x30");
  way_engine_advance(&engine, 50000, &sink);
  assert_string_equal(marked(), "0 change C; 48000 change F6/C; 48500 change Dm/F");
}

static void test_auto_takes_the_track_while_it_sounds(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  marked();
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x31\x35\x38"); // Db F Ab
  way_engine_advance(&engine, 11, &sink);
  assert_string_equal(marked(), "10 change C#");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x31\x35\x38");
  const int64_t stays = (int64_t)(WAY_HEARD_STAYS * 48000) + 1;
  way_engine_advance(&engine, 20 + stays, &sink);
  assert_string_equal(marked(), "30720 top chorus 2; 61440 top chorus 3; "
                                "92160 top chorus 4");
  way_engine_advance(&engine, 20 + stays + 1, &sink);
  assert_string_equal(marked(), "96021 change C");
}

static void test_auto_holds_on_without_a_chart(void** state) {
  (void)state;
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x30\x34\x37");
  on(1000000, 64);
  assert_string_equal(marked(), "10 change C; 1000000 role 3 chord tone over C; "
                                "1000000 landing 3 chord tone over C");
}

static void test_another_source_forgets_what_was_heard(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_HELD;
  use();
  hear_chord(WAY_INPUT_MELODY, 0, 0x90, "\x20\x24\x27");
  way_engine_advance(&engine, 1, &sink);
  assert_true(way_engine_view(&engine, 1).has_chord);
  settings.source = WAY_SOURCE_TRACK;
  way_engine_set(&engine, &settings, 2, &sink);
  assert_false(way_engine_view(&engine, 2).has_chord);
}

static void test_a_chord_is_heard_in_the_key_of_the_chart(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_TRACK;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x32\x35\x39"); // D F A
  on(0, 71);
  assert_int_equal(tape.marks[1].role.role, WAY_ROLE_CHROMATIC); // B in D minor
  chart("C");
  on(1, 71);
  assert_int_equal(tape.marks[tape.n_marks - 1].role.role,
                   WAY_ROLE_SCALE); // in C major
}

static void test_a_chord_channel_is_heard_and_passes(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  settings.tag_channel = 8;
  use();
  hear_chord(WAY_INPUT_MELODY, 10, 0x92, "\x30\x34\x37");
  on(10, 64);
  assert_string_equal(sent(), "10:92.48 10:92.52 10:92.55 10:97.64 ");
}

/// The chord channel is no channel of the melody (docs/guide.md, `melody_channel`).
static void test_pedals_of_the_chord_channel_are_not_the_melodys(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  settings.tag_channel = 8;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB2, 64, 127);
  send(WAY_INPUT_MELODY, 10, 0x05, 1, 2); // part of something longer
  assert_string_equal(sent(), "10:B2.64 10:05.1 ");
  settings.source = WAY_SOURCE_HELD;
  use();
  send(WAY_INPUT_MELODY, 11, 0xB2, 64, 127);
  assert_string_equal(sent(), "11:B2.64 11:B7.64 11:B8.64 11:B9.64 ");
}

static void test_keys_below_the_split_are_heard_and_pass(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_HELD;
  settings.split_key = 56;
  settings.tag_channel = 8;
  use();
  hear_chord(WAY_INPUT_MELODY, 10, 0x90, "\x30\x34\x37");
  on(10, 64);
  assert_string_equal(sent(), "10:90.48 10:90.52 10:90.55 10:97.64 ");
}

static void test_only_the_source_chosen_is_heard(void** state) {
  (void)state;
  settings.source = WAY_SOURCE_CHANNEL;
  settings.chord_channel = 3;
  use();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x92, "\x30\x34\x37");
  way_engine_advance(&engine, 1, &sink);
  assert_false(way_engine_view(&engine, 1).has_chord);
}

/// A chord, its end, and a note that would make it a C7 if it still sounded.
static void check_lifting(WayInput input, unsigned channel, bool by_controller) {
  hear_chord(input, 0, 0x90 | channel, "\x30\x34\x37");
  if (by_controller)
    send(input, 48000, 0xB0 | channel, 123, 0);
  else
    hear_chord(input, 48000, 0x80 | channel, "\x30\x34\x37");
  hear_chord(input, 96000, 0x90 | channel, "\x3A");
  way_engine_advance(&engine, 96001, &sink);
  assert_string_equal(marked(), "0 change C");
}

static void test_chord_keys_are_lifted_on_every_input(void** state) {
  for (unsigned i = 0; i < 4; ++i) {
    start(state);
    const bool track = i & 1;
    settings.source = track ? WAY_SOURCE_TRACK : WAY_SOURCE_CHANNEL;
    settings.chord_channel = 3;
    use();
    check_lifting(track ? WAY_INPUT_CHORDS : WAY_INPUT_MELODY, 2, i & 2);
  }
}

static void test_auto_stays_with_a_track_that_sounds_again(void** state) {
  (void)state;
  chart("C F");
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x31\x35\x38");
  hear_chord(WAY_INPUT_CHORDS, 20, 0x80, "\x31\x35\x38");
  hear_chord(WAY_INPUT_CHORDS, 40000, 0x90, "\x31\x35\x38");
  way_engine_advance(&engine, 1000000, &sink);
  assert_string_equal(marked(), "10 change C#");
}

static void test_silence_forgets_what_was_heard(void** state) {
  (void)state;
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  way_engine_silence(&engine, 20, &sink);
  assert_false(way_engine_view(&engine, 20).has_chord);
}

static void track(void) {
  settings.source = WAY_SOURCE_TRACK;
  use();
}
/// Strike one key of the chord track.
static void strum(int64_t frame, unsigned key) {
  send(WAY_INPUT_CHORDS, frame, 0x90, key, 90);
}

static void test_a_strum_is_one_change(void** state) {
  (void)state;
  settings.strum = 50; // 2400 frames, and SLACK
  track();
  strum(1000, 45); // A C E G, slowly: Am on the way to Am7
  strum(2500, 60);
  strum(4000, 64);
  strum(5500, 67);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(marked(), "7924 change Am7");
}

static void test_a_strum_does_not_last_for_ever(void** state) {
  (void)state;
  settings.strum = 50;
  track();
  static const uint8_t keys[] = {48, 52, 55, 60, 64, 67, 72, 76};
  for (int i = 0; i < 8; ++i) strum(1000 + 2000 * i, keys[i]);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(marked(), "8224 change C");
}

static void test_notes_under_a_strum_belong_to_it(void** state) {
  (void)state;
  settings.strum = 50;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  way_engine_advance(&engine, 10000, &sink);
  marked();
  hear_chord(WAY_INPUT_CHORDS, 20000, 0x80, "\x30\x34\x37");
  on(23900, 65); // before the F began
  strum(24000, 53);
  on(24000, 64);
  off(24100, 64);
  strum(24500, 57);
  strum(25000, 60);
  on(25100, 69);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(
      marked(), "23900 role 11 scale tone over C; 23900 landing 11 other over C; "
                "24000 role 3 chord tone over C; 25100 role 13 scale tone over C; "
                "27424 change F; 27424 role again 7 scale tone over F; "
                "27424 landing 7 other over F; "
                "27424 role again 3 chord tone over F");
}

static void test_a_late_chord_counts_within_its_grace(void** state) {
  (void)state;
  settings.grace = 20; // 960 frames
  track();
  on(1000, 60);
  on(3000, 64);
  hear_chord(WAY_INPUT_CHORDS, 3900, 0x90, "\x30\x34\x37");
  way_engine_advance(&engine, 4000, &sink);
  assert_string_equal(marked(), "3900 change C; 3900 role again 3 chord tone over C; "
                                "3900 landing 3 chord tone over C");
}

static void test_the_pedal_holds_a_chord(void** state) {
  (void)state;
  track();
  send(WAY_INPUT_CHORDS, 5, 0xB0, 64, 127);
  strum(10, 48); // broken, each key lifted before the next
  send(WAY_INPUT_CHORDS, 4000, 0x80, 48, 64);
  strum(5000, 52);
  send(WAY_INPUT_CHORDS, 9000, 0x80, 52, 64);
  strum(10000, 55);
  send(WAY_INPUT_CHORDS, 14000, 0x80, 55, 64);
  way_engine_advance(&engine, 15000, &sink);
  assert_string_equal(marked(), "10000 change C");
  assert_int_equal(engine.hearing.listen.held.n, 3);
  send(WAY_INPUT_CHORDS, 16000, 0xB0, 64, 0);
  assert_int_equal(engine.hearing.listen.held.n, 0);
}

/// RP-015: resetting all controllers lifts the pedal.
static void test_a_reset_lifts_the_pedal_of_chords(void** state) {
  for (int track_input = 0; track_input < 2; ++track_input) {
    start(state);
    settings.source = track_input ? WAY_SOURCE_TRACK : WAY_SOURCE_CHANNEL;
    use();
    const WayInput input = track_input ? WAY_INPUT_CHORDS : WAY_INPUT_MELODY;
    send(input, 5, 0xBF, 64, 127);
    hear_chord(input, 10, 0x9F, "\x30\x34\x37");
    hear_chord(input, 20, 0x8F, "\x30\x34\x37");
    assert_int_equal(engine.hearing.listen.held.n, 3);
    send(input, 30, 0xBF, 121, 0);
    assert_int_equal(engine.hearing.listen.held.n, 0);
    hear_chord(input, 40, 0x9F, "\x30\x34\x37");
    hear_chord(input, 50, 0x8F, "\x30\x34\x37");
    assert_int_equal(engine.hearing.listen.held.n, 0);
  }
}

static void test_a_pedal_changed_after_the_chord_clears_it(void** state) {
  (void)state;
  track();
  send(WAY_INPUT_CHORDS, 5, 0xB0, 64, 127);
  hear_chord(WAY_INPUT_CHORDS, 10, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x90, "\x2B\x3B\x3E\x41");
  send(WAY_INPUT_CHORDS, 11000, 0xB0, 64, 0);
  send(WAY_INPUT_CHORDS, 11500, 0xB0, 64, 127);
  way_engine_advance(&engine, 20000, &sink);
  assert_string_equal(marked(), "10 change C; 10000 change G7");
}

static void test_silence_ends_a_chord_if_asked(void** state) {
  (void)state;
  settings.chord_stays = 0.5;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x80, "\x30\x34\x37");
  on(33000, 64);
  way_engine_advance(&engine, 34025, &sink);
  on(34026, 64);
  assert_string_equal(marked(), "0 change C; 33000 role 3 chord tone over C; "
                                "33000 landing 3 chord tone over C; 34024 change N.C.");
}

static void test_a_chord_stays_until_the_next(void** state) {
  (void)state;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 10000, 0x80, "\x30\x34\x37");
  way_engine_advance(&engine, 100 * 48000, &sink);
  assert_string_equal(marked(), "0 change C");
  assert_true(way_engine_view(&engine, 100 * 48000).has_chord);
}

// Click.

static void test_changes_click_with_their_lead(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_CHANGES;
  settings.click_lead = 1;
  settings.click_length = 10; // 480 frames, and a tick
  use();
  chart("C F"); // with tones 60 and 61
  roll(0, -BEAT, 1);
  way_engine_advance(&engine, 9 * BEAT, &sink);
  assert_string_equal(sent(), "0:9E.60 481:8E.60 3840:9E.60 4321:8E.60 "
                              "15360:9E.61 15841:8E.61 19200:9E.61 19681:8E.61 "
                              "30720:9E.60 31201:8E.60 ");
}

/// However coarse the frames are (300 quarter notes a minute at 8000 Hz), and however a
/// tempo is corrected, each beat clicks once.
static void test_no_click_is_stepped_over(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  settings.click_length = 10;
  use();
  chart("C F");
  roll(0, 0, 2.7);
  way_engine_advance(&engine, 50 * BEAT * 10 / 27 - 10, &sink);
  unsigned clicks = 0;
  for (unsigned i = 0; i < tape.n_messages; ++i)
    clicks += (tape.messages[i].bytes[0] & 0xF0) == 0x90;
  assert_int_equal(clicks, 50);
  roll(100000, 0, 0);
  sent();
  roll(200000, 0, 0.1);
  roll(200000 + 10 * BEAT - 20, BEAT + 5, 0.2);
  way_engine_advance(&engine, 200000 + 14 * BEAT, &sink);
  const char* const text = sent();
  assert_non_null(strstr(text, "200000:9E."));
  assert_non_null(strstr(text, "238380:9E.")); // stepped over, so at once
  assert_int_equal(tape.n_messages, 0);
}

static void test_a_locate_clicks_where_it_lands(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  use();
  chart("C");
  roll(0, 0, 1);
  way_engine_advance(&engine, BEAT - 10, &sink);
  sent();
  roll(BEAT - 10, 2 * BEAT, 1);
  roll(BEAT - 10, 2 * BEAT, 1);
  way_engine_advance(&engine, BEAT, &sink);
  assert_string_equal(sent(), "3830:8E.60 3830:9E.60 ");
}

static void test_heard_chords_click_nearby(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_CHANGES;
  track();
  hear_chord(WAY_INPUT_CHORDS, 0, 0x90, "\x30\x34\x37"); // its E is nearest to G
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x80, "\x30\x34\x37");
  hear_chord(WAY_INPUT_CHORDS, 9000, 0x90, "\x2B\x3B\x3E\x41"); // then F of G7
  way_engine_advance(&engine, 20000, &sink);
  assert_string_equal(sent(), "0:9E.64 4824:8E.64 9000:9E.65 13824:8E.65 ");
}

static void test_a_click_ends_when_all_is_silenced(void** state) {
  (void)state;
  settings.click = WAY_CLICK_AT_BEATS;
  use();
  chart("C");
  roll(0, 0, 1);
  way_engine_advance(&engine, 10, &sink);
  way_engine_silence(&engine, 20, &sink);
  assert_int_equal(tape.synth.total, 0);
}

static void test_a_chromatic_note_resolves_by_step(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 1);
  on(10, 61);
  marked();
  on(20, 62);
  assert_string_equal(marked(), "20 role 9 scale tone over C; "
                                "20 resolution 9 scale tone over C");
  on(30, 61);
  on(40, 64); // a leap
  on(50, 62); // from a note that is not chromatic
  on(60, 61);
  on(70, 63); // to another one that is
  way_engine_silence(&engine, 80, &sink);
  on(90, 62); // after silence
  for (unsigned i = 0; i < tape.n_marks; ++i)
    assert_int_not_equal(tape.marks[i].kind, WAY_MARK_RESOLUTION);
}

// Which notes are handled, and when.

static void snap_to_triads(void) {
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  settings.snap = WAY_SNAP_DOWN;
  use();
  chart("C F");
  roll(0, 0, 1);
}

static void test_only_notes_in_scope_are_handled(void** state) {
  static const struct {
    WayScope scope;
    const char* sent; // of a D on 1, 2, 2 and a half, 3, 3 and a bit
  } cases[] = {
      {WAY_SCOPE_EVERY, "60 60 60 60 60 "},
      {WAY_SCOPE_BEATS, "60 60 62 60 60 "},
      {WAY_SCOPE_STRONG, "60 62 62 60 60 "},
      {WAY_SCOPE_LANDINGS, "60 62 62 62 62 "},
  };
  static const int64_t frames[] = {0, BEAT, 3 * BEAT / 2, 2 * BEAT,
                                   2 * BEAT + BEAT / 9};
  for (size_t i = 0; i < WAY_COUNT(cases); ++i) {
    start(state);
    settings.scope = cases[i].scope;
    snap_to_triads();
    char text[64] = "";
    for (size_t k = 0; k < WAY_COUNT(frames); ++k) {
      tape.n_messages = 0;
      on(frames[k], 62);
      snprintf(text + strlen(text), 8, "%d ", tape.messages[0].bytes[1]);
      off(frames[k] + 1, 62);
    }
    assert_string_equal(text, cases[i].sent);
  }
}

static void test_an_approach_that_resolves_is_left_alone(void** state) {
  (void)state;
  settings.approach = 1;
  snap_to_triads();
  on(100, 63); // D# to E
  on(200, 64);
  off(300, 63);
  way_engine_advance(&engine, 2 * BEAT, &sink);
  assert_string_equal(sent(), "100:90.63 200:90.64 300:80.63 ");
}

static void test_an_approach_that_does_not_resolve_is_handled(void** state) {
  (void)state;
  settings.approach = 1;
  snap_to_triads();
  on(100, 62);
  on(200, 67); // a leap
  on(300, 66);
  off(400, 66); // over before its time is
  way_engine_advance(&engine, 2 * BEAT, &sink);
  assert_string_equal(sent(), "100:90.62 200:90.67 300:90.66 400:80.66 "
                              "3940:80.62 3940:90.60 ");
}

static void test_what_waits_in_vain_is_filtered(void** state) {
  (void)state;
  settings.approach = 0.5;
  settings.handling = WAY_HANDLING_FILTER;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  chart("C"); // the transport stands: a beat lasts half a second
  roll(0, 0, 0);
  settings.source = WAY_SOURCE_CHART;
  use();
  on(100, 62);
  way_engine_advance(&engine, 48000, &sink);
  assert_string_equal(sent(), "100:90.62 12124:80.62 ");
  off(50000, 62);
  assert_string_equal(sent(), "");
}

// Bends.

static void bend(int64_t frame, unsigned channel, int cents) {
  const int wide = 8192 + cents * 8192 / 200;
  const unsigned value = wide > 16383 ? 16383 : (unsigned)wide;
  send(WAY_INPUT_MELODY, frame, 0xE0 | channel, value & 127, value >> 7);
}

static void test_a_role_follows_the_sounding_pitch(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  marked();
  bend(10, 0, 100); // the string is pushed before it is struck
  on(11, 63);
  assert_string_equal(marked(),
                      "11 role 3 chord tone over C; 11 landing 3 chord tone over C");
  assert_int_equal(tape.marks[0].pitch, 64);
}

static void test_a_bend_that_settles_is_told(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.1);
  on(10, 62);
  marked();
  for (int i = 1; i <= 20; ++i) bend(100 + i, 0, 10 * i); // up to the E
  way_engine_advance(&engine, 100000, &sink);
  // Near from frame 117 on, in tick 12 of 10 frames each; then 240 ticks, and one.
  assert_string_equal(marked(), "2525 role again 3 chord tone over C");
  assert_int_equal(tape.marks[0].pitch, 64);
}

static void test_a_note_begins_with_a_bend_that_does_not_rest(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.1);
  marked();
  bend(10, 0, 160);
  on(11, 62);
  bend(3000, 0, 0);
  way_engine_advance(&engine, 9000, &sink);
  off(9000, 62);
  assert_string_equal(marked(),
                      "11 role 3 chord tone over C; 11 landing 3 chord tone over C; "
                      "5405 role again 9 scale tone over C");
  bend(10000, 0, 200); // told while nothing sounds
  bend(20000, 0, 40);  // near no pitch: it stays as told
  on(20001, 64);
  bend(20002, 0, 0);
  way_engine_advance(&engine, 30000, &sink);
  assert_string_equal(marked(), "20001 role 3 chord tone over C");
}

static void test_vibrato_and_quarter_tones_are_not_told(void** state) {
  (void)state;
  chart("C");
  roll(0, 0, 0.01);
  on(10, 62);
  marked();
  for (int i = 0; i < 100; ++i) bend(100 + i * 1000, 0, i % 2 ? 80 : -80);
  bend(100000, 0, 50);
  way_engine_advance(&engine, 400000, &sink);
  assert_string_equal(marked(), "");
}

static void test_a_snapped_note_keeps_its_bend(void** state) {
  (void)state;
  settings.handling = WAY_HANDLING_SNAP;
  settings.material = WAY_MATERIAL_TRIAD;
  use();
  chart("C");
  roll(0, 0, 0.1);
  sent();
  bend(10, 0, 200);
  on(11, 63); // sounds as F, to be E: a semitone down
  off(12, 63);
  assert_string_equal(sent(), "10:E0.127 11:90.62 12:80.62 ");
  on(13, 62); // sounds as E, which may stay
  assert_string_equal(sent(), "13:90.62 ");
}

static void test_tags_take_bends_and_pedals_along(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  chart("C");
  roll(0, 0, 0.1);
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  assert_string_equal(sent(), "10:B0.64 10:B1.64 10:B2.64 10:B3.64 ");
  send(WAY_INPUT_MELODY, 10, 0xF8, 0, 0);
  sent();
  settings.strings = true; // each channel has a bend of its own: notes stay on it
  use();
  bend(20, 4, 100);
  send(WAY_INPUT_MELODY, 21, 0x94, 64, 100);
  assert_string_equal(sent(), "20:E4.0 21:94.64 ");
  assert_true(way_engine_tags_refused(&engine));
}

/// RP-015: resetting all controllers lets go of pedals and bends, so it has to reach
/// where they went; and so has what silences all (MIDI 1.0, channel mode messages).
static void test_tags_are_let_go_by_a_reset(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  sent();
  send(WAY_INPUT_MELODY, 20, 0xB0, 121, 0);
  assert_string_equal(sent(), "20:B0.121 20:B1.121 20:B2.121 20:B3.121 ");
  send(WAY_INPUT_MELODY, 30, 0xB0, 120, 0);
  assert_string_equal(sent(), "30:B0.120 30:B1.120 30:B2.120 30:B3.120 ");
  send(WAY_INPUT_MELODY, 40, 0xB0, 123, 0);
  send(WAY_INPUT_MELODY, 40, 0xB0, 126, 1);
  assert_string_equal(sent(), "40:B0.123 40:B0.126 ");
}

/// A pedal that holds notes on the channels of tags lets them go there, whatever was
/// switched in between; likewise a bend.
static void test_tags_that_end_are_let_go(void** state) {
  for (int how = 0; how < 4; ++how) {
    start(state);
    settings.tag_channel = 2;
    use();
    chart("C");
    roll(0, 0, 0.1);
    send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
    bend(10, 0, 100);
    on(11, 64);
    off(12, 64);
    if (how == 0) settings.enabled = false;
    if (how == 1) settings.tag_channel = 0;
    if (how == 2) settings.strings = true;
    if (how == 3) settings.melody_channel = 9;
    way_engine_set(&engine, &settings, 20, &sink);
    sent();
    bend(30, 0, 0);
    assert_string_equal(sent(), "30:E0.0 30:E1.0 30:E2.0 30:E3.0 ");
    send(WAY_INPUT_MELODY, 31, 0xB0, 64, 0);
    assert_string_equal(sent(), "31:B0.64 31:B1.64 31:B2.64 31:B3.64 ");
    send(WAY_INPUT_MELODY, 40, 0xB0, 64, 127); // no tags any more
    send(WAY_INPUT_MELODY, 41, 0xB0, 64, 0);
    assert_string_equal(sent(), "40:B0.64 41:B0.64 ");
  }
}

static void test_another_channel_lets_go_of_former_tags(void** state) {
  (void)state;
  settings.tag_channel = 2;
  use();
  send(WAY_INPUT_MELODY, 10, 0xB0, 64, 127);
  settings.tag_channel = 9;
  use();
  sent();
  send(WAY_INPUT_MELODY, 20, 0xB4, 64, 0);
  send(WAY_INPUT_MELODY, 21, 0xB0, 64, 0);
  assert_string_equal(sent(), "20:B4.64 20:B1.64 20:B2.64 20:B3.64 20:B8.64 20:B9.64 "
                              "20:BA.64 21:B0.64 21:B8.64 21:B9.64 21:BA.64 ");
}

static void test_a_zone_is_melody_with_its_master(void** state) {
  (void)state;
  settings.melody_channel = 1;
  use();
  chart("C");
  roll(0, 0, 0.1);
  marked();
  send(WAY_INPUT_MELODY, 5, 0x92, 64, 100);
  assert_string_equal(marked(), "");
  send(WAY_INPUT_MELODY, 10, 0xB0, 101, 0); // registered parameter 6: a zone
  send(WAY_INPUT_MELODY, 10, 0xB0, 100, 6);
  send(WAY_INPUT_MELODY, 10, 0xB0, 6, 5);
  send(WAY_INPUT_MELODY, 20, 0x92, 67, 100);
  assert_string_equal(marked(),
                      "20 role 5 chord tone over C; 20 landing 5 chord tone over C");
}

static void test_keys_out_of_range_only_pass(void** state) {
  (void)state;
  settings.range_low = 60;
  settings.range_high = 70;
  settings.tag_channel = 2;
  use();
  chart("C");
  roll(0, 0, 0.1);
  marked();
  on(10, 59);
  on(11, 71);
  assert_string_equal(marked(), "");
  assert_string_equal(sent(), "10:90.59 11:90.71 ");
  settings.range_low = 71; // above the highest: no key is melody
  use();
  on(12, 71);
  on(12, 70);
  assert_string_equal(marked(), "");
}

// What a screen shows.

static void test_the_view(void** state) {
  (void)state;
  chart("C F");
  roll(0, 0, 1);
  on(BEAT, 64);
  const WayGuideView v = way_engine_view(&engine, BEAT);
  assert_true(v.rolling && v.has_chord);
  assert_ptr_equal(v.now, &form.harmonies[0]);
  assert_ptr_equal(v.next, &form.harmonies[1]);
  assert_true(v.beats_to_change > 2.9999 && v.beats_to_change < 3.0001);
  assert_int_equal(v.last_pitch, 64);
  assert_int_equal(v.last.interval, 4);
}

static void test_the_view_before_the_form(void** state) {
  (void)state;
  chart("C F");
  roll(0, -2 * BAR, 1);
  const WayGuideView v = way_engine_view(&engine, 0);
  assert_null(v.now);
  assert_ptr_equal(v.next, &form.harmonies[0]);
  assert_true(v.beats_to_change > 7.9999 && v.beats_to_change < 8.0001);
}

static void test_the_engine_is_small(void** state) {
  (void)state;
  print_message("# WayEngine takes %zu bytes\n", sizeof(WayEngine));
  assert_true(sizeof(WayEngine) <= 64 * 1024);
}

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

// Roles and landings by their definitions, over notes that are known from the start.

enum { NOTES = 60 };

typedef struct {
  int64_t begin, end; ///< Frames; ends at `end`
  uint8_t pitch;
} PlayedNote;

/// Notes in order of their beginnings, each of a pitch of its own while it sounds.
static void make_notes(PlayedNote* notes, uint32_t* rng) {
  const uint32_t grid = rng_below(rng, 2) ? 1 : BEAT / 4; // played, or quantised
  int64_t frame = 0;
  for (unsigned i = 0; i < NOTES; ++i) {
    frame += rng_below(rng, 3) ? rng_below(rng, 2500 / grid + 2) * grid : 0;
    const int64_t length = (1 + rng_below(rng, 9000 / grid)) * grid;
    notes[i] = (PlayedNote){frame, frame + length, (uint8_t)(30 + i)};
  }
}

static void play_notes(const PlayedNote* notes) {
  for (int64_t frame = 0; frame <= notes[NOTES - 1].begin + 9001; ++frame) {
    for (unsigned i = 0; i < NOTES; ++i)
      if (notes[i].end == frame) off(frame, notes[i].pitch);
    for (unsigned i = 0; i < NOTES; ++i)
      if (notes[i].begin == frame) on(frame, notes[i].pitch);
  }
}

/// The note that lands on the chord from `change` to `next`, by the definition; NOTES
/// if none does.
static unsigned landing_by_definition(const PlayedNote* notes, int64_t change,
                                      int64_t next, int64_t early, bool* held) {
  *held = false;
  for (unsigned i = 0; i < NOTES; ++i)
    if (notes[i].begin >= change - early && notes[i].begin < change) return i;
  for (unsigned i = NOTES; i-- > 0;)
    if (notes[i].begin < change && notes[i].end > change) {
      *held = true;
      return i;
    }
  for (unsigned i = 0; i < NOTES; ++i)
    if (notes[i].begin >= change && notes[i].begin < next - early) return i;
  return NOTES;
}

/// The next mark of a kind from `*at` on.
static const WayMark* next_mark(unsigned* at, WayMarkKind kind) {
  while (*at < tape.n_marks && tape.marks[*at].kind != kind) ++*at;
  return *at < tape.n_marks ? &tape.marks[(*at)++] : NULL;
}

static void check_roles(uint32_t seed, const PlayedNote* notes, WayTick early) {
  unsigned at = 0;
  for (unsigned i = 0; i < NOTES; ++i) {
    const WayMark* const m = next_mark(&at, WAY_MARK_ROLE);
    const uint32_t span = way_timeline_span_for(&form.timeline, notes[i].begin, early);
    const WayHarmony* const h = way_timeline_harmony(&form.timeline, span);
    if (!m || m->frame != notes[i].begin || m->pitch != notes[i].pitch ||
        !way_chord_equal(m->chord, &h->chord) ||
        m->early != (span != way_timeline_at(&form.timeline, notes[i].begin).span) ||
        m->role.interval != way_harmony_role(h, notes[i].pitch).interval)
      fail_msg("seed %u: note %u is marked otherwise", seed, i);
  }
}

static void check_landings(uint32_t seed, const PlayedNote* notes, int64_t early) {
  unsigned at = 0;
  for (int64_t change = 0; change < notes[NOTES - 1].begin; change += BAR) {
    bool held;
    const unsigned i =
        landing_by_definition(notes, change, change + BAR, change ? early : 0, &held);
    if (i == NOTES) continue;
    const WayMark* const m = next_mark(&at, WAY_MARK_LANDING);
    if (!m || m->pitch != notes[i].pitch || m->held_over != held ||
        m->frame != (held ? change : notes[i].begin))
      fail_msg("seed %u: the landing at %lld should be note %u", seed,
               (long long)change, i);
  }
}

static void test_roles_and_landings_by_their_definitions(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 100; ++seed) {
    uint32_t rng = seed;
    PlayedNote notes[NOTES];
    start(NULL);
    settings.early = rng_below(&rng, 4) * 0.25;
    settings.source = WAY_SOURCE_CHART;
    use();
    chart("C F>3 G7 Am Dm7 G7");
    roll(0, 0, 1);
    make_notes(notes, &rng);
    play_notes(notes);
    const WayTick early = (WayTick)(settings.early * BEAT);
    check_roles(seed, notes, early);
    check_landings(seed, notes, early);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_a_start_marks_top_and_chord, start),
      cmocka_unit_test_setup(test_changes_come_on_the_beat, start),
      cmocka_unit_test_setup(test_a_note_on_the_change_meets_the_new_chord, start),
      cmocka_unit_test_setup(test_a_stopped_transport_holds_its_chord, start),
      cmocka_unit_test_setup(test_a_locate_tells_only_another_chord, start),
      cmocka_unit_test_setup(test_a_chart_swapped_in_at_the_top_marks_it_once, start),
      cmocka_unit_test_setup(test_before_the_form_there_is_no_chord, start),
      cmocka_unit_test_setup(test_no_chord_passes_notes_and_marks_nothing, start),
      cmocka_unit_test_setup(test_bypass_passes_notes_and_marks_nothing, start),
      cmocka_unit_test_setup(test_tagging_sends_each_role_on_its_channel, start),
      cmocka_unit_test_setup(test_a_filter_leaves_the_whole_note_out, start),
      cmocka_unit_test_setup(test_snapping_moves_and_marks_the_note_that_sounds, start),
      cmocka_unit_test_setup(test_ties_go_the_way_the_line_moves, start),
      cmocka_unit_test_setup(test_a_note_keeps_its_off_when_settings_change, start),
      cmocka_unit_test_setup(test_other_channels_pass, start),
      cmocka_unit_test_setup(test_everything_else_passes_in_order, start),
      cmocka_unit_test_setup(test_all_notes_off_ends_all_and_passes, start),
      cmocka_unit_test_setup(test_broken_note_messages_are_left_out, start),
      cmocka_unit_test_setup(test_an_early_note_belongs_to_the_next_chord, start),
      cmocka_unit_test_setup(test_of_two_early_notes_the_first_lands, start),
      cmocka_unit_test_setup(test_an_early_note_counts_for_its_own_chord_only, start),
      cmocka_unit_test_setup(test_a_note_held_over_is_the_landing, start),
      cmocka_unit_test_setup(test_a_note_that_ends_on_the_change_is_not_held, start),
      cmocka_unit_test_setup(test_a_loop_lands_an_early_note_once, start),
      cmocka_unit_test_setup(test_a_jump_away_from_a_change_leaves_its_landing, start),
      cmocka_unit_test_setup(test_silence_has_no_landing, start),
      cmocka_unit_test_setup(test_an_early_note_does_not_land_on_silence, start),
      cmocka_unit_test_setup(test_held_notes_ring_on, start),
      cmocka_unit_test_setup(test_held_notes_are_released, start),
      cmocka_unit_test_setup(test_held_notes_are_moved, start),
      cmocka_unit_test_setup(test_the_chord_track_is_heard_and_kept_back, start),
      cmocka_unit_test_setup(test_chords_may_overlap, start),
      cmocka_unit_test_setup(test_the_last_note_of_the_old_chord_may_linger, start),
      cmocka_unit_test_setup(test_auto_takes_the_track_while_it_sounds, start),
      cmocka_unit_test_setup(test_auto_holds_on_without_a_chart, start),
      cmocka_unit_test_setup(test_another_source_forgets_what_was_heard, start),
      cmocka_unit_test_setup(test_a_chord_is_heard_in_the_key_of_the_chart, start),
      cmocka_unit_test_setup(test_a_chord_channel_is_heard_and_passes, start),
      cmocka_unit_test_setup(test_pedals_of_the_chord_channel_are_not_the_melodys,
                             start),
      cmocka_unit_test_setup(test_keys_below_the_split_are_heard_and_pass, start),
      cmocka_unit_test_setup(test_only_the_source_chosen_is_heard, start),
      cmocka_unit_test_setup(test_chord_keys_are_lifted_on_every_input, start),
      cmocka_unit_test_setup(test_auto_stays_with_a_track_that_sounds_again, start),
      cmocka_unit_test_setup(test_silence_forgets_what_was_heard, start),
      cmocka_unit_test_setup(test_a_strum_is_one_change, start),
      cmocka_unit_test_setup(test_a_strum_does_not_last_for_ever, start),
      cmocka_unit_test_setup(test_notes_under_a_strum_belong_to_it, start),
      cmocka_unit_test_setup(test_a_late_chord_counts_within_its_grace, start),
      cmocka_unit_test_setup(test_the_pedal_holds_a_chord, start),
      cmocka_unit_test(test_a_reset_lifts_the_pedal_of_chords),
      cmocka_unit_test_setup(test_a_pedal_changed_after_the_chord_clears_it, start),
      cmocka_unit_test_setup(test_silence_ends_a_chord_if_asked, start),
      cmocka_unit_test_setup(test_a_chord_stays_until_the_next, start),
      cmocka_unit_test_setup(test_changes_click_with_their_lead, start),
      cmocka_unit_test_setup(test_no_click_is_stepped_over, start),
      cmocka_unit_test_setup(test_a_locate_clicks_where_it_lands, start),
      cmocka_unit_test_setup(test_heard_chords_click_nearby, start),
      cmocka_unit_test_setup(test_a_click_ends_when_all_is_silenced, start),
      cmocka_unit_test_setup(test_a_chromatic_note_resolves_by_step, start),
      cmocka_unit_test_setup(test_only_notes_in_scope_are_handled, start),
      cmocka_unit_test_setup(test_an_approach_that_resolves_is_left_alone, start),
      cmocka_unit_test_setup(test_an_approach_that_does_not_resolve_is_handled, start),
      cmocka_unit_test_setup(test_what_waits_in_vain_is_filtered, start),
      cmocka_unit_test_setup(test_a_role_follows_the_sounding_pitch, start),
      cmocka_unit_test_setup(test_a_bend_that_settles_is_told, start),
      cmocka_unit_test_setup(test_a_note_begins_with_a_bend_that_does_not_rest, start),
      cmocka_unit_test_setup(test_vibrato_and_quarter_tones_are_not_told, start),
      cmocka_unit_test_setup(test_a_snapped_note_keeps_its_bend, start),
      cmocka_unit_test_setup(test_tags_take_bends_and_pedals_along, start),
      cmocka_unit_test_setup(test_tags_are_let_go_by_a_reset, start),
      cmocka_unit_test(test_tags_that_end_are_let_go),
      cmocka_unit_test_setup(test_another_channel_lets_go_of_former_tags, start),
      cmocka_unit_test_setup(test_a_zone_is_melody_with_its_master, start),
      cmocka_unit_test_setup(test_keys_out_of_range_only_pass, start),
      cmocka_unit_test_setup(test_the_view, start),
      cmocka_unit_test_setup(test_the_view_before_the_form, start),
      cmocka_unit_test(test_the_engine_is_small),
      cmocka_unit_test(test_block_cuts_change_nothing),
      cmocka_unit_test(test_the_short_way_says_the_same),
      cmocka_unit_test(test_no_session_leaves_a_note_hanging),
      cmocka_unit_test(test_lifting_every_key_ends_every_note),
      cmocka_unit_test(test_other_messages_pass_untouched_and_in_order),
      cmocka_unit_test(test_plain_tagging_is_transparent),
      cmocka_unit_test(test_roles_and_landings_by_their_definitions),
  };
  return cmocka_run_group_tests(tests, make_forms, NULL);
}
