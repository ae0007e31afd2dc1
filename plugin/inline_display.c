#include "inline_display.h"

#include "theory/chord_write.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/// Smallest and greatest picture, in pixels.
enum { LEAST_WIDTH = 24, LEAST_HEIGHT = 9, MOST_WIDTH = 2048, MOST_HEIGHT = 36 };
/// Between things, in pixels.
enum { GAP = 4 };

static const WayPixel ground = 0xFF1C1C1C, ink = 0xFFF0F0F0, faint = 0xFFA0A0A0;
/// The colours of docs/screen.md: bluish green, sky blue, vermilion (Okabe and Ito).
static const WayPixel role_colours[WAY_ROLE_COUNT] = {
    [WAY_ROLE_CHORD] = 0xFF009E73,
    [WAY_ROLE_SCALE] = 0xFF56B4E9,
    [WAY_ROLE_CHROMATIC] = 0xFFD55E00,
};

void way_inline_display_init(WayInlineDisplay* d, const WayInlineHost* host) {
  memset(d, 0, sizeof(*d));
  d->host = host;
  const WayGlance first = {.role = -1};
  uint32_t words[WAY_GLANCE_WORDS] = {0};
  memcpy(words, &first, sizeof(first));
  for (size_t i = 0; i < WAY_GLANCE_WORDS; ++i) atomic_init(&d->words[i], words[i]);
  memset(d->shown, 0xFF, sizeof(d->shown)); // the first look is always news
}

void way_inline_display_clear(WayInlineDisplay* d) {
  free(d->pixels.at);
  d->pixels.at = NULL;
}

// ---- From run() ...

void way_inline_display_show(WayInlineDisplay* d, const WayGuideView* v) {
  WayGlance g;
  memset(&g, 0, sizeof(g)); // padding too: it is compared
  if (v->now) memcpy(&g.now, &v->now->chord, sizeof(g.now));
  if (v->next) memcpy(&g.next, &v->next->chord, sizeof(g.next));
  g.knows_now = v->now != NULL;
  g.knows_next = v->next != NULL;
  g.beats = (int32_t)ceil(fmin(v->beats_to_change, 1e6));
  g.role = v->last_pitch == WAY_UNHELD ? -1 : v->last.role;
  if (g.role >= 0) g.degree = v->last.degree;
  uint32_t words[WAY_GLANCE_WORDS] = {0};
  memcpy(words, &g, sizeof(g));
  if (!memcmp(words, d->shown, sizeof(words))) return;
  memcpy(d->shown, words, sizeof(words));
  way_notice_put(&d->turn, d->words, words, WAY_GLANCE_WORDS); // no other thread does
  d->host->queue_draw(d->host->handle);
}

// ---- ... to the host's screen.

static WayGlance look(WayInlineDisplay* d) {
  uint32_t words[WAY_GLANCE_WORDS];
  while (!way_notice_read(&d->turn, d->words, words, WAY_GLANCE_WORDS)) {
    // run() never takes longer than a few stores
  }
  WayGlance g;
  memcpy(&g, words, sizeof(g));
  return g;
}

/// The largest scale, at most `scale`, at which a text fits into some width; 1 if none.
static int fit(int scale, int width, const char* text) {
  while (scale > 1 && way_pixels_text_width(scale, text) > width) --scale;
  return scale;
}

static void write_symbol(bool known, const WayChord* chord, char* text, size_t room) {
  WayOut out = way_out(text, room);
  if (known)
    way_chord_write(chord, &out);
  else
    way_out_str(&out, "-");
}

/// Chord now on the left, the next one on the right at the foot of the first line:
/// where both are long the chord now is so small that it stands above.
static void draw_chords(WayPixels* p, const WayGlance* g, int scale) {
  char now[WAY_SYMBOL_MAX], next[WAY_SYMBOL_MAX] = "";
  const int room = p->width - 2 * GAP;
  write_symbol(g->knows_now, &g->now, now, sizeof(now));
  if (g->knows_next) write_symbol(true, &g->next, next, sizeof(next));
  const int width = way_pixels_text_width(1, next);
  const int beside = room - GAP - width;
  int size = fit(scale, room * 3 / 5, now);
  if (size > 1) size = fit(size, beside, now);
  way_pixels_text(p, GAP, 2, size, now, ink);
  const bool above = size < scale;
  if (width <= room && (above || way_pixels_text_width(size, now) <= beside))
    way_pixels_text(p, p->width - GAP - width, 2 + (scale - 1) * WAY_LETTER_HEIGHT, 1,
                    next, faint);
}

/// A square a beat that is left on the left of the second line.
static void draw_beats(WayPixels* p, const WayGlance* g, int y) {
  const int most = (p->width * 3 / 5 - GAP) / 6;
  for (int i = 0; i < g->beats && i < most; ++i)
    way_pixels_fill(p, GAP + 6 * i, y + 2, 4, 4, ink);
}

/// The newest note's degree, in the colour and with the shape of its role, on the
/// right.
static void draw_degree(WayPixels* p, const WayGlance* g, int y) {
  if (g->role < 0 || g->role >= (int)WAY_ROLE_COUNT) return;
  char text[16];
  WayOut out = way_out(text, sizeof(text));
  way_role_degree_write(g->degree, &out);
  const WayPixel colour = role_colours[g->role];
  const int x = p->width - GAP - way_pixels_text_width(1, text);
  way_pixels_text(p, x, y, 1, text, colour);
  const int middle = x - GAP - 4;
  if (g->role == WAY_ROLE_CHROMATIC)
    way_pixels_diamond(p, middle, y + 3, 3, colour);
  else
    way_pixels_disc(p, middle, y + 3, 3, g->role == WAY_ROLE_CHORD ? 4 : 1, colour);
}

/// Make the picture as large as asked for.
static bool resize(WayInlineDisplay* d, int width, int height) {
  if (d->pixels.at && d->pixels.width == width && d->pixels.height == height)
    return true;
  WayPixel* const at =
      realloc(d->pixels.at, (size_t)width * (size_t)height * sizeof(WayPixel));
  if (!at) return false;
  d->pixels = (WayPixels){at, width, height};
  return true;
}

WayInlineSurface* way_inline_display_render(WayInlineDisplay* d, uint32_t width,
                                            uint32_t max_height) {
  if (width < LEAST_WIDTH || max_height < LEAST_HEIGHT) return NULL;
  const int w = width < MOST_WIDTH ? (int)width : MOST_WIDTH;
  const int h = max_height < MOST_HEIGHT ? (int)max_height : MOST_HEIGHT;
  if (!resize(d, w, h)) return NULL;
  const WayGlance g = look(d);
  WayPixels* const p = &d->pixels;
  // One line where there is little height, else two.
  const int second = h - WAY_LETTER_HEIGHT - 2;
  const int scale =
      second / WAY_LETTER_HEIGHT > 1 ? (second - 2) / WAY_LETTER_HEIGHT : 1;
  way_pixels_fill(p, 0, 0, w, h, ground);
  draw_chords(p, &g, scale);
  if (second >= WAY_LETTER_HEIGHT + 3) {
    draw_beats(p, &g, second);
    draw_degree(p, &g, second);
  }
  d->surface =
      (WayInlineSurface){(unsigned char*)p->at, w, h, w * (int)sizeof(WayPixel)};
  return &d->surface;
}
