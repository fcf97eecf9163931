/* The core for any processor. */
#define CORE portable_core
#define NAME "portable"
#include "core.inc"
