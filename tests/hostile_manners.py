"""Hostile texts that mix what each reader expects alone, for tests/test_hostile.py and the campaign of tests/bench.

Each manner draws one text: broken positions in tables, captions that break off, remarks inside remarks, words of every
language in any order, men told by chance, and these cut into one another.
"""

import random
from collections.abc import Callable
from functools import cache

from keyproof.grammar.lexicon.table import table_of
from keyproof.grammar.lexicon.tongues import TONGUES

Manner = Callable[[random.Random], bytes]

FENS = ("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1", "4k2r/8/8/8/8/8/8/4K2R w Kk - 0 1", "k7/8/8/8/8/8/8/K6R b - h3 0 1")
_PLACES = "8/8/4N3/4R2p/6k1/8/5K2/8"
_SIGNS = (*".,;:?!()-–…“”/.,", "\n", "\n\n", "1.", "1...", "2.")
_NAMES = {
    "english": "king queen rook bishop knight pawn K Q R B N P Kt S",
    "german": "König Dame Turm Läufer Springer Bauer K D T L S B",
    "french": "roi dame tour fou cavalier pion R D T F C P",
}
_MEN = {tongue: names.split() for tongue, names in _NAMES.items()}
_OPENED = (*"([{“«*_`;%>", "<!--", "~~", "<i>", "\\emph{", "\\footnote{", "[sic] (")
_CLOSED = (*")]}”»*_`\n\n\n", "-->", "~~", "</i>", "}", "}", ")")
_BROKEN_BY = ("", "/", "9", "x", " ", "K", "|", "\n", "8", "-", "kk")
_SHOWN = (
    "Diagram 3: White: Ke1, Qd8; Black: Kh1. Mate in 2 moves, White to play. No. 5 (a) solution on page 7, twin b) "
    "wSf3 to g5 set play: Weiß: Kg1 Schwarz: Kh8 Matt in 3 Zügen Blancs: Re1 Noirs: Rh8 mat en 2 coups #2 (5+7) vv C+"
)
_CAPTION = _SHOWN.split(" ")


def _square(chance: random.Random) -> str:
    return chance.choice("abcdefghABCH") + chance.choice(["", "", "", " "]) + chance.choice("123456788890")


def _move(chance: random.Random) -> str:
    man, sign = chance.choice(["", *"KQRBNSDTLFC♔♞"]), chance.choice(["", "", "x", ":", "-", " x "])
    return man + sign + _square(chance) + chance.choice(["", "", "+", "#", "!", "?", "=Q", "e8", " e.p.", "~"])


def _broken(chance: random.Random) -> str:
    """Return a position in which some signs are others, or missing."""
    fen = list(chance.choice(FENS))
    for _ in range(chance.randrange(6)):
        place = chance.randrange(len(fen))
        fen[place : place + chance.randrange(3)] = chance.choice(
            ["", "/", "9", "x", " ", "K", "|", "\n", "8", "-", "kk"]
        )
    return "".join(fen)


def tables(chance: random.Random) -> bytes:
    """Return a table with broken positions and moves in its cells, its rows of any number of these."""
    wide = chance.randrange(1, 9)
    fill = (
        _broken,
        _move,
        _square,
        lambda _: chance.choice(_CAPTION),
        lambda _: chance.choice(["", "---", ":-:", "…"]),
    )
    rows = []
    for _ in range(chance.randrange(1, 14)):
        cells = [chance.choice(fill)(chance) for _ in range(wide + chance.choice([0, 0, 0, -1, 1, 3]))]
        rows.append(chance.choice(["|", "|", "\t", " & ", "  ", "║"]).join(cells) + chance.choice(["", "|", " \\\\"]))
        if chance.randrange(4) == 0:
            rows.append("|---" * wide + "|")
    return (chance.choice(["", "FEN: " + FENS[0] + "\nMate in two.\n\n"]) + "\n".join(rows)).encode()


def captions(chance: random.Random) -> bytes:
    """Return captions of diagrams that break off, men in letters, positions between them."""
    parts = []
    for _ in range(chance.randrange(1, 20)):
        start = chance.randrange(len(_CAPTION))
        parts.append(" ".join(_CAPTION[start : start + chance.randrange(1, 9)]))
        parts.append(
            chance.choice(["\n", "\n\n", " ", f"\n{_broken(chance)}\n", f" {_move(chance)} ", f"\n{_PLACES}\n"])
        )
    return "".join(parts).encode()


def remarks(chance: random.Random) -> bytes:
    """Return moves with remarks inside remarks, some of which are never ended, some ended before they begin."""
    opened: list[int] = []
    parts = [chance.choice([f"FEN: {FENS[0]}\nMate in two.\n", f'[FEN "{FENS[0]}"]\n\n'])]
    for _ in range(chance.randrange(80)):
        match chance.randrange(6):
            case 0 | 1:
                opened.append(chance.randrange(len(_OPENED)))
                parts.append(_OPENED[opened[-1]])
            case 2 if opened:
                parts.append(_CLOSED[opened.pop(chance.randrange(len(opened)))])
            case 3:
                parts.append(chance.choice(_words("english")))
            case _:
                parts.append(chance.choice(["1.", "1...", "2.", ""]) + _move(chance))
        parts.append(chance.choice([" ", " ", "", "\n"]))
    return "".join(parts).encode()


@cache
def _words(tongue: str) -> list[str]:
    """Return the forms of a language, each once."""
    return sorted(" ".join(form) for form in table_of(tongue).forms)


def _told(chance: random.Random, tongues: list[str], most: int) -> str:
    """Return forms of these languages in any order, with moves, squares and signs between them."""
    parts = []
    for _ in range(chance.randrange(most)):
        match chance.randrange(9):
            case 0:
                parts.append(_square(chance))
            case 1:
                parts.append(_move(chance))
            case 2:
                parts.append(chance.choice(_SIGNS))
            case 3:
                parts.append(chance.choice(chance.choice(list(_MEN.values()))))
            case _:
                parts.append(chance.choice(_words(chance.choice(tongues))))
    return " ".join(parts)


def every_tongue(chance: random.Random) -> bytes:
    """Return words of every language in any order below a position."""
    return f"FEN: {chance.choice(FENS)}\nMate in two.\n{_told(chance, list(TONGUES), 160)}\n".encode()


def one_tongue(chance: random.Random) -> bytes:
    """Return words of one language in any order below a position, or below none."""
    head = chance.choice(["", "", f"FEN: {chance.choice(FENS)}\n", f"{_PLACES}\n#2\n"])
    return f"{head}{_told(chance, [chance.choice(list(TONGUES))], 160)}\n".encode()


def positions_told(chance: random.Random) -> bytes:
    """Return sides, men and squares in any order, with a few words of one language: a position, perhaps."""
    tongue = chance.choice(list(_MEN))
    sides = {"english": ["White", "Black"], "german": ["Weiß", "Schwarz"], "french": ["Blancs", "Noirs"]}[tongue]
    parts = []
    for _ in range(chance.randrange(4, 60)):
        match chance.randrange(8):
            case 0:
                parts.append(chance.choice(sides) + chance.choice(["", ":", " has"]))
            case 1:
                parts.append(chance.choice(_words(tongue)))
            case 2:
                parts.append(chance.choice([",", ".", "and", ";", "on", "\n", "1", "two", "all", "(5)"]))
            case 3 | 4:
                parts.append(_square(chance))
            case _:
                parts.append(chance.choice(_MEN[tongue]) + chance.choice(["", "", _square(chance)]))
    return (" ".join(parts) + chance.choice(["", "\nMate in two.", "\n#2\n1.Kg2!"])).encode()


_SIMPLE: tuple[Manner, ...] = (tables, captions, remarks, every_tongue, one_tongue, positions_told)


def spliced(chance: random.Random) -> bytes:
    """Return texts of several manners cut into one another."""
    text = ""
    for _ in range(chance.randrange(2, 5)):
        other = chance.choice(_SIMPLE)(chance).decode()
        start, place = chance.randrange(len(other) + 1), chance.randrange(len(text) + 1)
        text = text[:place] + other[start : start + chance.randrange(400)] + text[place:]
    return text.encode()


def again(chance: random.Random) -> bytes:
    """Return a piece of such a text again and again."""
    piece = spliced(chance).decode()
    start = chance.randrange(len(piece) + 1)
    piece = piece[start : start + chance.randrange(4, 90)]
    return (piece + chance.choice(["", " ", "\n", "\n\n"])).encode() * chance.randrange(2, 40)


MIXED: tuple[Manner, ...] = (*_SIMPLE, spliced, again)
