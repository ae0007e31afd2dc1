// What the guide tells the screen, read without trust in whoever sent it.
#ifndef WAY_UI_NEWS_H
#define WAY_UI_NEWS_H

#include "../screen_wire.h"
#include "../urids.h"
#include "base/text.h"
#include "theory/chord.h"
#include "theory/key.h"
#include "time/beat.h"

#include <lv2/atom/atom.h>

/// What a message is about.
typedef enum {
  WAY_NEWS_PLACE,         ///< Place, chord and notes
  WAY_NEWS_CHART_TEXT,    ///< The chart in use
  WAY_NEWS_CHART_FILE,    ///< Where it came from
  WAY_NEWS_CHART_MESSAGE, ///< Why the newest chart was not read
  WAY_NEWS_LEARNED,       ///< The form learned, as a chart
  WAY_NEWS_LOOK,          ///< How the window looked last
} WayNewsKind;

/// One message.
typedef struct {
  WayNewsKind kind;
  WayText text; ///< Of all kinds but the first; borrowed from the message

  WayTick tick;      ///< Of #WAY_NEWS_PLACE, as is all below
  double speed;      ///< Ticks a second, 0 or more
  WayChordFrom from; ///< Where the chord comes from
  WayChord chord;    ///< If it comes from notes
  WayKey key;        ///< Likewise
  bool tags_refused; ///< Notes keep their channels although tags are asked for
  unsigned n;        ///< Records
  WayWireRecord records[WAY_WIRE_RECORDS];
} WayNews;

/**
   Read an atom.

   @param size Bytes that can be read from `atom` on.
   @param out  What it says; left as it comes if nothing.
   @return Whether it is news for a screen, whole and in range.
*/
bool way_news_read(const WayUrids* urids, const LV2_Atom* atom, uint32_t size,
                   WayNews* out);

#endif
