/* The core for x86-64 processors that count and extract bits in hardware. Without a compiler that can
 * aim a single file at them it is not built, and the portable core serves. */
#if defined(__GNUC__) && defined(__x86_64__)
#if defined(__clang__)
#pragma clang attribute push(__attribute__((target("popcnt,bmi,bmi2"))), apply_to = function)
#else
#pragma GCC target("popcnt,bmi,bmi2")
#endif
#define EXTRACT_BITS
#define CORE extracting_core
#define NAME "extracting"
#include "core.inc"
#if defined(__clang__)
#pragma clang attribute pop
#endif
#else
#include "core.h"
const Core extracting_core = {0};
#endif
