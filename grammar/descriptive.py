"""Moves in English descriptive notation, the usage of columns until about 1980: "P-K4", "Kt takes P (ch.)".

A file bears the name of the man that stands on it at the start, a rank is counted from
the mover's own side, and a capture names the man taken and seldom the square. What is
left unsaid is what only one legal move made plain. Source: common practice, no source.
"""

import re
from typing import Any

import chess

from .lexing import Token
from .moves import Effect, MovePhrase, NotAMove, Sort, remark
from .phrases import phrases_of
from .spans import Span
from .trees import NoPhrase, Tree
from .words import ORDINALS

_OFFICERS = {"R": chess.ROOK, "B": chess.BISHOP, "N": chess.KNIGHT, "S": chess.KNIGHT}
_OFFICERS |= {"Kt": chess.KNIGHT, "Kn": chess.KNIGHT}
_FILES = {chess.ROOK: "ah", chess.KNIGHT: "bg", chess.BISHOP: "cf", chess.QUEEN: "d", chess.KING: "e"}
"""The files that bear a man's name, the queen's side first."""
WING = r"(?P<wing>[KQ])\.?(?:['’]s)?\.?\s?"
OFFICER = r"(?P<file>Kt|[RBN])\.?(?:['’]s)?\.?\s?"
RANK = r"[1-8](?:st|nd|rd|th)?(?!\w)|sq(?:uare)?\b\.?"
"""The parts of a square in descriptive notation, one behind the other: "Q's", "Kt", "sq."."""
_SQUARE = re.compile(rf"(?:{WING})?(?:{OFFICER})?(?P<rank>\d|sq)\w*")


def files_named(kind: chess.PieceType, side: str | None = None) -> chess.Bitboard:
    """Return the files that bear the name of `kind`, both or that of one `side` ("king" or "queen")."""
    names = _FILES[kind]
    kept = names if side is None else names[-1] if side == "king" else names[0]
    return sum(chess.BB_FILES[chess.FILE_NAMES.index(name)] for name in kept)


def square_named(words: str) -> chess.Bitboard:
    """Return the squares that a name such as "K Kt 5" or "R sq" may mean, as White counts them."""
    named = _SQUARE.fullmatch(words.strip())
    assert named is not None, words
    return squares_called(named["wing"], named["file"], named["rank"])


def squares_called(wing: str | None, officer: str | None, rank: str) -> chess.Bitboard:
    """Return the squares of a rank ("5", "5th", "fifth", "sq.") on the files of an officer, as White counts them.

    `wing` ("K" or "Q") is his side, or the man whose file it is where no officer is named.
    """
    if officer is None:
        return files_named(chess.KING if wing == "K" else chess.QUEEN) & _rank(rank)
    side = {"K": "king", "Q": "queen", None: None}[wing]
    return files_named(_OFFICERS[officer], side) & _rank(rank)


def _rank(words: str) -> chess.Bitboard:
    if words.startswith("sq"):
        return chess.BB_RANK_1
    return chess.BB_RANKS[ORDINALS[words] - 1 if words in ORDINALS else int(words[0]) - 1]


class _Builder:
    """Squares are those that White would mean; `keyproof.rules.board.resolve` turns them round for Black."""

    def __init__(self, text: str, offset: int) -> None:
        self.text, self.offset = text, offset

    def build(self, tree: Tree[Token]) -> Any:
        """Return what a rule says of the move, the whole move for the first one."""
        parts = [self.build(part) if isinstance(part, Tree) else part for part in tree.children]
        return getattr(self, tree.data)(parts)

    def _span(self, token: Token) -> Span:
        return Span(self.offset + token.start, self.offset + token.end)

    # -- men and squares

    def royal(self, items: list[Token]) -> chess.PieceType:
        return chess.KING if items[0].type == "KING" else chess.QUEEN

    def officer(self, items: list[Token]) -> chess.PieceType:
        return _OFFICERS[items[0].value]

    def kind(self, items: list[Any]) -> chess.PieceType:
        return items[0] if isinstance(items[0], int) else chess.PIECE_NAMES.index(items[0].value.lower())

    def man(self, items: list[Any]) -> dict[str, Any]:
        """Return the kind of man, and the file of a pawn or the side of an officer where it is said."""
        if isinstance(items[-1], Token):
            names = items[:-1]
            return {"piece": chess.PAWN, "files": self.file(names) if names else chess.BB_ALL}
        side = None if len(items) == 1 else _side(items[0])
        return {"piece": items[-1], "side": side}

    def victim(self, items: list[dict[str, Any]]) -> dict[str, Any]:
        return items[0]

    def file(self, items: list[chess.PieceType]) -> chess.Bitboard:
        return files_named(items[-1], _side(items[0]) if len(items) == 2 else None)

    def square(self, items: list[Any]) -> dict[str, Any]:
        """Return the squares named; with "his", the rank and the file's name if there is one."""
        rank = _rank(items[-1].value)
        if isinstance(items[0], Token) and items[0].type == "HIS":
            return {"rank": rank, "of_his": items[1] if len(items) == 3 else None}
        return {"squares": items[0] & rank}

    def origin(self, items: list[Any]) -> dict[str, Any]:
        (place,) = items
        if isinstance(place, Token):  # "Kt (5) x P"
            return {"origin": {"squares": _rank(place.value)}}
        return {"origin": place if isinstance(place, dict) else {"squares": place}}

    def place(self, items: list[dict[str, Any]]) -> dict[str, Any]:
        return {"place": items[0]}

    def promotion(self, items: list[Any]) -> dict[str, Any]:
        return {"promotion": items[0] if isinstance(items[0], int) else chess.QUEEN}

    # -- moves

    def castling(self, items: list[Any]) -> dict[str, Any]:
        return {"castling": "short" if items[1] == chess.KING else "long", "piece": chess.KING}

    def goes(self, items: list[dict[str, Any]]) -> dict[str, Any]:
        man, origin, rest = _parted(items)
        square, promotion = rest[0], rest[1:]
        found = _mover(man, origin) | {"destinations": _on(square, man)}
        return found | (promotion[0] if promotion else {})

    def takes(self, items: list[Any]) -> dict[str, Any]:
        takes = next(item for item in items if isinstance(item, Token))
        man, origin, (victim, *rest) = _parted([item for item in items if item is not takes])
        found = _mover(man, origin)
        # The victim of White's bishop is Black's: the king's bishop of Black runs on dark squares.
        mask = victim.get("files", chess.BB_ALL)
        if victim["piece"] == chess.BISHOP and victim["side"] is not None:
            mask &= chess.BB_DARK_SQUARES if victim["side"] == "king" else chess.BB_LIGHT_SQUARES
        elif victim["piece"] != chess.PAWN:
            found["captured_of_side"] = victim["side"]
        for part in rest:
            if "place" in part:
                mask &= _on(part["place"], man)
            else:
                found |= part
        return found | {
            "capture": True,
            "capture_span": self._span(takes),
            "captured": victim["piece"],
            "destinations": mask,
        }

    def anywhere(self, items: list[Any]) -> dict[str, Any]:
        man, origin, _ = _parted(items)
        return _mover(man, origin) | {"sort": Sort.any_of_piece}

    def mates(self, items: list[Any]) -> dict[str, Any]:
        man, origin, (word,) = _parted(items)
        return _mover(man, origin) | {"sort": Sort.any_of_piece, "effect": (Effect.mate, self._span(word))}

    def steps(self, items: list[Any]) -> dict[str, Any]:
        man, origin, (words,) = _parted(items)
        lengths = tuple(length for length, word in enumerate(("one", "two"), start=1) if word in words.value)
        return _mover(man, origin) | {"sort": Sort.any_of_piece, "steps": lengths}

    def queens(self, items: list[Any]) -> dict[str, Any]:
        man, origin, _ = _parted(items)
        return _mover(man, origin) | {"destinations": chess.BB_RANK_8, "promotion": chess.QUEEN}

    def mark(self, items: list[Token]) -> dict[str, Any]:
        token = items[0]
        if (said := remark(token)) is not None:
            return said
        found = re.search(r"[^\s,(][^)]*", token.value)
        assert found is not None
        word, start = found[0], self._span(token).start + found.start()
        span = Span(start, start + len(word))
        if token.type == "CHECK":
            effects = {"dis": Effect.discovered_check, "d": Effect.double_check, "c": Effect.check}
            return {"effect": (next(effects[start] for start in effects if word.startswith(start)), span)}
        signs = {"+": Effect.check, "†": Effect.check, "#": Effect.mate, "‡": Effect.mate}
        return {"effect": (signs.get(word, Effect.double_plus), span)}

    def start(self, items: list[dict[str, Any]]) -> MovePhrase:
        found: dict[str, Any] = {}
        effects: list[tuple[Effect, Span]] = []
        annotation = ""
        for item in items:
            if "effect" in item:
                effects.append(item.pop("effect"))
            annotation += item.pop("annotation", "")
            found |= item
        span = Span(self.offset, self.offset + len(self.text))
        return MovePhrase(span, self.text, descriptive=True, effects=tuple(effects), annotation=annotation, **found)


def _side(royal: chess.PieceType) -> str:
    return "king" if royal == chess.KING else "queen"


def _parted(items: list[Any]) -> tuple[dict[str, Any], dict[str, Any] | None, list[Any]]:
    """Part what was printed into the man, where it stands, and the rest."""
    man, *rest = items
    if rest and isinstance(rest[0], dict) and "origin" in rest[0]:
        return man, rest[0]["origin"], rest[1:]
    return man, None, rest


def _on(square: dict[str, Any], man: dict[str, Any]) -> chess.Bitboard:
    """Return the squares that a name may mean; "his 2nd" is on the file of the man that moves."""
    if "squares" in square:
        return int(square["squares"])
    own = square["of_his"]
    if own is None and man["piece"] != chess.PAWN:
        files = files_named(man["piece"], man["side"])
    elif own is None:
        files = man["files"]
    elif man["piece"] in (chess.KING, chess.QUEEN):  # "Q to her R's 5th" is the queen's rook's file
        files = own & (_KINGS_HALF if man["piece"] == chess.KING else ~_KINGS_HALF)
    else:
        files = own
    return int(files & square["rank"])


_KINGS_HALF = chess.BB_FILE_E | chess.BB_FILE_F | chess.BB_FILE_G | chess.BB_FILE_H


def _mover(man: dict[str, Any], origin: dict[str, Any] | None) -> dict[str, Any]:
    """Return the parts of a phrase that say which man moves."""
    mask = man.get("files", chess.BB_ALL)
    side = man.get("side")
    if man["piece"] == chess.BISHOP and side is not None:  # White's king's bishop starts on f1, a light square
        mask &= chess.BB_LIGHT_SQUARES if side == "king" else chess.BB_DARK_SQUARES
        side = None
    if origin is not None:
        mask &= _on(origin, man)
    return {"piece": man["piece"], "origins": mask, "of_side": side}


def read_descriptive(text: str, *, offset: int = 0) -> MovePhrase:
    """Read one move in descriptive notation.

    `offset` is where `text` starts in the file (code points). Raises NotAMove.
    """
    try:
        phrases = phrases_of("descriptive.lark")
        tree = phrases.whole(phrases.tokens(text))
    except NoPhrase:
        raise NotAMove(f"{text!r} is not a move in descriptive notation") from None
    made: MovePhrase = _Builder(text, offset).build(tree)
    return made
