/* Legal moves (FIDE Laws, Articles 1.4.1 and 3.1-3.10.2), making them, and counting them.
 *
 * The side is a constant wherever it is a parameter, so that the compiler writes each function once
 * for White and once for Black. This file is compiled once for each kind of processor. */
#ifndef KEYPROOF_MOVEGEN_H
#define KEYPROOF_MOVEGEN_H

#include "attacks.h"

/* What a side to move has to heed. */
typedef struct {
    Square king;
    Bits own, other, occupied;
    Bits checkers;
    Bits pinned; /* own men that may not leave their line to the king */
    Bits target; /* where a man other than the king must arrive: anywhere, or so that a single check is met */
} View;

ALWAYS_INLINE Bits rooks_queens(const Board *board, Bits side) { return (rooks_of(board) | queens_of(board)) & side; }
ALWAYS_INLINE Bits bishops_queens(const Board *board, Bits side) { return (bishops_of(board) | queens_of(board)) & side; }

/* Sliders of `attackers` that would see `square` on an empty board. Mostly there are none or one: to look between
 * them and the square costs less than to look up what a slider sees from there. */
ALWAYS_INLINE Bits snipers(const Board *board, Square square, Bits attackers) {
    return ((tables.reach[ROOK][square] & straights_of(board)) | (tables.reach[BISHOP][square] & diagonals_of(board))) &
           attackers;
}

ALWAYS_INLINE View view_of(const Board *board, const int us) {
    View view;
    view.own = men_of(board, us);
    view.other = men_of(board, !us);
    view.occupied = view.own | view.other;
    view.king = first_of(kings_of(board) & view.own);
    view.checkers = ((tables.knight[view.king] & knights_of(board)) | (tables.pawn[us][view.king] & pawns_of(board))) &
                    view.other;
    view.pinned = 0;
    EACH(sniper, snipers(board, view.king, view.other)) {
        Bits blockers = tables.between[view.king][sniper] & view.occupied;
        if (!blockers) view.checkers |= bit(sniper);
        else if (!several(blockers)) view.pinned |= blockers & view.own;
    }
    view.target = ~view.own;
    if (view.checkers) {
        if (several(view.checkers)) view.target = 0;
        else view.target = tables.between[view.king][first_of(view.checkers)] | view.checkers;
    }
    return view;
}

/* Every square that `side` attacks when the men of `occupied` stand in the way. */
ALWAYS_INLINE Bits attacked_by(const Board *board, const int side, Bits occupied) {
    Bits men = men_of(board, side);
    Bits attacked = pawn_attacks(pawns_of(board) & men, side);
    EACH(knight, knights_of(board) & men) attacked |= tables.knight[knight];
    EACH(diagonal, diagonals_of(board) & men) attacked |= bishop_attacks(diagonal, occupied);
    EACH(straight, straights_of(board) & men) attacked |= rook_attacks(straight, occupied);
    return attacked | tables.king[first_of(kings_of(board) & men)];
}

/* By a man other than the king, which could not get there by a legal move. */
ALWAYS_INLINE bool in_check(const Board *board, const int side) {
    Square king = first_of(kings_of(board) & men_of(board, side));
    Bits other = men_of(board, !side), occupied = other | men_of(board, side);
    if (((tables.knight[king] & knights_of(board)) | (tables.pawn[side][king] & pawns_of(board))) & other) return true;
    EACH(sniper, snipers(board, king, other)) if (!(tables.between[king][sniper] & occupied)) return true;
    return false;
}

/* With `counting` the moves are counted, not written. */
ALWAYS_INLINE size_t put(Move *out, size_t n, Square from, Bits targets, const enum Kind kind, const bool counting) {
    if (counting) return n + (size_t)count_of(targets);
    EACH(to, targets) out[n++] = move_of(from, to, kind, PAWN, ORDINARY);
    return n;
}

ALWAYS_INLINE size_t put_pawns(Move *out, size_t n, Bits targets, const int step, const enum Special special,
                               const bool counting) {
    Bits promoting = targets & (RANK(1) | RANK(8));
    if (counting) return n + (size_t)count_of(targets) + 3 * (size_t)count_of(promoting);
    EACH(to, targets & ~promoting) out[n++] = move_of(to - step, to, PAWN, PAWN, special);
    EACH(last, promoting)
        for (int kind = QUEEN; kind >= KNIGHT; kind--) out[n++] = move_of(last - step, last, PAWN, (enum Kind)kind, ORDINARY);
    return n;
}

/* The moves of some pawns onto `allowed`, en passant apart. */
ALWAYS_INLINE size_t pawn_moves(Move *out, size_t n, const View *view, Bits pawns, Bits allowed, const int us,
                                const bool counting) {
    Bits empty = ~view->occupied, once, twice, left, right;
    if (us == WHITE) {
        once = pawns << 8 & empty;
        twice = (once & RANK(3)) << 8 & empty;
        left = (pawns & ~FILE_A) << 7;
        right = (pawns & ~FILE_H) << 9;
    } else {
        once = pawns >> 8 & empty;
        twice = (once & RANK(6)) >> 8 & empty;
        left = (pawns & ~FILE_A) >> 9;
        right = (pawns & ~FILE_H) >> 7;
    }
    n = put_pawns(out, n, once & allowed, us == WHITE ? 8 : -8, ORDINARY, counting);
    n = put_pawns(out, n, twice & allowed, us == WHITE ? 16 : -16, DOUBLE_STEP, counting);
    n = put_pawns(out, n, left & view->other & allowed, us == WHITE ? 7 : -9, ORDINARY, counting);
    return put_pawns(out, n, right & view->other & allowed, us == WHITE ? 9 : -7, ORDINARY, counting);
}

/* En passant takes two men off one rank at once, so its legality is tried out. */
ALWAYS_INLINE size_t en_passant_moves(const Board *board, Move *out, size_t n, const View *view, const int us) {
    Square to = en_passant_of(board), captured = us == WHITE ? to - 8 : to + 8;
    if (!(view->target & (bit(to) | bit(captured)))) return n;
    EACH(from, tables.pawn[!us][to] & pawns_of(board) & view->own) {
        Bits occupied = (view->occupied ^ bit(from) ^ bit(captured)) | bit(to);
        if (rook_attacks(view->king, occupied) & straights_of(board) & view->other) continue;
        if (bishop_attacks(view->king, occupied) & diagonals_of(board) & view->other) continue;
        if (out) out[n] = move_of(from, to, PAWN, PAWN, EN_PASSANT);
        n++;
    }
    return n;
}

/* Laws 3.8.2: squares between king and rook empty, the king's start, way and arrival not attacked. */
ALWAYS_INLINE size_t castling_moves(const Board *board, Move *out, size_t n, const View *view, Bits attacked, const int us) {
    const Square home = us == WHITE ? 4 : 60;
    if (castling_of(board) & (us == WHITE ? WHITE_SHORT : BLACK_SHORT) && !(view->occupied & (Bits)0x60 << (home - 4)) &&
        !(attacked & (Bits)0x60 << (home - 4))) {
        if (out) out[n] = move_of(home, home + 2, KING, PAWN, CASTLING);
        n++;
    }
    if (castling_of(board) & (us == WHITE ? WHITE_LONG : BLACK_LONG) && !(view->occupied & (Bits)0x0e << (home - 4)) &&
        !(attacked & (Bits)0x0c << (home - 4))) {
        if (out) out[n] = move_of(home, home - 2, KING, PAWN, CASTLING);
        n++;
    }
    return n;
}

ALWAYS_INLINE size_t moves_of(const Board *board, Move *out, const int us, const bool counting) {
    const View view = view_of(board, us);
    size_t n = 0;
    Bits attacked = attacked_by(board, !us, view.occupied ^ bit(view.king));
    n = put(out, n, view.king, tables.king[view.king] & ~view.own & ~attacked, KING, counting);
    if (!view.target) return n;

    Bits free = view.own & ~view.pinned;
    EACH(knight, knights_of(board) & free)
        n = put(out, n, knight, tables.knight[knight] & view.target, KNIGHT, counting);
    EACH(bishop, bishops_of(board) & free)
        n = put(out, n, bishop, bishop_attacks(bishop, view.occupied) & view.target, BISHOP, counting);
    EACH(rook, rooks_of(board) & free)
        n = put(out, n, rook, rook_attacks(rook, view.occupied) & view.target, ROOK, counting);
    EACH(queen, queens_of(board) & free)
        n = put(out, n, queen, attacks_of(QUEEN, queen, view.occupied) & view.target, QUEEN, counting);
    n = pawn_moves(out, n, &view, pawns_of(board) & free, view.target, us, counting);

    EACH(pinned, view.pinned & ~knights_of(board)) {
        Bits here = bit(pinned), allowed = tables.line[view.king][pinned] & view.target;
        if (here & pawns_of(board)) n = pawn_moves(out, n, &view, here, allowed, us, counting);
        else if (here & bishops_of(board)) n = put(out, n, pinned, bishop_attacks(pinned, view.occupied) & allowed, BISHOP, counting);
        else if (here & rooks_of(board)) n = put(out, n, pinned, rook_attacks(pinned, view.occupied) & allowed, ROOK, counting);
        else n = put(out, n, pinned, attacks_of(QUEEN, pinned, view.occupied) & allowed, QUEEN, counting);
    }
    if (en_passant_of(board)) n = en_passant_moves(board, counting ? NULL : out, n, &view, us);
    if (castling_of(board) && !view.checkers) n = castling_moves(board, counting ? NULL : out, n, &view, attacked, us);
    return n;
}

static size_t white_moves(const Board *board, Move *out) { return moves_of(board, out, WHITE, false); }
static size_t black_moves(const Board *board, Move *out) { return moves_of(board, out, BLACK, false); }
static size_t count_white_moves(const Board *board) { return moves_of(board, NULL, WHITE, true); }
static size_t count_black_moves(const Board *board) { return moves_of(board, NULL, BLACK, true); }

/* The board after a legal move. */
ALWAYS_INLINE Board after(const Board *board, Move move, const int us) {
    Board next;
    const Square from = move_from(move), to = move_to(move);
    const uint32_t number = (move_promoted(move) ? move_promoted(move) : move_kind(move)) + 1;
    const Bits kept = ~(bit(from) | bit(to));
    uint32_t castling = castling_of(board);
    if (castling) castling &= tables.castling_kept[from] & tables.castling_kept[to];
    for (int i = 0; i < 3; i++) next.plane[i] = (board->plane[i] & kept) | (Bits)(number >> i & 1) << to;
    next.white = (board->white & kept) | (us == WHITE ? bit(to) : 0);
    next.state = state_of((enum Side)!us, castling, 0);
    if (move_special(move) != ORDINARY) {
        const Square behind = us == WHITE ? to - 8 : to + 8;
        if (move_special(move) == DOUBLE_STEP) {
            if (tables.pawn[us][behind] & pawns_of(board) & men_of(board, !us)) next.state |= state_of(WHITE, 0, behind);
        } else if (move_special(move) == EN_PASSANT) {
            next.plane[0] &= ~bit(behind);
            next.white &= ~bit(behind);
        } else { /* castling: planes 0 and 1 hold no rooks */
            const Square corner = to > from ? to + 1 : to - 2, crossed = (from + to) / 2;
            next.plane[2] ^= bit(corner) | bit(crossed);
            if (us == WHITE) next.white ^= bit(corner) | bit(crossed);
        }
    }
    return next;
}

ALWAYS_INLINE Board after_white(const Board *board, Move move) { return after(board, move, WHITE); }
ALWAYS_INLINE Board after_black(const Board *board, Move move) { return after(board, move, BLACK); }

/* Is a move that was legal for Black in another position legal in this one? If so, make it. Castling and
 * en passant are not looked into: they count as not legal. */
static bool black_may_repeat(const Board *board, Move move, Board *next) {
    const Bits from = bit(move_from(move)), to = bit(move_to(move)), occupied = occupied_of(board);
    const Bits black = occupied & ~board->white;
    const uint32_t number = (uint32_t)move_kind(move) + 1;
    if (move_special(move) >= EN_PASSANT || !(black & from) || black & to) return false;
    for (int i = 0; i < 3; i++)
        if (((board->plane[i] & from) != 0) != (number >> i & 1)) return false;
    if (tables.between[move_from(move)][move_to(move)] & occupied) return false;
    if (move_kind(move) == PAWN && (tables.pawn[BLACK][move_from(move)] & to ? !(board->white & to) : (occupied & to) != 0))
        return false;
    if (move_kind(move) == KING && tables.king[move_to(move)] & kings_of(board) & board->white) return false;
    *next = after_black(board, move);
    return !in_check(next, BLACK);
}

/* Number of lines of `depth` plies; the last ply is counted in bulk. */
static uint64_t perft(const Board *board, int depth) {
    Move moves[MOST_MOVES];
    uint64_t lines = 0;
    if (depth < 1) return 1;
    if (depth == 1) return turn_of(board) == WHITE ? count_white_moves(board) : count_black_moves(board);
    size_t n = turn_of(board) == WHITE ? white_moves(board, moves) : black_moves(board, moves);
    for (size_t i = 0; i < n; i++) {
        Board next = turn_of(board) == WHITE ? after_white(board, moves[i]) : after_black(board, moves[i]);
        lines += perft(&next, depth - 1);
    }
    return lines;
}

#endif
