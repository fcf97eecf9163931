"""One sentence of a telling: which men it puts on which squares, and what of it cannot be understood.

A man and a square make a man on its square, in this order or the other, whatever stands between; a name goes on
for the squares behind it ("pawns on d4, e4 and e3"), a side until another one is named. What is taken back
("f3, sorry, f2") changes the man told last. A man may stand "right in front of it". A man that gets no square, and is
none of those that have one, is a fault of the telling.
"""

from __future__ import annotations

from collections.abc import Sequence

import chess
from msgspec.structs import replace

from .document import TextFault
from .spans import Span
from .told_beside import denied, has_square, of_man_behind
from .told_so_far import Man, Owners, Told
from .told_words import Said

_LOOKS = frozenset(("faces", "facing", "looks", "looking", "watches", "watching", "eyes", "stares", "frowns", "waits"))
_PRONOUNS = frozenset(("it", "him", "her", "them"))
_NAMING = frozenset(("man", "join", "number", "word", "side", "own", "other", "hearer", "is"))  # and no more
_ANOTHER = frozenset(("another", "another one", "other", "other one", "second", "second one", "third"))
_BEFORE_ITS_SQUARE = frozenset(("join", "at", "is", "word", "unknown", "from", "goes on"))
_NEAR = 4  # words between "behind" and the man that something stands behind


class Sentence:
    """Reads one sentence into a copy of what was told before it."""

    def __init__(self, words: Sequence[Said], before: Told, owners: Owners) -> None:
        self.words = words
        self.told = before.copy()
        self.owners = owners
        self.placed = 0
        self.spans: list[Span] = []  # of what was put
        self.man: Man | None = None  # waits for its square
        self.queue: list[Man] = []  # wait before it: "king and pawn: h8 and h7"
        self.squares: list[Said] = []  # wait for their man
        self.number = 0
        self.unowned_before = len(before.unowned)
        self._named_last: chess.PieceType | None = None
        self.taking_back = False
        self.by_another: chess.Square | None = None  # "right in front of the king"

    def read(self) -> Told:
        """Return what is told after the sentence."""
        if self._begins_with_square():
            self.man, self.told.waits = self.told.waits, None
            self.told.mentions.remove(self.man) if self.man in self.told.mentions else None
        place = 0
        while place < len(self.words):
            place += self._step(place)
        only_named = {word.does for word in self.words} <= _NAMING and self.by_another is None
        self.told.waits = self.man if only_named else None
        self._leave_man()
        for word in self.squares:
            self._stray(word)
        return self.told

    def announce(self) -> Told:
        """Return what is told after a sentence that names a side and no man: "And Black?", "those are White's"."""
        self._named_side(next(place for place, word in enumerate(self.words) if word.does == "side"))
        return self.told

    def _step(self, place: int) -> int:
        """Take the word at `place`; return how many words were used up."""
        word = self.words[place]
        if word.does in ("beside", "up", "down", "ahead", "behind"):
            return self._reference(place)
        if word.text in _ANOTHER and (used := self._one_more(place)):
            return used
        if word.does == "side":
            self._named_side(place)
        elif word.does in ("own", "hearer", "other"):
            self._owner(place)
        elif word.does == "number":
            if not self._another_one(place):
                self.number = word.value
        elif word.does == "man":
            self._man(place)
        elif word.does == "square":
            return self._square(place)
        elif word.does in ("takes back", "no"):
            self.taking_back = True
        elif word.does == "join" and word.text != "\n":
            self.number = 0
        return 1

    # -- sides

    def _named_side(self, place: int) -> None:
        """Take the name of a side: of the men that it stands before, or behind, as in "those are White's"."""
        colour = bool(self.words[place].value)
        behind = all(word.does not in ("man", "square") for word in self.words[place + 1 :])
        here = len(self.told.unowned) > self.unowned_before
        asks = self.words[-1].does == "asked"  # of the men that come next
        trailing = bool(self.told.unowned) and (here or (behind and not asks))
        if trailing:
            self._own(colour)
        elif any(man.kind == chess.KING for man, _, _ in self.told.unowned):
            self._own(not colour)  # who has told the men of one side names the other before its men
        self.told.unowned = []  # what else had no side was no telling of men
        self._side(colour, named=True)
        if behind and trailing:
            self.told.side = None  # the next men are named before their side, too

    def _own(self, colour: chess.Color) -> None:
        """Give the men of whom nothing was known to a side."""
        unowned, self.told.unowned = self.told.unowned, []
        waiting, self.man = self.man, None
        last = self.told.last
        for man, square, span in unowned:
            self._put(replace(man, colour=colour), square, span)
        self.man, self.told.last = waiting, self.told.last if last is None else last

    def _side(self, colour: chess.Color, *, named: bool) -> None:
        self.told.side, self.told.named = colour, named
        self.told.by_colour &= named
        if self.man is not None:
            self.man = replace(self.man, colour=colour)
        if self.told.open is not None:
            self.told.open = replace(self.told.open, colour=colour)

    def _owner(self, place: int) -> None:
        """Take "my", "he has", "your": only where men are owned, not in "deep in our half"."""
        word = self.words[place]
        after = [each.does for each in self.words[place + 1 : place + 4]]
        owns = "man" in after[:1] or (
            "man" in after and set(after[: after.index("man")]) <= {"word", "unknown", "number"}
        )
        has = word.subject and ("is" in after[:2] or [each.text for each in self.words[place + 1 : place + 2]] == [":"])
        if not (owns or has) or (word.does == "other" and self.told.named):
            return  # "his" is said of the side that was named
        self._side(self.owners.of(word.does), named=False)

    # -- men

    def _man(self, place: int) -> None:
        word = self.words[place]
        number, self.number = self.number, 0
        if denied(self.words, place):
            self.taking_back = False
            return
        man = Man(chess.PieceType(word.value), self.told.side, word.span, word.several, number)
        self._named_last = man.kind
        if self.taking_back and self.man is None and self._changes_last(place, man):
            return
        if self.man is not None and self.by_another is None and self._joined(place):
            self.queue.append(self.man)
            self.man = None
        self._leave_man()
        self.told.open = None
        if self.squares:
            for square in self.squares:
                self._put(man, square.value, square.span.to(word.span))
            self.squares = []
            self.told.open = None
            return
        self.man = man

    def _joined(self, place: int) -> bool:
        """Tell whether "and" or a comma alone joins a man to the one named before: "king and both rooks"."""
        between = [word for word in self.words[:place] if self.man is not None and word.span.start >= self.man.span.end]
        return bool(between) and {word.does for word in between} <= {"join", "word", "number", "side", "own", "other"}

    def _one_after_another(self, place: int) -> int:
        """Put the men that wait on as many squares in a row, each on its own. Return how many words that takes."""
        assert self.man is not None
        men = [each for man in (*self.queue, self.man) for each in [man] * max(man.number, 1)]
        squares, end = [], place
        for index in range(place, len(self.words)):
            word = self.words[index]
            if word.does == "square":
                squares.append(word)
                end = index + 1
            elif word.does not in ("join", "at"):
                break
        queue, self.queue = self.queue, []
        if len(men) != len(squares):
            self.told.mentions += queue
            return 0
        for man, square in zip(men, squares, strict=True):
            self._put(replace(man, number=0, several=False), square.value, man.span.to(square.span))
        return end - place

    def _another_one(self, place: int) -> bool:
        """Take "the black one on h8" for another man of the name before."""
        word, named = self.words[place], self._named_last
        if named is None or word.text not in ("one", "ones") or place == 0 or self.words[place - 1].does != "side":
            return False
        self._leave_man()
        self.man = Man(named, self.told.side, word.span, word.text == "ones")
        return True

    def _one_more(self, place: int) -> int:
        """Take "a rook on h1, another one on h3" for one more man of that name. Return how many words that takes."""
        named = self._named_last
        if named is None and self.told.last is not None:
            named = self.told.pieces[self.told.last].piece_type
        used = 2 if [word.text for word in self.words[place + 1 : place + 2]] == ["one"] else 1
        rest = self.words[place + used :]
        after = next((word for word in rest if word.does not in _BEFORE_ITS_SQUARE), None)
        if named in (None, chess.KING) or self.man is not None or after is None or after.does != "square":
            return 0
        self.told.open = None
        self.man = Man(named, self.told.side, self.words[place].span)
        return used

    def _changes_last(self, place: int, man: Man) -> bool:
        """Take "knight f3, sorry, bishop" and "white, no, black pawn": another man where the last one was put."""
        last = self.told.last
        if last is None:
            return False
        after = next((each for each in self.words[place + 1 :] if each.does in ("square", "man", "takes back")), None)
        if after is not None and after.does == "square" and after.value != last:
            if self.told.pieces[last].piece_type == man.kind:
                self._take_off(last)  # "rook f3, no, the rook is on f2"
            return False
        colour = self.told.pieces[last].color if man.colour is None else man.colour
        self.told.pieces[last] = chess.Piece(man.kind, colour)
        self.taking_back = False
        return True

    def _take_off(self, square: chess.Square) -> None:
        del self.told.pieces[square], self.told.spans[square]
        self.told.last = None

    def _leave_man(self) -> None:
        """Put a man that has got no square where it stands by another, or keep it in mind."""
        man, square = self.man, self.by_another
        self.told.mentions += self.queue if man is None else []
        if man is not None and square is not None:
            self._put(man, square, man.span)
        elif man is not None:
            self.told.mentions.append(man)
        self.man = self.by_another = None

    # -- squares

    def _square(self, place: int) -> int:
        word = self.words[place]
        before = [each.does for each in self.words[max(0, place - 2) : place]]
        through = self._through(place, before)
        if through:
            return through
        led = before[-1:] == ["to"] and not self._arrived(place)
        if before[-1:] == ["not"] and word.value == self.told.last:
            self.taking_back = True  # "not g7, h7"
            return 1
        if led or before[-1:] == ["not"] or before[-2:] in (["not", "at"], ["from", "at"]):
            return 1  # "not on f3"
        if before[-1:] == ["from"] and not self._looks_from(place):
            return 1  # "one step from d8"
        if self.queue and self.man is not None and (taken := self._one_after_another(place)):
            return taken
        man = self.man or (self.told.open if not of_man_behind(self.words, place) else None)
        if self.taking_back and self.man is None and self.told.last is not None:
            self._move_last(word)
        elif man is not None:
            self._put(man, word.value, man.span.to(word.span) if self.man is not None else word.span)
        elif word.value not in self.told.pieces:
            self.squares.append(word)
        self.taking_back = False
        return 1

    def _looks_from(self, place: int) -> bool:
        """Tell whether the man that waits stands where it looks from: "the black king faces him from f8"."""
        man = self.man
        if man is None or [word.does for word in self.words[place + 1 : place + 3]] == ["to", "square"]:
            return False
        return any(word.text in _LOOKS for word in self.words[:place] if word.span.start >= man.span.end)

    def _arrived(self, place: int) -> bool:
        """Tell whether the man that waits for a square has come to this one: "his king has wandered out to h3"."""
        return self.man is not None and any(
            word.does == "puts" for word in self.words[:place] if word.span.start > self.man.span.start
        )

    def _through(self, place: int, before: Sequence[str]) -> int:
        """Take "pawns from a2 to d2": a man on each square between them. Return how many words that takes."""
        rest = self.words[place : place + 3]
        several = self.man is not None and self.man.several
        if (
            not several
            or [each.does for each in rest] != ["square", "to", "square"]
            or before[-1:] not in (["from"], ["at"], ["man"])
        ):
            return 0
        start, end = rest[0].value, rest[2].value
        if chess.square_rank(start) != chess.square_rank(end) or start >= end:
            return 0
        man = self.man
        assert man is not None
        for square in range(start, end + 1):
            self._put(man, square, man.span.to(rest[2].span))
        return 3

    def _move_last(self, word: Said) -> None:
        last = self.told.last
        assert last is not None
        piece, span = self.told.pieces[last], self.told.spans[last]
        self._take_off(last)
        self._put(Man(piece.piece_type, piece.color, span), word.value, span.to(word.span))

    def _put(self, man: Man, square: chess.Square, span: Span) -> None:
        self.man = self.by_another = None
        if man.colour is None:
            self.told.unowned.append((man, square, span))
            self.told.last, self.told.open = None, man if man.several or man.number > 1 else None
            self.placed += 1
            self.spans.append(span)
            return
        piece = chess.Piece(man.kind, man.colour)
        if self.told.pieces.get(square) == piece:
            self.told.last = square
            self.told.open = man if man.several or man.number > 1 else None
            return
        king = man.kind == chess.KING and piece in self.told.pieces.values()
        self.told.second |= square in self.told.pieces or king
        self.told.pieces[square], self.told.spans[square] = piece, span
        self.told.last = square
        self.told.open = man if man.several or man.number > 1 or man.kind == chess.PAWN else None
        if man.number > 1:
            self.told.mentions.append(man)  # as many must have squares in the end
        self.placed += 1
        self.spans.append(span)

    def _stray(self, word: Said) -> None:
        """Report a square behind a word that nobody knows, as the name of a man may be."""
        place = next(index for index, each in enumerate(self.words) if each is word)
        before = [each for each in self.words[max(0, place - 3) : place] if each.does != "at"]
        if before and before[-1].does == "unknown" and word.value not in self.told.pieces:
            self.told.faults.append(
                TextFault(before[-1].span.to(word.span), "it is not understood which man stands here")
            )

    def _begins_with_square(self) -> bool:
        """Tell whether a sentence goes on with the square of a man that waits for one: "And a king. c6."."""
        does = {word.does for word in self.words}
        return self.told.waits is not None and "square" in does and does <= {"join", "at", "is", "word", "square"}

    # -- a man beside another

    def _reference(self, place: int) -> int:
        """Take "in front of the king", "behind her", "next to the enemy": no man that is told by this."""
        word = self.words[place]
        near = self.words[place + 1 : place + 1 + _NEAR]
        used, man, self.number = 1, None, 0  # "two squares above it" counts no men
        for count, each in enumerate(near, start=2):
            if each.does == "man":
                used, man = count, each
                break
            if each.text in _PRONOUNS:
                used = count
                break
            if each.does not in ("word", "side", "own", "hearer", "other", "at", "to", "unknown", "from"):
                break
        if word.does == "beside":
            return used if man is None or not has_square(self.words, place + used) else used - 1
        of = self._named(man, self.words[place : place + used])
        if of is not None and self.man is not None and not self.man.several:
            forward = 8 if self.told.pieces[of].color else -8
            square = of + {"ahead": forward, "behind": -forward, "up": 8, "down": -8}[word.does]
            self.by_another = square if 0 <= square < 64 else None
        return used

    def _named(self, man: Said | None, words: Sequence[Said]) -> chess.Square | None:
        """Return where the man stands that words speak of, the last one told where they name none."""
        if man is None:
            return self.told.last
        side = next((bool(each.value) for each in words if each.does == "side"), None)
        found = [
            square
            for square, piece in self.told.pieces.items()
            if piece.piece_type == man.value and side in (None, piece.color)
        ]
        return found[0] if len(found) == 1 else None
