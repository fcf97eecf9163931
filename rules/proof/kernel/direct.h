/* The search of direct mates.
 *
 * To show that a white move does not mate in time takes one reply, and after it every white move must be shown
 * to fail in turn. What that costs grows with the moves that the reply leaves to White, to the power of the moves
 * to come; and mostly many replies would do. So the one is tried first that leaves White fewest moves: above all
 * a check. */
#ifndef KEYPROOF_DIRECT_H
#define KEYPROOF_DIRECT_H

#include "attack.h"
#include "order.h"

static bool direct_loses(Search *search, const Board *board, int n);

static bool direct_wins(Search *search, const Board *board, int n) {
    if (count_position(search)) return false;
    if (n == 1) return has_mate(board);
    Move best = 0;
    const bool hashed = n >= search->remembered;
    if (hashed) {
        const enum Known state = known(search, board, n, &best);
        if (state != UNKNOWN) return state == WON;
    }
    if (n >= 4 && direct_wins(search, board, n - 1)) return true; /* short mates are cheap to find */
    Move moves[MOST_MOVES];
    const size_t number = white_moves(board, moves);
    order_attack(board, moves, number, best);
    return any_wins(search, board, n, moves, number, hashed, direct_loses);
}

static inline bool note_holding(Move *holding, Move move) {
    if (holding[0] != move) {
        holding[1] = holding[0];
        holding[0] = move;
    }
    return true;
}

/* Does one of the two replies that held lately hold here? With more than one move to come only those are tried
 * that leave White few. `failed` are those that were tried in vain. */
static bool holds_again(Search *search, const Board *board, int n, Move *failed) {
    Move *holding = search->holding[n];
    const Move tried[2] = {holding[0], holding[1]};
    for (int i = 0; i < 2; i++) {
        Board next;
        if (!tried[i] || !black_may_repeat(board, tried[i], &next)) continue;
        if (n >= 2 && count_white_moves(&next) > (n == 2 ? 10 : 5)) continue;
        if (!direct_wins(search, &next, n)) return note_holding(holding, tried[i]);
        failed[i] = tried[i];
    }
    return false;
}

/* Does any of these replies hold? Before the last move, where finding out costs no more than a count of moves. */
static bool any_holds(Search *search, const Board *board, int n, const Move *moves, size_t number) {
    for (size_t i = 0; i < number; i++) {
        const Board next = after_black(board, moves[i]);
        if (!direct_wins(search, &next, n)) return note_holding(search->holding[n], moves[i]);
    }
    return false;
}

/* The same in the order of the moves left to White, but for one that is remembered to hold. */
static bool narrow_holds(Search *search, const Board *board, int n, Move *moves, size_t number) {
    uint16_t left[MOST_MOVES];
    for (size_t i = 0; i < number; i++) {
        const Board next = after_black(board, moves[i]);
        const Entry *entry = recall(&search->memory, &next);
        if (entry && entry->refuted >= n) return note_holding(search->holding[n], moves[i]);
        left[i] = (uint16_t)count_white_moves(&next);
    }
    for (size_t i = 0; i < number; i++) {
        const Move move = take_least(moves, left, i, number);
        const Board next = after_black(board, move);
        if (!direct_wins(search, &next, n)) return note_holding(search->holding[n], move);
    }
    return false;
}

static bool direct_loses(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES], failed[2] = {0, 0};
    if (count_position(search)) return false;
    if (n == 0) return in_check(board, BLACK) && !count_black_moves(board);
    if (holds_again(search, board, n, failed)) return false; /* before the others are looked for */
    const size_t number = black_moves(board, moves);
    if (!number) return in_check(board, BLACK);
    size_t rest = 0;
    for (size_t i = 0; i < number; i++)
        if (moves[i] != failed[0] && moves[i] != failed[1]) moves[rest++] = moves[i];
    if (n == 1) return !any_holds(search, board, n, moves, rest);
    const size_t checks = checks_to_front(board, moves, rest);
    return !narrow_holds(search, board, n, moves, checks) && !narrow_holds(search, board, n, moves + checks, rest - checks);
}

#endif
