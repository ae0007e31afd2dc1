// Motifs: which phrases of a take go back to one another.
// The rules and their reasons are in docs/review.md.
#ifndef WAY_TAKE_MOTIFS_H
#define WAY_TAKE_MOTIFS_H

#include "base/text.h"
#include "take/phrases.h"

/// In place of a phrase's index: there is none.
#define WAY_NO_PHRASE UINT32_MAX
/// Room for the mark of a motif (`A`, `B'`, `AC'`), with its terminator.
#define WAY_MOTIF_MARK_MAX 10u

/// How a phrase goes back to an earlier one.
typedef enum {
  WAY_MOTIF_NEW,        ///< It doesn't
  WAY_MOTIF_EXACT,      ///< Same rhythm, same notes, same place of the bar
  WAY_MOTIF_SHIFTED,    ///< The same at another place of the bar
  WAY_MOTIF_TRANSPOSED, ///< Same rhythm on other notes, steps alike within a semitone
  WAY_MOTIF_VARIED,     ///< Most of its rhythm and contour returns
  WAY_MOTIF_COUNT,
} WayMotifKind;

/// The motif of one phrase.
typedef struct {
  uint32_t motif;   ///< 0 for the first motif of the take, called A
  uint32_t like;    ///< The earlier phrase it goes back to; or #WAY_NO_PHRASE
  uint32_t answers; ///< The phrase just before, if this one answers it; or
                    ///< #WAY_NO_PHRASE
  uint8_t kind;     ///< A #WayMotifKind
  bool shifted;     ///< It goes back to one from another place of the bar
  bool primed;      ///< It differs from the first phrase with its motif
} WayMotif;

/**
   Compare the phrases of a take.

   @param bar Length of a bar, in ticks, at least 1.
   @param out Receives a new list parallel to `phrases`, to be freed with free(); left
              untouched on error.
   @return #WAY_OK or #WAY_ERR_NO_MEMORY.  Linear in time and memory.
*/
WayStatus way_motifs(const WayTake* take, WayTick bar, const WayPhrase* phrases,
                     uint32_t n, WayMotif** out);
/// `new`, `exact`, `shifted`, `transposed` or `varied`.  A static string.
const char* way_motif_kind_name(WayMotifKind kind);
/// Write the letter of a motif: A to Z, then AA, AB ...
void way_motif_letter_write(uint32_t motif, WayOut* out);
/// Write a phrase's mark: the letter of its motif, with a stroke if it is primed.
void way_motif_mark_write(const WayMotif* motif, WayOut* out);

#endif
