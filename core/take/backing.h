// A loop to play over, made from a chart: comping, bass, click, and the chords as the
// guide hears them.
#ifndef WAY_TAKE_BACKING_H
#define WAY_TAKE_BACKING_H

#include "chart/chart.h"
#include "take/backing_feel.h"
#include "take/smf.h"

/// The parts, each on a track of its own behind the first.
typedef enum {
  WAY_PART_COMPING,
  WAY_PART_BASS,
  WAY_PART_CLICK,
  WAY_PART_CHORDS, ///< Silent (volume 0): there to be heard by the guide
  WAY_PART_COUNT,
} WayPart;

/// Where the click is heard.
typedef enum {
  WAY_CLICK_OFF,
  WAY_CLICK_COUNT_IN, ///< In the count-in alone
  WAY_CLICK_BEATS,    ///< In the count-in, and on every beat
  WAY_CLICK_COUNT,
} WayClick;

/// Most bars of count-in, and most choruses.
#define WAY_COUNT_IN_MAX 16u
#define WAY_CHORUSES_MAX 10000u

/// What is made.
typedef struct {
  WayFeel feel;      ///< #WAY_FEEL_COUNT: as the metre of each section suggests
  uint32_t choruses; ///< 1..#WAY_CHORUSES_MAX
  uint32_t count_in; ///< Bars before the first chorus, 0..#WAY_COUNT_IN_MAX
  WayClick click;
  uint8_t level; ///< 1..100: how hard notes are struck
} WayBackingChoice;

/// `comping`, `bass`, `click` or `chords`.  A static string.
const char* way_part_name(WayPart part);
/// `off`, `count-in` or `beats`.  A static string.
const char* way_click_name(WayClick click);
/// Three choruses after two bars, clicked on the count-in and on, softly.
WayBackingChoice way_backing_default(void);
/**
   Make a backing.

   The first track has title, tempo, metres and key signatures; Marker events
   `count-in`, `top chorus N`, `[SECTION]` and the chord symbols, these as Text events
   on the track of the chords too.  A planned target stands beside its chord as the Text
   event `target: b3`.  A key that a signature cannot tell (D dorian) stands
   beside it as the Text event `key: D dorian`.  Ticks are those of the timeline.

   @param chart, timeline The chart, and the same unrolled.  Borrowed.
   @param start Receives where the first chorus begins; may be NULL.
   @param out   Receives a new file, owned by the caller; left untouched on error.
   @return #WAY_OK, #WAY_ERR_FULL (more than #WAY_CHART_UNROLLED_MAX bars in all
   choruses), #WAY_ERR_RANGE (longer than a file can be) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_backing_new(const WayChart* chart, const WayTimeline* timeline,
                          const WayBackingChoice* choice, WayTick* start, WaySmf** out);
/// A copy of one part: its first track and the part's.  NULL if out of memory.
WaySmf* way_backing_stem(const WaySmf* backing, WayPart part);

#endif
