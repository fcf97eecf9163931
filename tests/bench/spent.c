/* Where the positions of a proof go: built and run by spent.py.
 *
 * Reads lines of a position as module.c takes it, the moves asked for and the most positions; prints for each the
 * positions looked at in all, the nanoseconds, whether the search ended early; of the positions: those of keys while
 * keys were sought, of other first moves while keys were sought, of the lists of refutations; then mates in one
 * sought, positions asked of the hash, and answers it gave. */
#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "mates.h"
#include "memory.h"

static uint64_t mates_sought, asked, known;

static bool count_mate(const Board *board) {
    mates_sought++;
    return has_mate(board);
}

static Entry *count_recall(const Memory *memory, const Board *board) {
    Entry *entry = recall(memory, board);
    asked += memory->size != 0;
    known += entry != NULL;
    return entry;
}

#define has_mate count_mate
#define recall count_recall
#define CORE counted_core
#define NAME "counted"
#include "core.inc"

typedef struct {
    uint64_t keys, others, refutations;
} Spent;

/* What `prove_attack` does before it follows the play after the keys. */
static Spent spend(Search *search, const Board *board, int n) {
    Move moves[MOST_MOVES], known_to_hold[MOST_MOVES];
    bool key[MOST_MOVES];
    Spent spent = {0, 0, 0};
    const size_t number = white_moves(board, moves);
    for (size_t i = 0; i < number; i++) {
        const Board next = after_white(board, moves[i]);
        const uint64_t before = search->positions;
        key[i] = loses(search, &next, n - 1);
        known_to_hold[i] = n > 1 ? search->holding[n - 1][0] : 0;
        if (key[i]) least_to_come(search, &next, n - 1);
        *(key[i] ? &spent.keys : &spent.others) += search->positions - before;
    }
    const uint64_t before = search->positions;
    for (size_t i = 0; i < number; i++) {
        const Board next = after_white(board, moves[i]);
        if (!key[i]) record_refutations(search, &next, n - 1, known_to_hold[i]);
    }
    spent.refutations = search->positions - before;
    return spent;
}

static Search *fresh(uint64_t most) {
    Search *search = calloc(1, sizeof *search);
    if (!search) exit(1);
    search->most_positions = most;
    search->most_seconds = 1e9;
    return search;
}

static void forget(Search *search) {
    free(search->results.words);
    free(search);
}

static bool read_board(Board *board) {
    uint64_t set[8];
    int turn, castling, passed;
    memset(board, 0, sizeof *board);
    for (int i = 0; i < 8; i++)
        if (scanf("%" SCNu64, set + i) != 1) return false;
    if (scanf("%d %d %d", &turn, &castling, &passed) != 3) return false;
    for (int kind = PAWN; kind <= KING; kind++)
        for (int i = 0; i < 3; i++)
            if ((kind + 1) >> i & 1) board->plane[i] |= set[kind];
    board->white = set[6];
    board->state = state_of((enum Side)turn, (uint32_t)castling, passed);
    return true;
}

int main(void) {
    Board board;
    int n;
    uint64_t most;
    fill_tables(false);
    while (read_board(&board) && scanf("%d %" SCNu64, &n, &most) == 2) {
        struct timespec began, ended;
        Search *whole = fresh(most), *part = fresh(most);
        mates_sought = asked = known = 0;
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &began);
        core_run(whole, &board, PROVE, n);
        clock_gettime(CLOCK_THREAD_CPUTIME_ID, &ended);
        const uint64_t counted[3] = {mates_sought, asked, known};
        const Board turned = turn_of(&board) == BLACK ? mirrored(&board) : board;
        part->remembered = whole->remembered;
        part->began = now();
        const Spent spent = spend(part, &turned, n);
        free(part->memory.entries);
        printf("%" PRIu64 " %.0f %d %" PRIu64 " %" PRIu64 " %" PRIu64 " %" PRIu64 " %" PRIu64 " %" PRIu64 "\n", whole->positions,
               (double)(ended.tv_sec - began.tv_sec) * 1e9 + (double)(ended.tv_nsec - began.tv_nsec), whole->ended, spent.keys,
               spent.others, spent.refutations, counted[0], counted[1], counted[2]);
        fflush(stdout);
        forget(whole);
        forget(part);
    }
    return 0;
}
