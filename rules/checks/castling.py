"""Castling (FIDE Laws 3.8.2), each cause with its own rule, and the right to it (WFCC Codex 16(1))."""

import re
from collections.abc import Iterator

import chess

from ..case.case import Case
from ..finding import Edit, Fault, Level
from ..play import castling
from ..play.node import Node
from ..proof import prover
from ..retro import rights
from .hedges import doubted
from .moves import impossible
from .register import rule


@rule("castling-out-of-check", Level.error)
def castling_out_of_check(case: Case) -> Iterator[Fault]:
    """The king castles while it is in check.

    Source: FIDE Laws 3.8.2.2(a).

    Bad:
        FEN: 4r2k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1
        1.O-O

    Good:
        FEN: 4r2k/6pp/8/8/8/8/8/R3K2R w KQ - 0 1
        1.Kf2
    """
    yield from impossible(case, "castling-out-of-check")


@rule("castling-through-check", Level.error)
def castling_through_check(case: Case) -> Iterator[Fault]:
    """The king would cross an attacked square in castling.

    Source: FIDE Laws 3.8.2.2(a).

    Bad:
        FEN: 5r1k/6pp/8/8/8/8/8/4K2R w K - 0 1
        1.O-O

    Good:
        FEN: 1r5k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        1.O-O-O
        The rook may cross b1 though b1 is attacked: only the king's squares count.
    """
    yield from impossible(case, "castling-through-check")


@rule("castling-into-check", Level.error)
def castling_into_check(case: Case) -> Iterator[Fault]:
    """The king would land on an attacked square in castling.

    Source: FIDE Laws 3.8.2.2(a) and 3.9.2.

    Bad:
        FEN: 6rk/7p/8/8/8/8/8/4K2R w K - 0 1
        1.O-O

    Good:
        FEN: 7k/7r/8/8/8/8/8/4K2R w K - 0 1
        1.O-O
        The rook may stand on an attacked square: only the king's squares count.
    """
    yield from impossible(case, "castling-into-check")


@rule("castling-blocked", Level.error)
def castling_blocked(case: Case) -> Iterator[Fault]:
    """A man stands between king and rook.

    Source: FIDE Laws 3.8.2.2(b).

    Bad:
        FEN: 7k/6pp/8/8/8/8/8/RN2K3 w Q - 0 1
        1.O-O-O

    Good:
        FEN: 7k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        1.O-O-O
    """
    yield from impossible(case, "castling-blocked")


@rule("castling-right-lost", Level.error)
def castling_right_lost(case: Case) -> Iterator[Fault]:
    """King or rook has moved, or the rook was captured, earlier in the same line of play.

    Source: FIDE Laws 3.8.2.1.

    Bad:
        FEN: 7k/6pp/8/8/8/8/8/4K2R w K - 0 1
        1.Rh2 Kg8 2.Rh1 Kh8 3.O-O

    Good:
        FEN: 7k/6pp/8/8/8/8/8/4K2R w K - 0 1
        1.O-O Kg8
    """
    yield from impossible(case, "castling-right-lost")


@rule("castling-not-at-home", Level.error)
def castling_not_at_home(case: Case) -> Iterator[Fault]:
    """King or rook does not stand on its original square.

    Source: FIDE Laws 3.8.2.

    Bad:
        FEN: 7k/6pp/8/8/8/8/8/4K1R1 w - - 0 1
        1.O-O

    Good:
        FEN: 7k/6pp/8/8/8/8/8/4K2R w K - 0 1
        1.O-O
    """
    yield from impossible(case, "castling-not-at-home")


@rule("castling-right-missing", Level.warning)
def castling_right_missing(case: Case) -> Iterator[Fault]:
    """The text castles, king and rook stand at home, and only the FEN denies the right.

    In a composition castling is allowed unless it can be proved that king or rook has
    moved, so the line is judged with the right; a FEN copied with "-" in its third field
    makes other people's boards refuse a legal castling. The repair adds the letter.

    Source: WFCC Codex 16(1); PGN standard 16.1.3.3.

    Bad:
        FEN: 7k/6pp/8/8/8/8/8/4K2R w - - 0 1
        1.O-O

    Good:
        FEN: 7k/6pp/8/8/8/8/8/4K2R w K - 0 1
        1.O-O
    """
    if case.reading is None:
        return
    for granted in case.granted:
        letter = _letter(granted.colour, granted.wing)
        repair: tuple[Edit, ...] = ()
        diagram = case.diagram
        if diagram is not None and diagram.castling_span is not None and diagram.castling is not None:
            rights = "".join(sorted(set(diagram.castling.replace("-", "") + letter), key="KQkq".index))
            repair = (Edit(diagram.castling_span, rights),)
        name = "White" if granted.colour else "Black"
        side = "kingside" if granted.wing == "short" else "queenside"
        message = (
            f"the FEN gives {name} no right to castle {side}, though king and rook stand at home; "
            f"by convention castling is allowed here (WFCC Codex 16(1)): put {letter!r} in the FEN"
        )
        yield Fault(granted.mention.phrase.span, message, None, repair)


@rule("castling-convention", Level.note)
def castling_convention(case: Case) -> Iterator[Fault]:
    """The verdict would be another if castling were allowed, as the convention has it.

    The text never castles and the FEN denies the right, though king and rook stand at
    home and the diagram does not prove that one of them has moved. If the denial is meant,
    say so in the text; if it is not, the solution must deal with castling.

    Source: WFCC Codex 16(1).

    Bad:
        FEN: 4k2r/5ppp/3K4/1P4N1/8/7R/8/7n w - - 0 1
        Mate in two.
        Key: 1.Ra3!

    Good:
        FEN: 4k1r1/5ppp/3K4/1P4N1/8/7R/8/8 w - - 0 1
        Mate in two.
        Key: 1.Ra3!
    """
    proof, diagram = case.proof, case.diagram
    if proof is None or diagram is None or diagram.castling is None or case.granted or not proof.searched.complete:
        return
    assert case.stipulation is not None
    board = chess.Board(proof.fen)
    added = ""
    for colour in chess.COLORS:
        for wing in ("short", "long"):
            home = castling.rook_home(colour, wing)
            right = chess.BB_SQUARES[home]
            if not case.at_home(board, colour, wing) or board.castling_rights & right:
                continue
            if rights.Right(home) not in rights.judge(board).lost:
                board.castling_rights |= right
                added += _letter(colour, wing)
    if not added:
        return
    other = prover.prove(board, case.stipulation, effort=case.effort)
    if other.searched.complete and set(other.keys) != set(proof.keys):
        keys = case.say_all(Node(board), other.keys) if other.keys else "no key"
        message = (
            f"with castling allowed ({added!r} in the FEN, as the convention has it while king and rook stand "
            f"at home) the verdict changes: {keys} (WFCC Codex 16(1))"
        )
        yield Fault(diagram.castling_span or diagram.span, message)


@rule("castling-possible", Level.error)
def castling_possible(case: Case) -> Iterator[Fault]:
    """The text says castling is not possible, and it is legal.

    Only the king's own squares matter: the rook may be attacked, and in castling
    queenside it may cross an attacked square.

    Source: FIDE Laws 3.8.2.2.

    Bad:
        FEN: 1r5k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        White cannot castle.

    Good:
        FEN: 3r3k/6pp/8/8/8/8/8/R3K3 w Q - 0 1
        White cannot castle.
    """
    for placed in case.reading.claims if case.reading else ():
        if placed.claim.kind != "no_castling" or doubted(case, placed.claim.span):
            continue
        words = placed.claim.text.lower()
        named = re.search(r"\b(white|black)\b", words)
        legal = [_castlings(node, named[1] == "white" if named else node.board.turn, words) for node in placed.nodes]
        if legal and all(legal):
            node, moves = placed.nodes[0], legal[0]
            board = node.board.copy(stack=False)
            board.turn = named[1] == "white" if named else board.turn
            sans = " and ".join(board.san(move) for move in moves)
            message = f"{sans} is legal here: only the squares of the king count (Laws 3.8.2.2)"
            yield Fault(placed.claim.span, message, Node(board).choices(moves))


def _castlings(node: Node, colour: chess.Color, words: str) -> list[chess.Move]:
    board = node.board.copy(stack=False)
    if board.turn != colour:
        if board.is_check():
            return []
        board.turn, board.ep_square = colour, None
    moves = [move for move in board.legal_moves if board.is_castling(move)]
    if re.search(r"short|king", words):
        return [move for move in moves if board.is_kingside_castling(move)]
    if re.search(r"long|queen", words):
        return [move for move in moves if board.is_queenside_castling(move)]
    return moves


def _letter(colour: chess.Color, wing: str) -> str:
    letter = "K" if wing == "short" else "Q"
    return letter if colour == chess.WHITE else letter.lower()
