// Whole invented sessions in the test host, drawn from a seed.
#ifndef WAY_TESTS_SESSION_H
#define WAY_TESTS_SESSION_H

#include "host.h"

/// Frames of a session.
#define SESSION_LENGTH (48000 * 12)
/// The chart of all sessions.
#define SESSION_CHART                                                                  \
  "key: D major\ntempo: 96\n[A]\n| D | F#m>5 | G | A7 |\n"                             \
  "| Em A7 | D/F# | Bbmaj7 | % |\n"

/// Give the chart to a new host, draw settings, and queue what comes in: notes, chords,
/// controllers, long messages, and a transport that starts, loops, jumps and stops.
/// The host then stands at frame 0 with nothing recorded.
void session_prepare(Host* h, uint32_t seed);
/// Run a whole session in blocks of `block` frames; 0 for random blocks.
void session_run(Host* h, uint32_t seed, uint32_t block);
/// The first key that is still on, as channel * 128 + key; -1 if every note-on was
/// followed by a note-off.
int session_hanging(Host* h, const char* port);

#endif
