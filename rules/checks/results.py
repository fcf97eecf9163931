"""Studies: "White to play and win" or "and draw", decided by endgame tables where these cover the position."""

from collections.abc import Iterator

import chess

from ..board.endings import settled
from ..board.names import side
from ..case.case import Case
from ..case.granted import Result
from ..finding import Fault, Level
from ..play.node import Node
from ..reading.reading import Mention, Role, State
from .register import rule


def _value(case: Case, board: chess.Board, colour: chess.Color) -> int | None:
    """Return 1, 0 or -1 for a side that wins, draws or loses; None where no table tells."""
    value = settled(board)
    if value is None and case.tables is not None:
        value = case.tables.value(board)
    return value if value is None or board.turn == colour else -value


def _claimed(case: Case) -> tuple[Result, chess.Board] | None:
    if case.result is None or case.reading is None:
        return None
    return case.result, case.reading.diagram.board


_WORDS = {1: "wins", 0: "draws", -1: "loses"}


@rule("false-result", Level.error)
def false_result(case: Case) -> Iterator[Fault]:
    """A win or a draw is claimed, and by the endgame tables the position has another result.

    Needs `--tables`, a folder of Syzygy or Gaviota tables; without them the claim is reported as
    unproved (`result-unproved`), but for what needs no table: mate, stalemate, and men too few to mate.

    Source: WFCC Codex, Arts. 8 and 17 (the 50-move rule is not applied).

    Bad:
        White: Kc3, Nd4; Black: Kb1
        White to play and win.

    Good:
        White: Kc3, Nd4; Black: Kb1
        White to play and draw.
    """
    claimed = _claimed(case)
    if claimed is None:
        return
    result, board = claimed
    value = _value(case, board, result.colour)
    if value is not None and value != result.value:
        what = "to win" if result.value else "to draw"
        reason = (
            "neither side has men to mate with"
            if board.is_insufficient_material()
            else f"by the tables {side(result.colour)} {_WORDS[value]}"
        )
        yield Fault(result.span, f"{side(result.colour)} is said {what}, and that is false: {reason}")


@rule("result-unproved", Level.note)
def result_unproved(case: Case) -> Iterator[Fault]:
    """A win or a draw is claimed, and no endgame table tells whether it is true.

    `--tables DIR` names a folder of Syzygy or Gaviota tables. They cover positions of few men;
    of others the printed moves are replayed and nothing is said of the result.

    Bad:
        White: Kc3, Pd4; Black: Kb1
        White to play and win.

    Good:
        White: Kc3, Nd4; Black: Kb1
        White to play and draw.
    """
    claimed = _claimed(case)
    if claimed is None:
        return
    result, board = claimed
    if _value(case, board, result.colour) is None and not any(_spoilt(case)):
        why = "no endgame tables were given (--tables)" if case.tables_folder is None else "no table covers it"
        yield Fault(result.span, f"not proved: {why}")


@rule("move-spoils-result", Level.error)
def move_spoils_result(case: Case) -> Iterator[Fault]:
    """A move of the solution gives away the win or the draw that is claimed.

    Moves marked as tries or mistakes are left out. The evidence ends with a reply that shows
    it. Needs `--tables` but for positions that need no table.

    Source: WFCC Codex, Art. 8.

    Bad:
        White: Kc6, Qd7; Black: Ka8
        White to play and win. 1.Qc7

    Good:
        White: Kc6, Nd4; Black: Kb1
        White to play and draw. 1.Kb6
    """
    for mention, node, after, value in _spoilt(case):
        assert case.result is not None
        assert after.move is not None
        given = "the win" if case.result.value else "the draw"
        replies = [
            move
            for move in after.board.legal_moves
            if (found := _value(case, after.play(move).board, case.result.colour)) is not None and found <= value
        ]
        reason = _reason(after, case.result.colour, value)
        message = f"{case.say(node, after.move)} gives away {given}: {reason}"
        yield Fault(mention.phrase.span, message, after.evidence(*replies[:1]))


def _spoilt(case: Case) -> Iterator[tuple[Mention, Node, Node, int]]:
    """Yield the moves of the solution that give away what is claimed, with the value after them."""
    for mention, node, after in _played(case):
        assert case.result is not None
        before = _value(case, node.board, case.result.colour)
        value = _value(case, after.board, case.result.colour)
        if value is not None and value < case.result.value and (before is None or before >= case.result.value):
            yield mention, node, after, value


def _reason(after: Node, colour: chess.Color, value: int) -> str:
    if after.stalemate:
        return "it is stalemate"
    if after.board.is_insufficient_material():
        return "neither side has men to mate with"
    return f"by the tables {side(not colour)} {_WORDS[-value]}"


@rule("another-move-keeps-result", Level.error)
def another_move_keeps_result(case: Case) -> Iterator[Fault]:
    """A move of a study is called the only one, and another keeps the win or the draw as well.

    Needs `--tables` but for positions that need no table. Moves of the side that is to win or draw
    only: the other side's are judged by `not-only-move`.

    Bad:
        White: Kc6, Nd4; Black: Kb1
        White to play and draw. 1.Kb6 (the only move)

    Good:
        White: Kc6, Nd4; Black: Kb1
        White to play and draw. 1.Kb6
    """
    if case.result is None or case.reading is None:
        return
    for placed in case.reading.claims:
        mention = placed.mention
        if placed.claim.kind != "only_move" or mention is None or len(mention.ways) != 1 or not mention.after:
            continue
        node = mention.at[0]
        if node.board.turn != case.result.colour:
            continue
        said = {after.move for after in mention.after}
        others = []
        for move in node.board.legal_moves:
            value = _value(case, node.play(move).board, case.result.colour)
            if move not in said and value is not None and value >= case.result.value:
                others.append(move)
        if others:
            verb = "wins" if case.result.value else "holds"
            verb = verb if len(others) == 1 else verb[:-1]
            message = f"not the only move: {case.say_all(node, others, most=4)} {verb} too"
            yield Fault(placed.claim.span, message, node.choices(others))


def _played(case: Case) -> Iterator[tuple[Mention, Node, Node]]:
    """Yield the moves of the claiming side that the text does not mark as tries, one reading each."""
    if case.result is None or case.reading is None:
        return
    tries = set(case.reading.first_moves(Role.try_))
    for mention in case.reading.mentions:
        if mention.state is not State.read or "?" in mention.phrase.annotation or mention.asked:
            continue
        for node, after in mention.ways:
            if node.board.turn != case.result.colour or len(after) != 1 or after[0].move is None:
                continue
            if not after[0].move or any(each in tries for each in after[0].path):
                continue
            yield mention, node, after[0]
