"""The reason given for an unplayable move is true, and names men that really stand and act so.

Each rule's condition is written here a second time with python-chess alone, from the Laws.
"""

import random
import re

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from keyproof.grammar.moves import read_move
from keyproof.rules.board.resolve import meant_moves
from keyproof.rules.play.node import Node
from keyproof.rules.play.why import Impossible, why_not
from strategies import en_passant, few_men, game

LETTERS = dict(zip("NBRQK", (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN, chess.KING), strict=True)) | {
    "": chess.PAWN
}
SQUARE = r"([a-h][1-8])"
NAMED = re.compile(r"the (white|black) (king|queen|rook|bishop|knight|pawn) on ([a-h][1-8])")


class Printed:
    """A printed move taken apart again, without keyproof."""

    def __init__(self, text: str) -> None:
        match = re.fullmatch(r"([NBRQK]?)([a-h]?[1-8]?)(x?)([a-h][1-8])(?:=([QRBNK]))?", text)
        assert match is not None
        self.text = text
        self.kind = LETTERS[match[1]]
        self.origin, self.capture = match[2], bool(match[3])
        self.target = chess.parse_square(match[4])
        self.promotion = LETTERS[match[5]] if match[5] else None

    def starts(self, square: chess.Square) -> bool:
        return set(self.origin) <= set(chess.square_name(square))

    def men(self, board: chess.Board) -> set[chess.Square]:
        return {square for square in board.pieces(self.kind, board.turn) if self.starts(square)}

    def reaches(self, board: chess.Board, move: chess.Move) -> bool:
        """Tell whether a move is of the printed man to the printed square; its origin may differ."""
        return (
            board.piece_type_at(move.from_square) == self.kind
            and move.to_square == self.target
            and not board.is_castling(move)
        )

    def pseudo(self, board: chess.Board) -> list[chess.Move]:
        return [m for m in board.pseudo_legal_moves if self.reaches(board, m) and self.starts(m.from_square)]


def _forbidden(board: chess.Board, chance: random.Random) -> str | None:
    """Print a move that only the safety of the king forbids."""
    illegal = [m for m in board.pseudo_legal_moves if not board.is_legal(m) and not board.is_castling(m)]
    if not illegal:
        return None
    move = chance.choice(illegal)
    letter, start = _letter(board, move.from_square), chess.square_name(move.from_square)
    origin = chance.choice((start, start[0], "")) if letter else start
    return letter + origin + chess.square_name(move.to_square) + ("=Q" if move.promotion else "")


def _plausible(board: chess.Board, chance: random.Random) -> str:
    """Print a move that a man could make on another board, or a pawn with another neighbour."""
    start = chance.choice(list(chess.SquareSet(board.occupied_co[board.turn])))
    letter = _letter(board, start)
    if letter:
        alone = chess.Board(None)
        alone.set_piece_at(start, board.piece_at(start))
        return letter + chess.square_name(chance.choice(list(alone.attacks(start))))
    step = 8 if board.turn else -8
    target = chance.choice([start + step, *board.attacks(start)])
    ending = "=Q" if chess.square_rank(target) in (0, 7) else ""
    file = "" if target == start + step else chess.square_name(start)[0] + chance.choice(("x", ""))
    return file + chess.square_name(target) + ending


def _random(board: chess.Board, chance: random.Random) -> str:
    """Print any move at all."""
    letter, target = chance.choice(list(LETTERS)), chance.choice(chess.SQUARE_NAMES)
    origin = chance.choice(("", "", target[0], *"abcdefgh", *("12345678" if letter else "")))
    capture = "x" if (letter or origin) and chance.random() < 0.4 else ""
    return letter + origin + capture + target + chance.choice(("", "", "", "", "=Q", "=N", "=K"))


def _letter(board: chess.Board, square: chess.Square) -> str:
    piece = board.piece_at(square)
    assert piece is not None
    return piece.symbol().upper().replace("P", "")


@st.composite
def unplayable(draw: st.DrawFn) -> tuple[chess.Board, str]:
    """Return a position and a printed move that cannot be played in it."""
    chance = random.Random(draw(st.integers(0, 2**32 - 1)))
    write = draw(st.sampled_from((_forbidden, _plausible, _random)))
    source = draw(st.sampled_from((few_men, few_men, en_passant, game)))
    for _ in range(100):
        board = source(chance, 12)
        if chance.random() < 0.3:
            board.ep_square = None
        text = write(board, chance)
        if text is not None and any(board.legal_moves) and not meant_moves(board, read_move(text)):
            return board, text
    return chess.Board(), "Ke3"


def reason(board: chess.Board, text: str) -> Impossible:
    return why_not(Node(board.copy(stack=False)), read_move(text))


def unveils(board: chess.Board, move: chess.Move) -> bool:
    """Tell whether a move lets a man attack the mover's king that did not before, along a line (Laws 3.9.2)."""
    king = board.king(board.turn)
    assert king is not None
    before = board.checkers()
    after = board.copy(stack=False)
    after.push(move)
    return bool(after.attackers(not board.turn, king) - before - chess.SquareSet([move.to_square]))


def still_checked(board: chess.Board, move: chess.Move) -> bool:
    king = board.king(board.turn)
    assert king is not None
    after = board.copy(stack=False)
    after.push(move)
    return bool(after.attackers(not board.turn, king) & board.checkers())


def guards(board: chess.Board, square: chess.Square) -> chess.SquareSet:
    """Return the men that would attack a king of the side to move on `square`."""
    moved = board.copy(stack=False)
    king = moved.king(board.turn)
    assert king is not None
    moved.remove_piece_at(king)
    moved.set_piece_at(square, chess.Piece(chess.KING, board.turn))
    return moved.attackers(not board.turn, square)


def other_side_can(board: chess.Board, printed: Printed) -> bool:
    """Tell whether the other side, if it were its turn, had the printed move; kings are not captured (Laws 1.4.1)."""
    turned = board.copy(stack=False)
    turned.turn, turned.ep_square = not board.turn, None
    if board.piece_type_at(printed.target) == chess.KING:
        return False
    return any(
        printed.reaches(turned, move)
        and printed.starts(move.from_square)
        and printed.promotion in (None, move.promotion)
        for move in turned.legal_moves
    )


def attacks_by_pawn(board: chess.Board, printed: Printed) -> bool:
    return any(printed.target in board.attacks(square) for square in printed.men(board))


def truth(board: chess.Board, printed: Printed, rule: str) -> bool:
    """Tell whether the fault that `rule` stands for is there."""
    pseudo = printed.pseudo(board)
    last_rank = 7 if board.turn else 0
    if rule == "wrong-side":
        return other_side_can(board, printed) and not pseudo
    if rule == "wrong-promotion":
        return printed.promotion is not None and (
            printed.kind != chess.PAWN
            or printed.promotion == chess.KING
            or chess.square_rank(printed.target) != last_rank
        )
    if rule == "wrong-origin":
        return any(printed.reaches(board, m) and not printed.starts(m.from_square) for m in board.legal_moves)
    if rule == "king-into-check":
        return printed.kind == chess.KING and bool(pseudo) and bool(guards(board, printed.target))
    if rule == "pinned-man-moves":
        return bool(pseudo) and printed.kind != chess.KING and all(unveils(board, m) for m in pseudo)
    if rule == "check-not-met":
        return bool(pseudo) and board.is_check() and any(still_checked(board, m) for m in pseudo)
    if rule == "captures-nothing":
        empty = board.piece_at(printed.target) is None
        return printed.kind == chess.PAWN and empty and attacks_by_pawn(board, printed) and not pseudo
    if rule == "en-passant-unproved":
        back = -8 if board.turn else 8
        enemy = chess.Piece(chess.PAWN, not board.turn)
        return attacks_by_pawn(board, printed) and board.piece_at(printed.target + back) == enemy
    assert rule == "illegal-move", rule
    return not pseudo and not any(printed.reaches(board, m) for m in board.legal_moves if not printed.origin)


@given(unplayable())
def test_the_fault_named_is_there(case: tuple[chess.Board, str]) -> None:
    board, text = case
    why = reason(board, text)
    assert truth(board, Printed(text), why.rule), (board.fen(), text, why)


@given(unplayable())
def test_a_move_that_only_the_king_forbids_is_said_to_be_so(case: tuple[chess.Board, str]) -> None:
    board, text = case
    printed = Printed(text)
    if not printed.pseudo(board) or printed.promotion == chess.KING:
        return
    why = reason(board, text)
    if truth(board, printed, "wrong-origin") or truth(board, printed, "wrong-promotion"):
        assert why.rule in ("wrong-origin", "wrong-promotion")
    elif printed.kind == chess.KING:
        assert why.rule == "king-into-check"
    elif not board.is_check():
        assert why.rule == "pinned-man-moves"
    else:
        assert why.rule in ("pinned-man-moves", "check-not-met")


@given(unplayable())
def test_the_men_named_stand_there(case: tuple[chess.Board, str]) -> None:
    board, text = case
    for colour, kind, square in NAMED.findall(reason(board, text).message):
        piece = chess.Piece(chess.PIECE_NAMES.index(kind), colour == "white")
        assert board.piece_at(chess.parse_square(square)) == piece


def squares(text: str) -> set[chess.Square]:
    return {chess.parse_square(name) for name in re.findall(SQUARE, text)}


@given(unplayable())
def test_the_men_named_do_what_is_said(case: tuple[chess.Board, str]) -> None:
    board, text = case
    printed = Printed(text)
    message = reason(board, text).message
    said, _, can = message.partition("; ")
    king = board.king(board.turn)
    assert king is not None
    if match := re.search(rf"on {SQUARE} cannot reach .*on {SQUARE} is in the way", said):
        start, blocker = map(chess.parse_square, match.groups())
        assert start in printed.men(board)
        assert blocker in chess.SquareSet.between(start, printed.target)
    if match := re.search(r"the king cannot go to \w\d: (.*) guards? it", said):
        assert squares(match[1]) == set(guards(board, printed.target))
    if match := re.search(rf"on {SQUARE} is pinned by .* on {SQUARE} to the king", said):
        pinned, pinner = map(chess.parse_square, match.groups())
        line = chess.SquareSet.between(king, pinner)
        assert line & board.occupied == chess.SquareSet([pinned])
        assert printed.target not in line | {pinner}
        assert pinner in guards_without(board, pinned, king)
    if match := re.search(r"is in check from (.*), and", said):
        assert squares(match[1]) == set(board.checkers())
    if match := re.search(r"is occupied by (White|Black)'s own (\w+)", said):
        piece = chess.Piece(chess.PIECE_NAMES.index(match[2]), match[1] == "White")
        assert board.piece_at(printed.target) == piece
        assert piece.color == board.turn
    if match := re.search(r"(?:White|Black) has no (\w+)", said):
        assert not board.pieces(chess.PIECE_NAMES.index(match[1]), board.turn)
    if match := re.search(r"(?:stands there|can reach \w\d): (?:it stands|they stand) on (.*)", said):
        listed = set(board.pieces(printed.kind, board.turn))
        assert squares(match[1]) == (listed if "there" in said else printed.men(board))
    if match := re.search(rf"can go to \w\d stands on (.*), not on (?:the )?({SQUARE}|[a-h]-file|rank \d)", said):
        legal = {m.from_square for m in board.legal_moves if printed.reaches(board, m)}
        assert squares(match[1]) == legal
    if can:
        kinds = {chess.PIECE_NAMES.index(name) for name in re.findall(r"the (\w+)", can)}
        legal_moves = [m for m in board.legal_moves if m.to_square == printed.target and not board.is_castling(m)]
        assert kinds == {board.piece_type_at(m.from_square) for m in legal_moves} - {printed.kind}


def guards_without(board: chess.Board, man: chess.Square, square: chess.Square) -> chess.SquareSet:
    bare = board.copy(stack=False)
    bare.remove_piece_at(man)
    return bare.attackers(not board.turn, square)


@given(unplayable())
def test_a_repair_makes_the_move_playable(case: tuple[chess.Board, str]) -> None:
    board, text = case
    for edit in reason(board, text).repair:
        repaired = text[: edit.span.start] + edit.text + text[edit.span.end :]
        assert meant_moves(board, read_move(repaired)), (board.fen(), text, repaired)


# Positions of our own, one for each reason.
@pytest.mark.parametrize(
    ("fen", "text", "rule", "part"),
    [
        ("4k3/8/8/8/8/8/4r3/4RK2 b - - 0 1", "Rxe1", None, ""),
        ("3k4/8/8/8/4R3/8/8/4K3 w - - 0 1", "Rb3", "illegal-move", "no white rook can reach b3: it stands on e4"),
        ("3k4/8/8/8/2N1R3/8/8/4K3 w - - 0 1", "Ra4", "illegal-move", "the white knight on c4 is in the way (Laws 3.5)"),
        ("3k4/8/8/8/2N1R3/8/8/4K3 w - - 0 1", "Rc4", "illegal-move", "c4 is occupied by White's own knight"),
        ("4k3/8/8/8/8/p7/P7/4K3 w - - 0 1", "a3", "illegal-move", "is blocked by the black pawn on a3 (Laws 3.7.1)"),
        ("4k3/8/8/8/8/8/P7/4K3 w - - 0 1", "axb3", "captures-nothing", "nothing to capture on b3 (Laws 3.7.3)"),
        ("4k3/8/8/8/8/8/4r3/4K2R w - - 0 1", "Rh2", "check-not-met", "White is in check from the black rook on e2"),
        ("4k3/4r3/8/8/8/8/4B3/4K3 w - - 0 1", "Bd3", "pinned-man-moves", "pinned by the black rook on e7 to the king"),
        ("4k3/8/8/8/8/8/r7/4K3 w - - 0 1", "Kd2", "king-into-check", "the black rook on a2 guards it (Laws 3.9.2)"),
        ("4k3/8/8/8/8/8/8/R3K3 w - - 0 1", "Rda3", "wrong-origin", "stands on a1, not on the d-file"),
        ("4k3/8/8/8/8/8/8/R3K3 w - - 0 1", "Ke7", "wrong-side", "only Black can play this"),
        ("4k3/8/8/8/8/8/8/R3K3 w - - 0 1", "Ra8=Q+", "wrong-promotion", "only a pawn is promoted (Laws 3.7.3.3)"),
        ("7k/8/8/8/8/7b/8/R3K2Q w - - 0 1", "Qf1", None, ""),
    ],
)
def test_reasons(fen: str, text: str, rule: str | None, part: str) -> None:
    board = chess.Board(fen)
    assert not board.status() & ~chess.STATUS_BAD_CASTLING_RIGHTS
    if rule is None:
        assert len(meant_moves(board, read_move(text))) == 1
        return
    why = reason(board, text)
    assert why.rule == rule
    assert part in why.message


def test_a_pinned_man_in_check_is_not_blamed_for_its_pin_along_the_line() -> None:
    """The rook may move on the e-file as far as the pin goes; what forbids it is the check by the knight."""
    why = reason(chess.Board("4k3/4r3/8/8/8/3n4/4R3/4K3 w - - 0 1"), "Re4")
    assert why.rule == "check-not-met"
    assert "the black knight on d3" in why.message


def test_of_the_men_behind_one_another_the_nearest_pins() -> None:
    why = reason(chess.Board("4k3/8/8/8/8/4r3/4Q3/4K3 b - - 0 1"), "Ra3")
    assert why.message.startswith("the black rook on e3 is pinned by the white queen on e2 to the king on e8")
