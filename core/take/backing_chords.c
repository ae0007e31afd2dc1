#include "take/backing_chords.h"

/// The lowest bass key, and the lowest of the others: C2 and C3.
enum { BASS_LOW = 36, OTHERS_LOW = 48 };

bool way_block_alike(const WayChord* a, const WayChord* b) {
  return way_chord_pcs(a) == way_chord_pcs(b) &&
         way_spelling_pc(a->root) == way_spelling_pc(b->root) &&
         way_spelling_pc(a->bass) == way_spelling_pc(b->bass);
}

/// The first `n` tones of a chord, with or without its fifth, over its bass.
static WayBlock set(const WayChord* c, unsigned n, bool fifth) {
  const WayPc bass = way_spelling_pc(c->bass), root = way_spelling_pc(c->root);
  WayPcSet pcs = 0;
  for (unsigned i = 0; i < n; ++i)
    if (fifth || c->tones[i].number != 5)
      pcs |= WAY_PC_BIT(way_pc(root + way_degree_pc(c->tones[i])));
  WayBlock block = {.n = 1, .key = {(uint8_t)(BASS_LOW + bass)}};
  for (uint8_t pc = 0; pc < 12; ++pc)
    if (way_pcs_has(pcs, pc) && pc != bass)
      block.key[block.n++] = (uint8_t)(OTHERS_LOW + pc);
  return block;
}

/// Let go what is held and strike a block.
static void strike(const WayBlock* block, const WayKey* key, WayListen* l) {
  way_listen_clear_channel(l, 0);
  for (unsigned i = 0; i < block->n; ++i) way_listen_strike(l, 0, block->key[i], i > 0);
  way_listen_settle(l, key);
}

/// How well a chord is heard in a block: 7 if it is heard as itself.
static unsigned heard(const WayChord* c, const WayBlock* block, const WayKey* key,
                      WayListen l) {
  strike(block, key, &l);
  if (!l.known) return 0;
  const WayChord* const as = &l.chord;
  return (way_spelling_pc(as->root) == way_spelling_pc(c->root) ? 4u : 0u) +
         (way_chord_pcs(as) == way_chord_pcs(c) ? 2u : 0u) +
         (way_spelling_pc(as->bass) == way_spelling_pc(c->bass) ? 1u : 0u);
}

WayBlock way_block_of(const WayChord* chord, const WayKey* key, WayBlockEar* ear) {
  WayBlock best = {0};
  if (way_chord_is_none(chord)) return best;
  unsigned most = 0;
  for (unsigned n = chord->n_tones; n >= chord->n_basic && n; --n)
    for (int fifth = 1; fifth >= 0; --fifth) {
      const WayBlock block = set(chord, n, fifth);
      const unsigned well = heard(chord, &block, key, ear->by_key) +
                            heard(chord, &block, NULL, ear->alone);
      if (best.n && well <= most) continue;
      best = block;
      most = well;
    }
  strike(&best, key, &ear->by_key);
  strike(&best, NULL, &ear->alone);
  return best;
}
