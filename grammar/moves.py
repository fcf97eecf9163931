"""Printed moves as typed values.

A `MovePhrase` keeps what was printed, part by part; which legal moves it stands
for is decided in `keyproof.rules.board.resolve`. Nothing is completed or corrected here.
"""

from collections.abc import Mapping
from enum import Enum
from functools import cached_property, lru_cache
from operator import attrgetter
from typing import Any

import chess
from msgspec import Struct
from msgspec.structs import replace

from .letters import FIGURINES, LANGUAGES
from .lexing import Token
from .phrases import phrases_of
from .spans import Span
from .trees import NoPhrase, Tree


class Sort(Enum):
    """What kind of phrase: one move, every move of a piece, every other move, every move, or a pass."""

    move = "move"
    any_of_piece = "any move of the piece"
    any_other = "any other move"
    any_move = "any move"
    __hash__ = object.__hash__  # asked for wherever a phrase is looked up


class Effect(Enum):
    """What the text says the move does."""

    check = "check"
    mate = "mate"
    double_plus = "++"  # mate under FIDE C.13.5, double check in old books
    double_check = "double check"
    discovered_check = "discovered check"
    stalemate = "stalemate"
    not_mate = "no mate"
    not_check = "no check"
    denied = "cannot be played"
    __hash__ = object.__hash__  # that of Enum takes two calls


class MovePhrase(Struct, frozen=True, dict=True):
    """One move, or set of moves, as it was printed or said. None: not said."""

    span: Span
    text: str
    sort: Sort = Sort.move
    piece: chess.PieceType | None = None  # a bare square or file names a pawn: see `is_pawn_form`
    colour: chess.Color | None = None
    origin_file: int | None = None
    origin_rank: int | None = None
    origin_span: Span | None = None
    square_shade: bool | None = None  # True: the light-squared one
    wing: str | None = None  # "king" or "queen"
    destination: chess.Square | None = None
    destination_file: int | None = None
    destination_rank: int | None = None
    along: str | None = None  # "rank", "file" or "diagonal"
    capture: bool = False
    capture_span: Span | None = None
    captured: chess.PieceType | None = None
    captures_last: bool = False  # "takes it", "takes back": the man that moved last, if it can be taken
    promotion: chess.PieceType | None = None
    promotion_span: Span | None = None
    underpromotion: bool = False  # to a rook, bishop or knight, not said which
    castling: str | None = None  # "short", "long" or "either"
    en_passant: bool = False
    effects: tuple[tuple[Effect, Span], ...] = ()
    annotation: str = ""
    worded: bool = False
    every: bool = False  # "any", "wherever": all these moves are meant
    pronoun: bool = False  # "it steps aside": a man spoken of before
    feminine: bool = False  # "she": the queen
    threatened: bool = False  # "she wants to come to e3"
    referents: tuple[tuple[chess.PieceType, chess.Square | None], ...] = ()  # men spoken of before "it", last one first
    pointed_at: bool = False  # "that knight": one whose square was named before
    likely_origin: chess.Square | None = None  # that square
    descriptive: bool = False  # "P-K4"; the squares are those that White would mean, turned round for Black
    origins: chess.Bitboard = chess.BB_ALL
    destinations: chess.Bitboard = chess.BB_ALL
    of_side: str | None = None  # "K R", "Q Kt": of the two men the one of the "king" or "queen" side
    captured_of_side: str | None = None
    steps: tuple[int, ...] = ()  # "P one, or two", "two steps": how many squares a man goes
    heading: tuple[str, ...] = ()  # "up", "left", "back", "corner": where it goes to, as White sees the board

    @cached_property
    def meaning(self) -> tuple[Any, ...]:
        """All that decides which moves are meant: everything but places and what is said of the move."""
        return _meaning(self)

    @property
    def names_destination(self) -> bool:
        """True when a square, file or rank is named that the man goes to."""
        return not (self.destination is self.destination_file is self.destination_rank is None)

    @cached_property
    def exact(self) -> bool:
        """True when the phrase means one single move: a destination square or a castling side is named."""
        return self.sort is Sort.move and (
            self.destination is not None
            or self.descriptive
            or self.castling in ("short", "long")
            or self.destination_file is not None
        )

    def further_on(self, by: int) -> "MovePhrase":
        """Return the same words `by` characters further on."""
        return replace(
            self,
            span=self.span.further_on(by),
            origin_span=self.origin_span and self.origin_span.further_on(by),
            capture_span=self.capture_span and self.capture_span.further_on(by),
            promotion_span=self.promotion_span and self.promotion_span.further_on(by),
            effects=self.effects and tuple([(effect, span.further_on(by)) for effect, span in self.effects]),
        )


_meaning = attrgetter(
    *(
        name
        for name in MovePhrase.__struct_fields__
        if name not in ("span", "text", "origin_span", "capture_span", "promotion_span", "effects", "annotation")
    )
)


def remark(token: Token) -> dict[str, Any] | None:
    """Read "e.p." or "!?" behind a move of whatever notation; None for another mark."""
    if token.type == "EN_PASSANT":
        return {"en_passant": True}
    return {"annotation": token.value} if token.type == "ANNOTATION" else None


class NotAMove(ValueError):
    """The text is not a printed move in any supported style; try `P` for the men and a destination square."""


_GRAMMAR = "moves.lark"
_REMEMBERED = 1024  # there are not many moves, and columns print the likely ones again and again


@lru_cache(_REMEMBERED)
def _tokens(text: str) -> tuple[Token, ...]:
    return tuple(phrases_of(_GRAMMAR).tokens(text))


def letters_used(text: str) -> set[str]:
    """Return the piece letters of a printed move, figurines left out."""
    return {t.value for t in _tokens(text) if t.type == "PIECE" and t.value[0] not in FIGURINES}


def pick_language(letters: set[str]) -> str:
    """Return the language whose piece letters include all of `letters`; English where several do, or none does."""
    for language, table in LANGUAGES.items():
        if letters <= table.keys():
            return language
    return "en"


# Letters no column would mix, for a text whose letters fit no single language.
_ANY_LANGUAGE: dict[str, chess.PieceType] = {}
for _table in LANGUAGES.values():
    for _letter, _piece in _table.items():
        _ANY_LANGUAGE.setdefault(_letter, _piece)


class _Builder:
    """Puts a move together from its tree: one method for each rule of moves.lark."""

    def __init__(self, text: str, letters: Mapping[str, chess.PieceType]) -> None:
        self.text, self.letters = text, letters

    def build(self, tree: Tree[Token]) -> Any:
        """Return what a rule says of the move, the whole move for the first one."""
        parts = [self.build(part) if isinstance(part, Tree) else part for part in tree.children]
        return getattr(self, tree.data)(parts)

    def _piece(self, token: Token) -> dict[str, Any]:
        if token.value[0] in FIGURINES:  # a variant selector may follow it
            # A black figurine in running text is used for either side's move, so only the kind counts.
            return {"piece": FIGURINES[token.value[0]].piece_type}
        return {"piece": self._kind(token.value)}

    def _kind(self, letter: str) -> chess.PieceType:
        return self.letters.get(letter) or _ANY_LANGUAGE[letter]

    def _origin(self, token: Token) -> dict[str, Any]:
        found: dict[str, Any] = {"origin_span": token.span}
        if token.type in ("FILE", "SQUARE"):
            found["origin_file"] = chess.FILE_NAMES.index(token.value[0])
        if token.type in ("RANK", "SQUARE"):
            found["origin_rank"] = chess.RANK_NAMES.index(token.value[-1])
        return found

    def long_castling(self, _: list[Any]) -> dict[str, Any]:
        return {"castling": "long", "piece": chess.KING}

    def short_castling(self, _: list[Any]) -> dict[str, Any]:
        return {"castling": "short", "piece": chess.KING}

    def capture(self, items: list[Token]) -> dict[str, Any]:
        found: dict[str, Any] = {"capture": True, "capture_span": items[0].span}
        if len(items) > 1:
            found["captured"] = self._piece(items[1])["piece"]
        return found

    def promotion(self, items: list[Token]) -> dict[str, Any]:
        token = items[0]
        span = token.span
        if token.type == "SMALL_PROMOTION":
            return {"promotion": self._kind(token.value[1].upper()), "promotion_span": Span(span.start + 1, span.end)}
        return {"promotion": self._piece(token)["piece"], "promotion_span": span}

    def man_move(self, items: list[Any]) -> dict[str, Any]:
        found: dict[str, Any] = {"piece": chess.PAWN}
        places: list[Token] = []
        for item in items:
            if isinstance(item, dict):
                found.update(item)
            elif item.type == "PIECE":
                found.update(self._piece(item))
            elif item.type in ("SQUARE", "FILE", "RANK"):
                places.append(item)
        *origin, destination = places
        kinds = [item.type for item in items if not isinstance(item, dict)]
        if destination.type == "SQUARE":
            found["destination"] = chess.parse_square(destination.value)
        else:  # "exd"
            found["destination_file"] = chess.FILE_NAMES.index(destination.value)
        for token in origin:
            found.update(self._origin(token))
        if kinds in (["SQUARE", "DASH", "SQUARE"], ["SQUARE", "SQUARE"]) and "promotion" not in found:
            found["piece"] = None  # "g3-g1", "g3g1": whoever stands there
        return found

    def set_of_moves(self, items: list[Token]) -> dict[str, Any]:
        found: dict[str, Any] = {"sort": Sort.any_other}
        for token in items:
            if token.type == "PIECE":
                found.update(self._piece(token), sort=Sort.any_of_piece)
            elif token.type != "ANY":
                found.update(self._origin(token))
        return found

    def mark(self, items: list[Token]) -> dict[str, Any]:
        token = items[0]
        if (said := remark(token)) is not None:
            return said
        sign = token.value.strip()
        effect = {"+": Effect.check, "†": Effect.check, "#": Effect.mate, "‡": Effect.mate}.get(
            sign, Effect.double_plus
        )
        return {"effect": (effect, token.span)}

    def start(self, items: list[dict[str, Any]]) -> MovePhrase:
        found: dict[str, Any] = {}
        effects: list[tuple[Effect, Span]] = []
        annotation = ""
        for item in items:
            if "effect" in item:
                effects.append(item["effect"])
            elif "annotation" in item:
                annotation += item["annotation"]
            else:
                found.update(item)
        found.update(span=Span(0, len(self.text)), text=self.text, effects=tuple(effects), annotation=annotation)
        return MovePhrase(**found)


def read_move(text: str, *, offset: int = 0, letters: Mapping[str, chess.PieceType] = LANGUAGES["en"]) -> MovePhrase:
    """Read one printed move.

    `offset` is where `text` starts in the file (code points), `letters` the piece letters of its language.
    Raises NotAMove.
    """
    return _read(text, tuple(letters.items())).further_on(offset)


@lru_cache(_REMEMBERED)
def _read(text: str, letters: tuple[tuple[str, chess.PieceType], ...]) -> MovePhrase:
    """Read a move as one that stands at the beginning of a file."""
    try:
        tree = phrases_of(_GRAMMAR).whole(_tokens(text))
    except NoPhrase:
        raise NotAMove(f"{text!r} is not a printed move") from None
    phrase: MovePhrase = _Builder(text, dict(letters)).build(tree)
    return phrase
