// Names as text for tables and sentences of a review.
#ifndef WAY_TAKE_REVIEW_WORDS_H
#define WAY_TAKE_REVIEW_WORDS_H

#include "take/review.h"

/// Write a chord's symbol into `buffer`, and return that.
const char* way_chord_text(const WayChord* chord, char buffer[WAY_SYMBOL_MAX]);
/// The same for a degree.
const char* way_degree_text(WayDegree degree, char buffer[WAY_SPELLING_MAX]);
/// The same for the name of a note.
const char* way_note_text(WaySpelling note, char buffer[WAY_SPELLING_MAX]);
/// Width of a column of the timeline's chord symbols; longer ones stick out.
int way_chord_column(const WayTimeline* t);

#endif
