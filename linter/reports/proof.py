"""The proof of one position for people: diagram, verdict, key, defences, tries, and what was searched."""

from collections.abc import Iterable, Iterator, Sequence

import chess
from keyproof.rules.board.playable import too_many
from keyproof.rules.board.stipulation import Genre, Stipulation
from keyproof.rules.play.node import numbered
from keyproof.rules.proof.proof import Answer, Defence, KeyPlay, Proof

from ..prove import Proved
from .play import listed, opening_ply
from .position import count, drawn, men
from .terminal import Line, Look, Part, columns, escape, line

MOST_TRIES = 12
ANSWER_COLUMN = 34  # where the answers of a table stand at the latest, unless a row's defences take more

_GENRES: dict[Genre, str] = {
    "#": "mate",
    "s#": "selfmate",
    "r#": "reflexmate",
    "=": "stalemate",
    "h#": "helpmate",
    "h=": "helpstalemate",
}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def number(value: int) -> str:
    """Return a small number as a word."""
    return _NUMBERS[value] if 0 <= value < len(_NUMBERS) else str(value)


def asked(stipulation: Stipulation, turn: chess.Color) -> str:
    """Say a stipulation in words: "White to play, mate in two (#2)"."""
    first = "begins" if stipulation.help_play else "to play"
    return f"{_side(turn)} {first}, {_GENRES[stipulation.genre]} in {_length(stipulation)} ({stipulation.symbol})"


def _length(stipulation: Stipulation) -> str:
    return number(stipulation.moves) + (" and a half" if stipulation.half else "")


def failure(path: str | None, proved: Proved) -> Line:
    """Return the line for a puzzle that was not proved, with the reason."""
    place = (
        "keyproof" if path is None else escape(path) + (f", {proved.place}" if proved.place else f":{proved.line}:1")
    )
    return Line((Part(f"{place}: "), Part("error", "error"), Part(f": {escape(proved.error or '')}")))


def heading(path: str | None, proved: Proved) -> Line | None:
    """Return the line above a puzzle of a file, None for a position that was typed in."""
    if path is None:
        return None
    where = proved.place or f"line {proved.line}"
    return line(f"{escape(path)}, {where}: {escape(proved.title) or 'a puzzle without a title'}", "strong")


def report(proof: Proof, heading: Line | None = None) -> Iterator[Line]:
    """Yield the lines of one proof."""
    board = chess.Board(proof.fen)
    if heading is not None:
        yield heading
    yield from drawn(board)
    yield line(f"     {count(board)} {asked(proof.stipulation, board.turn)}", hang=5)
    for colour in (chess.WHITE, chess.BLACK):
        yield line(f"     {_side(colour)}: {men(board, colour)}", hang=12)
    yield line()
    yield Line((_verdict(proof), Part(_because(proof, board))), hang=2)
    if proof.stipulation.help_play:
        yield from _help(proof, board)
    else:
        yield from _attack(proof, board)
    yield line()
    yield _searched(proof)
    if heading is not None:
        yield line()


def _side(colour: chess.Color) -> str:
    return "White" if colour else "Black"


def _verdict(proof: Proof) -> Part:
    looks: dict[str, Look] = {"sound": "strong", "unsound": "error", "unproved": "warning", "impossible": "error"}
    return Part(proof.verdict.capitalize(), looks[proof.verdict])


def _because(proof: Proof, board: chess.Board) -> str:
    """Give the reason for the verdict."""
    help_play = proof.stipulation.help_play
    what = "solution" if help_play else "key"
    found = len(proof.solutions) if help_play else len(proof.keys)
    aim = _GENRES[proof.stipulation.genre]
    if proof.verdict == "impossible":
        reasons = "; ".join(too_many(board)) or f"{_side(board.turn)} has no legal move"
        return f": {reasons}."
    if proof.verdict == "unproved":
        return f": the search ended before this was decided ({proof.searched.reached})."
    if proof.verdict == "sound":
        return f": {number(found)} {what}{'' if found == 1 else 's'}, and none shorter."
    if proof.shortest is not None and proof.shortest < proof.stipulation.moves + proof.stipulation.half:
        return f": a shorter solution, {aim} in {number(proof.shortest)}, exists."
    if not found:
        none = "no line of play leads to" if help_play else f"no first move of {_side(board.turn)} forces"
        return f": {none} {aim} in {_length(proof.stipulation)}."
    return f": {number(found)} {what}s where there should be one."


def _attack(proof: Proof, board: chess.Board) -> Iterator[Line]:
    first = opening_ply(board.turn, proof.stipulation.symbol)
    for play in proof.play:
        yield line()
        yield from _key(play, board, first)
    unfollowed = [key for key in proof.keys if proof.play_after(key) is None]
    if unfollowed:
        yield line()
        yield line(f"Key, play not followed: {listed([board.san(key) for key in unfollowed], first)}", "strong", 2)
    if proof.attempts:
        yield line()
        yield from _attempts(proof, board, first)
    if proof.set_play and any(defence.answers or defence.ends for defence in proof.set_play):
        yield line()
        flipped = _after(board, chess.Move.null())
        yield line(f"Set play, if {_side(flipped.turn)} moved first in the diagram:", "strong")
        yield from _table(flipped, [d for d in proof.set_play if d.answers or d.ends], 1 - first, ())


def _key(play: KeyPlay, board: chess.Board, first: int) -> Iterator[Line]:
    after = _after(board, play.move)
    yield Line(
        (
            Part(f"Key: {numbered([board.san(play.move)], first)}!", "strong"),
            Part(f"  ({_manner(play, after, first)})"),
        ),
        hang=2,
    )
    yield from _table(after, play.defences, first + 1, play.threats)
    if not play.complete:
        yield line("  The search ended before every defence was answered.", "warning", 2)


def _manner(play: KeyPlay, after: chess.Board, first: int) -> str:
    """Say by what a key works: an end at once, a check, threats or zugzwang."""
    if not any(after.legal_moves):
        return "mate at once" if after.is_check() else "stalemate at once"
    if after.is_check():
        return "with check"
    if play.threats:
        # Threats are the attacker's next moves, so they bear the next number.
        threats = _sans(_after(after, chess.Move.null()), play.threats)
        return f"threat{'s' if len(threats) > 1 else ''}: {listed(threats, first + 2)}"
    if play.zugzwang:
        return f"no threat: {_side(after.turn)} is in zugzwang"
    return "not known whether it threatens anything"


def _table(board: chess.Board, defences: Sequence[Defence], ply: int, threats: Sequence[Answer]) -> Iterator[Line]:
    """Yield one row for each set of answers: the longest play first, replies that do not meet the threat last."""
    threatened = {threat.move for threat in threats}
    rows: dict[tuple[int, int, str], list[str]] = {}
    for defence in defences:
        answers = {answer.move for answer in defence.answers}
        threat_holds = bool(threatened) and threatened <= answers
        length = min((answer.length for answer in defence.answers), default=0)
        words = _answers(_after(board, defence.move), defence, ply + 1, len(threatened) if threat_holds else 0)
        rows.setdefault((threat_holds + (threatened == answers), -length, words), []).append(board.san(defence.move))
    pairs = [(f"  {listed(moves, ply)}", row[2]) for row, moves in sorted(rows.items(), key=lambda row: row[0][:2])]
    width = min(ANSWER_COLUMN, max((columns(left) for left, _ in pairs), default=0) + 3)
    for left, right in pairs:
        yield line(f"{left}{' ' * max(2, width - columns(left))}{right}", hang=8)


def _answers(board: chess.Board, defence: Defence, ply: int, threats: int) -> str:
    """List the answers to a defence; `threats` of them are the threats, where the defence meets none of these."""
    if defence.ends:
        return "is what was asked for"
    if not defence.answers:
        return "has no answer in time"
    found = len(defence.answers)
    words = listed(_sans(board, defence.answers), ply)
    if threats:
        more = f" and {number(found - threats)} more" if found > threats else ""
        return f"{words}  (the threat{'s' if threats > 1 else ''}{more})"
    if found == 1:
        return words
    return f"{words}  (dual)" if found == 2 else f"{words}  ({number(found)} answers)"


def _attempts(proof: Proof, board: chess.Board, first: int) -> Iterator[Line]:
    """Yield the tries, those that survive most replies first, and count the other first moves."""
    tries = []
    for attempt in proof.tries:
        after = _after(board, attempt.move)
        survived = after.legal_moves.count() - 1
        tries.append((-survived, board.san(attempt.move), after.san(attempt.refutations[0])))
    tries.sort()
    if tries:
        yield line("Tries, each with its only refutation:", "strong")
    for survived, move, refutation in tries[:MOST_TRIES]:
        left = f"  {numbered([move], first)}?"
        held = f"holds against {-survived} other {'reply' if survived == -1 else 'replies'}"
        answer = f"but {numbered([refutation], first + 1)}!"
        yield line(f"{left:<16}{answer:<20}({held})" if survived else f"{left:<16}{answer}", hang=8)
    if len(tries) > MOST_TRIES:
        yield line(f"  and {len(tries) - MOST_TRIES} more tries")
    others = [attempt for attempt in proof.attempts if not attempt.is_try]
    if others:
        yield line(_others(proof, len(others), bool(tries)), hang=2)


def _others(proof: Proof, others: int, tries: bool) -> str:
    undecided = sum(1 for attempt in proof.attempts if not attempt.complete)
    ended = sum(1 for attempt in proof.attempts if attempt.complete and attempt.no_reply)
    refuted = others - undecided - ended
    result = "mate" if proof.stipulation.genre in ("=", "s#") else "stalemate"
    said = []
    if refuted:
        said.append(f"{refuted} fail{_s(refuted)} to several replies")
    if ended:
        said.append(f"{ended} leave{_s(ended)} no reply ({result})")
    if undecided:
        said.append(f"{undecided} {'was' if undecided == 1 else 'were'} not wholly decided")
    return f"Of {'the other' if tries or proof.keys else 'all'} first moves {', '.join(said)}."


def _s(number: int) -> str:
    """Return the ending of a verb: one fails, two fail."""
    return "s" if number == 1 else ""


def _help(proof: Proof, board: chess.Board) -> Iterator[Line]:
    first = opening_ply(board.turn, proof.stipulation.symbol)
    yield from _solutions("Solutions", board, proof.solutions, first)
    # White's set play leaves out Black's first move, and so starts half a number later.
    flipped = _after(board, chess.Move.null())
    yield from _solutions("Set play", flipped, proof.set_solutions, first + 1)


def _solutions(title: str, board: chess.Board, lines: Iterable[tuple[chess.Move, ...]], first: int) -> Iterator[Line]:
    found = []
    for moves in lines:
        at, sans = board.copy(stack=False), []
        for move in moves:
            sans.append(at.san(move))
            at.push(move)
        found.append(line(f"  {numbered(sans, first)}"))
    if found:
        yield line()
        yield line(f"{title}:", "strong")
        yield from found


def _searched(proof: Proof) -> Line:
    searched = proof.searched
    seconds = f"{searched.seconds:.3f} s" if searched.seconds >= 0.001 else "less than 0.001 s"
    cost = f"Searched {searched.positions:,} position{'' if searched.positions == 1 else 's'} in {seconds}"
    if searched.complete:
        return line(f"{cost}; every question was decided.", hang=2)
    return line(f"{cost}; not every question was decided ({searched.reached}).", hang=2)


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def _sans(board: chess.Board, answers: Iterable[Answer]) -> list[str]:
    return [board.san(answer.move) for answer in answers]
