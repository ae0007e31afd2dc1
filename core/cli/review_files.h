// The files that a review can be written to.
#ifndef WAY_CLI_REVIEW_FILES_H
#define WAY_CLI_REVIEW_FILES_H

#include "cli/file.h"
#include "take/review_text.h"

/// What to write, each the name of a file (`-` is standard output) or NULL.
typedef struct {
  const char* markers;  ///< The take with its labels as Marker events
  const char* csv;      ///< The labels as a table
  const char* captions; ///< WebVTT
  bool matrix;          ///< Pictures are of degrees by chord, not of notes in time
  const char* svg;      ///< A picture
  const char* pdf;
  const char* png;
  const char* report; ///< All of it on paper, as PDF
  double offset;      ///< Second of the video at which the take begins
} WayReviewFiles;

/// One reviewed take.
typedef struct {
  const WayReview* review;
  const WayReviewHead* head;
  const WaySmf* smf;
  const WayFile* file; ///< What `smf` was read from
} WayReviewed;

/// Whether anything is to be written.
bool way_cli_review_wanted(const WayReviewFiles* files);
/**
   Write all files that are asked for.

   @return #WAY_EXIT_OK, or #WAY_EXIT_FAILED after a message.
*/
WayExit way_cli_review_write(const WayReviewFiles* files, const WayReviewed* reviewed);

#endif
