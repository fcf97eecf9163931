"""Frames as values: what one clause tells, before it is known from which position."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.moves import Effect, MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import MoveNumber
from msgspec import Struct, field

_PROMOTED = ((chess.QUEEN,), (chess.ROOK,), (chess.BISHOP,), (chess.KNIGHT,))


class Who(Struct, frozen=True):
    """A man as it is named. What is None or empty was not said.

    `ours` is True for "my" and "we", False for "his"; `colour` is said outright. `either` is a square that may as
    well be where the man goes to ("the bishop on f8"). `file` counts from 0.
    """

    span: Span
    kinds: tuple[chess.PieceType, ...] = ()
    colour: chess.Color | None = None
    ours: bool | None = None
    square: chess.Square | None = None
    file: int | None = None
    light: bool | None = None
    wing: str | None = None
    pronoun: str = ""
    other: bool = False
    every: bool = False
    plural: bool = False
    indefinite: bool = False  # "a rook on e8"
    reaches: bool = False  # the word before `square` may as well mean that the man goes there: "le roi en b3"
    fronted: bool = False  # `square` stands before the name: "the d4 knight"
    object: bool = False  # said in a case that only a man has to which something is done: "den Turm"

    @property
    def nameless(self) -> bool:
        """True where only a side or a pronoun is named."""
        return not self.kinds


class Way(Struct, frozen=True):
    """One way to take the words of a move: the moves it names, all of them meant, and what taking it so costs."""

    choices: tuple[MovePhrase, ...]
    cost: int = 0


class Move(Struct, frozen=True):
    """A half-move that is told, in one of several ways to take its words.

    `marks` are what the words about it call it or how they lead to it ("key", "if", "but", "threat"); `bare`
    is a list of squares or a verb without the man that goes there.
    """

    span: Span
    ways: tuple[Way, ...]
    marks: frozenset[str] = frozenset()
    effects: tuple[tuple[Effect, Span], ...] = ()
    stance: Stance = Stance.asserted
    number: MoveNumber | None = None
    who: Who | None = None
    bare: bool = False
    opened: bool = False  # the square is told to be open to the king: "leaves him g3", "a3 is free"
    vague: bool = False  # no square is named
    listed: bool = False  # one more of a list: "or h5"
    printed: bool = False
    uncovered: tuple[Span, ...] = ()
    cost: int = 0  # of words misheard
    verb: str = ""
    able: bool = False  # "can", "could": a move that may be made, not one that is
    modal: bool = False  # the same, or one that would be made: "would", "he'd"
    apart: bool = False  # a comma stands between the man and the square
    towards: bool = False  # a word that says where a man goes, and nothing else, leads to the square: "rook to g5"
    alone: bool = False  # nothing but a man is named: "And the g-pawn?"
    posed: bool = False  # a man and the square he stands on or goes to: "met by the queen on b4"
    idle: bool = False  # only a new man is named: "a bishop would not do"
    signs: tuple[str, ...] | None = None  # kinds of all that stands between it and the move printed before: "c5 – Qb8#"
    back: bool = False  # "takes back": the man that has just moved, and no other
    aside: bool = False  # it stands in a clause that tells a reason, and may be part of that
    parted: tuple[Move, ...] = ()  # the same words as a reply and its answer: "knight takes c7, g5"


class Hint(Struct, frozen=True):
    """What may tell a reply that is not told as a move: a word that looks "back", a man that is "lost", a "square".

    `old`: the squares are those that White means, turned round for Black.
    """

    kind: str
    span: Span
    squares: chess.Bitboard = 0
    old: bool = False


class Said(Struct, frozen=True):
    """Something said that is no move: "effect", "again", "topic", "reason", "claim", "mark", "end", "paragraph"."""

    kind: str
    span: Span
    effects: tuple[tuple[Effect, Span], ...] = ()
    marks: frozenset[str] = frozenset()
    stance: Stance = Stance.asserted
    who: Who | None = None
    uncovered: tuple[Span, ...] = ()
    hints: tuple[Hint, ...] = ()  # of the sentence that ends here


Frame = Move | Said


class Draft(Struct):
    """A move that is being put together."""

    start: int
    end: int
    who: Who | None = None
    verb: str = ""
    to: list[tuple[chess.Square, Span]] = field(default_factory=list)
    old: list[chess.Bitboard] = field(
        default_factory=list
    )  # squares named in descriptive notation, as White means them
    origin: chess.Square | None = None
    take: Span | None = None
    victim: Who | None = None
    back: bool = False  # "takes back"
    free: bool = False  # the man that moves may be named behind its verb
    either: bool = False  # the man behind the verb may be the one that is taken
    promotion: chess.PieceType | None = None
    promotes: Span | None = None
    castling: str | None = None
    en_passant: bool = False
    with_next: bool = False  # "with" or "by" was just said: the next man makes the move
    effects: list[tuple[Effect, Span]] = field(default_factory=list)
    phrases: list[MovePhrase] = field(default_factory=list)  # printed ones
    marks: set[str] = field(default_factory=set)
    number: MoveNumber | None = None
    stance: Stance = Stance.asserted
    sort_other: bool = False
    every: bool = False
    listed: bool = False
    able: bool = False
    modal: bool = False
    apart: bool = False  # a comma stands between the man and the square
    towards: bool = False
    cost: int = 0
    carried: bool = False  # the man is the one that the sentence before named
    signs: tuple[str, ...] | None = None
    lands: bool = False  # the square beside the man is where it goes: "check with the rook on a2"
    you: bool = False  # "you go to c7"
    pushes: bool = False  # the verb is said of pawns: "push it"
    shifts: bool = False  # the verb need not say where a man goes: "move the bishop on f6"
    idles: bool = False  # a man is named where one may have come to be, and nothing says that it did
    steps: tuple[int, ...] = ()  # "one step or two": how many squares a man goes
    heading: tuple[str, ...] = ()  # "up", "back", "out": where it goes to, where no square is told
    along: str | None = None  # "along the rank"
    to_rank: int | None = None  # "to the second rank"
    to_file: int | None = None

    @property
    def idle(self) -> bool:
        """True where nothing but a new man is named, which a pawn may have become."""
        who = self.who
        return (
            not (self.placed or self.every)
            and who is not None
            and who.indefinite
            and not who.square
            and bool(who.kinds)
        )

    @property
    def becomes_new(self) -> bool:
        """True where a new man is named on the last rank: "a bishop on e8"."""
        who = self.who
        if who is None or not who.indefinite or not who.kinds or who.colour is not None:
            return False
        return who.square is None or chess.square_rank(who.square) in (0, 7)

    @property
    def arrives_new(self) -> bool:
        """True where a new man comes to the last rank: "a knight gives check from e8"."""
        who = self.who
        if who is None or who.square is not None or self.take is not None or not (self.becomes_new or self.mates_new):
            return False
        return bool(self.to) and all(chess.square_rank(square) in (0, 7) for square, _ in self.to)

    @property
    def mates_new(self) -> bool:
        """True where a man that a pawn may have become mates: "the queen mates from h8", "the queen's mate remains"."""
        new = self.who is not None and self.who.kinds[:1] in _PROMOTED and self.who.colour is None
        return new and bool(self.effects) and self.verb in ("", "stand")

    def promotes_elsewhere(self, square: chess.Square) -> bool:
        """Tell whether a square that follows is none on which a pawn can promote: "becomes anything at all, g5"."""
        return self.promotes is not None and not self.to and chess.square_rank(square) not in (0, 7)

    @property
    def sets_up(self) -> bool:
        """True where a man is added to the position: "put a black pawn on c7"."""
        who = self.who
        return self.verb == "put" and who is not None and who.indefinite and who.colour is not None

    def lays_down(self, who: Who) -> bool:
        """Tell whether a man goes to the square he is named with: "put that bishop on e2", not "move that bishop"."""
        return self.verb == "put" and bool(who.kinds) and not (self.shifts or self.to or who.fronted)

    @property
    def placed(self) -> bool:
        """True where it is said what happens, not only who moves."""
        return bool(
            self.phrases
            or self.to
            or self.old
            or (self.to_rank is not None and self.every)
            or self.take
            or self.castling
            or self.promotes
            or self.sort_other
        )

    @property
    def tells(self) -> bool:
        """True where enough is said to be a move."""
        if self.placed:
            return True
        if self.heading and self.who is not None and self.verb in ("go", "put") and self.who.ours is not True:
            return True  # "he goes up", but not "I went home"
        named = self.who is not None and not self.who.nameless
        if self.who is not None and self.who.indefinite and self.who.square is not None:
            return chess.square_rank(self.who.square) in (0, 7)  # a new man: a pawn has become one
        if self.every and self.who is not None and self.who.pronoun == "it":
            return True  # "if it goes anywhere"
        return named and (self.verb in ("go", "put") or self.every or bool(self.effects))
