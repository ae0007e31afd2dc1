#include "draw/signs.h"

#include "draw/label.h"
#include "theory/chord_write.h"
#include "theory/numeral_write.h"

void way_signs_symbol(const WayChord* chord, WayOut* out) {
  char text[WAY_SYMBOL_MAX];
  WayOut plain = way_out(text, sizeof(text));
  way_chord_write(chord, &plain);
  way_label_signs(text, out);
}

void way_signs_numeral(const WayChord* chord, const WayChord* next, WayKey key,
                       WayOut* out) {
  char text[WAY_NUMERAL_MAX];
  WayOut plain = way_out(text, sizeof(text));
  way_numeral_write(chord, next, key, &plain);
  way_label_signs(text, out);
}

void way_signs_note(WaySpelling note, WayOut* out) {
  char text[WAY_SPELLING_MAX];
  WayOut plain = way_out(text, sizeof(text));
  way_spelling_write(note, &plain);
  way_label_signs(text, out);
}

void way_signs_notes(const WayHarmony* h, WayPcSet set, WayOut* out) {
  const WayPc root = way_spelling_pc(h->chord.root);
  bool begun = false;
  for (int up = 0; up < 12; ++up) {
    const WayPc pc = way_pc(root + up);
    if (!way_pcs_has(set, pc)) continue;
    if (begun) way_out_str(out, "  ");
    way_signs_note(way_harmony_spell(h, pc), out);
    begun = true;
  }
  if (!begun) way_out_str(out, "\u2013");
}

void way_signs_key(WayKey key, WayOut* out) {
  way_signs_note(key.tonic, out);
  way_out_char(out, ' ');
  way_out_str(out, way_mode_name(key.mode));
}

void way_signs_scale(const WayScale* scale, WayOut* out) {
  way_signs_note(scale->tonic, out);
  if (!scale->type) return;
  way_out_char(out, ' ');
  way_out_str(out, scale->type->name);
}
