// How well colours stand out from each other.
#ifndef WAY_TESTS_CONTRAST_H
#define WAY_TESTS_CONTRAST_H

#include "draw/theme.h"

#include <math.h>

static inline double contrast_linear(double part) {
  return part <= 0.03928 ? part / 12.92 : pow((part + 0.055) / 1.055, 2.4);
}

static inline double contrast_luminance(WayColour c) {
  return 0.2126 * contrast_linear(c.red) + 0.7152 * contrast_linear(c.green) +
         0.0722 * contrast_linear(c.blue);
}

/// 1 (not at all) to 21 (black on white).  Source: W3C, Web Content Accessibility
/// Guidelines 2.1, "contrast ratio".
static inline double contrast(WayColour a, WayColour b) {
  const double x = contrast_luminance(a), y = contrast_luminance(b);
  return x > y ? (x + 0.05) / (y + 0.05) : (y + 0.05) / (x + 0.05);
}

#endif
