"""The voice of a script that is read aloud."""

from collections.abc import Iterator, Sequence

import chess

from ..board.names import listing, side
from ..proof.proof import FirstMove
from .draft import Reply, after
from .grouping import PRETTY, Group, blocked_squares, pinned_men, prettiness, told
from .manner import Manner, asked, counted, past
from .spoken import (
    answered,
    called,
    can_be_said,
    can_do,
    effect,
    mover_of,
    name_of,
    setting_up,
    spoken,
    spoken_together,
)

# In turn, so that no two sentences that follow each other begin alike; the first by the puzzle.
_FIRST_TRIES = (
    "A try first: {try}{with_aim}. Only one move holds: {refutation}.",
    "It is tempting to begin with this: {try}{with_aim}. But {refutation}.",
    "Look at this try: {try}{with_aim}. A single move refutes it: {refutation}.",
)
_MORE_TRIES = (
    "Another try: {try}{with_aim}. That fails only to this: {refutation}.",
    "Suppose instead {try}{with_aim}. There is one refutation: {refutation}.",
    "And one more try: {try}{with_aim}. But {refutation}.",
)
_KEYS = ("Now the key: {key}.", "The key is this: {key}.", "And here is the key: {key}.")
_MOST_THREATS = 2  # that are told one by one


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
        left = [f"Other moves {play.left}."] if play.left else []
        going_on = [group for group in play.groups if group.first.further]
        short = [group for group in play.groups if not group.first.further and not group.rest]
        pretty = [] if self.brief else [group for group in short if prettiness(group) >= PRETTY]
        rest = [self._rest(group) for group in play.groups if group.rest]
        if self.brief:
            rest = [f"After the key, {line[0].lower()}{line[1:]}" for line in rest]
        # A paragraph for each line that goes on keeps it apart from the others.
        for place, group in enumerate(going_on):
            yield from self._going_on(group, place)
        plain = [group for group in short if group not in pretty]
        only = self._only_reply(play.groups)
        lines = [self._line(group) for group in _together(plain)]
        if self.brief:
            lines = [self._from_the_key(line, place) for place, line in enumerate(lines, len(going_on))]
        said = [only] if only else list(_turns(lines))
        if only:
            pretty = []
        if said or rest or left:
            yield " ".join([*said, *rest, *left])
        if pretty:
            yield self._finest(pretty, alone=not plain and not rest)

    def _set_play(self) -> str:
        groups = told(self.draft.set_play, self.say).groups
        lines = [self._line(group, owner=True) for group in _together(groups)]
        if not lines:
            return ""
        return f"There is set play, before anybody moves: {'; '.join(lines)}."

    def _tries(self) -> str:
        return " ".join(self._try(attempt, place) for place, attempt in enumerate(self.draft.tries))

    def _try(self, attempt: FirstMove, place: int) -> str:
        board, menace = self.draft.board, self.menace(attempt)
        tried = after(board, attempt.move)
        aim = ""
        if menace is not None:
            aim = f", with the threat of {called(after(tried, chess.Move.null()), menace)}"
        refuted = answered(Reply(board, attempt.move, ()), attempt.refutations[0])
        refuted = refuted.replace("the king goes to", "the king slips away to")
        form = _MORE_TRIES[(place - 1) % len(_MORE_TRIES)] if place else self._one_of(_FIRST_TRIES)
        return form.format(**{"try": self.say(board, attempt.move), "with_aim": aim, "refutation": refuted})

    def _key(self) -> str:
        draft = self.draft
        assert draft.key is not None
        assert draft.after_key is not None
        said = [self._one_of(_KEYS).format(key=self.say(draft.board, draft.key)), *self.ideas()]
        if draft.zugzwang:
            said.append(f"Nothing is threatened, but {side(draft.after_key.turn)} is in zugzwang.")
        elif draft.threats:
            said.append(self._threats(after(draft.after_key, chess.Move.null())))
        return " ".join(said)

    def _threats(self, passed: chess.Board) -> str:
        threats = self.draft.threats
        if len(threats) == 1:
            return f"The threat is {called(passed, threats[0])}."
        alike = len({effect(passed, each) for each in threats}) == 1
        if len(threats) <= _MOST_THREATS or not alike:
            *some, last = (called(passed, each) for each in threats)
            return f"There are {counted(len(threats))} threats: {'; '.join(some)}; and {last}."
        return f"There are {counted(len(threats))} threats: {spoken_together(passed, threats)}."

    def _one_of(self, forms: Sequence[str]) -> str:
        """Choose how to say something, the same way for the same puzzle."""
        return forms[self.draft.board.occupied.bit_count() % len(forms)]

    def _line(self, group: Group, *, owner: bool = False) -> str:
        """Say replies with their answers. `owner`: whose the man is that begins, where either side may have one."""
        return f"{_condition(group, owner=owner)}, {self._answers(group)}"

    def _answers(self, group: Group) -> str:
        """Say the answers, any of which may be played; the first alone where play follows it."""
        first = group.first
        answers = group.answers[:1] if first.further else group.answers
        if not group.rest and _answered_alike(group):
            # "The queen takes it, or the rook takes it" would be two moves, one after the other.
            takes = next((each for each in answers if each.to_square == first.move.to_square), None)
            said = spoken_together(
                first.after,
                answers,
                lambda board, move: answered(first, move) if move == takes else spoken(board, move),
            )
        else:
            said = spoken_together(first.after, answers)
        kind = f"the {name_of(first.before, first.move.from_square)} "
        if not group.rest and said.startswith(kind) and not said.startswith(f"{kind}on "):
            return f"{side(first.after.turn)}'s {said.removeprefix('the ')}"  # two men of one name
        return said

    def _going_on(self, group: Group, place: int) -> Iterator[str]:
        """Yield the paragraphs of a line and the play below it: one for each branch that itself goes on.

        Each begins by naming the key and the moves to where it leaves the line, so that none leans on another.
        """
        said = [self._sentence(self._from_the_key(self._line(group), place))]
        for sentence in self._play_on(group, ()):
            if sentence:
                said.append(sentence)
            else:
                yield " ".join(said)
                said = []
        yield " ".join(said)

    @staticmethod
    def _from_the_key(line: str, place: int) -> str:
        """Let a line begin by naming the key, in turn in two ways."""
        if place % 2 and line.startswith("if "):
            return f"if, after the key, {line.removeprefix('if ')}"
        return f"after the key, {line}"

    def _play_on(self, group: Group, line: Sequence[str]) -> Iterator[str]:
        """Yield the sentences on the play after the answer to a reply, and on the other answers; "": a new paragraph.

        `line` is the play after the key that leads to the reply.
        """
        reply = group.first
        to_answer = (*line, called(reply.before, reply.move))
        here = (*to_answer, called(reply.after, group.answers[0]))
        groups = list(_together(told(reply.further, self.say).groups))
        groups.sort(key=lambda each: (each.rest, bool(each.first.further)))
        alone = len(groups) == 1 and len(groups[0].replies) == 1
        left = False  # whether play has gone on from here in several ways or further than a move
        for place, below in enumerate(groups):
            first = below.first
            if left and groups[place - 1].first.further:
                yield ""
                yield self._sentence(f"{_back(here)}, {self._line(below)}")
            elif alone:
                yield f"Then {spoken(first.before, first.move)}, and {self._answers(below)}."
            else:
                yield self._sentence(f"{'' if place else 'then, '}{self._line(below)}")
            if first.further:
                yield from self._play_on(below, here)
            left = bool(first.further) or not alone
        for instead in _instead(reply, group.answers[1:]):
            if left:
                yield ""
            yield self._sentence(f"{_back(to_answer)}, {instead}" if left else instead)
            left = False

    @staticmethod
    def _sentence(line: str) -> str:
        return f"{line[0].upper()}{line[1:]}."

    def _only_reply(self, groups: Sequence[Group]) -> str:
        """Say the one move that there is after the key; "" where there are several, or play goes on."""
        first = groups[0].first if groups else None
        if first is None or first.further or len(groups) > 1 or first.before.legal_moves.count() > 1:
            return ""
        owner = side(first.before.turn)
        return f"{owner} has only one move: {spoken(first.before, first.move)}, and {self._answers(groups[0])}."

    def _rest(self, group: Group) -> str:
        """Say what becomes of the replies that were not named."""
        other = "other " if group.who == "any other" else ""
        if not self.draft.threats:
            return f"Against any {other}move, {self._answers(group)}."
        if len(group.answers) > 1:
            return f"Any {other}move lets a threat through: {self._answers(group)}."
        return f"Any {other}move lets the threat through: {called(group.first.after, group.answers[0])}."

    def _finest(self, groups: Sequence[Group], *, alone: bool) -> str:
        said = [self._line(group) + _because(group) for group in groups]
        opened = [] if alone else [_opening(groups)]
        return " ".join([*opened, *_turns(said)])

    def _in_turn(self, board: chess.Board, line: Sequence[chess.Move]) -> str:
        words = []
        for move in line:
            words.append(self.say(board, move))
            board = after(board, move)
        return ", then ".join(words)


def _condition(group: Group, *, owner: bool) -> str:
    """Say which replies are meant. `owner`: whose the man is that begins."""
    first = group.first
    whose = f"{side(first.before.turn)}'s" if owner else "the"
    if group.rest:
        return f"on any {'other ' if group.who == 'any other' else ''}move"
    if group.who == "any move of the man":
        return f"wherever {whose} {name_of(first.before, first.move.from_square)} goes"
    moves = [reply.move for reply in group.replies]
    return f"if {spoken_together(first.before, moves).replace('the', whose, 1)}"


def _back(line: Sequence[str]) -> str:
    """Lead back to the position after some moves: "after the key, rook takes c2 and knight takes c2"."""
    return f"after {listing(['the key', *line])}"


def _instead(reply: Reply, others: Sequence[chess.Move]) -> Iterator[str]:
    """Say which other answers there are: "the queen can also go to g7 or g8"."""
    board = reply.after
    by_man: dict[chess.Square, list[chess.Move]] = {}
    for move in others:
        by_man.setdefault(move.from_square, []).append(move)
    for moves in by_man.values():
        if board.is_castling(moves[0]):
            yield f"or {spoken(board, moves[0])}"
        else:
            yield f"{mover_of(board, moves, others)} can also {can_do(board, moves)}"


def _opening(groups: Sequence[Group]) -> str:
    """Announce the mates that are told last, by what makes them worth waiting for."""
    several = len(groups) > 1
    if all(pinned_men(group) for group in groups):
        return "Last, the pins." if several else "Last, the pin."
    if all(blocked_squares(group) for group in groups):
        return "Last, the self-blocks." if several else "Last, the self-block."
    return "And the finest ones last." if several else "And the finest last."


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


def _together(groups: Sequence[Group]) -> Iterator[Group]:
    """Join groups that are told as one: "if it goes to d4 or e4, the queen takes it", "if it goes to c1 or c3, ..."."""
    joined: dict[tuple[chess.Square, chess.Square | None, str], Group] = {}
    for group in groups:
        reply = group.first
        words = " ".join(answered(reply, answer) for answer in group.answers)
        if group.rest or reply.further or group.who != "each" or len(group.replies) > 1:
            words = f"{len(joined)}"  # stands alone
        takes_on = reply.move.to_square if reply.before.is_capture(reply.move) else None
        key = (reply.move.from_square, takes_on, words)
        known = joined.get(key)
        joined[key] = group if known is None else Group((*known.replies, reply), known.answers)
    for group in joined.values():
        # "If it goes to a or b, c or d" would pair each reply with its own answer.
        paired = len(group.replies) == len(group.answers) > 1
        yield from (Group((each,), _moves(each)) for each in group.replies) if paired else (group,)


def _moves(reply: Reply) -> tuple[chess.Move, ...]:
    return tuple(answer.move for answer in reply.answers)


def _answered_alike(group: Group) -> bool:
    """Tell whether the answers are told in the same words after each reply, "takes it" among them."""
    words = {tuple(answered(reply, answer.move) for answer in reply.answers) for reply in group.replies}
    return len(words) == 1
