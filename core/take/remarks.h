// A review in sentences: what a listener would tell the player, always with the bar.
#ifndef WAY_TAKE_REMARKS_H
#define WAY_TAKE_REMARKS_H

#include "take/review.h"

/// What a remark is about.
typedef enum {
  WAY_TOPIC_ARRIVING, ///< How the line meets its chords
  WAY_TOPIC_LEANING,  ///< Tensions, and where they let go
  WAY_TOPIC_PHRASES,  ///< Phrases, motifs and answers
  WAY_TOPIC_COUNT,
} WayTopic;

/// Room for one remark, with its terminator.
#define WAY_REMARK_MAX 320u
/// Most remarks on one take.
#define WAY_REMARKS_MAX 16u

/// One remark: a sentence or two.
typedef struct {
  uint8_t topic; ///< A #WayTopic
  char text[WAY_REMARK_MAX];
} WayRemark;

/// Remarks in the order of their topics.
typedef struct {
  uint32_t n;
  WayRemark remarks[WAY_REMARKS_MAX];
} WayRemarks;

/// The heading of a topic.  A static string.
const char* way_topic_name(WayTopic topic);
/// Put a review into sentences.  Linear.
void way_remarks(const WayReview* review, WayRemarks* out);

#endif
