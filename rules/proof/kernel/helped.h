/* Help play, Black to move and then White: which black moves may let White mate at once?
 *
 * Nothing is tried out. Every white man is taken to see through all others, Black to stop one flight by his
 * move, and White's move to go as far as on an empty board. What does not suffice even so, does not suffice;
 * most positions of help play end here. */
#ifndef KEYPROOF_HELPED_H
#define KEYPROOF_HELPED_H

#include "movegen.h"

typedef struct {
    Bits others; /* arrivals of men other than the king */
    Bits king;   /* arrivals of the king */
} Helping;

/* What all white men see on an empty board, once, and twice or more. */
typedef struct {
    const Board *board;
    Bits white, once, twice;
    int most; /* flights that a single man can cover at most */
} Sight;

static Sight sight_of(const Board *board) {
    Sight s = {board, men_of(board, WHITE), 0, 0, 0};
    const Bits pawns = pawns_of(board) & s.white;
    const Bits left = (pawns & ~FILE_A) << 7, right = (pawns & ~FILE_H) << 9;
    s.once = left | right;
    s.twice = left & right;
    EACH(man, s.white & ~pawns) {
        const Bits here = bit(man);
        const enum Kind kind = here & diagonals_of(board)  ? here & straights_of(board) ? QUEEN : BISHOP
                               : here & straights_of(board) ? ROOK
                               : here & knights_of(board)   ? KNIGHT
                                                            : KING;
        s.twice |= s.once & tables.reach[kind][man];
        s.once |= tables.reach[kind][man];
    }
    if (queens_of(board) & s.white || pawns & RANK(7)) s.most = 6;
    else if (rooks_of(board) & s.white) s.most = 4;
    else s.most = 3;
    return s;
}

/* The black man's arrivals that help: any, where White covers all the squares by himself, going to one of his arrivals;
 * that square, where he covers all but one. */
ALWAYS_INLINE Bits helps(const enum Kind kind, Bits arrivals, Bits squares, const bool block) {
    Bits found = 0;
    if (count_of(squares) > 6 + block) return 0;
    EACH(to, arrivals) {
        const Bits open = squares & ~tables.reach[kind][to];
        if (!open) return ~(Bits)0;
        /* a man that stops a flight stays there: White does not capture him, or the king would recapture */
        if (block && !several(open)) found |= open & ~bit(to);
    }
    return found;
}

/* White is to mate the king on `king` when he has these flights: the arrivals of a black man that may help, as above. */
ALWAYS_INLINE Bits helps_mate(const Sight *s, Square king, Bits flights, Bits black, const bool block) {
    const Board *board = s->board;
    Bits openers = 0, found = 0;
    EACH(rear, snipers(board, king, s->white)) {
        const Bits between = tables.between[king][rear], front = between & s->white;
        if (front && !several(front) && count_of(between & black) <= block) openers |= front;
    }
#define NEEDS(before) (flights & ~(s->twice | (s->once & ~(before))))
#define TRY(KIND, men)                                                                                   \
    EACH(from, (men) & s->white) {                                                                       \
        const Bits reach = tables.reach[KIND][from];                                                     \
        const Bits arrivals = openers & bit(from) ? reach : reach & tables.reach[KIND][king];            \
        if (arrivals) found |= helps(KIND, arrivals, NEEDS(reach), block);                               \
        if (!~found) return found;                                                                       \
    }
    TRY(QUEEN, queens_of(board))
    TRY(ROOK, rooks_of(board))
    TRY(BISHOP, bishops_of(board))
    TRY(KNIGHT, knights_of(board))
    TRY(KING, kings_of(board) & openers)
#undef TRY
    const Bits pawns = pawns_of(board) & s->white, checks = tables.pawn[BLACK][king];
    EACH(from, pawns) {
        const Bits here = bit(from), attacks = tables.pawn[WHITE][from], needs = NEEDS(attacks);
        const Bits arrivals = here << 8 | (here & RANK(2)) << 16 | attacks;
        if (here & RANK(7)) {
            found |= helps(QUEEN, openers & here ? arrivals : arrivals & tables.reach[QUEEN][king], needs, block);
            found |= helps(KNIGHT, openers & here ? arrivals : arrivals & tables.knight[king], needs, block);
        } else if (openers & here) {
            if (count_of(needs) <= 2 + block) return ~(Bits)0;
        } else if (arrivals & checks) { /* near the king a pawn covers nothing besides */
            if (!needs) return ~(Bits)0;
            if (block && !several(needs)) found |= needs;
        }
    }
#undef NEEDS
    return found;
}

static Helping helping_moves(const Board *board) {
    const Helping all = {~(Bits)0, ~(Bits)0};
    Helping some = {0, 0};
    const Bits white = men_of(board, WHITE), black = men_of(board, BLACK), pawns = pawns_of(board);
    if (castling_of(board) || en_passant_of(board)) return all;
    if (pawns & white & RANK(5) && pawns & black & RANK(7)) return all; /* White may capture en passant */
    const Sight s = sight_of(board);
    const Square home = first_of(kings_of(board) & black);
    const Bits men = black & ~bit(home);
    EACH(king, tables.king[home] & ~black) {
        const Bits flights = tables.king[king] & ~men;
        if (count_of(flights & ~s.once) <= s.most && helps_mate(&s, king, flights, men, false)) some.king |= bit(king);
    }
    const Bits flights = tables.king[home] & ~men;
    if (count_of(flights & ~s.once) <= s.most + 1) some.others = helps_mate(&s, home, flights, men, true);
    return some;
}

#endif
