#include "base/status.h"
#include "check.h"

static void test_every_status_has_its_own_phrase(void** state) {
  (void)state;
  const char* const unknown = way_strerror((WayStatus)(WAY_ERR_IO + 1));
  for (int a = WAY_OK; a <= WAY_ERR_IO; ++a) {
    assert_string_not_equal(way_strerror((WayStatus)a), unknown);
    for (int b = WAY_OK; b < a; ++b)
      assert_string_not_equal(way_strerror((WayStatus)a), way_strerror((WayStatus)b));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_status_has_its_own_phrase),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
