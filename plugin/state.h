// The chart and the look in a session: saved as text, so that a session needs no other
// file.
#ifndef WAY_PLUGIN_STATE_H
#define WAY_PLUGIN_STATE_H

#include "chart_job.h"
#include "look.h"
#include "urids.h"

#include <lv2/state/state.h>

/// Of the state written; a higher one found is left alone.
#define WAY_STATE_VERSION 1

/// LV2_State_Interface.save; may run beside run().
LV2_State_Status way_state_save(WayDesk* desk, const WayLook* look,
                                const WayUrids* urids, LV2_State_Store_Function store,
                                LV2_State_Handle handle,
                                const LV2_Feature* const* features);
/// LV2_State_Interface.restore; may run beside run().  What cannot be read leaves the
/// chart in use, and is logged.
LV2_State_Status way_state_restore(WayDesk* desk, WayLook* look, const WayUrids* urids,
                                   LV2_State_Retrieve_Function retrieve,
                                   LV2_State_Handle handle,
                                   const LV2_Feature* const* features);

#endif
