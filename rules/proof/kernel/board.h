/* The board: four sets of squares, and moves as small integers.
 *
 * Squares are numbered a1 = 0, b1 = 1 ... h8 = 63. A board is a plain value, copied before each
 * move. Nothing in this folder except module.c knows of Python. */
#ifndef KEYPROOF_BOARD_H
#define KEYPROOF_BOARD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef uint64_t Bits; /* a set of squares */
typedef int Square;

enum Side { WHITE, BLACK };
enum Kind { PAWN, KNIGHT, BISHOP, ROOK, QUEEN, KING };
enum Right { WHITE_SHORT = 1, WHITE_LONG = 2, BLACK_SHORT = 4, BLACK_LONG = 8 };

/* The kind of man on a square, plus one, is a number of three bits, one in each plane: pawn 001, knight
 * 010, bishop 011, rook 100, queen 101, king 110. A move then changes all planes alike, without asking
 * what it captures, and the sets of one kind or of like kinds cost an operation or two. */
typedef struct {
    Bits white;
    Bits plane[3];
    uint32_t state; /* side to move, castling rights and en passant square, see below */
} Board;

static inline enum Side turn_of(const Board *board) { return (enum Side)(board->state & 1); }
static inline uint32_t castling_of(const Board *board) { return board->state >> 1 & 15; }
/* The square passed over; 0 unless a pawn of the side to move stands ready to capture there. */
static inline Square en_passant_of(const Board *board) { return board->state >> 8 & 63; }
static inline uint32_t state_of(enum Side turn, uint32_t castling, Square en_passant) {
    return (uint32_t)turn | castling << 1 | (uint32_t)en_passant << 8;
}

static inline Bits occupied_of(const Board *board) { return board->plane[0] | board->plane[1] | board->plane[2]; }
static inline Bits men_of(const Board *board, const int side) {
    return side == WHITE ? board->white : occupied_of(board) & ~board->white;
}
static inline Bits pawns_of(const Board *board) { return board->plane[0] & ~(board->plane[1] | board->plane[2]); }
static inline Bits knights_of(const Board *board) { return board->plane[1] & ~(board->plane[0] | board->plane[2]); }
static inline Bits bishops_of(const Board *board) { return board->plane[0] & board->plane[1]; }
static inline Bits rooks_of(const Board *board) { return board->plane[2] & ~(board->plane[0] | board->plane[1]); }
static inline Bits queens_of(const Board *board) { return board->plane[0] & board->plane[2]; }
static inline Bits kings_of(const Board *board) { return board->plane[1] & board->plane[2]; }
static inline Bits diagonals_of(const Board *board) { return board->plane[0] & (board->plane[1] | board->plane[2]); }
static inline Bits straights_of(const Board *board) { return board->plane[2] & ~board->plane[1]; }

/* A move: origin 0-5, target 6-11, promoted kind 12-14 (0: none), moving kind 15-17, special 18-19.
 * The lower 15 bits identify it among the legal moves of a position. */
typedef uint32_t Move;

enum Special { ORDINARY, DOUBLE_STEP, EN_PASSANT, CASTLING };

#define MOVE_NAME 0x7fff

/* Every move arrives on its square along one of eight directions as the nearest man, or by one of
 * eight knight's leaps: 16 for each of 64 squares at most, three more for each of the three ways to
 * promote on each of eight files, and castling. No position, however odd, has more. */
#define MOST_MOVES (64 * 16 + 8 * 3 * 3 + 2)

static inline Move move_of(Square from, Square to, enum Kind kind, enum Kind promoted, enum Special special) {
    return (Move)from | (Move)to << 6 | (Move)promoted << 12 | (Move)kind << 15 | (Move)special << 18;
}
static inline Square move_from(Move move) { return move & 63; }
static inline Square move_to(Move move) { return move >> 6 & 63; }
static inline enum Kind move_promoted(Move move) { return (enum Kind)(move >> 12 & 7); }
static inline enum Kind move_kind(Move move) { return (enum Kind)(move >> 15 & 7); }
static inline enum Special move_special(Move move) { return (enum Special)(move >> 18 & 3); }

static inline Bits bit(Square square) { return (Bits)1 << square; }

#if defined(__GNUC__)
static inline Square first_of(Bits set) { return __builtin_ctzll(set); }
static inline int count_of(Bits set) { return __builtin_popcountll(set); }
static inline Bits swap_ranks(Bits set) { return __builtin_bswap64(set); }
#define ALWAYS_INLINE static inline __attribute__((always_inline))
#else
static inline int count_of(Bits set) {
    set -= set >> 1 & 0x5555555555555555u;
    set = (set & 0x3333333333333333u) + (set >> 2 & 0x3333333333333333u);
    set = (set + (set >> 4)) & 0x0f0f0f0f0f0f0f0fu;
    return (int)(set * 0x0101010101010101u >> 56);
}
static inline Square first_of(Bits set) { return count_of((set & (~set + 1)) - 1); }
static inline Bits swap_ranks(Bits set) {
    set = (set >> 8 & 0x00ff00ff00ff00ffu) | (set & 0x00ff00ff00ff00ffu) << 8;
    set = (set >> 16 & 0x0000ffff0000ffffu) | (set & 0x0000ffff0000ffffu) << 16;
    return set >> 32 | set << 32;
}
#define ALWAYS_INLINE static inline
#endif

static inline bool several(Bits set) { return (set & (set - 1)) != 0; }

/* Loop over the squares of a set. */
#define EACH(square, set) \
    for (Bits rest_##square = (set), once_##square = 1; once_##square; once_##square = 0) \
        for (Square square; rest_##square && (square = first_of(rest_##square), 1); rest_##square &= rest_##square - 1)

#define FILE_A 0x0101010101010101u
#define FILE_H 0x8080808080808080u
#define RANK(n) ((Bits)0xff << 8 * ((n) - 1))

/* The same position seen from the other side of the board, colours exchanged. */
static inline Board mirrored(const Board *board) {
    Board out;
    const uint32_t castling = castling_of(board);
    const Square passed = en_passant_of(board);
    for (int i = 0; i < 3; i++) out.plane[i] = swap_ranks(board->plane[i]);
    out.white = swap_ranks(men_of(board, BLACK));
    out.state = state_of((enum Side)!turn_of(board), castling >> 2 | (castling & 3) << 2, passed ? passed ^ 56 : 0);
    return out;
}

#endif
