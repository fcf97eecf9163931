/* The state of one search: its question, its limits, what it remembers and what it has found. */
#ifndef KEYPROOF_SEARCH_H
#define KEYPROOF_SEARCH_H

#include <time.h>

#include "board.h"
#include "memory.h"

#define MOST_LENGTH 50 /* moves; twice as many plies and one are the deepest line */

enum Genre { DIRECT, STALEMATE, SELF, REFLEX, HELP_MATE, HELP_STALEMATE };
enum Task { PROVE, LENGTHS, REPLIES, SHORTEST, LINES };
enum State { UNDECIDED, KEY, REFUTED, UNFINISHED, NO_REPLY }; /* of a first move, as recorded */

typedef struct {
    uint16_t *words;
    size_t length, room;
} Results;

typedef struct {
    enum Genre genre;
    bool mirrored; /* the board inside is upside down, colours exchanged */
    int remembered; /* least number of moves to come at which positions are remembered */

    uint64_t positions, most_positions, next_look;
    double began, most_seconds;
    const volatile unsigned char *cancel; /* set to non-zero from outside to end the search; may be NULL */
    size_t most_lines;
    bool ended;         /* before the question was answered */
    bool out_of_memory; /* for the results */

    Memory memory;
    Move holding[MOST_LENGTH + 1][2]; /* replies that refuted lately, by moves to come */
    Move line[2 * MOST_LENGTH + 2];
    size_t lines;
    Results results;
} Search;

/* Seconds since some moment; the clock is one that nobody sets, where there is one. */
static inline double now(void) {
    struct timespec time;
#if defined(CLOCK_MONOTONIC)
    clock_gettime(CLOCK_MONOTONIC, &time);
#else
    timespec_get(&time, TIME_UTC);
#endif
    return (double)time.tv_sec + (double)time.tv_nsec * 1e-9;
}

/* --- limits --------------------------------------------------------------------------------- */

#define LOOK_EVERY 4096 /* positions; well under a millisecond apart */

static inline bool look_around(Search *search) {
    if (search->positions > search->most_positions || (search->cancel && *search->cancel) ||
        now() - search->began > search->most_seconds)
        search->ended = true;
    const uint64_t left = search->most_positions - search->positions;
    search->next_look = search->positions + (left < LOOK_EVERY ? left : LOOK_EVERY);
    return search->ended;
}

/* Count a position; true if the search has ended. */
static inline bool count_position(Search *search) {
    if (search->ended) return true;
    return ++search->positions > search->next_look && look_around(search);
}

/* --- results: a sequence of 16-bit words ------------------------------------------------------ */

static inline void record(Search *search, uint16_t word) {
    Results *results = &search->results;
    if (results->length == results->room) {
        const size_t room = results->room ? results->room * 2 : 256;
        uint16_t *words = realloc(results->words, room * sizeof *words);
        if (!words) {
            search->ended = search->out_of_memory = true;
            return;
        }
        results->words = words;
        results->room = room;
    }
    results->words[results->length++] = word;
}

/* Leave a word to be filled in by `record_at`. */
static inline size_t record_later(Search *search) {
    record(search, 0);
    return search->results.length - 1;
}

static inline void record_at(Search *search, size_t place, uint16_t word) {
    if (!search->out_of_memory) search->results.words[place] = word;
}

static inline void record_move(Search *search, Move move) {
    const Move turned = search->mirrored ? 56 | 56 << 6 : 0;
    record(search, (uint16_t)((move & MOVE_NAME) ^ turned));
}

static inline void record_answer(Search *search, Move move, int length) {
    record_move(search, move);
    record(search, (uint16_t)length);
}

static inline void record_line(Search *search, int plies) {
    if (search->lines == search->most_lines) {
        search->ended = true;
        return;
    }
    search->lines++;
    for (int i = 0; i < plies; i++) record_move(search, search->line[i]);
}

#endif
