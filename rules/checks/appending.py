"""Variations that a text leaves out, written in its own manner and put behind those it has."""

import re
from collections.abc import Callable

import chess
from keyproof.grammar.spans import Lines, Span, lines_of

from ..case.case import Case
from ..case.house import FIGURES, MEN, House
from ..finding import Edit
from ..play.node import Node
from ..reading.reading import Mention

_BULLET = re.compile(r"[ \t]*(?:[-*+•·]|\d{1,2}[)])?[ \t]*")
_NUMBERED = re.compile(r"[ \t]*(?:[-*+•·]|\d{1,2}[)])?[ \t]*\d{1,2}\s?(?:\.|…)")
_LINE_END = re.compile(r"\r\n|\r|\n")


def appended(case: Case, key: Node, left: list[chess.Move]) -> tuple[Edit, ...]:
    """Return the edit that adds replies to the key and their answers; none where no place for them is certain.

    They go on lines of their own where the last variation stands on one, else behind it in its line.
    """
    last = _last_of_the_play(case, key)
    if last is None or last.phrase.descriptive:  # moves are written in algebraic notation only
        return ()
    written = _variations(case, key, left)
    lines = lines_of(case.text)
    line = lines.line_span(lines.place(last.turn.span.start)[0])
    lead = _BULLET.match(line.of(case.text))
    start = line.start + lead.end() if lead else line.start
    if start != _first_reply(case, key, line):
        return (Edit(Span(last.turn.span.end, last.turn.span.end), "".join(f", {each}" for each in written)),)
    end = _line_end(case, lines, last)
    break_found = _LINE_END.search(case.text)
    newline = break_found[0] if break_found else "\n"
    lead_text = case.text[line.start : start]
    return (Edit(Span(end, end), "".join(f"{newline}{lead_text}{each}" for each in written)),)


def _last_of_the_play(case: Case, key: Node) -> Mention | None:
    """Return the last move printed of the play after the key, None where it is not a variation with its answer."""
    assert case.reading is not None
    played = [
        mention
        for mention in case.reading.mentions
        if any(key in node.path for node in mention.at) and not mention.phrase.worded
    ]
    named = [mention for mention in played if mention.turn.number is not None or mention.at[0] is not key]
    last = max(named, key=lambda mention: mention.turn.span.end, default=None)
    return last if last is not None and last.after and key in last.after[0].path[:-1] else None


def _first_reply(case: Case, key: Node, line: Span) -> int | None:
    """Return where the first move of a line starts, its number included; None if it is no reply to the key."""
    assert case.reading is not None
    mentions = [each for each in case.reading.mentions if line.start <= each.turn.span.start < line.end]
    first = min(mentions, key=lambda mention: mention.turn.span, default=None)
    return first.turn.span.start if first is not None and key in first.at else None


def _line_end(case: Case, lines: Lines, last: Mention) -> int:
    """Return the end of the last variation: its line, and the lines of its block that go on with it."""
    number = lines.place(last.turn.span.end - 1)[0]
    block = next((span for span in case.puzzle.prose if span.start <= last.turn.span.start < span.end), None)
    while block is not None and number < len(lines.starts):
        following = lines.line_span(number + 1)
        if following.start >= block.end or not following.of(case.text).strip():
            break
        if _NUMBERED.match(following.of(case.text)):
            break
        number += 1
    return lines.line_span(number).end


def _variations(case: Case, key: Node, left: list[chess.Move]) -> list[str]:
    """Return the replies with their answers, those with the same answers together."""
    alike: dict[str, list[Node]] = {}
    counts: dict[str, int] = {}
    for move in left:
        after = key.play(move)
        lengths = case.mating_moves(after).lengths
        answers = sorted(lengths, key=lambda answer: (lengths[answer], answer.uci()))
        told = after.number + "/".join(_printed(case, after, answer) for answer in answers)
        alike.setdefault(told, []).append(after)
        counts[told] = len(answers)
    written = []
    for told, nodes in alike.items():
        # "1...a/b 2.c/d" would pair each reply with its own answer.
        apart = len(nodes) == counts[told] > 1
        for together in [[node] for node in nodes] if apart else [nodes]:
            replies = "/".join(_printed(case, key, node.move) for node in together if node.move is not None)
            written.append(f"{key.number}{replies} {told}")
    return written


def _printed(case: Case, node: Node, move: chess.Move) -> str:
    """Print a move as the text prints its own: the letters, the signs and what it leaves out."""
    san = _long(node.board, move) if _prints_long(case) else node.board.san(move)
    if case.usual.get("pieces") == FIGURES:
        figures = House(pieces=FIGURES)
        for kind in MEN:
            san = san.replace(chess.piece_symbol(kind).upper(), figures.man(kind))
    else:
        san = case.letters(san)
    if case.usual.get("castling") == "0-0":
        san = san.replace("O", "0")
    san = re.sub(r"=(.)", lambda found: case.usual.get("promotion", "=Q").replace("Q", found[1]), san)
    used = {sign.aspect for sign in case.signs}
    for aspect, sign in _SIGNS.items():
        form = case.usual.get(aspect, sign)
        if aspect not in used and any(_HOLDS[aspect](child) for child in _made(case)):
            form = ""
        san = san.replace(sign, form)
    return san


def _prints_long(case: Case) -> bool:
    """Tell whether every printed move names the square it leaves, with a dash where nothing is captured."""
    assert case.reading is not None
    phrases = [
        mention.phrase for mention in case.reading.mentions if mention.phrase.exact and not mention.phrase.castling
    ]
    return all(phrase.origin_file is not None and phrase.origin_rank is not None for phrase in phrases)


def _long(board: chess.Board, move: chess.Move) -> str:
    """Return a move as "Sd3-f4" or "Sd3xf4", with the signs of SAN."""
    san = board.san(move)
    target = chess.square_name(move.to_square)
    if board.is_castling(move):
        return san
    letter = san[0] if san[0].isupper() else ""
    dash = "x" if board.is_capture(move) else "-"
    return f"{letter}{chess.square_name(move.from_square)}{dash}{san[san.rindex(target) :]}"


def _made(case: Case) -> list[Node]:
    """Return the positions that the printed moves lead to."""
    assert case.reading is not None
    return [node for mention in case.reading.mentions if not mention.phrase.worded for node in mention.after]


def _is_capture(node: Node) -> bool:
    return node.parent is not None and bool(node.move) and node.parent.board.is_capture(node.move or chess.Move.null())


_SIGNS = {"capture": "x", "check": "+", "mate": "#"}
_HOLDS: dict[str, Callable[[Node], bool]] = {
    "capture": _is_capture,
    "check": lambda node: node.check and not node.mate,
    "mate": lambda node: node.mate,
}
