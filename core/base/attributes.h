// Markers used in public headers.
#ifndef WAY_BASE_ATTRIBUTES_H
#define WAY_BASE_ATTRIBUTES_H

/**
   On a prototype: safe to call in an audio callback.

   Such a function allocates nothing, locks nothing, calls no system and runs in a
   time bounded by its arguments.  Compilers that can check this are told.
*/
#if defined(__clang__) && __clang_major__ >= 20
#define WAY_RT __attribute__((nonblocking))
#else
#define WAY_RT
#endif

/// Keeps what is rare out of the way of what is not.
#if defined(__GNUC__)
#define WAY_NOINLINE __attribute__((noinline))
#else
#define WAY_NOINLINE
#endif

/// A function that its callers take in, however large it is.
#if defined(__GNUC__)
#define WAY_INLINE static inline __attribute__((always_inline))
#else
#define WAY_INLINE static inline
#endif

/// Before a loop of few and known rounds: write them out one by one.
#if defined(__clang__)
#define WAY_UNROLL _Pragma("unroll")
#elif defined(__GNUC__)
#define WAY_UNROLL _Pragma("GCC unroll 16")
#else
#define WAY_UNROLL
#endif

/// Number of elements of an array (not of a pointer).
#define WAY_COUNT(array) (sizeof(array) / sizeof((array)[0]))

#endif
