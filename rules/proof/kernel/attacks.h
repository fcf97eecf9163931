/* Attack sets. The tables are filled once, when the module is loaded, and only read after that. */
#ifndef KEYPROOF_ATTACKS_H
#define KEYPROOF_ATTACKS_H

#include "board.h"

typedef struct {
    Bits knight[64];
    Bits king[64];
    Bits pawn[2][64];         /* squares a pawn of this side attacks */
    Bits between[64][64];     /* squares strictly between two on one line, else empty */
    Bits reach[6][64];        /* squares a man of this kind attacks on an empty board; none for pawns */
    Bits line[64][64];        /* the whole line through two squares, else empty */
    Bits file[64];            /* the lines through a square without the square itself */
    Bits diagonal[64];        /* a1-h8 direction */
    Bits antidiagonal[64];    /* a8-h1 direction */
    uint8_t rank[8][64];      /* squares of a rank attacked from a file, by the men on files b to g */
    Bits rook_blockers[64];   /* squares whose men matter to a rook, board edges left out */
    Bits bishop_blockers[64];
    uint32_t rook_start[64];  /* first entry of a square in `extracted` */
    uint32_t bishop_start[64];
    uint8_t castling_kept[64]; /* rights left after a move from or to a square */
} Tables;

/* 102,400 sets for rooks and 5,248 for bishops, indexed by the extracted blockers. */
#define EXTRACTED_SETS (102400 + 5248)

extern Tables tables;
extern Bits extracted[EXTRACTED_SETS];

void fill_tables(bool with_extracted);

/* The slow walker: step by step until the edge or a man. Kept for filling the tables and testing them. */
Bits walk_rook(Square square, Bits occupied);
Bits walk_bishop(Square square, Bits occupied);

#ifdef EXTRACT_BITS /* hardware bit extraction */

#include <immintrin.h>

static inline Bits rook_attacks(Square square, Bits occupied) {
    return extracted[tables.rook_start[square] + _pext_u64(occupied, tables.rook_blockers[square])];
}
static inline Bits bishop_attacks(Square square, Bits occupied) {
    return extracted[tables.bishop_start[square] + _pext_u64(occupied, tables.bishop_blockers[square])];
}

#else /* o^(o-2r), "hyperbola quintessence": subtracting a slider from its line flips the squares up to the first man */

static inline Bits on_line(Square square, Bits occupied, Bits line) {
    Bits forward = occupied & line;
    Bits backward = swap_ranks(forward);
    forward -= bit(square);
    backward -= bit(square ^ 56);
    return (forward ^ swap_ranks(backward)) & line;
}
static inline Bits rook_attacks(Square square, Bits occupied) {
    int shift = square & 56;
    Bits rank = (Bits)tables.rank[square & 7][occupied >> shift >> 1 & 63] << shift;
    return rank | on_line(square, occupied, tables.file[square]);
}
static inline Bits bishop_attacks(Square square, Bits occupied) {
    return on_line(square, occupied, tables.diagonal[square]) | on_line(square, occupied, tables.antidiagonal[square]);
}

#endif

/* What a man that is no pawn attacks from a square. */
ALWAYS_INLINE Bits attacks_of(enum Kind kind, Square square, Bits occupied) {
    switch (kind) {
        case KNIGHT: return tables.knight[square];
        case BISHOP: return bishop_attacks(square, occupied);
        case ROOK: return rook_attacks(square, occupied);
        case QUEEN: return bishop_attacks(square, occupied) | rook_attacks(square, occupied);
        default: return tables.king[square];
    }
}

/* What the pawns of one side attack together. */
ALWAYS_INLINE Bits pawn_attacks(Bits pawns, const int side) {
    if (side == WHITE) return (pawns & ~FILE_A) << 7 | (pawns & ~FILE_H) << 9;
    return (pawns & ~FILE_A) >> 9 | (pawns & ~FILE_H) >> 7;
}

#endif
