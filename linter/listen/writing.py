"""What could be written at a place of a text: the whole solution of its puzzle, or the lines it leaves out."""

from collections.abc import Callable

import chess
from keyproof.rules.reading.reading import Role
from keyproof.rules.writing.draft import Draft, NoDraft, draft
from keyproof.rules.writing.voices import Voice, added, written

from .desk import Checked, Entry
from .words import word


def puzzle_at(checked: Checked, offset: int) -> Entry:
    """Return the puzzle that a place lies in or stands under, else the first. NoDraft where there is none."""
    entry = checked.near(offset)
    if entry is None:
        raise NoDraft(word("no_puzzle_to_write"))
    return entry


def facts(entry: Entry, effort: float) -> Draft:
    """Prove a puzzle and gather what there is to tell. NoDraft, or another ValueError, says why there is nothing."""
    case = entry.kept.case
    if case.reading is None:
        raise NoDraft(word("no_position_to_write"))
    if case.stipulation is None:
        raise NoDraft(word("nothing_asked_here"))
    return draft(case.reading.diagram.board, case.stipulation, effort=effort)


def solution(of: Draft, voice: Voice, print_as: Callable[[str], str], *, position: bool) -> str:
    """Return the solution in a voice; with `position` what is asked stands before it."""
    paragraphs = written(of, voice, print_as)
    return "\n\n".join(paragraphs if position else paragraphs[2:])


def missing(entry: Entry, of: Draft, voice: Voice, print_as: Callable[[str], str], *, above: str = "- ") -> str:
    """Return the lines of play that the text of a puzzle does not have, "" where it has them all.

    `above` is the line they are put below: where that is of no list, they say themselves what they follow.
    """
    if of.key is None:
        raise NoDraft(word("no_key_to_write"))
    told = _told(entry, of.key)
    left = {reply.move for reply in of.replies} - told
    if not left:
        return ""
    lines = "\n\n".join(added(of, left, voice, print_as))
    if voice == "script" or above.lstrip().startswith(("-", "*")):
        return lines
    board = entry.kept.case.reading.diagram.board if entry.kept.case.reading is not None else of.board
    return f"{word('after_key', key=f'1.{print_as(board.san(of.key))}')}\n{lines}"


def _told(entry: Entry, key: chess.Move) -> set[chess.Move]:
    """Return the replies to the key that the text speaks of."""
    reading = entry.kept.case.reading
    nodes = [] if reading is None else [node for node in reading.first_moves(Role.key) if node.move == key]
    if reading is None or not nodes:
        return set()
    return {
        after.move
        for node in nodes
        for mention in reading.printed_after(node)
        for after in mention.after
        if after.move is not None
    }
