// Random chart text for property tests.
#ifndef WAY_TESTS_CHART_RANDOM_H
#define WAY_TESTS_CHART_RANDOM_H

#include "base/text.h"

/// Write a chart the reader accepts, with some of everything; `room` of 8192 is enough.
void chart_random(uint32_t* rng, char* text, size_t room);

#endif
