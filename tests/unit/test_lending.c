#include "live/lending.h"

#include "check.h"
#include "tape.h"

// Numbers of controllers and the middle of the bend: MIDI 1.0 Detailed Specification;
// what a reset of all controllers does: RP-015.

enum { TAGS = 1 << 3 | 1 << 4 | 1 << 5 };

static WayLending lending;
static WayLedger ledger;
static Tape tape;

static int start(void** state) {
  (void)state;
  memset(&lending, 0, sizeof(lending));
  way_ledger_init(&ledger);
  return 0;
}

/// Send a message; the channels it went to, as bits.
static unsigned sent_to(uint16_t tags, unsigned a, unsigned b, unsigned c) {
  const uint8_t bytes[3] = {(uint8_t)a, (uint8_t)b, (uint8_t)c};
  const WaySink sink = tape_sink(&tape);
  tape_start(&tape);
  way_lending_send(&lending, &ledger, &sink, 7, tags, bytes, 3);
  unsigned channels = 0;
  for (unsigned i = 0; i < tape.n_messages; ++i) {
    const TapeMessage* const m = &tape.messages[i];
    assert_true(m->frame == 7 && m->size == 3 && m->bytes[0] >> 4 == a >> 4);
    assert_true(m->bytes[1] == b && m->bytes[2] == c);
    channels |= 1u << (m->bytes[0] & 15);
  }
  return channels;
}

static void test_messages_go_to_the_tags(void** state) {
  (void)state;
  assert_int_equal(sent_to(TAGS, 0xE0, 5, 70), TAGS);
  assert_int_equal(sent_to(TAGS, 0xB4, 1, 9), TAGS & ~(1 << 4)); // its own has it
  assert_int_equal(sent_to(0, 0xB1, 1, 9), 0);
}

static void test_modes_and_what_is_of_no_channel_stay(void** state) {
  (void)state;
  assert_int_equal(sent_to(TAGS, 0xB0, 121, 0), TAGS);
  for (unsigned mode = 122; mode < 128; ++mode)
    assert_int_equal(sent_to(TAGS, 0xB0, mode, 0), 0);
  assert_int_equal(sent_to(TAGS, 0xF2, 1, 1), 0);
}

static void test_what_is_held_is_followed_until_it_is_let_go(void** state) {
  static const uint8_t held[][3] = {{0xE0, 0, 65}, {0xB0, 64, 64}, {0xB0, 66, 127}};
  static const uint8_t let_go[][3] = {{0xE0, 0, 64}, {0xB0, 64, 63}, {0xB0, 66, 0}};
  for (size_t i = 0; i < WAY_COUNT(held); ++i)
    for (int reset = 0; reset < 2; ++reset) {
      start(state);
      const uint8_t* const end = let_go[i];
      sent_to(TAGS, held[i][0], held[i][1], held[i][2]);
      assert_int_equal(sent_to(0, 0xB0, 1, 9), TAGS); // without tags now
      assert_int_equal(sent_to(0, 0xB1, 1, 9), 0);
      if (reset)
        assert_int_equal(sent_to(0, 0xB0, 121, 0), TAGS);
      else
        assert_int_equal(sent_to(0, end[0], end[1], end[2]), TAGS);
      assert_int_equal(sent_to(0, 0xB0, 1, 9), 0);
    }
}

static void test_a_tagged_channel_reaches_former_tags(void** state) {
  (void)state;
  sent_to(TAGS, 0xB0, 64, 127);
  assert_int_equal(sent_to(1 << 8, 0xB1, 64, 0), TAGS | 1 << 8);
  assert_int_equal(sent_to(1 << 8, 0xB1, 1, 9), 1 << 8);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(test_messages_go_to_the_tags, start),
      cmocka_unit_test_setup(test_modes_and_what_is_of_no_channel_stay, start),
      cmocka_unit_test_setup(test_what_is_held_is_followed_until_it_is_let_go, start),
      cmocka_unit_test_setup(test_a_tagged_channel_reaches_former_tags, start),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
