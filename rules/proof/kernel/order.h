/* The order in which moves are tried. It decides what a search costs, never what it says. */
#ifndef KEYPROOF_ORDER_H
#define KEYPROOF_ORDER_H

#include "mates.h"

static inline void to_front(Move *moves, size_t number, size_t *front, Move wanted) {
    for (size_t i = *front; i < number; i++) {
        if (moves[i] != wanted) continue;
        moves[i] = moves[*front];
        moves[(*front)++] = wanted;
        return;
    }
}

/* The move that was best before, then checks, then the rest. The checks counted are those given by the
 * moved man or by leaving a battery; the few others only come later. */
static void order_attack(const Board *board, Move *moves, size_t number, Move best) {
    Assault a;
    size_t front = 0;
    a.board = board;
    a.white = men_of(board, WHITE);
    a.black = men_of(board, BLACK);
    a.king = first_of(kings_of(board) & a.black);
    a.occupied = a.white | a.black;
    find_batteries(&a);
    const Bits occupied = a.occupied;
    Bits checks[6] = {tables.pawn[BLACK][a.king], tables.knight[a.king], bishop_attacks(a.king, occupied),
                      rook_attacks(a.king, occupied), 0, 0};
    checks[QUEEN] = checks[BISHOP] | checks[ROOK];
    if (best) to_front(moves, number, &front, best);
    for (size_t i = front; i < number; i++) {
        const Move move = moves[i];
        const enum Kind kind = move_promoted(move) ? move_promoted(move) : move_kind(move);
        const bool direct = checks[kind] & bit(move_to(move));
        const bool opens = a.batteries & bit(move_from(move)) && !(tables.line[a.king][move_from(move)] & bit(move_to(move)));
        if (!direct && !opens) continue;
        moves[i] = moves[front];
        moves[front++] = move;
    }
}

/* Replies that give check before the others; return their number. */
static size_t checks_to_front(const Board *board, Move *moves, size_t number) {
    size_t front = 0;
    for (size_t i = 0; i < number; i++) {
        const Move move = moves[i];
        const Board next = after_black(board, move);
        if (!in_check(&next, WHITE)) continue;
        moves[i] = moves[front];
        moves[front++] = move;
    }
    return front;
}

/* Take the move with the least number out of a list, filling its place with the first. */
static inline Move take_least(Move *moves, uint16_t *numbers, size_t from, size_t to) {
    size_t least = from;
    for (size_t i = from + 1; i < to; i++)
        if (numbers[i] < numbers[least]) least = i;
    const Move move = moves[least];
    moves[least] = moves[from];
    numbers[least] = numbers[from];
    return move;
}

#endif
