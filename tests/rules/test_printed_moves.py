"""A move printed in any supported style is read back as exactly that move.

python-chess is the outside oracle: it says which moves are legal and what SAN is; the other
styles are written by `writing.py` from the Laws and the PGN standard.
"""

import chess
from hypothesis import assume, given
from hypothesis import strategies as st
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import Effect, MovePhrase, read_move
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Turn
from keyproof.rules.board.resolve import meant_moves
from strategies import after, moves
from writing import ANNOTATIONS, BLACK_FIGURINES, WHITE_FIGURINES, captured, printed, worded

Position = tuple[chess.Board, chess.Move]


def only_turn(text: str, printed_move: str) -> Turn:
    """Return the one turn of a line of text, after checking that it is spelt `printed_move`."""
    found, _ = statements(text, [Span(0, len(text))])
    (turn,) = [statement for statement in found if isinstance(statement, Turn)]
    assert len(turn.choices) == 1, text
    assert turn.choices[0].span.of(text) == printed_move
    return turn


def numbered(board: chess.Board, printed_move: str) -> str:
    return ("1." if board.turn == chess.WHITE else "1...") + printed_move


@given(moves())
def test_san_resolves_to_the_move(position: Position) -> None:
    board, move = position
    assert meant_moves(board, read_move(board.san(move))) == [move]


@given(moves())
def test_every_legal_move_has_its_own_san(position: Position) -> None:
    board, _ = position
    for move in board.legal_moves:
        assert meant_moves(board, read_move(board.san(move))) == [move]


@given(moves(), st.data())
def test_any_style_resolves_to_the_move(position: Position, data: st.DataObject) -> None:
    board, move = position
    text = data.draw(printed(board, move))
    turn = only_turn(numbered(board, text), text)
    assert meant_moves(board, turn.choices[0]) == [move]


@given(moves(), st.data())
def test_every_printed_part_is_kept(position: Position, data: st.DataObject) -> None:
    board, move = position
    text = data.draw(printed(board, move))
    phrase = only_turn(numbered(board, text), text).choices[0]
    assert phrase.promotion == move.promotion
    assert phrase.annotation == text[len(text.rstrip("!?")) :]
    assert phrase.annotation in ANNOTATIONS
    if phrase.capture:
        assert captured(board, move) in ((phrase.captured,) if phrase.captured else chess.PIECE_TYPES)
    assert phrase.capture == any(sign in text for sign in "x:×")
    assert phrase.en_passant == any(sign in text for sign in ("e.p.", "e. p.", " ep"))
    bare = text.rstrip("!?")
    signs = {"#": Effect.mate, "‡": Effect.mate, "++": Effect.double_plus, "+": Effect.check, "†": Effect.check}
    sign = next((sign for sign in signs if bare.endswith(sign)), None)
    assert [effect for effect, _ in phrase.effects] == ([signs[sign]] if sign else [])


def officers(language: str) -> dict[chess.PieceType, str]:
    """Return the letters of one language, the first where it has several."""
    letters: dict[chess.PieceType, str] = {}
    for letter, kind in LANGUAGES[language].items():
        if kind != chess.PAWN:
            letters.setdefault(kind, letter)
    return letters


@given(moves(), st.sampled_from(sorted(LANGUAGES)), st.data())
def test_the_language_is_deduced_from_the_line(position: Position, language: str, data: st.DataObject) -> None:
    board, move = position
    letters = officers(language)
    text = data.draw(printed(board, move, letters))
    # Moves of all five men stand before it, so that no other table fits.
    line = " ".join(f"{letter}a1" for letter in letters.values()) + "; " + numbered(board, text)
    found, deduced = statements(line, [Span(0, len(line))])
    assert officers(deduced) == letters
    (phrase,) = [
        choice
        for statement in found
        if isinstance(statement, Turn) and statement.number is not None
        for choice in statement.choices
    ]
    assert phrase.span.of(line) == text
    assert meant_moves(board, phrase) == [move]


@given(moves(), st.sampled_from((WHITE_FIGURINES, BLACK_FIGURINES)), st.data())
def test_figurines_of_either_colour_name_the_kind(
    position: Position, letters: dict[chess.PieceType, str], data: st.DataObject
) -> None:
    board, move = position
    text = data.draw(printed(board, move, letters))
    assert meant_moves(board, only_turn(numbered(board, text), text).choices[0]) == [move]


@given(moves(), st.data())
def test_words_resolve_to_the_moves_they_describe(position: Position, data: st.DataObject) -> None:
    board, move = position
    text = data.draw(worded(board, move))
    assert set(meant_moves(board, only_turn(text, text).choices[0])) == described(board, move, text)


def described(board: chess.Board, move: chess.Move, text: str) -> set[chess.Move]:
    """Return every legal move that agrees with the words, counted without keyproof."""
    if board.is_castling(move):
        return {move}
    target = chess.square_name(move.to_square)
    start = chess.square_name(move.from_square)
    kind = board.piece_type_at(move.from_square)
    return {
        other
        for other in board.legal_moves
        if board.piece_type_at(other.from_square) == kind
        and not board.is_castling(other)
        and other.promotion == move.promotion
        and chess.square_name(other.to_square) == target
        and (kind != chess.PAWN or other.from_square % 8 == move.from_square % 8)
        and (f" on {start} " not in text or other.from_square == move.from_square)
    }


@given(moves(kinds=("check", "mate", "stalemate", "double check", "any")))
def test_the_move_with_its_signs_is_what_python_chess_prints(position: Position) -> None:
    board, move = position
    phrase: MovePhrase = read_move(board.san(move))
    end = after(board, move)
    expected = [Effect.mate] if end.is_checkmate() else [Effect.check] if end.is_check() else []
    assert [effect for effect, _ in phrase.effects] == expected
    assert phrase.capture == board.is_capture(move)
    assert phrase.promotion == move.promotion


@given(moves())
def test_two_squares_are_the_move_of_the_man_on_the_first(position: Position) -> None:
    board, move = position
    assume(not board.is_castling(move))  # that has signs of its own (FIDE Laws C.13)
    squares = f"{chess.square_name(move.from_square)}-{chess.square_name(move.to_square)}"
    meant = meant_moves(board, read_move(squares))
    assert {each.from_square for each in meant} == {move.from_square}
    assert move in meant or move.promotion


def test_the_a_pawn_is_a_pawn_of_the_a_file() -> None:
    assert only_turn("the a-pawn moves to a5", "the a-pawn moves to a5").choices[0].origin_file == 0
