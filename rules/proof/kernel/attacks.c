#include "attacks.h"

Tables tables;
Bits extracted[EXTRACTED_SETS];

static bool on_board(int file, int rank) { return file >= 0 && file < 8 && rank >= 0 && rank < 8; }

static Bits walk(Square square, int file_step, int rank_step, Bits occupied) {
    Bits reached = 0;
    int file = square % 8 + file_step, rank = square / 8 + rank_step;
    for (; on_board(file, rank); file += file_step, rank += rank_step) {
        Bits here = bit(rank * 8 + file);
        reached |= here;
        if (occupied & here) break;
    }
    return reached;
}

Bits walk_rook(Square square, Bits occupied) {
    return walk(square, 1, 0, occupied) | walk(square, -1, 0, occupied) | walk(square, 0, 1, occupied) |
           walk(square, 0, -1, occupied);
}

Bits walk_bishop(Square square, Bits occupied) {
    return walk(square, 1, 1, occupied) | walk(square, -1, -1, occupied) | walk(square, 1, -1, occupied) |
           walk(square, -1, 1, occupied);
}

static Bits leap(Square square, const int (*steps)[2], int number) {
    Bits reached = 0;
    for (int i = 0; i < number; i++) {
        int file = square % 8 + steps[i][0], rank = square / 8 + steps[i][1];
        if (on_board(file, rank)) reached |= bit(rank * 8 + file);
    }
    return reached;
}

static void fill_leapers(Square square) {
    static const int knight[8][2] = {{1, 2}, {2, 1}, {2, -1}, {1, -2}, {-1, -2}, {-2, -1}, {-2, 1}, {-1, 2}};
    static const int king[8][2] = {{0, 1}, {1, 1}, {1, 0}, {1, -1}, {0, -1}, {-1, -1}, {-1, 0}, {-1, 1}};
    static const int white[2][2] = {{-1, 1}, {1, 1}};
    static const int black[2][2] = {{-1, -1}, {1, -1}};
    tables.knight[square] = leap(square, knight, 8);
    tables.king[square] = leap(square, king, 8);
    tables.pawn[WHITE][square] = leap(square, white, 2);
    tables.pawn[BLACK][square] = leap(square, black, 2);
}

static void fill_lines(Square square) {
    static const int ways[4][2] = {{1, 0}, {0, 1}, {1, 1}, {1, -1}};
    for (int i = 0; i < 4; i++) {
        int file = ways[i][0], rank = ways[i][1];
        Bits line = walk(square, file, rank, 0) | walk(square, -file, -rank, 0);
        if (i == 1) tables.file[square] = line;
        if (i == 2) tables.diagonal[square] = line;
        if (i == 3) tables.antidiagonal[square] = line;
        EACH(other, line) {
            tables.line[square][other] = line | bit(square);
            Bits here = walk(square, file, rank, bit(other)), there = walk(square, -file, -rank, bit(other));
            tables.between[square][other] = (here & bit(other) ? here : there) & ~bit(other);
        }
    }
}

static void fill_reach(Square square) {
    tables.reach[KNIGHT][square] = tables.knight[square];
    tables.reach[BISHOP][square] = walk_bishop(square, 0);
    tables.reach[ROOK][square] = walk_rook(square, 0);
    tables.reach[QUEEN][square] = tables.reach[BISHOP][square] | tables.reach[ROOK][square];
    tables.reach[KING][square] = tables.king[square];
}

static void fill_rank(int file) {
    for (int inner = 0; inner < 64; inner++)
        tables.rank[file][inner] = (uint8_t)((walk(file, 1, 0, (Bits)inner << 1) | walk(file, -1, 0, (Bits)inner << 1)));
}

/* Enumerate the subsets of the blockers in the order of their extracted value. */
static uint32_t fill_extracted(Square square, uint32_t start, Bits blockers, Bits (*slow)(Square, Bits)) {
    Bits subset = 0;
    do {
        extracted[start++] = slow(square, subset);
        subset = (subset - blockers) & blockers;
    } while (subset);
    return start;
}

void fill_tables(bool with_extracted) {
    uint32_t next = 0;
    for (int file = 0; file < 8; file++) fill_rank(file);
    for (Square square = 0; square < 64; square++) {
        Bits own_rank = RANK(square / 8 + 1), own_file = FILE_A << square % 8;
        Bits edges = ((RANK(1) | RANK(8)) & ~own_rank) | ((FILE_A | FILE_H) & ~own_file);
        fill_leapers(square);
        fill_lines(square);
        fill_reach(square);
        tables.rook_blockers[square] = walk_rook(square, 0) & ~edges;
        tables.bishop_blockers[square] = walk_bishop(square, 0) & ~edges;
        tables.castling_kept[square] = WHITE_SHORT | WHITE_LONG | BLACK_SHORT | BLACK_LONG;
        if (!with_extracted) continue;
        tables.rook_start[square] = next;
        next = fill_extracted(square, next, tables.rook_blockers[square], walk_rook);
        tables.bishop_start[square] = next;
        next = fill_extracted(square, next, tables.bishop_blockers[square], walk_bishop);
    }
    tables.castling_kept[0] &= (uint8_t)~WHITE_LONG;
    tables.castling_kept[4] &= (uint8_t)~(WHITE_LONG | WHITE_SHORT);
    tables.castling_kept[7] &= (uint8_t)~WHITE_SHORT;
    tables.castling_kept[56] &= (uint8_t)~BLACK_LONG;
    tables.castling_kept[60] &= (uint8_t)~(BLACK_LONG | BLACK_SHORT);
    tables.castling_kept[63] &= (uint8_t)~BLACK_SHORT;
}
