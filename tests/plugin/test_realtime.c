// run() allocates nothing, locks nothing and calls no system.
#include "check.h"
#include "rt_guard.h"
#include "session.h"

#include <stdlib.h>
#include <unistd.h>

static void test_trap_catches_what_is_planted(void** state) {
  (void)state;
  if (!rt_guard_works()) skip();
  rt_guard_clear();
  rt_guard_arm();
  void* volatile planted = malloc(10);
  rt_guard_disarm();
  assert_int_equal(rt_guard_caught(), 1);
  assert_string_equal(rt_guard_first(), "malloc");

  rt_guard_clear();
  rt_guard_arm();
  free(planted);
  rt_guard_disarm();
  assert_string_equal(rt_guard_first(), "free");

  pthread_mutex_t mutex = PTHREAD_MUTEX_INITIALIZER;
  rt_guard_clear();
  rt_guard_arm();
  pthread_mutex_lock(&mutex);
  rt_guard_disarm();
  pthread_mutex_unlock(&mutex);
  assert_string_equal(rt_guard_first(), "pthread_mutex_lock");
}

static void test_trap_catches_system_calls(void** state) {
  (void)state;
  if (!rt_guard_traps_system()) skip();
  rt_guard_clear();
  rt_guard_arm();
  (void)getppid();
  rt_guard_disarm();
  assert_int_equal(rt_guard_caught(), 1);
  assert_string_equal(rt_guard_first(), "a system call");
}

static void test_run_is_not_caught(void** state) {
  (void)state;
  if (!rt_guard_works()) skip();
  for (uint32_t seed = 1; seed <= 12; ++seed) {
    const HostOptions options = {.guarded = true, .threaded = seed % 2 != 0};
    Host* const h = host_guide(&options);
    session_prepare(h, seed);
    for (int64_t frame = 0; frame < SESSION_LENGTH; frame += 50000) {
      host_set(h, frame, "urn:waymark:guide#chartText", LV2_ATOM__String,
               frame % 100000 ? SESSION_CHART : "| C |");
      host_get(h, frame, NULL);
    }
    session_run(h, seed, 0);
    if (h->caught) fail_msg("seed %u: run() was caught at %s", seed, h->first_caught);
    host_free(h);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_trap_catches_what_is_planted),
      cmocka_unit_test(test_trap_catches_system_calls),
      cmocka_unit_test(test_run_is_not_caught),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
