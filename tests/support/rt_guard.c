// System calls are trapped by the kernel's user dispatch: while a byte of ours says so,
// each of them becomes a signal.  Linux, admin-guide/syscall-user-dispatch.
#define _GNU_SOURCE // RTLD_NEXT, REG_RAX
#include "rt_guard.h"

#include <dlfcn.h>
#include <errno.h>
#include <pthread.h>
#include <signal.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) ||             \
    __has_feature(memory_sanitizer)
#define SANITIZED 1
#endif
#endif

#if defined(__GLIBC__) && !defined(SANITIZED)

#ifndef PR_SET_SYSCALL_USER_DISPATCH
#define PR_SET_SYSCALL_USER_DISPATCH 59
#define PR_SYS_DISPATCH_ON 1
#endif

static _Thread_local bool armed;
static _Thread_local unsigned caught;
static _Thread_local const char* first = "";
static _Thread_local volatile char selector; ///< 0 lets system calls through, 1 traps

static void catch (const char* what) {
  if (!armed) return;
  if (!caught++) first = what;
}

void* __libc_malloc(size_t size);
void* __libc_calloc(size_t n, size_t size);
void* __libc_realloc(void* p, size_t size);
void __libc_free(void* p);

void* malloc(size_t size) {
  catch ("malloc");
  return __libc_malloc(size);
}

void* calloc(size_t n, size_t size) {
  catch ("calloc");
  return __libc_calloc(n, size);
}

void* realloc(void* p, size_t size) {
  catch ("realloc");
  return __libc_realloc(p, size);
}

void free(void* p) {
  catch ("free");
  __libc_free(p);
}

int pthread_mutex_lock(pthread_mutex_t* mutex) {
  static int (*real)(pthread_mutex_t*);
  catch ("pthread_mutex_lock");
  if (!real) {
    void* const found = dlsym(RTLD_NEXT, "pthread_mutex_lock");
    memcpy(&real, &found, sizeof(real));
  }
  return real(mutex);
}

static void on_system_call(int signal, siginfo_t* info, void* context) {
  (void)signal;
  (void)info;
  selector = 0; // or returning from here would be caught as well
  catch ("a system call");
#if defined(__x86_64__)
  ((ucontext_t*)context)->uc_mcontext.gregs[REG_RAX] = -ENOSYS;
#else
  (void)context;
#endif
}

bool rt_guard_works(void) {
  // Under valgrind these functions are replaced.
  const char* const preload = getenv("LD_PRELOAD");
  return !preload || !strstr(preload, "vgpreload");
}

bool rt_guard_traps_system(void) {
#ifdef __x86_64__
  static _Thread_local int state; // 0 not tried, 1 works, -1 does not
  if (!state)
    state = rt_guard_works() && !prctl(PR_SET_SYSCALL_USER_DISPATCH, PR_SYS_DISPATCH_ON,
                                       0L, 0L, &selector)
                ? 1
                : -1;
  return state > 0;
#else
  return false;
#endif
}

void rt_guard_arm(void) {
  const bool system = rt_guard_traps_system();
  if (system) { // each time: cmocka takes this signal for itself in every test
    struct sigaction action;
    memset(&action, 0, sizeof(action));
    action.sa_sigaction = on_system_call;
    action.sa_flags = SA_SIGINFO;
    sigaction(SIGSYS, &action, NULL);
  }
  armed = true;
  selector = system;
}

void rt_guard_disarm(void) {
  selector = 0;
  armed = false;
}

unsigned rt_guard_caught(void) { return caught; }

const char* rt_guard_first(void) { return first; }

void rt_guard_clear(void) {
  caught = 0;
  first = "";
}

#else

bool rt_guard_works(void) { return false; }
bool rt_guard_traps_system(void) { return false; }
void rt_guard_arm(void) {}
void rt_guard_disarm(void) {}
unsigned rt_guard_caught(void) { return 0; }
const char* rt_guard_first(void) { return ""; }
void rt_guard_clear(void) {}

#endif
