"""The examples of the FIDE Laws (in force 1 January 2023) and of the PGN standard, read as printed.

Positions are our own where an article prints none; the moves and forms are the article's.
"""

import re

import chess
import pytest
from checking import rules_found
from keyproof.grammar.moves import Effect, NotAMove, read_move
from keyproof.rules.board.resolve import meant_moves


def moves_meant(fen: str, text: str) -> list[str]:
    return sorted(move.uci() for move in meant_moves(chess.Board(fen), read_move(text)))


# Appendix C: how a move is written.
@pytest.mark.parametrize(
    ("article", "text", "fen", "uci"),
    [
        ("C.4", "e5", "4k3/8/8/8/4P3/8/8/4K3 w - - 0 1", "e4e5"),
        ("C.8", "Be5", "4k3/8/8/8/8/8/1B6/4K3 w - - 0 1", "b2e5"),
        ("C.8", "Bb2e5", "4k3/8/8/8/8/8/1B6/4K3 w - - 0 1", "b2e5"),
        ("C.8", "e7e5", "4k3/4p3/8/8/8/8/8/4K3 b - - 0 1", "e7e5"),
        ("C.8", "Rf3", "4k3/8/8/8/8/8/8/4KR2 w - - 0 1", "f1f3"),
        ("C.8, long with a dash", "Bb2-e5", "4k3/8/8/8/8/8/1B6/4K3 w - - 0 1", "b2e5"),
        ("C.9", "Bxe5", "4k3/8/8/4p3/8/8/1B6/4K3 w - - 0 1", "b2e5"),
        ("C.9, the x may be left out", "Be5", "4k3/8/8/4p3/8/8/1B6/4K3 w - - 0 1", "b2e5"),
        ("C.9.3", "dxe5", "4k3/8/8/4p3/3P4/8/8/4K3 w - - 0 1", "d4e5"),
        ("C.9.3, sample game", "ed4", "4k3/8/8/4p3/3P4/8/8/4K3 b - - 0 1", "e5d4"),
        ("C.9.3", "exd6 e.p.", "4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "e5d6"),
        ("C.10.1", "Ngf3", "4k3/8/8/8/8/8/8/K2N2N1 w - - 0 1", "g1f3"),
        ("C.10.2", "N5f3", "7k/8/8/6N1/8/8/8/K5N1 w - - 0 1", "g5f3"),
        ("C.10.3", "Nhf3", "7k/8/8/8/7N/8/3N4/K7 w - - 0 1", "h4f3"),
        ("C.10, with a capture", "Ngxf3", "4k3/8/8/8/8/5p2/8/K2N2N1 w - - 0 1", "g1f3"),
        ("C.11", "d8Q", "8/3P3k/8/8/8/8/8/K7 w - - 0 1", "d7d8q"),
        ("C.11", "exf8N", "5r2/4P2k/8/8/8/8/8/K7 w - - 0 1", "e7f8n"),
        ("C.11", "b1B", "7k/8/8/8/8/8/1p6/7K b - - 0 1", "b2b1b"),
        ("C.11", "g1R", "7k/8/8/8/8/8/6p1/K7 b - - 0 1", "g2g1r"),
        ("C.13.1", "0-0", "4k3/8/8/8/8/8/8/4K2R w K - 0 1", "e1g1"),
        ("C.13.2", "0-0-0", "4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "e1c1"),
        ("PGN 8.2.3.3", "O-O", "4k3/8/8/8/8/8/8/4K2R w K - 0 1", "e1g1"),
        ("PGN 8.2.3.3", "O-O-O", "4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "e1c1"),
        ("PGN 8.2.3.3", "e8=Q", "8/4P2k/8/8/8/8/8/K7 w - - 0 1", "e7e8q"),
        ("PGN 8.2.3.3", "exd8=N", "3r4/4P2k/8/8/8/8/8/K7 w - - 0 1", "e7d8n"),
        ("old books, from memory", "d8(Q)", "8/3P3k/8/8/8/8/8/K7 w - - 0 1", "d7d8q"),
        ("old books, from memory", "d8/Q", "8/3P3k/8/8/8/8/8/K7 w - - 0 1", "d7d8q"),
    ],
)
def test_written_as_in(article: str, text: str, fen: str, uci: str) -> None:
    assert moves_meant(fen, text) == [uci]


# PGN 8.2.3.4: file, then rank, then square; and only men that can move count.
@pytest.mark.parametrize(
    ("fen", "text", "ucis"),
    [
        ("6k1/8/8/8/8/8/8/KN3N2 w - - 0 1", "Nd2", ["b1d2", "f1d2"]),
        ("6k1/8/8/8/8/8/8/KN3N2 w - - 0 1", "Nbd2", ["b1d2"]),
        ("6k1/8/8/8/8/1N6/8/KN6 w - - 0 1", "N1d2", ["b1d2"]),
        ("6k1/8/8/8/8/1N6/8/KN6 w - - 0 1", "Nbd2", ["b1d2", "b3d2"]),
        ("6k1/8/8/8/8/1N3N2/8/KN6 w - - 0 1", "Nb1d2", ["b1d2"]),
        ("6k1/8/8/8/8/1N3N2/8/KN6 w - - 0 1", "Nb3d2", ["b3d2"]),
        ("6k1/8/8/8/8/1N3N2/8/KN6 w - - 0 1", "Nfd2", ["f3d2"]),
        # The knight on c3 is pinned by the bishop, so Ne2 is clear (PGN 8.2.3.4).
        ("6k1/8/8/8/1b6/2N5/8/4K1N1 w - - 0 1", "Ne2", ["g1e2"]),
    ],
)
def test_which_of_several(fen: str, text: str, ucis: list[str]) -> None:
    assert moves_meant(fen, text) == ucis


def test_a_pinned_twin_needs_no_help_and_none_is_asked_for() -> None:
    """PGN 8.2.3.4: only moves count, not mere attacks."""
    text = "FEN: 6k1/8/8/8/1b6/2N5/8/4K1N1 w - - 0 1\n1.{}"
    assert rules_found(text.format("Ne2")) == []
    assert rules_found(text.format("Nge2")) == ["needless-origin"]


def test_two_men_that_both_can_move_are_told_apart() -> None:
    """FIDE Laws C.10."""
    text = "FEN: 6k1/8/8/8/8/8/8/KN3N2 w - - 0 1\n1.{}"
    assert rules_found(text.format("Nd2")) == ["ambiguous-move"]
    assert rules_found(text.format("Nbd2")) == []


@pytest.mark.parametrize(
    ("article", "text", "effect"),
    [
        ("C.13.4", "Qh7+", Effect.check),
        ("C.13.5", "Qh7#", Effect.mate),
        ("C.13.5", "Qh7++", Effect.double_plus),
        ("old books, from memory", "Qh7†", Effect.check),
        ("old books, from memory", "Qh7‡", Effect.mate),
    ],
)
def test_signs(article: str, text: str, effect: Effect) -> None:
    assert [said for said, _ in read_move(text).effects] == [effect]


@pytest.mark.parametrize("suffix", ["!", "?", "!!", "!?", "?!", "??"])
def test_the_six_suffixes(suffix: str) -> None:
    """PGN standard 8.2.3.8 has exactly these."""
    assert read_move("Qh7+" + suffix).annotation == suffix


def test_the_signs_of_c13_are_optional() -> None:
    """FIDE Laws C.13.3 to C.13.6: nothing is said, so nothing is claimed."""
    phrase = read_move("Be5")
    assert (phrase.capture, phrase.effects, phrase.en_passant) == (False, (), False)


def test_a_pawn_may_have_its_letter() -> None:
    """PGN 8.2.3.2: never written on export, tolerated on import; FIDE C.4 writes none."""
    assert moves_meant("4k3/8/8/8/4P3/8/8/4K3 w - - 0 1", "Pe5") == ["e4e5"]


@pytest.mark.parametrize("text", ["e9", "i4", "Ke", "e8=", "0-0-0-0", "", " ", "Nf3 Nf6"])
def test_what_is_no_move_says_so(text: str) -> None:
    """FIDE Laws C.5 to C.8."""
    with pytest.raises(NotAMove, match=f"^{re.escape(repr(text))} is not a printed move$"):
        read_move(text)


@pytest.mark.parametrize("text", ["P-K4", "Q-KR5", "Kt-B3", "QxP", "PxP/QB6", "R(R3)-Q3"])
def test_descriptive_notation_is_not_algebraic(text: str) -> None:
    """FIDE recognises algebraic notation alone (Appendix C, first paragraph)."""
    with pytest.raises(NotAMove):
        read_move(text)


# Article 3.7.3.3: the new man is part of the move; 3.7.3.4: any of the four, whatever was captured.
@pytest.mark.parametrize("man", "QRBN")
def test_every_promotion_is_open(man: str) -> None:
    fen = "8/4P2k/8/8/8/8/8/KQRBN3 w - - 0 1"
    assert moves_meant(fen, f"e8={man}") == [f"e7e8{man.lower()}"]


def test_a_promotion_must_be_named() -> None:
    assert moves_meant("8/4P2k/8/8/8/8/8/K7 w - - 0 1", "e8") == ["e7e8b", "e7e8n", "e7e8q", "e7e8r"]
    text = "FEN: 8/4P2k/8/8/8/8/8/K7 w - - 0 1\n1.{}"
    assert rules_found(text.format("e8")) == ["missing-promotion"]
    assert rules_found(text.format("e8=Q")) == []
    for false in ("e8=K", "e8=P"):
        assert rules_found(text.format(false)) == ["wrong-promotion"]


def test_a_promoted_man_acts_at_once() -> None:
    """Article 3.7.3.5."""
    text = "FEN: 7k/4P3/7K/8/8/8/8/8 w - - 0 1\n1.e8={}"
    assert rules_found(text.format("Q#")) == []
    assert rules_found(text.format("R#")) == []
    assert rules_found(text.format("B#")) == ["mate-without-check"]
    assert rules_found(text.format("N+")) == ["no-check"]


# Articles 3.7.3.1 and 3.7.3.2: en passant, on the very next move only.
@pytest.mark.parametrize(
    ("fen", "text", "rules"),
    [
        ("7k/3p4/8/4P3/8/8/8/K7 b - - 0 1", "1...d5 2.exd6", []),
        ("7k/3p4/8/4P3/8/8/8/K7 b - - 0 1", "1...d5 2.exd6 e.p.", []),
        ("7k/3p4/8/4P3/8/8/8/K7 b - - 0 1", "1...d5 2.Kb2 Kg7 3.exd6", ["en-passant-too-late"]),
        ("7k/3p4/8/4P3/8/8/8/K7 b - - 0 1", "1...d6 2.exd6 e.p.", ["wrong-en-passant-sign"]),
        ("7k/8/3p4/4P3/8/8/8/K7 b - - 0 1", "1...d5 2.exd6", ["en-passant-too-late"]),
        ("7k/8/8/3pP3/8/8/8/K7 w - d6 0 1", "1.exd6", []),
        ("7k/8/8/3pP3/8/8/8/K7 w - - 0 1", "1.exd6", ["en-passant-unproved"]),
    ],
)
def test_en_passant(fen: str, text: str, rules: list[str]) -> None:
    assert [name for name in rules_found(f"FEN: {fen}\n{text}") if "passant" in name] == rules


def test_en_passant_that_bares_the_king_along_the_rank() -> None:
    """Article 3.9.2: two pawns leave the rank at once."""
    text = "FEN: 7k/8/8/K2pP2r/8/8/8/8 w - d6 0 1\n1.exd6"
    assert "pinned-man-moves" in rules_found(text)


def test_a_pinned_man_still_gives_check() -> None:
    """Articles 3.1.3 and 3.9.1: on e2 the queen is pinned on the rank and checks on the file."""
    text = "FEN: 4k3/8/8/8/8/8/r6K/3Q4 w - - 0 1\n1.{}"
    assert rules_found(text.format("Qe2+")) == []
    assert rules_found(text.format("Qe2#")) == ["check-not-mate"]


def test_a_pinned_man_still_guards() -> None:
    """Article 3.1.3: the black bishop is pinned on the e-file and still guards f6."""
    text = "FEN: 4k3/4b3/8/6K1/8/8/8/4R3 w - - 0 1\n1.Kf6"
    assert rules_found(text) == ["king-into-check"]


# Articles 5.1.1, 5.2.1 and 1.4.1: nothing is played after mate or stalemate.
@pytest.mark.parametrize(
    ("fen", "text"),
    [
        ("7k/8/5KQ1/8/8/8/8/8 w - - 0 1", "1.Qg7# Kxg7"),
        ("7k/8/5K2/6Q1/8/8/8/8 w - - 0 1", "1.Qg6 Kg8"),
    ],
)
def test_nothing_is_played_after_the_end(fen: str, text: str) -> None:
    assert rules_found(f"FEN: {fen}\n{text}") == ["move-after-the-end"]
