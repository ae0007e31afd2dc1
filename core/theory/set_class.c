#include "theory/set_class.h"

#define Z 0x1000u // flags a class that shares its intervals with another

/// Prime forms in Forte's order, for sets of 2 to 6.
static const uint16_t twos[] = {0x003, 0x005, 0x009, 0x011, 0x021, 0x041};
static const uint16_t threes[] = {0x007, 0x00B, 0x013, 0x023, 0x043, 0x015,
                                  0x025, 0x045, 0x085, 0x049, 0x089, 0x111};
static const uint16_t fours[] = {
    0x00F, 0x017, 0x01B, 0x027, 0x047,     0x087, 0x033, 0x063, 0x0C3,    0x02D,
    0x02B, 0x04D, 0x04B, 0x08D, 0x053 | Z, 0x0A3, 0x099, 0x093, 0x113,    0x123,
    0x055, 0x095, 0x0A5, 0x115, 0x145,     0x129, 0x125, 0x249, 0x08B | Z};
static const uint16_t fives[] = {
    0x01F,     0x02F,     0x037, 0x04F,     0x08F,     0x067,    0x0C7, 0x05D,
    0x057,     0x05B,     0x09D, 0x06B | Z, 0x117,     0x0A7,    0x147, 0x09B,
    0x11B | Z, 0x0B3 | Z, 0x0CB, 0x18B,     0x133,     0x193,    0x0AD, 0x0AB,
    0x12D,     0x135,     0x12B, 0x14D,     0x14B,     0x153,    0x24B, 0x253,
    0x155,     0x255,     0x295, 0x097 | Z, 0x139 | Z, 0x127 | Z};
static const uint16_t sixes[] = {
    0x03F,     0x05F,     0x06F | Z, 0x077 | Z, 0x0CF,     0x0E7 | Z, 0x1C7,
    0x0BD,     0x0AF,     0x0BB | Z, 0x0B7 | Z, 0x0D7 | Z, 0x0DB | Z, 0x13B,
    0x137,     0x173,     0x197 | Z, 0x1A7,     0x19B | Z, 0x333,     0x15D,
    0x157,     0x16D | Z, 0x15B | Z, 0x16B | Z, 0x1AB | Z, 0x25B,     0x26B | Z,
    0x34B | Z, 0x2CB,     0x32B,     0x2B5,     0x2AD,     0x2AB,     0x555,
    0x09F | Z, 0x11F | Z, 0x18F | Z, 0x13D | Z, 0x12F | Z, 0x14F | Z, 0x24F | Z,
    0x167 | Z, 0x267 | Z, 0x25D | Z, 0x257 | Z, 0x297 | Z, 0x2A7 | Z, 0x29B | Z,
    0x2D3 | Z};

static const struct {
  const uint16_t* forms;
  unsigned n;
} lists[] = {
    [2] = {twos, WAY_COUNT(twos)},   [3] = {threes, WAY_COUNT(threes)},
    [4] = {fours, WAY_COUNT(fours)}, [5] = {fives, WAY_COUNT(fives)},
    [6] = {sixes, WAY_COUNT(sixes)},
};

/// The set turned upside down around 0.
static WayPcSet inverted(WayPcSet set) {
  WayPcSet out = 0;
  for (unsigned pc = 0; pc < 12; ++pc)
    if (way_pcs_has(set, (WayPc)pc)) out |= WAY_PC_BIT((12 - pc) % 12);
  return out;
}

/// Whether `a` is packed tighter than `b`: a smaller span, then smaller steps first.
static bool tighter(WayPcSet a, WayPcSet b) {
  const unsigned differ = a ^ b;
  unsigned top = 0;
  for (unsigned bit = 0; bit < 12; ++bit)
    if (way_pcs_has((WayPcSet)(a | b), (WayPc)bit)) top = bit;
  if (differ >> top & 1u) return !(a >> top & 1u);
  return a & differ & (0u - differ); // the lowest difference
}

/// The tightest of a set's transpositions that hold 0.
static WayPcSet packed(WayPcSet set) {
  WayPcSet best = 0;
  for (WayPc pc = 0; pc < 12; ++pc) {
    if (!way_pcs_has(set, pc)) continue;
    const WayPcSet moved = way_pcs_move(set, 12u - pc);
    if (!best || tighter(moved, best)) best = moved;
  }
  return best;
}

WayPcSet way_set_prime_form(WayPcSet set) {
  const WayPcSet up = packed(set), down = packed(inverted(set));
  return up == down || tighter(up, down) ? up : down;
}

WaySetClass way_set_class(WayPcSet set) {
  const unsigned size = way_pcs_count(set);
  WaySetClass c = {(uint8_t)size, size ? 1 : 0, false, 0};
  const WayPcSet up = packed(set), down = packed(inverted(set));
  if (up != down) c.form = tighter(up, down) ? 'A' : 'B';
  const WayPcSet listed = size > 6 ? (WayPcSet)~set & WAY_PCS_ALL : set;
  const unsigned listed_size = size > 6 ? 12 - size : size;
  if (listed_size < 2) return c;
  const WayPcSet form = way_set_prime_form(listed);
  for (unsigned i = 0; i < lists[listed_size].n; ++i)
    if ((lists[listed_size].forms[i] & WAY_PCS_ALL) == form) {
      c.ordinal = (uint8_t)(i + 1);
      c.z = (lists[listed_size].forms[i] & Z) != 0;
    }
  return c;
}

void way_set_class_write(WaySetClass c, WayOut* out) {
  way_out_int(out, c.size);
  way_out_str(out, c.z ? "-Z" : "-");
  way_out_int(out, c.ordinal);
  if (c.form) way_out_char(out, c.form);
}
