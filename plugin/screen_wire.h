// How the guide packs notes for a screen into the Ints of guide#notes.
#ifndef WAY_PLUGIN_SCREEN_WIRE_H
#define WAY_PLUGIN_SCREEN_WIRE_H

#include "theory/role.h"

/// Ints that one record takes.
#define WAY_WIRE_INTS 4u
/// Most records in one message.
#define WAY_WIRE_RECORDS 64u
/// Farthest a record may lie from its message's place, in ticks.
#define WAY_WIRE_FAR (INT32_MAX / 2)

/// What a record tells.
typedef enum {
  WAY_WIRE_OFF,     ///< A note ended
  WAY_WIRE_ON,      ///< A note began
  WAY_WIRE_ROLE,    ///< What the newest note of that pitch is to its chord
  WAY_WIRE_LANDING, ///< It is the landing of a chord
  WAY_WIRE_COUNT,
} WayWireKind;

/// Where the chord now comes from.
typedef enum {
  WAY_CHORD_FROM_NOWHERE,
  WAY_CHORD_FROM_CHART,
  WAY_CHORD_FROM_NOTES,
  WAY_CHORD_FROM_COUNT,
} WayChordFrom;

/// One record, unpacked.
typedef struct {
  int32_t ago;     ///< Ticks before the message's place; negative after it
  uint8_t kind;    ///< A #WayWireKind
  uint8_t pitch;   ///< 0..127
  uint8_t channel; ///< 0..15, as sent (on, off)
  bool on_target;  ///< On the planned tone (landing)
  bool next;       ///< Of the chord after the one in force (landing)
  WayRoleOf role;  ///< (role, landing)
} WayWireRecord;

/// Pack a record.  @par Real-time safe.
static inline void way_wire_pack(const WayWireRecord* r, int32_t out[WAY_WIRE_INTS]) {
  out[0] = r->ago;
  out[1] = r->kind | r->pitch << 8 | r->channel << 16;
  out[2] = r->role.role | r->role.interval << 8 | r->role.extension << 16;
  out[3] = r->role.degree.number | (r->role.degree.alter + 8) << 8 |
           r->on_target << 16 | r->next << 17;
}

/// Unpack one.  @return False if a value is out of its range.
static inline bool way_wire_unpack(const int32_t in[WAY_WIRE_INTS], WayWireRecord* r) {
  const uint32_t what = (uint32_t)in[1], role = (uint32_t)in[2], rest = (uint32_t)in[3];
  const WayDegree degree = {(int8_t)(rest & 15u), (int8_t)((int)(rest >> 8 & 15u) - 8)};
  *r = (WayWireRecord){.ago = in[0],
                       .kind = (uint8_t)what,
                       .pitch = (uint8_t)(what >> 8),
                       .channel = (uint8_t)(what >> 16),
                       .on_target = rest >> 16 & 1u,
                       .next = rest >> 17 & 1u,
                       .role = {.role = (uint8_t)role,
                                .interval = (uint8_t)(role >> 8),
                                .extension = role >> 16 & 1u,
                                .degree = degree}};
  const bool named = degree.number >= 1 && degree.number <= 14 && degree.alter >= -3 &&
                     degree.alter <= 3;
  return r->ago >= -WAY_WIRE_FAR && r->ago <= WAY_WIRE_FAR &&
         r->kind < WAY_WIRE_COUNT && r->pitch < 128 && r->channel < 16 &&
         r->role.role < WAY_ROLE_COUNT && r->role.interval < 12 &&
         (named || r->kind < WAY_WIRE_ROLE);
}

#endif
