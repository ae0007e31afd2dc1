// The degree map as a picture.
#ifndef WAY_DRAW_MAP_PICTURE_H
#define WAY_DRAW_MAP_PICTURE_H

#include "chart/degree_map.h"

/// Where everything stands, in points.  Pure geometry.
typedef struct {
  double width, height;
  uint32_t per_block; ///< Most columns side by side; the others follow below
  uint32_t n_blocks;
  double block_height; ///< From the top of one block to the top of the next
  double changes_top;  ///< Where the list of changes begins
} WayMapLayout;

/// Lay out a map.
WayMapLayout way_map_layout(const WayDegreeMap* map);
/// Centre of a column.
double way_map_x(const WayMapLayout* l, uint32_t column);
/// Centre of a row, in the block of a column.
double way_map_y(const WayMapLayout* l, unsigned row, uint32_t column);

/**
   Draw a map as SVG.

   @param title Of the chart; may be "".
   @param bytes Receives the file, to be freed with free(); left untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_map_picture_svg(const WayDegreeMap* map, const char* title, char** bytes,
                              size_t* size);

#endif
