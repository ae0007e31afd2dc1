// Which sounding note each held key stands for.
#ifndef WAY_LIVE_LEDGER_H
#define WAY_LIVE_LEDGER_H

#include "base/attributes.h"

#include <stdbool.h>
#include <stdint.h>

/// In place of a pitch: nothing is sounding.
#define WAY_UNHELD 255u

#endif
