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

ALWAYS_INLINE Bits rooks_queens(const Board *board, Bits side) { return (board->kind[ROOK] | board->kind[QUEEN]) & side; }
ALWAYS_INLINE Bits bishops_queens(const Board *board, Bits side) { return (board->kind[BISHOP] | board->kind[QUEEN]) & side; }

/* Sliders of `attackers` that would see `square` if the men of the other side were not there. */
ALWAYS_INLINE Bits snipers(const Board *board, Square square, Bits attackers) {
    return (rook_attacks(square, attackers) & rooks_queens(board, attackers)) |
           (bishop_attacks(square, attackers) & bishops_queens(board, attackers));
}

ALWAYS_INLINE View view_of(const Board *board, const int us) {
    View view;
    view.own = board->side[us];
    view.other = board->side[!us];
    view.occupied = view.own | view.other;
    view.king = first_of(board->kind[KING] & view.own);
    view.checkers = ((tables.knight[view.king] & board->kind[KNIGHT]) | (tables.pawn[us][view.king] & board->kind[PAWN])) &
                    view.other;
    view.pinned = 0;
    EACH(sniper, snipers(board, view.king, view.other)) {
        Bits blockers = tables.between[view.king][sniper] & view.own;
        if (!blockers) view.checkers |= bit(sniper);
        else if (!several(blockers)) view.pinned |= blockers;
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
    Bits men = board->side[side];
    Bits attacked = pawn_attacks(board->kind[PAWN] & men, side);
    EACH(knight, board->kind[KNIGHT] & men) attacked |= tables.knight[knight];
    EACH(diagonal, bishops_queens(board, men)) attacked |= bishop_attacks(diagonal, occupied);
    EACH(straight, rooks_queens(board, men)) attacked |= rook_attacks(straight, occupied);
    return attacked | tables.king[first_of(board->kind[KING] & men)];
}

ALWAYS_INLINE bool in_check(const Board *board, const int side) {
    Square king = first_of(board->kind[KING] & board->side[side]);
    Bits other = board->side[!side], occupied = other | board->side[side];
    return ((tables.knight[king] & board->kind[KNIGHT] & other) | (tables.pawn[side][king] & board->kind[PAWN] & other) |
            (rook_attacks(king, occupied) & rooks_queens(board, other)) |
            (bishop_attacks(king, occupied) & bishops_queens(board, other))) != 0;
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
    Square to = board->en_passant, captured = us == WHITE ? to - 8 : to + 8;
    if (!(view->target & (bit(to) | bit(captured)))) return n;
    EACH(from, tables.pawn[!us][to] & board->kind[PAWN] & view->own) {
        Bits occupied = (view->occupied ^ bit(from) ^ bit(captured)) | bit(to);
        if (rook_attacks(view->king, occupied) & rooks_queens(board, view->other)) continue;
        if (bishop_attacks(view->king, occupied) & bishops_queens(board, view->other)) continue;
        if (out) out[n] = move_of(from, to, PAWN, PAWN, EN_PASSANT);
        n++;
    }
    return n;
}

/* Laws 3.8.2: squares between king and rook empty, the king's start, way and arrival not attacked. */
ALWAYS_INLINE size_t castling_moves(const Board *board, Move *out, size_t n, const View *view, Bits attacked, const int us) {
    const Square home = us == WHITE ? 4 : 60;
    if (board->castling & (us == WHITE ? WHITE_SHORT : BLACK_SHORT) && !(view->occupied & (Bits)0x60 << (home - 4)) &&
        !(attacked & (Bits)0x60 << (home - 4))) {
        if (out) out[n] = move_of(home, home + 2, KING, PAWN, CASTLING);
        n++;
    }
    if (board->castling & (us == WHITE ? WHITE_LONG : BLACK_LONG) && !(view->occupied & (Bits)0x0e << (home - 4)) &&
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
    EACH(knight, board->kind[KNIGHT] & free)
        n = put(out, n, knight, tables.knight[knight] & view.target, KNIGHT, counting);
    EACH(bishop, board->kind[BISHOP] & free)
        n = put(out, n, bishop, bishop_attacks(bishop, view.occupied) & view.target, BISHOP, counting);
    EACH(rook, board->kind[ROOK] & free)
        n = put(out, n, rook, rook_attacks(rook, view.occupied) & view.target, ROOK, counting);
    EACH(queen, board->kind[QUEEN] & free)
        n = put(out, n, queen, attacks_of(QUEEN, queen, view.occupied) & view.target, QUEEN, counting);
    n = pawn_moves(out, n, &view, board->kind[PAWN] & free, view.target, us, counting);

    EACH(pinned, view.pinned & ~board->kind[KNIGHT]) {
        Bits here = bit(pinned), allowed = tables.line[view.king][pinned] & view.target;
        if (here & board->kind[PAWN]) n = pawn_moves(out, n, &view, here, allowed, us, counting);
        else if (here & board->kind[BISHOP]) n = put(out, n, pinned, bishop_attacks(pinned, view.occupied) & allowed, BISHOP, counting);
        else if (here & board->kind[ROOK]) n = put(out, n, pinned, rook_attacks(pinned, view.occupied) & allowed, ROOK, counting);
        else n = put(out, n, pinned, attacks_of(QUEEN, pinned, view.occupied) & allowed, QUEEN, counting);
    }
    if (board->en_passant) n = en_passant_moves(board, counting ? NULL : out, n, &view, us);
    if (board->castling && !view.checkers) n = castling_moves(board, counting ? NULL : out, n, &view, attacked, us);
    return n;
}

static size_t white_moves(const Board *board, Move *out) { return moves_of(board, out, WHITE, false); }
static size_t black_moves(const Board *board, Move *out) { return moves_of(board, out, BLACK, false); }
static size_t count_white_moves(const Board *board) { return moves_of(board, NULL, WHITE, true); }
static size_t count_black_moves(const Board *board) { return moves_of(board, NULL, BLACK, true); }

/* The board after a legal move. */
ALWAYS_INLINE Board after(const Board *board, Move move, const int us) {
    Board next = *board;
    const Square from = move_from(move), to = move_to(move);
    const enum Kind kind = move_kind(move), promoted = move_promoted(move);
    const Bits way = bit(from) | bit(to);
    next.en_passant = 0;
    next.turn = (uint8_t)!us;
    next.castling &= tables.castling_kept[from] & tables.castling_kept[to];
    if (next.side[!us] & bit(to)) {
        next.side[!us] ^= bit(to);
        for (int k = PAWN; k <= KING; k++) next.kind[k] &= ~bit(to);
    }
    next.side[us] ^= way;
    next.kind[kind] ^= way;
    if (promoted) {
        next.kind[PAWN] ^= bit(to);
        next.kind[promoted] ^= bit(to);
    } else if (move_special(move) != ORDINARY) {
        const Square behind = us == WHITE ? to - 8 : to + 8;
        if (move_special(move) == DOUBLE_STEP) {
            if (tables.pawn[us][behind] & next.kind[PAWN] & next.side[!us]) next.en_passant = (uint8_t)behind;
        } else if (move_special(move) == EN_PASSANT) {
            next.side[!us] ^= bit(behind);
            next.kind[PAWN] ^= bit(behind);
        } else {
            const Bits rook = to > from ? bit(to + 1) | bit(to - 1) : bit(to - 2) | bit(to + 1);
            next.side[us] ^= rook;
            next.kind[ROOK] ^= rook;
        }
    }
    return next;
}

static Board after_white(const Board *board, Move move) { return after(board, move, WHITE); }
static Board after_black(const Board *board, Move move) { return after(board, move, BLACK); }

/* Number of lines of `depth` plies; the last ply is counted in bulk. */
static uint64_t perft(const Board *board, int depth) {
    Move moves[MOST_MOVES];
    uint64_t lines = 0;
    if (depth < 1) return 1;
    if (depth == 1) return board->turn == WHITE ? count_white_moves(board) : count_black_moves(board);
    size_t n = board->turn == WHITE ? white_moves(board, moves) : black_moves(board, moves);
    for (size_t i = 0; i < n; i++) {
        Board next = board->turn == WHITE ? after_white(board, moves[i]) : after_black(board, moves[i]);
        lines += perft(&next, depth - 1);
    }
    return lines;
}

#endif
