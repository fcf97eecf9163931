/* What a search remembers of positions it has met again and again.
 *
 * An entry holds the whole position, not a digest of it: no collision can falsify a proof. */
#ifndef KEYPROOF_MEMORY_H
#define KEYPROOF_MEMORY_H

#include <stdlib.h>

#include "board.h"

typedef struct {
    Board board;         /* without men: free */
    uint8_t proved;      /* attack: the aim is reached within this many moves; 0: not known */
    uint8_t refuted;     /* attack: not within this many; help play: not in exactly this many plies */
    Move best;           /* the move that proved it, or 0 */
} Entry;

typedef struct {
    Entry *entries;
    size_t size; /* a power of two, or 0 */
    size_t used;
} Memory;

#define LEAST_ENTRIES ((size_t)1 << 10)
#define MOST_ENTRIES ((size_t)1 << 21)
#define BUCKET 4

static inline bool same_position(const Board *one, const Board *other) {
    return ((one->white ^ other->white) | (one->plane[0] ^ other->plane[0]) | (one->plane[1] ^ other->plane[1]) |
            (one->plane[2] ^ other->plane[2]) | (one->state ^ other->state)) == 0;
}

static inline size_t place_of(const Board *board, size_t size) {
    Bits mixed = board->white * 0x9e3779b97f4a7c15u;
    mixed = (mixed ^ mixed >> 32 ^ board->plane[0]) * 0xd6e8feb86659fd93u;
    mixed = (mixed ^ mixed >> 32 ^ board->plane[1]) * 0x9e3779b97f4a7c15u;
    mixed = (mixed ^ mixed >> 32 ^ board->plane[2] ^ (Bits)board->state << 40) * 0xd6e8feb86659fd93u;
    return (size_t)(mixed >> 32) & (size - 1) & ~(size_t)(BUCKET - 1);
}

static inline bool is_free(const Entry *entry) { return entry->board.white == 0; }

static inline Entry *recall(const Memory *memory, const Board *board) {
    if (!memory->size) return NULL;
    Entry *bucket = memory->entries + place_of(board, memory->size);
    for (int i = 0; i < BUCKET; i++)
        if (same_position(&bucket[i].board, board)) return bucket + i;
    return NULL;
}

static inline int worth(const Entry *entry) {
    return entry->proved > entry->refuted ? entry->proved : entry->refuted;
}

/* The place for an entry: its own, a free one, or that of the least worth. */
static inline Entry *place_for(const Memory *memory, const Board *board) {
    Entry *bucket = memory->entries + place_of(board, memory->size), *least = bucket;
    for (int i = 0; i < BUCKET; i++) {
        if (is_free(bucket + i) || same_position(&bucket[i].board, board)) return bucket + i;
        if (worth(bucket + i) < worth(least)) least = bucket + i;
    }
    return least;
}

/* Grow fourfold once half full. Without memory for more, the search goes on with what it has. */
static inline void grow(Memory *memory) {
    size_t size = memory->size ? memory->size * 4 : LEAST_ENTRIES;
    Memory larger = {calloc(size, sizeof(Entry)), size, 0};
    if (!larger.entries) return;
    for (size_t i = 0; i < memory->size; i++) {
        if (is_free(memory->entries + i)) continue;
        Entry *place = place_for(&larger, &memory->entries[i].board);
        larger.used += is_free(place);
        *place = memory->entries[i];
    }
    free(memory->entries);
    *memory = larger;
}

static inline void remember(Memory *memory, const Board *board, int proved, int refuted, Move best) {
    if (memory->used * 2 >= memory->size && memory->size < MOST_ENTRIES) grow(memory);
    if (!memory->size) return;
    Entry *place = place_for(memory, board);
    memory->used += is_free(place);
    if (!same_position(&place->board, board)) *place = (Entry){.board = *board};
    if (proved && (!place->proved || proved < place->proved)) place->proved = (uint8_t)proved;
    if (refuted > place->refuted) place->refuted = (uint8_t)refuted;
    if (best) place->best = best;
}

#endif
