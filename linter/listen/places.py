"""What a place of a text speaks of: the position there, the line that leads to it, how its sentence was understood."""

import chess
from keyproof.grammar.spans import Span
from keyproof.rules.case.case import Case
from keyproof.rules.case.choosing import Way
from keyproof.rules.play.node import Node
from keyproof.rules.reading.reading import Mention
from msgspec import Struct

from ..shown_moves import place_of, played
from ..understood import Sentence
from .desk import Checked, Entry


class Place(Struct, frozen=True):
    """What a place of a text speaks of.

    `board` is the position after the move there, or after the last move before it in its sentence; else the diagram.
    `line` are the moves that lead to it, "" in the diagram, in the letters of the author; `to` is the square the last
    man came to. `move` is the printed move the place lies on. `sentence` has its places in the text of the puzzle's
    case, `by` characters before where they stand now.
    """

    entry: Entry
    board: chess.Board
    line: str
    to: chess.Square | None
    move: Span | None
    sentence: Sentence | None
    by: int


def place_at(checked: Checked, offset: int) -> Place | None:
    """Return what a place speaks of, None where its puzzle shows no position.

    Outside the puzzles that is the diagram of the one above, or of the first.
    """
    entry = checked.near(offset)
    case = entry.kept.case if entry is not None else None
    if entry is None or case is None or case.reading is None:
        return None
    inside = entry.in_case(offset)
    if inside is None:
        return Place(entry, case.reading.diagram.board, "", None, None, None, 0)
    sentence = entry.sentence(inside)
    mention = on_move(case, inside)
    node = mention.after[0] if mention is not None else _before(case, sentence, inside)
    by = offset - inside
    move = place_of(mention).further_on(by) if mention is not None else None
    if node is None or node.move is None:
        board = node.board if node is not None else case.reading.diagram.board
        return Place(entry, board, "", None, move, sentence, by)
    return Place(entry, node.board, played(node, case.letters), node.move.to_square, move, sentence, by)


def ways_at(checked: Checked, offset: int) -> list[tuple[Way, tuple[Sentence, ...]]]:
    """Return how the sentence at a place is understood in each of its two readings, the present one first.

    Nothing is returned where there is but one, or where both play the same moves.
    """
    entry = checked.at(offset)
    inside = entry.in_case(offset) if entry is not None else None
    if entry is None or inside is None or entry.kept.case.reading is None:
        return []
    kept = entry.kept
    sentence = next((span for span in kept.case.ways if span.start <= inside <= span.end), None)
    if sentence is None:
        return []
    now, other = (_within(sentence, read) for read in (kept.sentences(), kept.sentences_otherwise(sentence)))
    if [_played_in(each) for each in now] == [_played_in(each) for each in other]:
        return []
    way = kept.case.ways[sentence]
    return [(way, now), ("printed" if way == "told" else "told", other)]


def _within(sentence: Span, read: tuple[Sentence, ...]) -> tuple[Sentence, ...]:
    return tuple(each for each in read if each.words.span.start < sentence.end and sentence.start < each.words.span.end)


def words_at(entry: Entry, offset: int) -> str | None:
    """Return the words of the sentence with two readings at a place, None where there is none."""
    case, inside = entry.kept.case, entry.in_case(offset)
    found = (span for span in case.ways if inside is not None and span.start <= inside <= span.end)
    sentence = next(found, None)
    return case.words_of(sentence) if sentence is not None else None


def _played_in(sentence: Sentence) -> list[tuple[object, ...]]:
    """Return the moves that a sentence was taken for, and where they are played."""
    return [(play.after, *((step.number, step.moves) for step in play.steps)) for play in sentence.play]


def on_move(case: Case, offset: int) -> Mention | None:
    """Return the move that is printed at a place of a puzzle's text and was read, None: no move stands there."""
    if case.reading is None:
        return None
    for mention in case.reading.mentions:
        span = place_of(mention)
        if span.start <= offset < span.end and mention.after:
            return mention
    return None


def _before(case: Case, sentence: Sentence | None, offset: int) -> Node | None:
    """Return the position that a sentence has come to at a place: after the last move before it, else where it begins.

    None where the sentence has no move that was read.
    """
    if sentence is None or case.reading is None:
        return None
    inside = [
        mention
        for mention in case.reading.mentions
        if mention.after and sentence.words.span.start <= mention.phrase.span.start < sentence.words.span.end
    ]
    gone = [mention for mention in inside if place_of(mention).start <= offset]
    if gone:
        return gone[-1].after[0]
    return inside[0].at[0] if inside and inside[0].at else None
