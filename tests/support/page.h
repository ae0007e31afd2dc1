// A text that is shipped, such as a page of the manual, read whole.
#ifndef WAY_TESTS_PAGE_H
#define WAY_TESTS_PAGE_H

#include "check.h"

#include <stdio.h>

/// Read a file of less than `room` bytes, terminated; the test fails if it cannot.
static inline void page_read(const char* path, char* page, size_t room) {
  FILE* const f = fopen(path, "r");
  if (!f) fail_msg("%s cannot be opened", path);
  const size_t n = fread(page, 1, room - 1, f);
  fclose(f);
  if (!n || n == room - 1) fail_msg("%s is empty or too long", path);
  page[n] = 0;
}

#endif
