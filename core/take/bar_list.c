#include "take/bar_list.h"

void way_bar_list_add(WayBarList* list, const WayTimeline* t, WayTick tick) {
  if (list->n > WAY_BAR_LIST_MAX) return;
  const WayReviewPlace p = way_review_place(t, tick);
  const WayReviewPlace* const last = list->n ? &list->bars[list->n - 1] : NULL;
  if (last && p.bar == last->bar && p.chorus == last->chorus) return;
  if (list->n < WAY_BAR_LIST_MAX) list->bars[list->n] = p;
  ++list->n;
}

static bool same_chorus(const WayBarList* list, uint32_t a, uint32_t b) {
  return list->bars[a].chorus == list->bars[b].chorus;
}

void way_bar_list_write(const WayBarList* list, WayOut* out) {
  const bool more = list->n > WAY_BAR_LIST_MAX;
  const uint32_t n = more ? WAY_BAR_LIST_MAX : list->n;
  for (uint32_t i = 0; i < n; ++i) {
    const bool goes_on = i && same_chorus(list, i - 1, i);
    if (i) way_out_str(out, i + 1 == n && !more ? " and " : ", ");
    if (!goes_on && list->bars[i].chorus > 1) {
      way_out_str(out, "chorus ");
      way_out_int(out, list->bars[i].chorus);
      way_out_char(out, ' ');
    }
    const bool many = i + 1 < n && same_chorus(list, i, i + 1);
    if (!goes_on) way_out_str(out, many ? "bars " : "bar ");
    way_out_int(out, list->bars[i].bar);
  }
  if (more) way_out_str(out, " and more");
}
