// What every cmocka test includes.
#ifndef WAY_TESTS_CHECK_H
#define WAY_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#endif
