#include "draw/spread.h"

double way_spread(const double* at, const double* width, unsigned n, double room,
                  double* out) {
  double all = 0;
  for (unsigned i = 0; i < n; ++i) all += width[i];
  const double scale = all > room ? room / all : 1;
  double free_from = 0;
  for (unsigned i = 0; i < n; ++i) {
    out[i] = at[i] > free_from ? at[i] : free_from;
    free_from = out[i] + scale * width[i];
  }
  double free_to = room;
  for (unsigned i = n; i--;) {
    free_to -= scale * width[i];
    if (out[i] > free_to) out[i] = free_to;
    free_to = out[i];
  }
  return scale;
}

static double larger(double a, double b) { return a > b ? a : b; }

void way_spread_row(const double* wants, unsigned n, unsigned most, double room,
                    double* out) {
  double wanted = 0, total = 0;
  for (unsigned i = 0; i < n; ++i) {
    wanted += wants[i];
    total += larger(wants[i], room / most);
  }
  if (total > room) total = room; // a short row leaves the rest free
  if (wanted >= total) {
    for (unsigned i = 0; i < n; ++i) out[i] = total * wants[i] / wanted;
    return;
  }
  double share = total / n;
  for (unsigned before = n, wide = 0; wide != before;) {
    double left = total;
    before = wide;
    wide = 0;
    for (unsigned i = 0; i < n; ++i)
      if (wants[i] > share) {
        left -= wants[i];
        ++wide;
      }
    share = left / (n - wide); // smaller now: still more may want more
  }
  for (unsigned i = 0; i < n; ++i) out[i] = larger(wants[i], share);
}

unsigned way_spread_keep(const double* widths, unsigned n, double room) {
  unsigned kept = 0;
  while (kept < n && widths[kept] <= room) room -= widths[kept++];
  return kept;
}

unsigned way_spread_even(unsigned n, unsigned most) {
  const unsigned rows = n ? (n + most - 1) / most : 1;
  return n ? (n + rows - 1) / rows : most;
}
