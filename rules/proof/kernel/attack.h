/* White's half of a search: what is remembered of a position, and whether one of the moves wins.
 *
 * What must hold after a move differs by the genre and is handed in as a function. It is one that the compiler
 * knows, and all here is inlined: no call through a pointer is left. */
#ifndef KEYPROOF_ATTACK_H
#define KEYPROOF_ATTACK_H

#include "memory.h"
#include "movegen.h"
#include "search.h"

enum Known { UNKNOWN, WON, NOT_WON };

/* Black to move, White with n moves to come: does every reply still leave White winning? */
typedef bool Loses(Search *search, const Board *board, int n);

/* What is remembered of whether White wins within n moves; and the move that did, if any is. */
static inline enum Known known(const Search *search, const Board *board, int n, Move *best) {
    const Entry *entry = recall(&search->memory, board);
    if (!entry) return UNKNOWN;
    *best = entry->best;
    return entry->proved && entry->proved <= n ? WON : entry->refuted >= n ? NOT_WON : UNKNOWN;
}

/* Does one of these moves, all there are, win within n moves? `hashed`: the answer is remembered. */
static inline bool any_wins(Search *search, const Board *board, int n, const Move *moves, size_t number, bool hashed,
                            Loses *after) {
    for (size_t i = 0; i < number; i++) {
        const Board next = after_white(board, moves[i]);
        const bool found = after(search, &next, n - 1);
        if (search->ended) return false;
        if (found) {
            if (hashed) remember(&search->memory, board, n, 0, moves[i]);
            return true;
        }
    }
    if (hashed) remember(&search->memory, board, 0, n, 0);
    return false;
}

#endif
