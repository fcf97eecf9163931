"""A solution in words, in three voices: a printed column, a tutorial, a script to read aloud.

Whatever is said of a move stands behind it in a form that the reading checks again.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Literal, get_args

import chess

from ..board.names import listing, side
from ..board.resolve import captured_piece
from ..play.mating_net import mating_net, sentences
from ..retro.men import Men
from ..retro.origins import origins
from ..retro.past import contradiction
from .draft import Draft, Reply, after, flights, self_block

Voice = Literal["column", "tutorial", "script"]
VOICES: tuple[Voice, ...] = get_args(Voice)

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_AIMS = {"#": "mate", "s#": "selfmate", "r#": "reflexmate", "=": "stalemate", "h#": "helpmate", "h=": "helpstalemate"}
_MOST_ANSWERS = 3  # beyond which a reply that is met by short play is left out, in a mate in three or more
_SO_MANY = 7  # replies with the same answers, from which on they are "any other"
_MANY = 3  # moves of one man with the same answers, from which on they are told together

Say = Callable[[chess.Board, chess.Move], str]


@dataclass(frozen=True)
class Group:
    """Replies that are answered by the same moves, word for word, and how they are named."""

    replies: tuple[Reply, ...]
    answers: tuple[chess.Move, ...]
    who: Literal["each", "any move of the man", "any other", "any"] = "each"

    @property
    def first(self) -> Reply:
        """The reply that stands for all."""
        return self.replies[0]

    @property
    def rest(self) -> bool:
        """True where the replies are those that were not named."""
        return self.who in ("any other", "any")


@dataclass(frozen=True)
class Told:
    """The replies of one position as they are told. `left`: what others do, in a word; "" where none is left out."""

    groups: tuple[Group, ...]
    left: str = ""


def written(draft: Draft, voice: Voice) -> list[str]:
    """Return the paragraphs of a solution text, the position and the stipulation first."""
    styles: dict[Voice, Callable[[Draft], _Written]] = {"column": _Column, "tutorial": _Tutorial, "script": _Script}
    style = styles[voice](draft)
    return [_fen(draft.board), f"{style.opening()}{_past(draft.board)}", *style.body()]


def _past(board: chess.Board) -> str:
    """Say what a reader would wonder about: a position that no game leads to, a man that must be promoted."""
    if contradiction(board) is not None:
        return " The position is unreachable in a game."
    promoted = [group for colour in chess.COLORS for group in origins(Men(board), colour).promoted]
    return " There is a promoted man on the board." if promoted else ""


def _count(number: int) -> str:
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def _flights(squares: list[str]) -> str:
    return f"the flight{'s' if len(squares) > 1 else ''} {listing(squares)}"


def _fen(board: chess.Board) -> str:
    return board.fen(en_passant="fen")


def _asked(draft: Draft) -> str:
    stipulation = draft.stipulation
    length = _count(stipulation.moves)
    half = " and a half" if stipulation.half else ""
    aim = _AIMS[stipulation.genre]
    if stipulation.help_play:
        count = len(draft.solutions)
        return f"{aim.capitalize()} in {length}{half}." + (
            f" {_count(count).capitalize()} solutions." if count > 1 else ""
        )
    return f"{side(draft.board.turn)} to play and {aim} in {length}{half}."


def told(replies: Sequence[Reply], say: Say, threats: Sequence[chess.Move] = (), *, brief: bool = False) -> Told:
    """Put replies together that are answered alike; those that fall to the threats come last, as "any other".

    `say` prints a move: "Nxe5#" cannot stand for "Ne5#", so what is printed decides. With `brief`
    replies that many moves answer before their time are left out, as the trade does in longer puzzles.
    """
    alike: dict[tuple[str, ...], list[Reply]] = {}
    rest: list[Reply] = []
    found: list[Group] = []
    left = 0
    threatened = _threats_in_print(replies, say, threats)
    for reply in replies:
        if reply.further:
            found.append(Group((reply,), _moves(reply)))
        elif threatened and threatened <= set(_printed(reply, say)):
            rest.append(reply)
        elif brief and len(reply.answers) > _MOST_ANSWERS:
            left += 1
        else:
            alike.setdefault(_printed(reply, say), []).append(reply)
    if left:
        words = "are met by the threat or by shorter play" if rest else "are met by shorter play"
        return Told((*found, *(group for same in alike.values() for group in _by_man(same))), words)
    complete = bool(replies) and len(replies) == replies[0].before.legal_moves.count()
    if complete and not rest and alike:
        largest = max(alike.values(), key=len)
        if len(largest) >= _SO_MANY:
            rest = largest
            alike = {key: same for key, same in alike.items() if same is not largest}
            threats = _moves(largest[0])
    found.extend(group for same in alike.values() for group in _by_man(same))
    if rest:
        shared = tuple(threat for threat in threats if threat in _moves(rest[0]))
        found.append(Group(tuple(rest), shared, "any" if len(rest) == len(replies) else "any other"))
    return Told(tuple(found))


def _moves(reply: Reply) -> tuple[chess.Move, ...]:
    return tuple(answer.move for answer in reply.answers)


def _printed(reply: Reply, say: Say) -> tuple[str, ...]:
    return tuple(say(reply.after, answer.move) for answer in reply.answers)


def _threats_in_print(replies: Sequence[Reply], say: Say, threats: Sequence[chess.Move]) -> set[str]:
    """Return the threats as they are printed once Black has passed."""
    if not replies or not threats:
        return set()
    passed = after(replies[0].before, chess.Move.null())
    return {say(passed, threat) for threat in threats}


def _by_man(together: list[Reply]) -> Iterator[Group]:
    """Yield the replies of one set of answers: all moves of one kind of man as one, if there are several."""
    board = together[0].before
    left = list(together)
    for kind in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT):
        legal = set(board.generate_legal_moves(board.pieces_mask(kind, board.turn)))
        of_kind = [reply for reply in left if reply.move in legal]
        if len(of_kind) == len(legal) >= _MANY:
            yield Group(tuple(of_kind), _moves(of_kind[0]), "any move of the man")
            left = [reply for reply in left if reply not in of_kind]
    if not left:
        return
    # "1...a/b 2.c/d" would pair each reply with its own answer.
    for each in [[reply] for reply in left] if len(left) == len(left[0].answers) > 1 else [left]:
        yield Group(tuple(each), _moves(each[0]))


def _net_of(board: chess.Board) -> str:
    return " ".join(sentences(board, mating_net(board))) if board.is_checkmate() else ""


class _Written(ABC):
    """Moves in signs: "1.Qb6!"."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.brief = draft.stipulation.moves > 2

    @abstractmethod
    def body(self) -> Iterator[str]:
        """Yield the paragraphs after the stipulation."""

    def say(self, board: chess.Board, move: chess.Move) -> str:
        """Return a move without its number."""
        return board.san(move)

    def number(self, board: chess.Board) -> str:
        start = self.draft.board
        played = 2 * (board.fullmove_number - start.fullmove_number) + int(start.turn) - int(board.turn)
        shift = self.draft.stipulation.half if self.draft.stipulation.help_play else 0
        value, second = divmod(played + shift, 2)
        return f"{value + 1}{'...' if second else '.'}"

    def opening(self) -> str:
        white, black = (self.draft.board.occupied_co[colour].bit_count() for colour in (chess.WHITE, chess.BLACK))
        return f"{_asked(self.draft)} ({white}+{black})"

    def moves(self, board: chess.Board, moves: Sequence[chess.Move]) -> str:
        return self.number(board) + "/".join(self.say(board, move) for move in moves)

    def line(self, group: Group) -> str:
        """Return the replies and their answers; where play follows, only the answer that it follows."""
        first = group.first
        answers = group.answers[:1] if first.further else group.answers
        return f"{self._replies(group)} {self.moves(first.after, answers)}"

    def _replies(self, group: Group) -> str:
        first = group.first
        if group.rest:
            return "Any other" if group.who == "any other" else "Any move"
        if group.who == "any move of the man":
            letter = chess.piece_symbol(first.before.piece_type_at(first.move.from_square) or chess.PAWN).upper()
            return f"{self.number(first.before)}{letter}~"
        return self.moves(first.before, [reply.move for reply in group.replies])

    def others(self, group: Group) -> str:
        """Return the answers besides the one that play follows, "" where there are none."""
        if not group.first.further or len(group.answers) < 2:
            return ""
        return self.moves(group.first.after, group.answers[1:])

    def threats(self) -> str:
        assert self.draft.after_key is not None
        passed = after(self.draft.after_key, chess.Move.null())
        return listing([self.moves(passed, [threat]) for threat in self.draft.threats])


class _Column(_Written):
    """As a columnist prints it."""

    def body(self) -> Iterator[str]:
        draft = self.draft
        if draft.key is None:
            yield from (self._line(line) for line in draft.solutions)
            return
        if draft.set_play:
            yield "Set play: " + ", ".join(self.line(group) for group in told(draft.set_play, self.say).groups)
        if draft.tries:
            yield f"{'Tries' if len(draft.tries) > 1 else 'Try'}: " + " ".join(
                f"{self.moves(draft.board, [attempt.move])}? "
                f"{self.say(after(draft.board, attempt.move), attempt.refutations[0])}!"
                for attempt in draft.tries
            )
        yield f"Key: {self.moves(draft.board, [draft.key])}!{self._aim()}"
        play = told(draft.replies, self.say, draft.threats, brief=self.brief)
        lines = [f"{self.line(group)}{self._further(group) or self._remark(group)}" for group in play.groups]
        if play.left:
            lines.append(f"Other moves {play.left}.")
        if lines:
            yield "\n".join(f"- {line}" for line in lines)

    def _line(self, line: Sequence[chess.Move]) -> str:
        words, board = [], self.draft.board
        for ply, move in enumerate(line):
            number = self.number(board)
            words.append((number if ply == 0 or "..." not in number else "") + self.say(board, move))
            board = after(board, move)
        return " ".join(words)

    def _aim(self) -> str:
        if self.draft.zugzwang:
            return " (zugzwang)"
        several = len(self.draft.threats) > 1
        return f" (threat{'s' if several else ''}: {self.threats()})" if self.draft.threats else ""

    def _further(self, group: Group) -> str:
        """Return the play after the first answer."""
        below = told(group.first.further, self.say).groups
        others = self.others(group)
        lines = [f"; {self.line(each)}{self._further(each)}" for each in below]
        if lines and not below[0].rest:
            # The first reply stands right behind the move it answers and needs no number.
            lines[0] = " " + lines[0].removeprefix(f"; {self.number(below[0].first.before)}")
        text = "".join(lines).replace("; Any", "; any")
        return text + (f"; or {others}" if others else "")

    def _remark(self, group: Group) -> str:
        """Return in brackets what makes the mate possible: a pinned man, a square blocked by the reply."""
        if group.rest:
            return ""
        said: list[str] = []
        mates = [after(reply.after, reply.answers[0].move) for reply in group.replies if reply.answers]
        if mates and all(mated.is_checkmate() for mated in mates):
            nets = [{each.man for each in mating_net(mated).pinned} for mated in mates]
            pinned = sorted(set.intersection(*nets))
            said.extend(f"the {_name(mates[0], man)} on {chess.square_name(man)} is pinned" for man in pinned)
            if all(self_block(each, each.answers[0].move) is not None for each in group.replies):
                said.append("self-block")
        return f" ({', '.join(said)})" if said else ""


def _name(board: chess.Board, square: chess.Square) -> str:
    return chess.piece_name(board.piece_type_at(square) or chess.PAWN)


class _Tutorial(_Written):
    """As one explains it to a reader with a board: why each try fails, why each mate is mate."""

    def body(self) -> Iterator[str]:
        draft = self.draft
        if draft.key is None:
            yield from _Column(draft).body()
            return
        assert draft.after_key is not None
        yield self._diagram()
        for attempt in draft.tries:
            yield self._try(attempt.move, attempt.refutations[0])
        yield self._key()
        play = told(draft.replies, self.say, draft.threats, brief=self.brief)
        lines = list(self._variations(play.groups, ""))
        if play.left:
            lines.append(f"- Other moves {play.left}.")
        if lines:
            yield "\n".join(lines)

    def _diagram(self) -> str:
        board = self.draft.board
        said = self._flights(after(board, chess.Move.null())) if not board.is_check() else ""
        mates = [self.line(group) for group in told(self.draft.set_play, self.say).groups]
        if mates:
            said += f" {'Answers are' if len(mates) > 1 else 'One answer is'} ready before anybody moves."
            said += f" Set play: {', '.join(mates)}."
        return said.strip()

    @staticmethod
    def _flights(board: chess.Board) -> str:
        free = [chess.square_name(square) for square in flights(board)]
        owner = f"{side(board.turn)}'s king"
        if not free:
            return f"{owner} has no flight."
        return f"{owner} has {_flights(free)}."

    def _try(self, move: chess.Move, refutation: chess.Move) -> str:
        board = self.draft.board
        tried = after(board, move)
        total = tried.legal_moves.count()
        said = [f"Try: {self.moves(board, [move])}?"]
        if total > 1:
            said.append(f"{side(tried.turn)} has {_count(total)} replies, and {_count(total - 1)} of them")
            said[-1] += " does not help." if total == 2 else " do not help."
        said.append(f"It fails only to {self.moves(tried, [refutation])}!")
        return " ".join(said)

    def _key(self) -> str:
        draft = self.draft
        assert draft.key is not None
        assert draft.after_key is not None
        said = [f"Key: {self.moves(draft.board, [draft.key])}!"]
        attacker, defender = side(draft.board.turn), side(not draft.board.turn)
        said.append(_net_of(draft.after_key))
        if draft.zugzwang:
            said.append(f"{attacker} waits, and {defender} is in zugzwang.")
        elif draft.threats:
            said.append(f"{attacker} threatens {self.threats()}.")
            passed = after(draft.after_key, chess.Move.null())
            said.append(_net_of(after(passed, draft.threats[0])) if len(draft.threats) == 1 else "")
        if not draft.board.is_check() and not draft.after_key.is_check():
            said.extend(self._change_of_flights())
        return " ".join(filter(None, said))

    def _change_of_flights(self) -> Iterator[str]:
        assert self.draft.after_key is not None
        before = set(flights(after(self.draft.board, chess.Move.null())))
        now = set(flights(self.draft.after_key))
        owner = f"{side(self.draft.after_key.turn)}'s king"
        given = [chess.square_name(square) for square in sorted(now - before)]
        lost = [chess.square_name(square) for square in sorted(before - now)]
        if given:
            yield f"{owner} gains {_flights(given)}."
        if lost:
            yield f"{owner} loses {_flights(lost)}."

    def _variations(self, groups: Sequence[Group], indent: str) -> Iterator[str]:
        for group in chain.from_iterable(map(self._by_net, groups)):
            yield f"{indent}- {self.line(group)}. {self._because(group)}".rstrip()
            yield from self._variations(told(group.first.further, self.say).groups, indent + "  ")
            if others := self.others(group):
                yield f"{indent}  - Or {others}."

    @staticmethod
    def _net(reply: Reply) -> str:
        return _net_of(after(reply.after, reply.answers[0].move)) if reply.answers else ""

    def _by_net(self, group: Group) -> Iterator[Group]:
        """Part a group of named replies whose mates have different reasons."""
        if group.who != "each" or len(group.replies) == 1:
            yield group
            return
        nets: dict[str, list[Reply]] = {}
        for reply in group.replies:
            nets.setdefault(self._net(reply), []).append(reply)
        for same in nets.values():
            for together in [[reply] for reply in same] if len(same) == len(group.answers) > 1 else [same]:
                yield Group(tuple(together), group.answers)

    def _because(self, group: Group) -> str:
        """Say why it is mate, if that is the same for all replies of the group."""
        nets = {self._net(reply) for reply in group.replies}
        return nets.pop() if len(nets) == 1 and not group.rest else ""


class _Script(_Written):
    """As one reads it aloud: moves in words, each line told from the position after the key."""

    def say(self, board: chess.Board, move: chess.Move) -> str:
        return spoken(board, move)

    def opening(self) -> str:
        return _asked(self.draft)

    def body(self) -> Iterator[str]:
        draft = self.draft
        if draft.key is None:
            yield from (f"It goes like this: {self._told(draft.board, line)}." for line in draft.solutions)
            return
        assert draft.after_key is not None
        for group in told(draft.set_play, self.say).groups:
            yield from (f"From the diagram, in the set play, {line}." for line in self._answered(group))
        for attempt in draft.tries:
            tried = after(draft.board, attempt.move)
            refutation = self.say(tried, attempt.refutations[0])
            yield f"A try: {self.say(draft.board, attempt.move)}. It fails only to this: {refutation}."
        yield f"The key: {self.say(draft.board, draft.key)}. {self._aim()}".rstrip()
        play = told(draft.replies, self.say, draft.threats, brief=self.brief)
        yield from (f"After the key, {line}." for line in self._lines(play.groups, []))
        if play.left:
            yield f"After the key, other moves {play.left}."

    def _aim(self) -> str:
        draft = self.draft
        assert draft.after_key is not None
        if draft.zugzwang:
            return f"{side(draft.after_key.turn)} is in zugzwang."
        if not draft.threats:
            return ""
        passed = after(draft.after_key, chess.Move.null())
        return " ".join(f"The threat is this: {self.say(passed, threat)}." for threat in draft.threats)

    def _lines(self, groups: Sequence[Group], before: list[str]) -> Iterator[str]:
        """Yield each line of play from the key on, whole, so that no line leans on the one before."""
        for group in groups:
            yield from (", and ".join([*before, line]) for line in self._answered(group))
            if group.first.further:
                start = f"{self._if(group.replies)}, then {self.say(group.first.after, group.answers[0])}"
                yield from self._lines(told(group.first.further, self.say).groups, [*before, start])

    def _answered(self, group: Group) -> Iterator[str]:
        """Yield one line for each answer that no further play follows."""
        first = group.first
        for move in group.answers[1:] if first.further else group.answers:
            answer = self.say(first.after, move)
            if group.rest:
                yield f"against any {'other ' if group.who == 'any other' else ''}move, {answer}"
            elif group.who == "any move of the man":
                kind = first.before.piece_type_at(first.move.from_square) or chess.PAWN
                yield f"if {self._owner()} {chess.piece_name(kind)} moves anywhere, then {answer}"
            else:
                quiet = [reply for reply in group.replies if "," not in self.say(reply.before, reply.move)]
                loud = [reply for reply in group.replies if reply not in quiet]
                for together in ([quiet] if quiet else []) + [[reply] for reply in loud]:
                    yield f"{self._if(together)}, then {answer}"

    def _if(self, replies: Sequence[Reply]) -> str:
        moves = (self.say(reply.before, reply.move).replace("the", self._owner(), 1) for reply in replies)
        return "if " + " or ".join(moves)

    def _owner(self) -> str:
        return f"{side(not self.draft.board.turn)}'s"

    def _told(self, board: chess.Board, line: Sequence[chess.Move]) -> str:
        words = []
        for move in line:
            words.append(self.say(board, move))
            board = after(board, move)
        return ", then ".join(words)


def spoken(board: chess.Board, move: chess.Move) -> str:
    """Say a move as one reads it aloud: "the knight on d3 captures the rook on f4, check".

    The man's square is named where its side has another of its kind, and with every capture by a pawn.
    """
    end = after(board, move)
    sign = ", mate" if end.is_checkmate() else ", check" if end.is_check() else ""
    if board.is_castling(move):
        wing = "kingside" if board.is_kingside_castling(move) else "queenside"
        return f"{side(board.turn)} castles {wing}{sign}"
    name = _name(board, move.from_square)
    kind = board.piece_type_at(move.from_square) or chess.PAWN
    who = f"the {name}"
    taken = captured_piece(board, move)
    if len(board.pieces(kind, board.turn)) > 1 or (kind == chess.PAWN and taken is not None):
        who += f" on {chess.square_name(move.from_square)}"
    target = chess.square_name(move.to_square)
    if board.is_en_passant(move):
        deed = f"captures on {target} in passing"
    elif taken is not None:
        deed = f"captures the {chess.piece_name(taken)} on {target}"
    else:
        deed = f"moves to {target}"
    if move.promotion is not None:
        deed += f" and promotes to a {chess.piece_name(move.promotion)}"
    return f"{who} {deed}{sign}"
