/* The kernel as compiled for one kind of processor. */
#ifndef KEYPROOF_CORE_H
#define KEYPROOF_CORE_H

#include "search.h"

typedef struct {
    const char *name;
    bool (*playable)(const Board *board); /* may the board be handed to the functions below? */
    uint64_t (*perft)(const Board *board, int depth);
    size_t (*moves)(const Board *board, Move *out);
    bool (*check)(const Board *board); /* is the side to move in check? */
    Bits (*attacks)(enum Kind kind, Square square, Bits occupied);
    void (*run)(Search *search, const Board *board, enum Task task, int n);
} Core;

extern const Core portable_core;
extern const Core extracting_core; /* needs the POPCNT, BMI1 and BMI2 instructions */

#endif
