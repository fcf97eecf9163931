/* The proof search.
 *
 * Attacking play is seen from the attacker, who is always White here: a position with a black
 * attacker is mirrored before it comes in. In help play White is the side that carries out the aim.
 *
 * "Wins" and "loses" are said of the attacker's aim: `wins(n)`, White to move, asks whether some move
 * forces it within n moves; `loses(n)`, Black to move, whether every reply still leaves White winning
 * when White has n moves to come. Once a search has ended early its answers mean nothing; callers
 * look at `ended` before they use one. */
#ifndef KEYPROOF_PROVE_H
#define KEYPROOF_PROVE_H

#include "attack.h"
#include "direct.h"
#include "helped.h"
#include "mates.h"
#include "memory.h"
#include "order.h"
#include "search.h"

/* --- moves and ends ------------------------------------------------------------------------- */

static bool black_can_mate(const Board *board) {
    Board seen = mirrored(board);
    return has_mate(&seen);
}

/* Black to move has no legal move: is the aim of an attack reached? */
static bool aim_reached(const Search *search, const Board *board) {
    if (search->genre == DIRECT) return in_check(board, BLACK);
    return search->genre == STALEMATE && !in_check(board, BLACK);
}

static bool white_is_mated(const Board *board) { return in_check(board, WHITE) && !count_white_moves(board); }

/* In reflexmate a side that can mate must: write the mates if there are any, else all moves. */
static size_t permitted_white_moves(const Search *search, const Board *board, Move *out) {
    if (search->genre == REFLEX) {
        size_t mates = all_mates(board, out);
        if (mates) return mates;
    }
    return white_moves(board, out);
}

static size_t permitted_black_moves(const Search *search, const Board *board, Move *out) {
    size_t number = black_moves(board, out), mates = 0;
    if (search->genre != REFLEX || !black_can_mate(board)) return number;
    for (size_t i = 0; i < number; i++) {
        Board next = after_black(board, out[i]);
        if (white_is_mated(&next)) out[mates++] = out[i];
    }
    return mates;
}

/* --- stalemate, selfmate, reflexmate -------------------------------------------------------- */

static bool other_loses(Search *search, const Board *board, int n);

static bool other_wins(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    if (count_position(search) || n == 0) return false;
    if (search->genre == REFLEX && has_mate(board)) return false;
    Move best = 0;
    const bool hashed = n >= 2;
    if (hashed) {
        const enum Known state = known(search, board, n, &best);
        if (state != UNKNOWN) return state == WON;
    }
    const size_t number = white_moves(board, moves);
    if (search->genre != STALEMATE) order_attack(board, moves, number, best);
    return any_wins(search, board, n, moves, number, hashed, other_loses);
}

static bool other_loses(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    if (count_position(search)) return false;
    const size_t number = black_moves(board, moves);
    if (!number) return aim_reached(search, board);
    if (search->genre == STALEMATE && n == 0) return false;
    if (search->genre == REFLEX && black_can_mate(board)) return true;
    if (search->genre == REFLEX && n == 0) return false;
    Move *holding = search->holding[n];
    size_t front = 0;
    to_front(moves, number, &front, holding[0]);
    for (size_t i = 0; i < number; i++) {
        const Board next = after_black(board, moves[i]);
        if (search->genre == SELF && white_is_mated(&next)) continue;
        if (n > 0 && other_wins(search, &next, n)) continue;
        holding[0] = moves[i];
        return false;
    }
    return true;
}

static bool wins(Search *search, const Board *board, int n) {
    return search->genre == DIRECT ? direct_wins(search, board, n) : other_wins(search, board, n);
}

static bool loses(Search *search, const Board *board, int n) {
    return search->genre == DIRECT ? direct_loses(search, board, n) : other_loses(search, board, n);
}

/* The reply has been made: is White, with n moves to come, still winning? */
static bool falls(Search *search, const Board *board, int n) {
    if ((search->genre == SELF || search->genre == REFLEX) && white_is_mated(board)) return true;
    return n > 0 && wins(search, board, n);
}

/* --- results -------------------------------------------------------------------------------- */

/* Black loses with n white moves to come: the least number for which that holds. */
static int least_to_come(Search *search, const Board *board, int n) {
    while (n > 0 && loses(search, board, n - 1)) n--;
    return n;
}

/* Record every white move that wins within n moves and its length. */
static void record_answers(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    const size_t place = record_later(search);
    uint16_t found = 0;
    if (search->genre == DIRECT && n == 1) {
        const size_t number = count_position(search) ? 0 : all_mates(board, moves);
        for (size_t i = 0; i < number; i++) record_answer(search, moves[i], 1);
        found = (uint16_t)number;
    } else if (n > 0 && !(search->genre == REFLEX && has_mate(board))) {
        const size_t number = white_moves(board, moves);
        for (size_t i = 0; i < number && !search->ended; i++) {
            const Board next = after_white(board, moves[i]);
            if (!loses(search, &next, n - 1)) continue;
            const int length = least_to_come(search, &next, n - 1) + 1;
            if (search->ended) break;
            record_answer(search, moves[i], length);
            found++;
        }
    }
    record_at(search, place, found);
}

/* Record every reply, whether it ends the play as wanted, and the answers to it. */
static void record_defences(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    const size_t number = permitted_black_moves(search, board, moves), place = record_later(search);
    uint16_t done = 0;
    for (size_t i = 0; i < number && !search->ended; i++) {
        const Board next = after_black(board, moves[i]);
        const size_t mark = search->results.length;
        const bool ends = (search->genre == SELF || search->genre == REFLEX) && white_is_mated(&next);
        record_move(search, moves[i]);
        record(search, ends);
        record_answers(search, &next, ends ? 0 : n);
        if (search->ended) search->results.length = mark;
        else done++;
    }
    record_at(search, place, done);
}

static Board passed(const Board *board) {
    Board next = *board;
    next.state = state_of((enum Side)!turn_of(board), castling_of(board), 0);
    return next;
}

/* Where a move stands when moves are sorted by their names, "b1c3" before "c1a3". */
static unsigned order_of(uint16_t word) {
    static const uint8_t by_letter[] = {0, 2, 1, 4, 3}; /* none, then n, b, r, q in the order of their letters */
    const Square from = word & 63, to = word >> 6 & 63;
    return (unsigned)((from & 7) << 3 | from >> 3) << 9 | (unsigned)((to & 7) << 3 | to >> 3) << 3 | by_letter[word >> 12 & 7];
}

/* Sort the moves recorded last by their names. */
static void sort_moves(Search *search, size_t number) {
    if (search->out_of_memory) return;
    uint16_t *words = search->results.words + search->results.length - number;
    for (size_t i = 1; i < number; i++) {
        const uint16_t word = words[i];
        size_t at = i;
        for (; at > 0 && order_of(words[at - 1]) > order_of(word); at--) words[at] = words[at - 1];
        words[at] = word;
    }
}

/* Record one first move that does not win: every reply that refutes it. One of them may be known, else 0. */
static void record_refutations(Search *search, const Board *board, int n, Move known) {
    Move moves[MOST_MOVES];
    const size_t number = permitted_black_moves(search, board, moves), state = record_later(search);
    const size_t place = record_later(search);
    uint16_t found = 0;
    record_at(search, state, number ? REFUTED : NO_REPLY);
    for (size_t i = 0; i < number; i++) {
        const Board next = after_black(board, moves[i]);
        if (moves[i] != known && falls(search, &next, n)) continue;
        if (search->ended) {
            record_at(search, state, UNFINISHED);
            break;
        }
        record_move(search, moves[i]);
        found++;
    }
    sort_moves(search, found);
    record_at(search, place, found);
}

/* Everything about a position with White to move: for each first move a state and a length or the
 * refutations; then for each key the play after it; then the set play. */
static void prove_attack(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    Move refutations[MOST_MOVES]; /* one of each */
    uint8_t states[MOST_MOVES], lengths[MOST_MOVES];
    const size_t number = permitted_white_moves(search, board, moves);
    /* Keys are found before refutations are listed, so that a search that ends early has the verdict first. */
    for (size_t i = 0; i < number; i++) {
        const Board next = after_white(board, moves[i]);
        const bool found = loses(search, &next, n - 1);
        states[i] = search->ended ? UNDECIDED : found ? KEY : REFUTED;
        refutations[i] = search->genre == DIRECT && n > 1 ? search->holding[n - 1][0] : 0;
        if (!found) continue;
        lengths[i] = (uint8_t)(least_to_come(search, &next, n - 1) + 1);
        if (search->ended) states[i] = UNDECIDED;
    }
    record(search, (uint16_t)number);
    for (size_t i = 0; i < number; i++) {
        const Board next = after_white(board, moves[i]);
        record_move(search, moves[i]);
        if (states[i] == REFUTED) {
            record_refutations(search, &next, n - 1, refutations[i]);
        } else {
            record(search, states[i]);
            if (states[i] == KEY) record(search, lengths[i]);
        }
    }
    for (size_t i = 0; i < number; i++) {
        if (states[i] != KEY) continue;
        const Board next = after_white(board, moves[i]);
        const bool may_pass = !in_check(&next, BLACK) && count_black_moves(&next);
        const Board pass = passed(&next);
        record(search, may_pass);
        record_answers(search, &pass, may_pass ? n - 1 : 0);
        record_defences(search, &next, n - 1);
        record(search, search->ended);
    }
    const bool set = !in_check(board, WHITE);
    const Board pass = passed(board);
    record(search, set && !search->ended);
    if (set && !search->ended) record_defences(search, &pass, n - 1);
}

/* White to move, mate sought: every move that wins within n moves with its length, shortest first. */
static void prove_lengths(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES];
    size_t number = white_moves(board, moves);
    for (int length = 1; length <= n && number && !search->ended; length++) {
        size_t kept = 0;
        for (size_t i = 0; i < number; i++) {
            const Board next = after_white(board, moves[i]);
            if (loses(search, &next, length - 1) && !search->ended) record_answer(search, moves[i], length);
            else moves[kept++] = moves[i];
        }
        number = kept;
    }
}

/* White to move: the least number of moves up to n that wins, else 0; and the number decided. */
static void prove_shortest(Search *search, const Board *board, int n) {
    int length = 1;
    while (length <= n && !wins(search, board, length) && !search->ended) length++;
    record(search, search->ended || length > n ? 0 : (uint16_t)length);
    record(search, (uint16_t)(search->ended ? length - 1 : length > n ? n : length));
}

/* --- help play ------------------------------------------------------------------------------ */

static bool help_aim_reached(const Search *search, const Board *board) {
    if (count_black_moves(board)) return false;
    return in_check(board, BLACK) == (search->genre == HELP_MATE);
}

/* Follow every line of exactly `plies` plies, White moving last; true if any reaches the aim. */
static bool help_lines(Search *search, const Board *board, int plies, int depth) {
    Move moves[MOST_MOVES];
    if (count_position(search)) return false;
    bool any = false;
    if (plies == 1) {
        const bool mate = search->genre == HELP_MATE;
        const size_t number = mate ? all_mates(board, moves) : white_moves(board, moves);
        for (size_t i = 0; i < number && !search->ended; i++) {
            if (!mate) {
                const Board next = after_white(board, moves[i]);
                if (!help_aim_reached(search, &next)) continue;
            }
            any = true;
            search->line[depth] = moves[i];
            record_line(search, depth + 1);
        }
        return any;
    }
    Helping helping = {~(Bits)0, ~(Bits)0};
    if (plies == 2 && search->genre == HELP_MATE) {
        helping = helping_moves(board);
        if (!helping.others && !helping.king) return false;
    }
    const Entry *entry = recall(&search->memory, board);
    if (entry && entry->refuted == plies) return false;
    const size_t number = plies % 2 ? white_moves(board, moves) : black_moves(board, moves);
    for (size_t i = 0; i < number && !search->ended; i++) {
        if (!((move_kind(moves[i]) == KING ? helping.king : helping.others) & bit(move_to(moves[i])))) continue;
        const Board next = plies % 2 ? after_white(board, moves[i]) : after_black(board, moves[i]);
        search->line[depth] = moves[i];
        any |= help_lines(search, &next, plies - 1, depth + 1);
    }
    if (!any && !search->ended) remember(&search->memory, board, 0, plies, 0);
    return any;
}

#endif
