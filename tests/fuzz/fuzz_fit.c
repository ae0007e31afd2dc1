// Any bytes as a sketch fitted to a chart: only the note numbers that are listed
// change, the notes keep their places and lengths, and the line keeps its shape.  The
// first bytes choose the settings.
#include "chart/chart_read.h"
#include "chart/chart_unroll.h"
#include "take/fit.h"
#include "take/smf_read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

/// Bytes that choose settings, before the file.
enum { CHOICES = 8 };

static void require(bool holds, const char* what) {
  if (holds) return;
  fprintf(stderr, "%s\n", what);
  abort();
}

static const WayTimeline* chart(void) {
  static WayTimeline* timeline; // made once
  WayChart* read = NULL;
  if (!timeline) {
    require(!way_chart_read(
                way_text("[A]\n| Cmaj7 Am7 | Dm7>3 G7b9 |\n| F#m7b5 | N.C. |\n"), &read,
                NULL) &&
                !way_chart_unroll(read, &timeline),
            "chart");
    way_chart_free(read);
  }
  return timeline;
}

static WayFitChoice choose(const uint8_t* c) {
  WayFitChoice choice = way_fit_choice_default();
  choice.chart = chart();
  choice.material = (WayMaterial)(c[0] % WAY_MATERIAL_COUNT);
  choice.scope = (WayScope)(c[1] % WAY_SCOPE_COUNT);
  choice.keep = c[2] & 7u;
  choice.snap = (WaySnap)(c[3] % WAY_SNAP_COUNT);
  choice.max_distance = c[4] & 0x80 ? 12 : c[4];
  choice.low = c[5] & 0x80 ? 0 : c[5] / 2;
  choice.high = c[5] & 0x80 ? 127 : (uint8_t)(choice.low + 24);
  choice.by_channel = c[6] & 1;
  choice.early = (c[6] >> 1) * 100;
  choice.origin = (c[7] & 15) * WAY_TICKS_PER_QUARTER;
  return choice;
}

static int sign(int x) { return (x > 0) - (x < 0); }

/// See that a line goes up, down or repeats where it did.
static void check_shape(const WayFit* fit) {
  for (uint32_t i = 1; i < fit->n; ++i) {
    const WayFitNote *n = &fit->notes[i], *b = n - 1;
    require(sign(n->from - b->from) == sign(n->to - b->to), "the shape changed");
  }
}

static void check_bytes(const WayFit* fit, const uint8_t* before, const uint8_t* after,
                        size_t size) {
  uint8_t* const listed = calloc(size, 1);
  require(listed != NULL, "memory");
  for (uint32_t i = 0; i < fit->n_bytes; ++i) {
    require(fit->bytes[i] < size && !listed[fit->bytes[i]], "a byte listed twice");
    listed[fit->bytes[i]] = 1;
  }
  for (size_t i = 0; i < size; ++i)
    require((before[i] != after[i]) == listed[i], "a byte changed that is not listed");
  free(listed);
}

/// Notes in order of their note-ons.
static int by_event(const void* a, const void* b) {
  const WayNote *x = a, *y = b;
  return x->on < y->on ? -1 : x->on > y->on;
}

static void check_notes(const WaySmf* before, const uint8_t* bytes, size_t size,
                        uint32_t track) {
  const WayTakeChoice choice = {(int)track, NULL, 0};
  WaySmf* after = NULL;
  WayTake *a = NULL, *b = NULL;
  require(!way_smf_read(bytes, size, &after, NULL) &&
              !way_take_new(before, &choice, &a, NULL) &&
              !way_take_new(after, &choice, &b, NULL) && a->n == b->n,
          "other notes");
  qsort(a->notes, a->n, sizeof(*a->notes), by_event);
  qsort(b->notes, b->n, sizeof(*b->notes), by_event);
  for (uint32_t i = 0; i < a->n; ++i)
    require(a->notes[i].on == b->notes[i].on && a->notes[i].off == b->notes[i].off,
            "a note changed its length");
  way_take_free(a);
  way_take_free(b);
  way_smf_free(after);
}

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  if (size < CHOICES) return 0;
  const WayFitChoice choice = choose(data);
  data += CHOICES;
  size -= CHOICES;
  WaySmf* smf = NULL;
  WayFit* fit = NULL;
  WayError error = {.status = WAY_OK};
  if (way_smf_read(data, size, &smf, NULL)) return 0;
  if (way_fit_new(data, smf, &choice, &fit, &error)) {
    require(!fit && error.message[0], "no message");
  } else {
    uint8_t* const after = malloc(size);
    require(after != NULL, "memory");
    memcpy(after, data, size);
    way_fit_apply(fit, after);
    check_bytes(fit, data, after, size);
    check_notes(smf, after, size, fit->track);
    if (!choice.by_channel) check_shape(fit);
    free(after);
  }
  way_fit_free(fit);
  way_smf_free(smf);
  return 0;
}
