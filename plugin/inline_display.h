// A small picture for a host's mixer strip: chord now and next, beats left, the newest
// note's degree.
//
// The interface is the open extension http://harrisonconsoles.com/lv2/inlinedisplay.
#ifndef WAY_PLUGIN_INLINE_DISPLAY_H
#define WAY_PLUGIN_INLINE_DISPLAY_H

#include "live/engine.h"
#include "notice.h"
#include "pixels.h"

#include <lv2/core/lv2.h>

#define WAY_INLINE_DISPLAY__interface                                                  \
  "http://harrisonconsoles.com/lv2/inlinedisplay#interface"
#define WAY_INLINE_DISPLAY__queue_draw                                                 \
  "http://harrisonconsoles.com/lv2/inlinedisplay#queue_draw"

/// The extension's picture: 32 bits a pixel, alpha highest, in the machine's order.
typedef struct {
  unsigned char* data;
  int width;
  int height;
  int stride; ///< Bytes from row to row
} WayInlineSurface;

/// The extension's interface, as handed out by extension_data().
typedef struct {
  /// Called by the host on a thread of its own; NULL if there is nothing to show.
  WayInlineSurface* (*render)(LV2_Handle instance, uint32_t width, uint32_t max_height);
} WayInlineInterface;

/// The extension's feature: the host's side.
typedef struct {
  void* handle;
  void (*queue_draw)(void* handle); ///< May be called by run()
} WayInlineHost;

/// What is shown.
typedef struct {
  WayChord now, next; ///< Meant if known
  bool knows_now, knows_next;
  int32_t beats;    ///< Beats left, begun ones included; 0 if not known
  int32_t role;     ///< Of the newest note, a #WayRole; -1 if there is none
  WayDegree degree; ///< Of that note
} WayGlance;

/// Words of a glance on its way between threads.
#define WAY_GLANCE_WORDS ((sizeof(WayGlance) + 3u) / 4u)

/// An instance's picture.  Fields are private.
typedef struct {
  const WayInlineHost* host;             ///< NULL where no host wants pictures
  uint32_t shown[WAY_GLANCE_WORDS];      ///< run()'s own: told last
  WayNoticeTurn turn;                    ///< Of `words`
  WayNoticeWord words[WAY_GLANCE_WORDS]; ///< The same for the other thread
  WayPixels pixels;                      ///< The other thread's own, as is
  WayInlineSurface surface;              ///< the picture handed out
} WayInlineDisplay;

/// Nothing to show.  @param host Borrowed; may be NULL.
void way_inline_display_init(WayInlineDisplay* d, const WayInlineHost* host);
/// Free the picture.
void way_inline_display_clear(WayInlineDisplay* d);
/// Whether anybody looks.  @par Real-time safe.
static inline bool way_inline_display_wanted(const WayInlineDisplay* d) {
  return d->host != NULL;
}
/// Show what the engine knows; asks the host to draw if that is news.
/// @par Real-time safe.
void way_inline_display_show(WayInlineDisplay* d, const WayGuideView* view);
/**
   Draw.  On the host's screen thread, beside run().

   @return Borrowed until the next call; NULL where there is no room or memory.
*/
WayInlineSurface* way_inline_display_render(WayInlineDisplay* d, uint32_t width,
                                            uint32_t max_height);

#endif
