/* Mates in one by White, without making the moves.
 *
 * Only checking moves are looked at. A move is dismissed as soon as the black king has a flight that
 * neither the moved man nor any other white man could guard; most are. What is left is tested exactly:
 * flights, double check, capture of the checking man, interposition, pins. */
#ifndef KEYPROOF_MATES_H
#define KEYPROOF_MATES_H

#include "movegen.h"

typedef struct {
    const Board *board;
    Square king;        /* of Black */
    Bits white, black, occupied;
    Bits rears;         /* white sliders with one white man between them and the king */
    Bits batteries;     /* those men */
    Bits attacks[64];   /* of each white slider and knight */
    Bits once, twice;   /* squares White attacks, and attacks with two men or more */
    Bits lines, crossings; /* the same for sliders alone */
    Bits near, nears;      /* the same for all others */
} Assault;

ALWAYS_INLINE void add_attacks(Bits attacks, Bits *once, Bits *twice) {
    *twice |= *once & attacks;
    *once |= attacks;
}

ALWAYS_INLINE void find_batteries(Assault *a) {
    const Board *board = a->board;
    a->rears = a->batteries = 0;
    EACH(rear, snipers(board, a->king, a->white)) {
        Bits front = tables.between[a->king][rear] & a->occupied;
        if (front & a->white && !several(front)) {
            a->rears |= bit(rear);
            a->batteries |= front;
        }
    }
}

/* Black is not in check, so no white line runs through the black king and one set of attacks serves
 * both for moving and for guarding the squares behind him. */
ALWAYS_INLINE void find_attacks(Assault *a) {
    const Board *board = a->board;
    Bits pawns = pawns_of(board) & a->white;
    Bits left = (pawns & ~FILE_A) << 7, right = (pawns & ~FILE_H) << 9;
    a->lines = a->crossings = 0;
    EACH(diagonal, bishops_of(board) & a->white) {
        a->attacks[diagonal] = bishop_attacks(diagonal, a->occupied);
        add_attacks(a->attacks[diagonal], &a->lines, &a->crossings);
    }
    EACH(straight, rooks_of(board) & a->white) {
        a->attacks[straight] = rook_attacks(straight, a->occupied);
        add_attacks(a->attacks[straight], &a->lines, &a->crossings);
    }
    EACH(queen, queens_of(board) & a->white) {
        a->attacks[queen] = attacks_of(QUEEN, queen, a->occupied);
        add_attacks(a->attacks[queen], &a->lines, &a->crossings);
    }
    a->near = left | right;
    a->nears = left & right;
    EACH(knight, knights_of(board) & a->white) {
        a->attacks[knight] = tables.knight[knight];
        add_attacks(a->attacks[knight], &a->near, &a->nears);
    }
    add_attacks(tables.king[first_of(kings_of(board) & a->white)], &a->near, &a->nears);
    a->once = a->lines | a->near;
    a->twice = a->crossings | a->nears | (a->lines & a->near);
}

/* Does White guard all these squares after the man on `from` has gone and `occupied` squares stop his lines? That
 * man apart. */
static bool guarded_after(const Assault *a, Square from, Bits occupied, Bits squares) {
    const Board *board = a->board;
    const Bits men = a->white & ~bit(from), pawns = pawns_of(board), knights = knights_of(board), kings = kings_of(board);
    EACH(square, squares) {
        if (((tables.pawn[BLACK][square] & pawns) | (tables.knight[square] & knights) | (tables.king[square] & kings)) & men)
            continue;
        bool seen = false;
        EACH(sniper, snipers(board, square, men)) {
            if (tables.between[square][sniper] & occupied) continue;
            seen = true;
            break;
        }
        if (!seen) return false;
    }
    return true;
}

/* Can a black man other than the king capture on, or step between the king and, the checking square? */
static bool check_can_be_met(const Assault *a, Square from, Square to, enum Kind kind, Square checker) {
    const Board *board = a->board;
    const Bits black = a->black & ~bit(to), white = (a->white & ~bit(from)) | bit(to), occupied = white | black;
    const Bits pawns = pawns_of(board) & black;
    const Bits straight = straights_of(board) & black, diagonal = diagonals_of(board) & black;
    Bits able = tables.pawn[WHITE][checker] & pawns;
    EACH(square, tables.between[a->king][checker] | bit(checker)) {
        able |= tables.knight[square] & knights_of(board) & black;
        if (straight & tables.reach[ROOK][square]) able |= rook_attacks(square, occupied) & straight;
        if (diagonal & tables.reach[BISHOP][square]) able |= bishop_attacks(square, occupied) & diagonal;
        if (square != checker && square < 48) {
            able |= pawns & bit(square + 8);
            if (bit(square) & RANK(5) && !(occupied & bit(square + 8))) able |= pawns & bit(square + 16);
        }
    }
    if (!able) return false;
    /* a pinned man stays on its line, and no second line leads both to the king and to the checking man */
    Bits rooks = straights_of(board) & (white & ~bit(to)), bishops = diagonals_of(board) & (white & ~bit(to));
    if (kind == ROOK || kind == QUEEN) rooks |= bit(to);
    if (kind == BISHOP || kind == QUEEN) bishops |= bit(to);
    EACH(sniper, (tables.reach[ROOK][a->king] & rooks) | (tables.reach[BISHOP][a->king] & bishops)) {
        Bits blockers = tables.between[a->king][sniper] & occupied;
        if (!several(blockers)) able &= ~blockers;
    }
    return able != 0;
}

/* Those of the squares from which the man on `from`, going there as `kind`, could cover what no other man covers of
 * the king's flights: a few loads dismiss most checks at once. */
ALWAYS_INLINE Bits covering(const Assault *a, Square from, const enum Kind kind, Bits attacks_before, Bits targets) {
    if (a->lines & bit(from)) return targets; /* its leaving may let another man cover more */
    EACH(flight, tables.king[a->king] & ~a->black & ~(a->twice | (a->once & ~attacks_before)))
        targets &= tables.reach[kind][flight];
    return targets;
}

/* Does White mate by moving the man on `from` to `to`, where it stands as `kind`? Neither castling nor
 * en passant nor a king's move, and Black must not be able to capture en passant afterwards. */
ALWAYS_INLINE bool mates_by(const Assault *a, Square from, Square to, const enum Kind kind, Bits attacks_before) {
    const Bits king = bit(a->king), gone = bit(from), come = bit(to);
    const bool opens = a->batteries & gone && !(tables.line[a->king][from] & come);
    const Bits attacks = kind == PAWN ? tables.pawn[WHITE][to] : attacks_of(kind, to, (a->occupied & ~gone) ^ king);
    const bool direct = (attacks & king) != 0;
    if (!direct && !opens) return false;

    const Bits flights = tables.king[a->king] & ~(a->black & ~come);
    const Bits others = a->twice | (a->once & ~attacks_before);
    const Bits lines_of_others = kind >= BISHOP && kind <= QUEEN ? a->crossings | (a->lines & ~attacks_before) : a->lines;
    const bool line_opened = (a->lines & gone) != 0;
    const bool line_closed = (lines_of_others & come & ~a->occupied) != 0;
    if (flights & ~others & ~attacks && !line_opened) return false;
    if (line_opened || line_closed) {
        Bits occupied = ((a->occupied & ~gone) | come) ^ king;
        if (!guarded_after(a, from, occupied, flights & ~attacks & ~(a->nears | (a->near & ~attacks_before)))) return false;
    }
    if (direct && opens) return true;
    Square checker = to;
    if (!direct) {
        EACH(rear, a->rears) if (tables.between[a->king][rear] & gone) checker = rear;
    }
    return !check_can_be_met(a, from, to, kind, checker);
}

static bool mates_after(const Board *board, Move move) {
    Board next = after_white(board, move);
    return in_check(&next, BLACK) && !count_black_moves(&next);
}

/* Write the moves by which White, to move, mates at once; with `first` only one of them. */
ALWAYS_INLINE size_t mates_of(const Board *board, Move *out, const bool first) {
    const View view = view_of(board, WHITE);
    size_t n = 0;
    Assault a;
    a.board = board;
    a.king = first_of(kings_of(board) & view.other);
    a.white = view.own;
    a.black = view.other;
    a.occupied = view.occupied;
    find_batteries(&a);

#define FOUND(move) do { out[n++] = (move); if (first) return n; } while (0)

    if (view.target) {
        const Bits diagonals = bishop_attacks(a.king, a.occupied), straights = rook_attacks(a.king, a.occupied);
        find_attacks(&a);

#define TARGETS(square, checks) \
    (a.attacks[square] & view.target & (view.pinned & bit(square) ? tables.line[view.king][square] : ~(Bits)0) & \
     (a.batteries & bit(square) ? ~(Bits)0 : (checks)))
#define TRY(KIND, men, checks) \
    EACH(from, men & a.white) \
        EACH(to, covering(&a, from, KIND, a.attacks[from], TARGETS(from, checks))) \
        if (mates_by(&a, from, to, KIND, a.attacks[from])) FOUND(move_of(from, to, KIND, PAWN, ORDINARY))

        TRY(QUEEN, queens_of(board), diagonals | straights);
        TRY(ROOK, rooks_of(board), straights);
        TRY(KNIGHT, knights_of(board), tables.knight[a.king]);
        TRY(BISHOP, bishops_of(board), diagonals);
#undef TRY
#undef TARGETS

        const Bits pawns = pawns_of(board) & a.white, checks = tables.pawn[BLACK][a.king];
        const Bits last_but_one = pawns & RANK(7);
        const Bits checking = pawns & ~last_but_one & (a.batteries | checks >> 8 | (checks & RANK(4)) >> 16 |
                                                       (checks & ~FILE_H) >> 7 | (checks & ~FILE_A) >> 9);
        EACH(from, checking | last_but_one) {
            const Bits here = bit(from), step = here << 8 & ~a.occupied, steps = (step & RANK(3)) << 8 & ~a.occupied;
            const Bits attacks = tables.pawn[WHITE][from];
            Bits targets = (step | steps | (attacks & a.black)) & view.target;
            if (view.pinned & here) targets &= tables.line[view.king][from];
            EACH(to, targets) {
                if (here & last_but_one) {
                    if (mates_by(&a, from, to, QUEEN, attacks)) FOUND(move_of(from, to, PAWN, QUEEN, ORDINARY));
                    if (mates_by(&a, from, to, KNIGHT, attacks)) FOUND(move_of(from, to, PAWN, KNIGHT, ORDINARY));
                    if (first) continue; /* where a rook or bishop mates, so does a queen */
                    if (mates_by(&a, from, to, ROOK, attacks)) FOUND(move_of(from, to, PAWN, ROOK, ORDINARY));
                    if (mates_by(&a, from, to, BISHOP, attacks)) FOUND(move_of(from, to, PAWN, BISHOP, ORDINARY));
                } else if (bit(to) & steps) {
                    const Move move = move_of(from, to, PAWN, PAWN, DOUBLE_STEP);
                    const bool passed = (tables.pawn[WHITE][from + 8] & pawns_of(board) & a.black) != 0;
                    if (passed ? mates_after(board, move) : mates_by(&a, from, to, PAWN, attacks)) FOUND(move);
                } else if (mates_by(&a, from, to, PAWN, attacks)) {
                    FOUND(move_of(from, to, PAWN, PAWN, ORDINARY));
                }
            }
        }
        if (en_passant_of(board)) {
            Move moves[2];
            size_t number = en_passant_moves(board, moves, 0, &view, WHITE);
            for (size_t i = 0; i < number; i++)
                if (mates_after(board, moves[i])) FOUND(moves[i]);
        }
    }
    const bool may_castle = castling_of(board) & (WHITE_SHORT | WHITE_LONG) && !view.checkers;
    if (a.batteries & bit(view.king) || may_castle) {
        Bits attacked = attacked_by(board, BLACK, view.occupied ^ bit(view.king));
        if (a.batteries & bit(view.king)) {
            EACH(to, tables.king[view.king] & ~view.own & ~attacked & ~tables.line[a.king][view.king]) {
                const Move move = move_of(view.king, to, KING, PAWN, ORDINARY);
                if (mates_after(board, move)) FOUND(move);
            }
        }
        if (may_castle) {
            Move moves[2];
            size_t number = castling_moves(board, moves, 0, &view, attacked, WHITE);
            for (size_t i = 0; i < number; i++)
                if (mates_after(board, moves[i])) FOUND(moves[i]);
        }
    }
#undef FOUND
    return n;
}

static bool has_mate(const Board *board) {
    Move move[1];
    return mates_of(board, move, true) != 0;
}
static size_t all_mates(const Board *board, Move *out) { return mates_of(board, out, false); }

#endif
