// Words go from thread to thread whole or not at all.
#include "../../plugin/notice.h"

#include "check.h"

#include <pthread.h>

enum { WORDS = 16, ROUNDS = 100000, READINGS = 1000 };

/// A notice on which all words are the same.
typedef struct {
  WayNoticeTurn turn;
  WayNoticeWord words[WORDS];
  atomic_bool done;
  atomic_uint read; ///< How often the reader read them whole
  unsigned mixed;   ///< By the reader
} Notice;

static bool put(Notice* n, uint32_t value) {
  uint32_t words[WORDS];
  for (int i = 0; i < WORDS; ++i) words[i] = value;
  return way_notice_put(&n->turn, n->words, words, WORDS);
}

static void test_what_was_put_up_is_read(void** state) {
  (void)state;
  static Notice n;
  uint32_t words[WORDS];
  assert_true(way_notice_read(&n.turn, n.words, words, WORDS));
  assert_int_equal(words[WORDS - 1], 0);
  for (uint32_t value = 1; value < 4; ++value) {
    assert_true(put(&n, value));
    assert_int_equal(n.turn, 2 * value);
    assert_true(way_notice_read(&n.turn, n.words, words, WORDS));
    for (int i = 0; i < WORDS; ++i) assert_int_equal(words[i], value);
  }
}

static void test_nobody_waits_for_one_who_puts_up_words(void** state) {
  (void)state;
  static Notice n;
  assert_true(put(&n, 7));
  ++n.turn; // another thread has begun
  uint32_t words[WORDS];
  assert_false(way_notice_read(&n.turn, n.words, words, WORDS));
  assert_false(put(&n, 8));
  ++n.turn;
  assert_true(way_notice_read(&n.turn, n.words, words, WORDS));
  assert_int_equal(words[0], 7);
}

static void* read_on(void* arg) {
  Notice* const n = arg;
  do {
    uint32_t words[WORDS];
    if (!way_notice_read(&n->turn, n->words, words, WORDS)) continue;
    ++n->read;
    for (int i = 1; i < WORDS; ++i) n->mixed += words[i] != words[0];
  } while (!n->done);
  return NULL;
}

static void test_words_are_never_mixed(void** state) {
  (void)state;
  static Notice n;
  pthread_t reader;
  assert_int_equal(pthread_create(&reader, NULL, read_on, &n), 0);
  // However the threads take turns, they have met: the writer goes on until then.
  for (uint32_t i = 0; i < ROUNDS || n.read < READINGS; ++i) assert_true(put(&n, i));
  n.done = true;
  pthread_join(reader, NULL);
  assert_int_equal(n.mixed, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_was_put_up_is_read),
      cmocka_unit_test(test_nobody_waits_for_one_who_puts_up_words),
      cmocka_unit_test(test_words_are_never_mixed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
