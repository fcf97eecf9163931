"""The voice of a script that is read aloud."""

from collections.abc import Iterator, Sequence

import chess

from ..board.names import listing, side
from .draft import after
from .grouping import PRETTY, Group, blocked_squares, pinned_men, prettiness, told
from .manner import Manner, asked, past
from .spoken import answered, can_be_said, name_of, setting_up, spoken, spoken_together

# In turn, so that no two sentences that follow each other begin alike; the first by the puzzle.
_FIRST_TRIES = (
    "A try first: {try}. Only one move holds: {refutation}.",
    "It is tempting to begin with this: {try}. But there is one reply: {refutation}.",
    "Look at this try: {try}. A single move refutes it: {refutation}.",
)
_MORE_TRIES = (
    "Another try: {try}. That fails only to this: {refutation}.",
    "The next try: {try}. There is just one refutation: {refutation}.",
    "And one more try: {try}. It fails only to this: {refutation}.",
)
_KEYS = ("Now the key: {key}.", "The key is this: {key}.", "And here is the key: {key}.")


class Script(Manner):
    """As one reads it aloud: moves in words, the position as one sets it up, the prettiest mates last."""

    def say(self, board: chess.Board, move: chess.Move) -> str:
        """Return a move in words."""
        return spoken(board, move)

    def position(self) -> str:
        """Return the men in the order in which they are set up; a FEN where these do not tell all."""
        board = self.draft.board
        return setting_up(board) if can_be_said(board) else super().position()

    def opening(self) -> str:
        """Return what is asked."""
        return f"{asked(self.draft)}{past(self.draft.board)}"

    def body(self) -> Iterator[str]:
        """Yield the paragraphs after the stipulation."""
        draft = self.draft
        if draft.key is None:
            for place, line in enumerate(draft.solutions):
                yield f"{'It goes like this' if not place else 'And like this'}: {self._in_turn(draft.board, line)}."
            return
        yield from filter(None, (self._set_play(), self._tries(), self._key()))
        yield from self.replies()

    def replies(self) -> Iterator[str]:
        """Yield the paragraphs on the replies to the key."""
        play = self.play()
        plain = [group for group in play.groups if not group.rest and (group.first.further or not _pretty(group))]
        pretty = [group for group in play.groups if group not in plain and not group.rest]
        rest = [group for group in play.groups if group.rest]
        left = [f"Other moves {play.left}."] if play.left else []
        if self.brief:
            # A line that has one below it is told again with each; a paragraph keeps them apart.
            yield from (f"After the key, {line}." for line in self._lines([*plain, *pretty, *rest], []))
            yield from left
            return
        others = [line for group in rest for line in self._rest(group)]
        yield " ".join([*_turns(list(self._lines(plain, []))), *others, *left])
        if pretty:
            yield self._finest(pretty, alone=not plain and not rest)

    def _set_play(self) -> str:
        groups = [group for group in told(self.draft.set_play, self.say).groups if len(group.answers) == 1]
        lines = [line for group in _taken_alike(groups) for line in self._answered(group, owner=True)]
        if not lines:
            return ""
        ready = "Some answers are" if len(lines) > 1 else "One answer is"
        return f"{ready} ready before anybody moves. In the set play, {'; '.join(lines)}."

    def _tries(self) -> str:
        board, said = self.draft.board, []
        for place, attempt in enumerate(self.draft.tries):
            tried = after(board, attempt.move)
            refuted = self.say(tried, attempt.refutations[0]).replace("the king goes to", "the king slips away to")
            words = {"try": self.say(board, attempt.move), "refutation": refuted}
            form = _MORE_TRIES[(place - 1) % len(_MORE_TRIES)] if place else self._one_of(_FIRST_TRIES)
            said.append(form.format(**words))
        return " ".join(said)

    def _key(self) -> str:
        draft = self.draft
        assert draft.key is not None
        assert draft.after_key is not None
        said = [self._one_of(_KEYS).format(key=self.say(draft.board, draft.key)), *self.ideas()]
        if draft.zugzwang:
            said.append(f"Nothing is threatened, but {side(draft.after_key.turn)} is in zugzwang.")
        elif draft.threats:
            passed = after(draft.after_key, chess.Move.null())
            said.extend(f"The threat is this: {self.say(passed, threat)}." for threat in draft.threats)
        return " ".join(said)

    def _one_of(self, forms: Sequence[str]) -> str:
        """Choose how to say something, the same way for the same puzzle."""
        return forms[self.draft.board.occupied.bit_count() % len(forms)]

    def _lines(self, groups: Sequence[Group], before: list[str]) -> Iterator[str]:
        """Yield each line of play from the key on, whole also where play goes on, so that none leans on another."""
        for group in groups if self.brief else _taken_alike(groups):
            yield from (", and ".join([*before, line]) for line in self._answered(group))
            if group.first.further:
                condition = self._condition(group, owner=self.brief)
                start = f"{condition}, then {self.say(group.first.after, group.answers[0])}"
                yield from self._lines(told(group.first.further, self.say).groups, [*before, start])

    def _answered(self, group: Group, *, owner: bool = False) -> Iterator[str]:
        """Yield a line for each answer that no further play follows. `owner`: whose the man is that begins."""
        first = group.first
        answers = group.answers[1:] if first.further else group.answers
        if not answers:
            return
        alone = (len(group.replies) == 1 or _all_taken(group)) and not group.rest and not self.brief
        for move in answers:
            answer = answered(first, move) if alone else self.say(first.after, move)
            yield f"{self._condition(group, owner=owner or self.brief)}, {answer}"

    @staticmethod
    def _condition(group: Group, *, owner: bool) -> str:
        """Say which replies are meant. `owner`: whose the man is that begins, where either side may have one."""
        first = group.first
        whose = f"{side(first.before.turn)}'s" if owner else "the"
        if group.rest:
            return f"against any {'other ' if group.who == 'any other' else ''}move"
        if group.who == "any move of the man":
            return f"wherever {whose} {name_of(first.before, first.move.from_square)} goes"
        return f"if {spoken_together(group.replies).replace('the', whose, 1)}"

    def _rest(self, group: Group) -> Iterator[str]:
        lets = f"Any {'other ' if group.who == 'any other' else ''}move lets the threat through"
        for line in self._answered(group):
            answer = line.partition(", ")[2]
            yield f"{lets}: {answer}." if self.draft.threats else f"{line[0].upper()}{line[1:]}."

    def _finest(self, groups: Sequence[Group], *, alone: bool) -> str:
        said = [line + _because(group) for group in groups for line in self._answered(group)]
        opened = [] if alone else ["And the finest last." if len(said) == 1 else "And the finest ones last."]
        return " ".join([*opened, *_turns(said)])

    def _in_turn(self, board: chess.Board, line: Sequence[chess.Move]) -> str:
        words = []
        for move in line:
            words.append(self.say(board, move))
            board = after(board, move)
        return ", then ".join(words)


def _pretty(group: Group) -> bool:
    return prettiness(group) >= PRETTY


def _turns(lines: Sequence[str]) -> Iterator[str]:
    """Yield lines as sentences that do not all begin alike."""
    for place, line in enumerate(lines):
        last = place == len(lines) - 1 and place
        yield f"And {line}." if last else f"{line[0].upper()}{line[1:]}."


def _because(group: Group) -> str:
    """Say what makes a mate possible: a pinned man, a square that the reply has blocked."""
    pinned = pinned_men(group)
    if pinned:
        return f", for {listing(pinned)} {'is' if len(pinned) == 1 else 'are'} pinned"
    blocked = blocked_squares(group)
    if len(blocked) == 1 and len(group.replies) == 1:
        reply = group.first
        return f", for the {name_of(reply.after, reply.move.to_square)} blocks {chess.square_name(blocked[0])}"
    return ""


def _taken_alike(groups: Sequence[Group]) -> Iterator[Group]:
    """Join groups of one man that one man takes wherever it goes: "if it goes to d4 or e4, the queen takes it"."""
    joined: dict[tuple[chess.Square, str], Group] = {}
    for group in groups:
        reply = group.first
        alike = len(group.replies) == len(group.answers) == 1 and not group.rest and not reply.further
        if alike and group.answers[0].to_square == reply.move.to_square and not reply.before.is_capture(reply.move):
            key = (reply.move.from_square, answered(reply, group.answers[0]))
            known = joined.get(key)
            joined[key] = group if known is None else Group((*known.replies, reply), known.answers)
        else:
            joined[group.first.move.from_square, f"{len(joined)}"] = group
    yield from joined.values()


def _all_taken(group: Group) -> bool:
    """Tell whether the man is taken on each square it may have gone to, by the move the answer is."""
    return all(
        len(reply.answers) == 1 and reply.answers[0].move.to_square == reply.move.to_square for reply in group.replies
    )
