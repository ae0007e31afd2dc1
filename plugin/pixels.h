// Letters and shapes on a picture of a few pixels, without a library for it.
#ifndef WAY_PLUGIN_PIXELS_H
#define WAY_PLUGIN_PIXELS_H

#include <stdint.h>

/// A pixel: alpha, red, green and blue from the highest byte down.
typedef uint32_t WayPixel;

/// A picture, row by row.  Whatever is drawn outside it is left out.
typedef struct {
  WayPixel* at; ///< `width * height` of them; borrowed
  int width, height;
} WayPixels;

/// Pixels a letter and the gap behind it are wide, and high, at scale 1.
#define WAY_LETTER_WIDTH 6
#define WAY_LETTER_HEIGHT 7

/// Fill a rectangle.
void way_pixels_fill(WayPixels* p, int x, int y, int width, int height,
                     WayPixel colour);
/// Draw a disc, or its rim of `rim` pixels if that is less than the radius.
void way_pixels_disc(WayPixels* p, int x, int y, int radius, int rim, WayPixel colour);
/// Draw a diamond.
void way_pixels_diamond(WayPixels* p, int x, int y, int radius, WayPixel colour);
/// Draw a line of text from its upper left corner; characters without a letter are
/// boxes.
void way_pixels_text(WayPixels* p, int x, int y, int scale, const char* text,
                     WayPixel colour);
/// How wide that is.
int way_pixels_text_width(int scale, const char* text);

#endif
