// What comes out does not depend on how a host cuts its blocks, and nothing hangs.
#include "base/attributes.h"
#include "check.h"
#include "rng.h"
#include "session.h"

static Host* session(uint32_t seed, uint32_t block) {
  Host* const h = host_guide(NULL);
  assert_non_null(h);
  session_prepare(h, seed);
  session_run(h, seed, block);
  return h;
}

static void check_same(const HostEvents* a, const HostEvents* b, uint32_t seed,
                       uint32_t block) {
  for (size_t i = 0; i < a->n && i < b->n; ++i) {
    const HostEvent *x = &a->at[i], *y = &b->at[i];
    if (x->frame != y->frame || x->type != y->type || x->size != y->size ||
        memcmp(x->body, y->body, x->size) != 0)
      fail_msg("seed %u, blocks of %u: event %zu differs (frames %ld and %ld)", seed,
               block, i, (long)x->frame, (long)y->frame);
  }
  assert_int_equal(a->n, b->n);
}

static void test_cuts_do_not_matter(void** state) {
  (void)state;
  static const uint32_t blocks[] = {1, 7, 64, 1024, 0};
  for (uint32_t seed = 1; seed <= 6; ++seed) {
    Host* const whole = session(seed, 8192);
    assert_true(host_events(whole, "out")->n > 200);
    assert_true(host_events(whole, "marks")->n > 100);
    for (size_t i = 0; i < WAY_COUNT(blocks); ++i) {
      Host* const cut = session(seed, blocks[i]);
      check_same(host_events(whole, "out"), host_events(cut, "out"), seed, blocks[i]);
      check_same(host_events(whole, "marks"), host_events(cut, "marks"), seed,
                 blocks[i]);
      host_free(cut);
    }
    host_free(whole);
  }
}

/// After a deactivation that came at the worst time.
static void check_all_ended(Host* h, uint32_t seed, uint32_t capacity) {
  lilv_instance_deactivate(h->instance);
  lilv_instance_activate(h->instance);
  host_run_blocks(h, 9600, 480);
  static const char* const ports[] = {"out", "marks"};
  for (size_t i = 0; i < WAY_COUNT(ports); ++i) {
    const int key = session_hanging(h, ports[i]);
    if (key >= 0)
      fail_msg("seed %u, %u bytes: note %d on channel %d of %s hangs", seed, capacity,
               key % 128, key / 128 + 1, ports[i]);
  }
}

static void test_nothing_hangs_after_deactivate(void** state) {
  (void)state;
  for (uint32_t seed = 1; seed <= 12; ++seed) {
    Host* const h = session(seed, 777);
    check_all_ended(h, seed, h->capacity);
    host_free(h);
  }
}

static void test_small_buffers_lose_no_note_off(void** state) {
  (void)state;
  static const uint32_t capacities[] = {8, 16, 24, 40, 48, 64, 96, 264};
  for (uint32_t seed = 1; seed <= 4; ++seed)
    for (size_t i = 0; i < WAY_COUNT(capacities); ++i) {
      Host* const h = host_guide(NULL);
      session_prepare(h, seed);
      uint32_t rng = seed;
      while (h->now < SESSION_LENGTH) { // now and then there is room
        h->capacity = rng_below(&rng, 4) ? capacities[i] : 1024;
        host_run(h, 1 + rng_below(&rng, 9000));
      }
      h->capacity = HOST_BUFFER_MAX;
      check_all_ended(h, seed, capacities[i]);
      host_free(h);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cuts_do_not_matter),
      cmocka_unit_test(test_nothing_hangs_after_deactivate),
      cmocka_unit_test(test_small_buffers_lose_no_note_off),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
