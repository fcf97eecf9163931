"""How a move is printed, for the tests that read it back.

Written from the sources, not from keyproof's grammar: FIDE Laws Appendix C (C.8 long form,
C.9 the capture sign may be left out, C.11 promotion, C.13 signs), PGN standard 8.2.3 (SAN,
"="), and the loose forms of problem books ("R:d5", "e8(S)", "e8/S", "exd", "Sd3xBf4", "†",
"‡", figurines): common practice, no source.
"""

import re
from collections.abc import Mapping

import chess
from hypothesis import strategies as st

ENGLISH = {chess.KING: "K", chess.QUEEN: "Q", chess.ROOK: "R", chess.BISHOP: "B", chess.KNIGHT: "N"}
PROBLEM = ENGLISH | {chess.KNIGHT: "S"}
WHITE_FIGURINES = dict(zip(range(6, 0, -1), "♔♕♖♗♘♙", strict=True))
BLACK_FIGURINES = dict(zip(range(6, 0, -1), "♚♛♜♝♞♟", strict=True))

SAN = re.compile(r"(?P<man>[KQRBN])?(?P<origin>[a-h]?[1-8]?)x?(?P<target>[a-h][1-8])(?:=(?P<promotion>[QRBN]))?[+#]?")

CAPTURE_SIGNS = ("x", ":", "×", "")
PROMOTIONS = ("={}", "{}", "({})", "/{}")
ANNOTATIONS = ("", "!", "?", "!!", "??", "!?", "?!")
CASTLINGS = ("O-O", "0-0")
EN_PASSANT_SIGNS = ("", " e.p.", "e.p.", " e. p.", " ep")


def effect_signs(board: chess.Board, move: chess.Move) -> list[str]:
    """Return the signs that may truly stand after a move; each may be left out (C.13)."""
    after = board.copy(stack=False)
    after.push(move)
    if after.is_checkmate():
        return ["", "#", "++", "‡"]
    if after.is_check():
        return ["", "+", "†"] + (["++"] if len(after.checkers()) > 1 else [])
    return [""]


def captured(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of man a move takes."""
    if board.is_en_passant(move):
        return chess.PAWN
    return None if board.is_castling(move) else board.piece_type_at(move.to_square)


@st.composite
def printed(
    draw: st.DrawFn, board: chess.Board, move: chess.Move, letters: Mapping[chess.PieceType, str] | None = None
) -> str:
    """Print a legal move in one of the supported styles; what is printed is true and names one move."""
    if letters is None:
        letters = draw(st.sampled_from((ENGLISH, PROBLEM, WHITE_FIGURINES, BLACK_FIGURINES)))
    ending = draw(st.sampled_from(effect_signs(board, move))) + draw(st.sampled_from(ANNOTATIONS))
    if board.is_castling(move):
        side = draw(st.sampled_from(CASTLINGS))
        return side + (f"-{side[0]}" if board.is_queenside_castling(move) else "") + ending
    san = SAN.fullmatch(board.san(move))
    assert san is not None
    kind = board.piece_type_at(move.from_square)
    assert kind is not None
    taken = captured(board, move)
    origin = draw(st.sampled_from((san["origin"], chess.square_name(move.from_square))))
    if taken is None:
        sign = draw(st.sampled_from(("", "-"))) if len(origin) == 2 else ""
    else:
        sign = draw(st.sampled_from(CAPTURE_SIGNS))
        if sign and draw(st.booleans()) and taken in letters:
            sign += letters[taken]
    target = san["target"]
    if sign == "x" and kind == chess.PAWN and len(origin) == 1 and not move.promotion:
        same_file = [
            other
            for other in board.legal_moves
            if board.piece_type_at(other.from_square) == chess.PAWN
            and chess.square_file(other.from_square) == chess.square_file(move.from_square)
            and chess.square_file(other.to_square) == chess.square_file(move.to_square)
        ]
        if len(same_file) == 1 and draw(st.booleans()):
            target = target[0]  # "exd"
    text = ("" if kind == chess.PAWN else letters[kind]) + origin + sign + target
    if move.promotion:
        text += draw(st.sampled_from(PROMOTIONS)).format(letters[move.promotion])
    if board.is_en_passant(move):
        text += draw(st.sampled_from(EN_PASSANT_SIGNS))
    return text + ending


_NAMES = chess.PIECE_NAMES


@st.composite
def worded(draw: st.DrawFn, board: chess.Board, move: chess.Move) -> str:
    """Tell a legal move in words. What is said is true and names a square, but several moves may agree with it."""
    if board.is_castling(move):
        short = board.is_kingside_castling(move)
        side = draw(st.sampled_from(("short", "kingside", "king-side") if short else ("long", "queenside")))
        return draw(st.sampled_from(("castles ", chess.COLOR_NAMES[board.turn].title() + " castles "))) + side
    kind = board.piece_type_at(move.from_square)
    assert kind is not None
    taken = captured(board, move)
    target = chess.square_name(move.to_square)
    man = _NAMES[kind]
    start = chess.square_name(move.from_square)
    if kind == chess.PAWN:
        named = [f"the pawn on {start}"]
        if start[0] != "a":  # "the a-pawn" has a test of its own
            named += [f"the {start[0]}-pawn", f"the {start[0]} pawn"]
        who = draw(st.sampled_from(named))
    else:
        colour = chess.COLOR_NAMES[board.turn]
        who = draw(st.sampled_from((man, f"the {man}", f"the {colour} {man}", f"the {man} on {start}")))
    if taken is not None:
        verb = draw(st.sampled_from(("takes", "captures", "can take", "must capture")))
        objects = [f" {target}", f" on {target}"]
        if not board.is_en_passant(move):
            objects.append(f" the {_NAMES[taken]} on {target}")
        what = draw(st.sampled_from(objects))
    else:
        verb = draw(st.sampled_from(("moves to", "goes to", "steps to", "comes to", "to")))
        what = f" {target}"
    text = f"{who} {verb}{what}"
    if move.promotion:
        became = _NAMES[move.promotion]
        text += draw(st.sampled_from((" promoting to a {}", " and promotes to a {}", " becoming a {}"))).format(became)
    return text
