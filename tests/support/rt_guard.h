// A trap for what a real-time thread must not do: memory calls, locks, system calls.
#ifndef WAY_TESTS_RT_GUARD_H
#define WAY_TESTS_RT_GUARD_H

#include <stdbool.h>

/// Whether the trap works in this program: not beside sanitizers, which replace the
/// same functions, nor under valgrind.
bool rt_guard_works(void);
/// Whether system calls are trapped too: the kernel must know how (Linux 5.11).
bool rt_guard_traps_system(void);
/// Arm the trap for this thread.
void rt_guard_arm(void);
/// Disarm it.
void rt_guard_disarm(void);
/// How often this thread was caught since rt_guard_clear().
unsigned rt_guard_caught(void);
/// What it was caught at first, or "".
const char* rt_guard_first(void);
/// Forget what was caught.
void rt_guard_clear(void);

#endif
