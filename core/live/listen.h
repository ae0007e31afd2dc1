// The chord that held notes spell.
#ifndef WAY_LIVE_LISTEN_H
#define WAY_LIVE_LISTEN_H

#include "theory/harmony.h"

#endif
