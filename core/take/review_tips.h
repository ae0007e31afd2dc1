// What to try next: a few suggestions drawn from a take, each with its bars.
#ifndef WAY_TAKE_REVIEW_TIPS_H
#define WAY_TAKE_REVIEW_TIPS_H

#include "take/review_chords.h"
#include "theory/material.h"

/// Most suggestions for one take.
#define WAY_TIPS_MAX 3u
/// Room for one suggestion, with its terminator.
#define WAY_TIP_TEXT_MAX 256u

/// One suggestion.
typedef struct {
  char text[WAY_TIP_TEXT_MAX]; ///< A sentence or two without the last full stop
  const char* preset;          ///< The practice stage to load; a static string
  WayMaterial material;        ///< What that stage plays, for `waymark map`
} WayTip;

/// What a report tells besides the review itself.
typedef struct {
  uint32_t n_chords;
  WayChordLandings* chords; ///< See way_review_chords(); to be freed with free()
  uint32_t n_tips;
  WayTip tips[WAY_TIPS_MAX]; ///< The most telling first
} WayReviewExtra;

/**
   Sum up a review by chord and draw suggestions from it.  The rules and their reasons
   are in docs/review.md.

   @param out Left undefined on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear.
*/
WayStatus way_review_extra(const WayReview* review, WayReviewExtra* out);

#endif
