// Patch messages: what hosts and screens set and ask about the chart, and how the
// window looks.
#ifndef WAY_PLUGIN_MESSAGES_H
#define WAY_PLUGIN_MESSAGES_H

#include "chart_job.h"
#include "look.h"
#include "midi_io.h"

#include <lv2/atom/forge.h>

/// What is needed to answer.
typedef struct {
  const WayUrids* urids;
  WayDesk* desk;
  WayLook* look;
  unsigned look_turn; ///< Of the look when it was told or set here last
  LV2_Atom_Forge forge;
  bool screen_asked; ///< Somebody asked for #WAY_SCREEN_URI; whoever obeys clears it
} WayMessages;

/// Get ready.  Not real-time safe.
void way_messages_init(WayMessages* m, const WayUrids* urids, WayDesk* desk,
                       WayLook* look, LV2_URID_Map* map);
/**
   Obey a patch:Get, patch:Set or patch:Put; other objects are left alone.

   @param object Its size has been checked against its sequence.
   @param w      Takes the answers, at `frame`.
   @par Real-time safe.
*/
void way_messages_take(WayMessages* m, const LV2_Atom_Object* object, WayEventWriter* w,
                       int64_t frame);
/// Tell of a new chart or message.  @par Real-time safe.
void way_messages_tell(WayMessages* m, WayEventWriter* w, int64_t frame);

#endif
