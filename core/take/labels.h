// The marks of a reviewed take, for other programs: as Marker events beside its notes,
// and as rows of a table.
#ifndef WAY_TAKE_LABELS_H
#define WAY_TAKE_LABELS_H

#include "live/mark.h"
#include "take/review.h"

#include <stdio.h>

/// What a label tells.  At one place they stand in this order.
typedef enum {
  WAY_LABEL_TOP,     ///< A chorus begins
  WAY_LABEL_SECTION, ///< A section with a name begins
  WAY_LABEL_CHANGE,  ///< A chord arrives
  WAY_LABEL_LANDING, ///< Its landing note: where that begins, or at the change if it is
                     ///< held over
  WAY_LABEL_ROLE,    ///< A note: what it is to its chord
  WAY_LABEL_COUNT,
} WayLabelKind;

/// One label.
typedef struct {
  WayTick start, end; ///< Ticks of music from the start of the file; a top, a section
                      ///< or a change lasts until the next of its kind
  uint32_t of;        ///< Index of the joint, the landing or the note
  uint8_t kind;       ///< A #WayLabelKind
} WayLabel;

/// Room for the text of a label, with its terminator.
#define WAY_LABEL_TEXT_MAX WAY_MARK_TEXT_MAX

/**
   The labels of a review, by place, then by kind.

   @param out Receives a new list, to be freed with free(); left untouched on error.
   @param n   Receives its length.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_labels_new(const WayReview* review, WayLabel** out, uint32_t* n);
/// `top`, `section`, `change`, `landing` or `role`.  A static string.
const char* way_label_name(WayLabelKind kind);
/// Append what a label says, in the words of docs/marks.md.
void way_label_write(const WayReview* review, const WayLabel* label, WayOut* out);

/**
   Write a take's file again with its labels as Marker events on a track of their own.

   @param bytes The file as it was read into `smf`.
   @param out   Receives bytes to be freed with free(); left untouched on error.
   @param size  Receives their number.
   @return #WAY_OK, #WAY_ERR_RANGE (too many tracks) or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_labels_midi(const WayReview* review, const WaySmf* smf,
                          const uint8_t* bytes, uint8_t** out, size_t* size);
/**
   Write labels as comma-separated values (RFC 4180), a header first.

   @param to Errors of the stream stay with it.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.
*/
WayStatus way_labels_csv(const WayReview* review, const WaySmf* smf, FILE* to);

#endif
