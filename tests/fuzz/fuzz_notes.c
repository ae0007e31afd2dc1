// Any bytes as a list of notes: every list that is read is named, and its names can be
// read; what is not read has a place and a message.
#include "theory/chord_find.h"
#include "theory/chord_read.h"
#include "theory/chord_write.h"
#include "theory/note_list.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t* data, size_t size) {
  const WayText text = {(const char*)data, size};
  WayNoteList list;
  WayError error;
  if (way_note_list_read(text, &list, &error)) {
    if (!error.message[0] || error.byte > size || !error.column) abort();
    return 0;
  }
  if (!way_pcs_has(list.set, list.bass)) abort();
  WayFound found[WAY_FOUND_MAX];
  const WayFindHints hints = {NULL, NULL, list.written, size % 2 != 0};
  const unsigned n = way_chord_find(list.set, list.bass, &hints, found);
  for (unsigned i = 0; i < n; ++i) {
    char written[WAY_SYMBOL_MAX];
    WayOut out = way_out(written, sizeof(written));
    way_chord_write(&found[i].chord, &out);
    WayChord again;
    if (way_chord_read(way_text(written), &again, NULL)) abort();
    if (!way_chord_equal(&found[i].chord, &again)) abort();
  }
  return 0;
}
