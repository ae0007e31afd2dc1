// What every cmocka test includes.
#ifndef WAY_TESTS_CHECK_H
#define WAY_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

/// Two lengths or places that are equal but for rounding, or within `by`.
#define assert_near(a, b, by)                                                          \
  do {                                                                                 \
    const double near_a = (a), near_b = (b);                                           \
    if (!(near_a - near_b <= (by) && near_b - near_a <= (by)))                         \
      fail_msg("%s is %g, not %g", #a, near_a, near_b);                                \
  } while (0)

#endif
