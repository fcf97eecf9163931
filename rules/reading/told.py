"""What a listener adds to moves told in words: which man "it" is, which set is meant, what is told twice."""

import re

import chess
from keyproof.grammar.moves import MovePhrase, Sort
from keyproof.grammar.statements import Topic, Turn
from msgspec.structs import replace

_HYPOTHETICAL = re.compile(r"\b(?:would|could|might)\b", re.I)
_OTHER = re.compile(r"\b(?:other|else\w*|remaining)\b", re.I)
_SUPPOSED = re.compile(r"(?:['’]d|\b(?:would|might|may|will|to))\s+(?:say|think|object|ask|like)\b", re.I)


_RECENT = 3  # "it" is one of the men spoken of last


class Spoken:
    """The men that a text has spoken of so far, and where those of them stand that were named with a square."""

    def __init__(self) -> None:
        self._kinds: list[chess.PieceType] = []  # the last one first
        self._squares: dict[chess.PieceType, chess.Square] = {}

    def name(self, kind: chess.PieceType, square: chess.Square | None = None) -> None:
        """Note that a man was spoken of."""
        self._kinds = [kind, *[other for other in self._kinds if other != kind]]
        if square is not None:
            self._squares[kind] = square

    def note(self, topic: Topic, diagram: chess.Board) -> None:
        """Note the man that words name without a move of his: "the pawn on c7 would gladly take back"."""
        kind = topic.piece
        if topic.square is not None:
            kind = kind or diagram.piece_type_at(topic.square)
        if kind is not None:
            self.name(kind, topic.square)

    def recent(self) -> tuple[chess.PieceType, ...]:
        """Return the kinds of men that "it" may mean, the likeliest first."""
        return tuple(self._kinds[:_RECENT])

    def place(self, kind: chess.PieceType, square: chess.Square) -> None:
        """Note from where a man of this kind was said to go."""
        self._squares[kind] = square

    def refer(self, turn: Turn) -> Turn:
        """Return a turn with the men that "it" and "that knight" may mean in it; note those it names."""
        choices = tuple(map(self._referred, turn.choices))
        return turn if choices == turn.choices else replace(turn, choices=choices)

    def _referred(self, phrase: MovePhrase) -> MovePhrase:
        if phrase.pronoun and phrase.feminine:
            return replace(phrase, piece=chess.QUEEN)
        if phrase.pronoun:
            return replace(phrase, referents=tuple((kind, self._squares.get(kind)) for kind in self._kinds))
        if phrase.pointed_at and phrase.piece is not None:
            phrase = replace(phrase, likely_origin=self._squares.get(phrase.piece))
        if phrase.captured is not None:
            self.name(phrase.captured)
        if phrase.piece is not None:
            whole = phrase.origin_file is not None and phrase.origin_rank is not None
            self.name(phrase.piece, chess.square(phrase.origin_file, phrase.origin_rank) if whole else None)  # type: ignore[arg-type]
        if phrase.promotion is not None:
            self.name(phrase.promotion)
        return phrase


def is_rest(phrase: MovePhrase) -> bool:
    """Tell whether a phrase stands for what the other statements leave over: "any other", "R~", "the king moves"."""
    return phrase.sort is not Sort.move


def may_tell_again(phrase: MovePhrase) -> bool:
    """Tell whether words for all moves may be told of moves told before: "wherever the knight goes"."""
    return phrase.worded and phrase.sort is not Sort.any_other and not _OTHER.search(phrase.text)


def waits(phrase: MovePhrase) -> bool:
    """Tell whether a phrase can only be read when the rest of the text is known, since it leaves out what is said."""
    told = phrase.capture or phrase.castling or phrase.names_destination or phrase.pronoun
    told = told or phrase.origin_file is not None
    return is_rest(phrase) and (not told or phrase.every or not phrase.worded)


def claims_capture(phrase: MovePhrase, before: str = "") -> bool:
    """Tell whether words such as "the rook takes it" claim a capture that must be there.

    "Would take it" does not, nor what stands `before`: "you'd say the pawn takes her".
    """
    if _HYPOTHETICAL.search(phrase.text) or _SUPPOSED.search(before):
        return False
    return phrase.worded and phrase.capture and not phrase.every and phrase.sort is Sort.any_of_piece


def elaborates(last: Turn, turn: Turn) -> bool:
    """Tell whether words only spell out a set told before: "anything else, whether a pawn or the knight moves"."""
    if not last.choices or turn.number is not None or turn.effects or turn.choices[0].effects:
        return False
    told, more = last.choices[-1], turn.choices[0]
    if not (told.worded and more.worded and is_rest(told)) or more.exact:
        return False
    return told.sort is not Sort.any_of_piece or (more.piece is None and (more.every or not more.pronoun))


def same_subject(last: Turn, turn: Turn, *, linked: bool) -> bool:
    """Tell whether two moves in words are told of the same man: "it can take on d six, it can go to c six".

    `linked`: "and" or "or" stands between them. "The queen goes to d four, the queen takes her" are two queens.
    """
    one, other = last.choices[-1], turn.choices[0]
    if not (one.worded and other.worded) or last.effects or turn.effects or other.effects or other.captures_last:
        return False
    if one.pronoun and one.text.split()[0].lower() != other.text.split()[0].lower():
        return False  # "he comes to e seven, she goes to f six"
    if one.castling or other.castling:
        return False  # "White castles short, the king moves two squares"
    alike = (one.pronoun, one.piece, one.colour) == (other.pronoun, other.piece, other.colour)
    return alike and (one.pronoun or (linked and one.piece is not None and one.capture == other.capture))
