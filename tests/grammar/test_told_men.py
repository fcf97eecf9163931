"""Positions that people tell man by man, and words about men that are no position.

The ways of telling are those of many imagined speakers: common practice, no source.
"""

import chess
import pytest
from keyproof.grammar.told_men import find_told

TOLD = {
    "by side, with commas": (
        "White has the king on g1, a rook on a1 and a pawn on h2. Black has his king on h8 and a pawn on g7.",
        "7k/6p1/8/8/8/8/7P/R5K1",
    ),
    "by man, both sides each time": (
        "The kings: White's on g1, Black's on g8. Rooks: White's on a7. Pawns: White's on h2, Black's on g7 and h7.",
        "6k1/R5pp/8/8/8/8/7P/6K1",
    ),
    "not moved yet": (
        "White's king has never left e1 nor the rook h1, and there is a pawn on f4. Black has his king on c2.",
        "8/8/8/8/5P2/8/2k5/4K2R",
    ),
    "square first": (
        "On e1 stands the white king, on a1 a white rook. On c2 there is the black king, on b3 a black pawn.",
        "8/8/8/8/8/1p6/2k5/R3K3",
    ),
    "square, then man, behind commas": (
        "a1, white king. b3, white queen. h8, black king. h7, black pawn.",
        "7k/7p/8/8/8/1Q6/8/K7",
    ),
    "number words, written down without stops": (
        "okay so white has the king on f six a rook on a one\nand the pawn on g five\n"
        "and black has just the king on h eight and two pawns h seven and g seven\nso mate in two white to move",
        "7k/6pp/5K2/6P1/8/8/8/R7",
    ),
    "misheard men and squares": (
        "white king be six white night see five and a white ruck on age one\nblack king a ate "
        "and two porns a seven and see seven",
        "k7/p1p5/1K6/2N5/8/8/8/7R",
    ),
    "a correction of the square": (
        "White king c6, white queen d3, no, sorry, d4. Black king a8, pawn a7.",
        "k7/p7/2K5/8/3Q4/8/8/8",
    ),
    "a correction of the man": (
        "White: king c6, rook d4, sorry, queen. Black: king a8, pawn a7.",
        "k7/p7/2K5/8/3Q4/8/8/8",
    ),
    "a correction of man and square": (
        "White king c6, rook on d3, I mean the rook on d4. Black king a8 and pawn a7.",
        "k7/p7/2K5/8/3R4/8/8/8",
    ),
    "a correction in a sentence of its own": (
        "White king c6. Rook on d3. Hang on, d4. Black king a8. Black pawn a7.",
        "k7/p7/2K5/8/3R4/8/8/8",
    ),
    "a man after all is told": (
        "White king g3, rook e7. Black king h1. It's mate in two. Oh, and I forgot, a black pawn on h2.",
        "8/4R3/8/8/8/6K1/7p/7k",
    ),
    "the hearer asks between": (
        "ANN: White king on f6, rook a1.\nBEN: Just the one rook?\nANN: Just the one. And a pawn on g5.\nBEN: Go on.\n"
        "ANN: Black king h8.\nBEN: Anything else?\nANN: A pawn on h7.",
        "7k/7p/5K2/6P1/8/8/8/R7",
    ),
    "the hearer repeats": (
        "- White king c4.\n- C four.\n- White rook e4.\n- E four, got it.\n- Black king a3, and "
        "a pawn on c7.\n- A three, c seven.",
        "8/2p5/8/8/2K1R3/k7/8/8",
    ),
    "the hearer guesses, and is right": (
        "P: White king on g6, white queen on a1.\nQ: And a black king on h8?\nP: Yes. And a black rook on g8.",
        "6rk/8/6K1/8/8/8/8/Q7",
    ),
    "asides on the men": (
        "White's king is tucked away on h1, poor old thing, the queen sits proudly on d4, and "
        "there's a knight, a lazy one, on b1. "
        "Black's king has wandered out to h3 and he has a single pawn on h4.",
        "8/8/8/8/3Q3p/7k/8/1N5K",
    ),
    "in the first person": (
        "My king sits on a7 and my queen beside it on b6. He has his king on c8 and a rook on d8.",
        "2kr4/K7/1Q6/8/8/8/8/8",
    ),
    "to the hearer": (
        "You have the king on f7, a rook on a1 and a knight on g4. I have my king on h7 and a pawn on h6.",
        "8/5K1k/7p/8/6N1/8/8/R7",
    ),
    "put up by order": (
        "Put the white king on e6, stick a white rook on h1 and plonk a pawn on d6. Now the black king goes on e8.",
        "4k3/8/3PK3/8/8/8/8/7R",
    ),
    "behind and in front": (
        "White king c6, white rook g1, and a white pawn right in front of it. Black king a8, "
        "with a pawn on a7 just below him.",
        "k7/p7/2K5/8/8/8/6P1/6R1",
    ),
    "two men one behind the other": (
        "White has king d2, and two rooks, one behind the other, on b2 and b1. Black has king a8.",
        "k7/8/8/8/8/8/1R1K4/1R6",
    ),
    "a row of pawns": (
        "White: king g1, rook e1, pawns from f2 to h2. Black: king g8 and pawns from f7 to h7.",
        "6k1/5ppp/8/8/8/8/5PPP/4R1K1",
    ),
    "what is not there": (
        "White king c7, queen b3, no pawns. Black king a8, no queen, no rooks, nothing but a pawn on a7.",
        "k7/p1K5/8/8/8/1Q6/8/8",
    ),
    "numbers of men": (
        "White, four men: king e1, rook h1, two pawns, g2 and h2. Black, two: king e3, knight d3.",
        "8/8/8/8/8/3nk3/6PP/4K2R",
    ),
    "a remark on castling and on the last move": (
        "White king on e1 and rook on h1, neither has moved, so castling is on. Pawn on e2. "
        "Black king on g3, bishop on g4.",
        "8/8/8/8/6b1/6k1/4P3/4K2R",
    ),
    "Black first": (
        "Black's men first: king h8, rook g8, pawns g7 and h7. Now White: king a1, knight e5, queen c4.",
        "6rk/6pp/8/4N3/2Q5/8/8/K7",
    ),
    "side by side with the order": (
        "White to play and mate in two. White king g6, rook a7. Black king g8, pawn b2.",
        "6k1/R7/6K1/8/8/8/1p6/8",
    ),
    "sentences of two words": (
        "White. King f7. Queen b1. Black. King h8. Pawn h7. Pawn g5.",
        "7k/5K1p/8/6p1/8/8/8/1Q6",
    ),
    "a letter": (
        "You complained about the print, so here it is in words. White had his King on b6, a "
        "Rook on h7 and a Knight on c5; "
        "Black had the King on a8 and a Bishop on b8.",
        "kb6/7R/1K6/2N5/8/8/8/8",
    ),
    "a bare king": (
        "Black has a bare king on d5. White has king d7, queen a4, knight c2.",
        "8/3K4/8/3k4/Q7/8/2N5/8",
    ),
    "mid-sentence owner words": (
        "Black's down to a king on c1, deep in our half, and a pawn on c3. White's got king e1, rook h1, queen f5.",
        "8/8/8/5Q2/8/2p5/8/2k1K2R",
    ),
    "make sure": (
        "White king on g6, okay? And a white rook on a1, right? Black king on g8, yes? Black pawn f7.",
        "6k1/5p2/6K1/8/8/8/8/R7",
    ),
    "by ranks, in one line": (
        "Reading down the board: black king h8; black pawns g7, h7; white king f6; white pawn g5; white "
        "rook a1. White mates in two.",
        "7k/6pp/5K2/6P1/8/8/8/R7",
    ),
    "by ranks, the square before its man": (
        "Bottom row first. White rook a1. Fifth row, white pawn g5. Sixth, white king f6. Then black: "
        "two pawns, g7 and h7, and in the corner behind them, on h8, the king.",
        "7k/6pp/5K2/6P1/8/8/8/R7",
    ),
    "the side behind its men": (
        "King f6. Rook a1. Knight g5. Those are White's. For Black, king h8 and pawn h7.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
    "a correction that denies the square first": (
        "White's king goes on f6, rook on b1, wait, no, a1. Knight on g5. And Black: king h8, pawn g7. "
        "Not g7, h7. Pawn h7.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
    "for a side, with a correction": (
        "King on f6 for White, rook on a2. Sorry, a1, I can't read my own hand. Knight on g5. Black has "
        "the king on h8 and a pawn on h7.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
    "letters spelt by words": (
        "Black has his king on c8 and a pawn, b7. B for butter. White has the queen, d6, d for door, and"
        " the king next to her, on e6.",
        "2k5/1p6/3QK3/8/8/8/8/8",
    ),
    "another one": (
        "The white king is on f6 and the black one on h8. White rook a1, black pawn h7, white knight g5.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
    "two men, then two squares": (
        "Black's down to king and pawn: h8 and h7. White's king has f6, his rook a1, his knight g5.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
    "where they started the game": (
        "White: king and both rooks where they started the game, e1, a1, h1. Black: the king, e8.",
        "4k3/8/8/8/8/8/8/R3K2R",
    ),
    "the hearer asks for the other side": (
        '"Set it up, you have the white ones. King b4, queen g7."\n'
        '"Got it."\n'
        '"Knight b7, and a bishop in the corner, a1."\n'
        '"And what has Black?"\n'
        '"A king. c6."\n'
        '"Just that?"\n'
        '"Just that. Mate in two."',
        "8/1N4Q1/2k5/8/1K6/8/8/B7",
    ),
    "rooks before their king": (
        "White rooks on c5 and h5, white king on f1, pawn on h7. Black king d1, black pawn e6. Two moves.",
        "8/7P/4p3/2R4R/8/8/8/3k1K2",
    ),
    "boxed in by men told with it": (
        "There's a black king on h8, boxed in by his own pawns on g7 and h7. White's got a king on f6, a"
        " pawn tucked under his elbow on g5, and a rook on a1 doing nothing yet.",
        "7k/6pp/5K2/6P1/8/8/8/R7",
    ),
    "by wings": (
        "On the king's side, Black has a king on h8 and pawns on g7 and h7. White: king f6, pawn g5. And"
        " on the queen's side a lone white rook, at a1.",
        "7k/6pp/5K2/6P1/8/8/8/R7",
    ),
    "squares away": (
        "Three men. A white king on f6. Two squares above it the black king, f8. A white rook on b2.",
        "5k2/8/5K2/8/8/8/1R6/8",
    ),
    "faces him": (
        "The white king stands on f6, the black king faces him from f8, and a white rook waits on b2.",
        "5k2/8/5K2/8/8/8/1R6/8",
    ),
    "squares first, the side last": (
        "f6 king, a1 rook, g5 knight, those are White. h8 king, h7 pawn, Black.",
        "7k/7p/5K2/6N1/8/8/8/R7",
    ),
}

NO_POSITION = {
    "a solution": "The queen goes to b7 and it is mate. The king on a8 cannot move, the black pawn on a7 is blocked.",
    "a mating picture": "In the final picture the white king on c6 and the queen on b7 hold the black king on a8 fast.",
    "moves of both sides": "White king to e6, Black king to e8, rook to a8, mate. Then pawn to g5, king h6, rook h1.",
    "only some men": "White has a queen on d1 and a rook on f1, Black a rook on f8 and a knight on d5.",
    "if": (
        "If the white king stood on e1 and the rook on h1, and Black's king on g3 with a pawn on g2, he could castle."
    ),
    "guards": (
        "The white king guards e2 and f2, the rook on h1 guards the file, and the black king on g3 "
        "attacks the pawn on g2."
    ),
    "one king only": (
        "White has the king on e1, a rook on h1, a queen on d1 and pawns on g2 and h2. Black has pawns on g7 and h7."
    ),
    "two kings of one side": "White king on e1, white king on g1, black king on g8, rook a1 and rook f1.",
    "a question that is not answered": "White king on e1, rook on h1, queen on d1. And where is the black king, on g8?",
    "squares of a king": "The black king has e7, e8 and f8, the white king d6 and e6; the rook has seven squares.",
    "what stood there once": "Once the white king is on e6 and the rook on a8, with the black king on e8, it is over.",
}

NOT_UNDERSTOOD = {
    "a man without its square": "White king c6, queen d4 and a knight. Black king a8, pawn a7.",
    "a rank only": "White king c6, queen d4, a rook somewhere on the seventh. Black king a8, pawn a7.",
    "fewer than told": "White king c6, queen d4, three pawns on a2 and b2. Black king a8.",
    "an unknown man": "White king c6, queen d4 and a wazir on f3. Black king a8, pawn a7.",
    "beside, but where": "White king c6, white queen d4, white rook next to it. Black king a8, pawn a7.",
}


def placement(pieces: dict[chess.Square, chess.Piece]) -> str:
    board = chess.Board(None)
    board.set_piece_map(pieces)
    return board.board_fen()


@pytest.mark.parametrize(("words", "expected"), TOLD.values(), ids=TOLD)
def test_a_position_is_told(words: str, expected: str) -> None:
    (told,) = find_told(words)
    assert [fault.message for fault in told.faults] == []
    assert placement(told.pieces) == expected


@pytest.mark.parametrize("words", NO_POSITION.values(), ids=NO_POSITION)
def test_words_about_men_are_no_position(words: str) -> None:
    assert [told for told in find_told(words) if not told.faults] == []


@pytest.mark.parametrize("words", NOT_UNDERSTOOD.values(), ids=NOT_UNDERSTOOD)
def test_what_is_not_understood_whole_is_a_fault(words: str) -> None:
    (told,) = find_told(words)
    assert told.faults


def test_each_man_has_its_place_in_the_text() -> None:
    words = "So. White king c6, queen on d4, sorry, d3. Black king a8, and pawns a7 and b7. Mate in two."
    (told,) = find_told(words)
    assert {chess.square_name(square): span.of(words) for square, span in told.piece_spans.items()} == {
        "c6": "king c6",
        "d3": "queen on d4, sorry, d3",
        "a8": "king a8",
        "a7": "pawns a7",
        "b7": "b7",
    }
    assert told.span.of(words) == "White king c6, queen on d4, sorry, d3. Black king a8, and pawns a7 and b7"


def test_several_positions_of_one_talk() -> None:
    words = (
        "The first one. White king c6, queen d4. Black king a8, pawn a7. Mate in two, so queen to d8 it is. "
        "Next. White king g3, rook e7; Black king h1, pawn h2. The rook goes to e1."
    )
    assert [placement(told.pieces) for told in find_told(words)] == [
        "k7/p7/2K5/8/3Q4/8/8/8",
        "8/4R3/8/8/8/6K1/7p/7k",
    ]


def test_sides_that_are_not_named_by_colour_may_be_the_other_way_round() -> None:
    (told,) = find_told("My king sits on a7 and my queen on b6. He has his king on c8 and a rook on d8.")
    assert placement(told.others[0]) == "2KR4/k7/1q6/8/8/8/8/8"
