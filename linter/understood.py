"""How each sentence of a solution was understood: the play, the roles, the claims, and what was not read."""

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Claim, Marker, Statement, Turn
from keyproof.grammar.words import SPOKEN_SQUARE
from keyproof.rules.case.asked import read_stipulation
from keyproof.rules.case.case import Case
from keyproof.rules.case.choosing import Way
from keyproof.rules.checks.reasons import judged
from keyproof.rules.checks.trust import account_of
from keyproof.rules.play.node import Node
from keyproof.rules.reading.account import Entry, Standing
from keyproof.rules.reading.reading import Mention, PlacedClaim, PlacedReason, Reading
from keyproof.rules.reasons.taken import taken
from msgspec import Struct
from msgspec.structs import replace

StepState = Literal["read", "impossible", "not examined", "asked"]

_CLAIMS = {
    "no_threat": "no threat",
    "zugzwang": "zugzwang",
    "only_move": "the only move",
    "complete": "these are all the replies",
    "no_legal_move": "no legal move",
    "no_castling": "castling is not possible",
    "mates": "how many mates there are",
    "refutations": "how many replies refute",
    "replies": "how many replies there are",
}
_VERDICTS = {"right": "holds", "wrong": "false", "undecided": "not decided"}
_LINE = 40  # characters; a speaker's line that is shorter goes on in the next
# Words of a sentence that should have been a move or a claim.
_SPEAKS_OF_PLAY = re.compile(
    SPOKEN_SQUARE.pattern
    + r"|\b(?:takes|captures|castles|(?:check|stale)?mates?|checks?|promotes|zugzwang|threat(?:s|ens)?)\b",
    re.I,
)


class Words(Struct, frozen=True):
    """Some of the author's words: their place, and what they are without markup, in one line."""

    span: Span
    text: str


class Step(Struct, frozen=True):
    """A half-move a sentence speaks of: its words, what it is, and which moves it was taken for.

    `number` is printed before it ("2." or "1..."), `moves` are SAN with English letters: several for a
    set of moves, none where no legal move agrees. `said` is what words claim of it ("mate").
    `asked`: the sentence is a question.
    """

    words: Words
    role: str
    number: str
    moves: tuple[str, ...]
    said: tuple[str, ...]
    state: StepState


class Play(Struct, frozen=True):
    """Half-moves that follow one another, and the moves from the diagram to the first, such as "1.Qb6 {Nb7, Nc4}"."""

    after: str
    steps: tuple[Step, ...]


class Taken(Struct, frozen=True):
    """A claim in words, what it was taken as, and the moves from the diagram to the place it speaks of."""

    words: Words
    meaning: str
    after: str


class Doubt(Struct, frozen=True):
    """A clause that holds chess and was not placed: its words, what became of it, and the words that make it so."""

    words: Words
    standing: Standing
    because: tuple[Words, ...]


class Sentence(Struct, frozen=True):
    """A sentence, or a line, that speaks of moves or makes claims.

    `not_understood` looks like a move and could not be read, `passed_over` was read as words that claim
    no move. Where all is empty the sentence speaks of play, and nothing was read in it.
    """

    words: Words
    play: tuple[Play, ...]
    claims: tuple[Taken, ...]
    not_understood: tuple[Words, ...]
    passed_over: tuple[Words, ...]
    doubts: tuple[Doubt, ...] = ()


def sentences(case: Case) -> Iterator[Sentence]:
    """Yield the sentences of a puzzle's solution that speak of moves or make claims, in the order of the text.

    Nothing is yielded where no position can be played from.
    """
    reading, entries = case.reading, account_of(case).entries
    if reading is None:
        return
    for span, run in _stretches(case, reading, entries):
        sentence = _sentence(case, reading, run, span)
        doubts = tuple(
            _doubt(case, entry)
            for entry in entries
            if entry.standing is not Standing.placed and span.start <= entry.span.start < span.end
        )
        empty = not (sentence.play or sentence.claims or sentence.not_understood or sentence.passed_over)
        if not empty or doubts or _SPEAKS_OF_PLAY.search(case.masked, *span):
            yield replace(sentence, doubts=doubts)


def otherwise(case: Case, sentence: Span) -> Case:
    """Return a puzzle of which one sentence that has two readings is read in the other one, its rules not run."""
    fresh = Case(case.text, case.masked, case.puzzle, case.loose, case.effort, house=case.house, column=case.column)
    other: Way = "printed" if case.ways[sentence] == "told" else "told"
    fresh.chosen = {**case.chosen, case.words_of(sentence): other}
    return fresh


def _runs(statements: Iterable[Statement], *, lines: bool) -> Iterator[list[Statement]]:
    """Part statements at the ends of sentences, and of some lines: before a numbered move; if `lines`, of long ones."""
    run: list[Statement] = []
    line_ended = False
    for statement in statements:
        if isinstance(statement, Break):
            if statement.kind in ("stop", "question", "semicolon", "block"):
                if run:
                    yield run
                run, line_ended = [], False
            line_ended = line_ended or statement.kind == "line"
            continue
        begins = (
            lines or isinstance(statement, Marker) or (isinstance(statement, Turn) and statement.number is not None)
        )
        if line_ended and begins and any(not isinstance(each, Aside) for each in run):
            yield run
            run = []
        line_ended = False
        run.append(statement)
    if run:
        yield run


def _stretches(case: Case, reading: Reading, entries: Sequence[Entry]) -> list[tuple[Span, list[Statement]]]:
    """Return the sentences in the order of the text, and the lines between them of which something was read."""
    runs = list(_runs(case.statements, lines=case.puzzle.spoken))
    found = [(run[0].span.to(run[-1].span), run) for run in runs]
    starts = [span.start for span, _ in found]
    read = [mention.phrase.span for mention in (*reading.mentions, *reading.parries)] + [
        entry.span for entry in entries
    ]
    lines: dict[Span, list[Statement]] = {}
    for span in read:
        before = bisect_right(starts, span.start) - 1
        if before < 0 or span.start >= found[before][0].end:  # remarks, of which nothing was a statement
            end = case.masked.find("\n", span.end)
            line = Span(case.masked.rfind("\n", 0, span.start) + 1, len(case.masked) if end < 0 else end)
            first = line.start if before < 0 else max(line.start, found[before][0].end)
            last = line.end if before + 1 == len(found) else min(line.end, starts[before + 1])
            lines[Span(min(first, span.start), max(last, span.end))] = []
    return sorted([*found, *lines.items()], key=lambda each: each[0])


def _words(case: Case, place: Span) -> Words:
    return Words(place, " ".join(place.of(case.masked).split()))


def _doubt(case: Case, entry: Entry) -> Doubt:
    return Doubt(_words(case, entry.span), entry.standing, tuple(_words(case, word) for word in entry.words))


def _sentence(case: Case, reading: Reading, run: Sequence[Statement], span: Span) -> Sentence:
    def words(place: Span) -> Words:
        return _words(case, place)

    moves = sorted((*reading.mentions, *reading.parries), key=lambda mention: mention.phrase.span)
    mentions = [mention for mention in moves if span.start <= mention.phrase.span.start < span.end]
    unread = [each.span for each in reading.not_understood if _inside(each.span, span)]
    placed = [each for each in reading.claims if _inside(each.claim.span, span)]
    read = {*unread, *(mention.phrase.span for mention in mentions)}
    known = {each.claim.span for each in placed}
    passed_over = [
        phrase.span
        for turn in run
        if isinstance(turn, Turn) and not turn.bare_square
        for phrase in turn.choices
        if not any(_overlap(phrase.span, span) for span in read)
    ]
    claims = [Taken(words(each.claim.span), *_taken(each)) for each in placed]
    reasons = [each for each in reading.reasons if _inside(each.reason.span, span)]
    claims += [Taken(words(each.reason.span), *_reason(case, each)) for each in reasons]
    order = case.stipulation_claim
    told = [order] if order is not None and order not in run and _inside(order.span, span) else []
    for statement in (*run, *told):
        if isinstance(statement, Claim) and statement.span not in known:
            meaning = _asked(statement)
            if meaning:
                claims.append(Taken(words(statement.span), meaning, ""))
            else:
                passed_over.append(statement.span)
    return Sentence(
        words(span),
        tuple(
            Play(after, tuple(_step(each, words(each.phrase.span)) for each in run)) for after, run in _plays(mentions)
        ),
        tuple(claims),
        tuple(words(each) for each in sorted(unread)),
        tuple(words(each) for each in sorted(passed_over)),
    )


def _asked(claim: Claim) -> str:
    """Return what a claim about the whole puzzle was taken as, "" for none."""
    words = " ".join(claim.text.split())
    if claim.kind == "stipulation":
        stipulation = read_stipulation(claim.text)
        return f"asks for {stipulation}" if stipulation is not None else ""
    if claim.kind == "side_to_move":
        return f"{'White' if 'white' in words.lower() else 'Black'} to move"
    return f"counts the men: {words}" if claim.kind == "count" else ""


def _taken(placed: PlacedClaim) -> tuple[str, str]:
    nodes = placed.nodes or (tuple(placed.mention.at) if placed.mention is not None else ())
    return _CLAIMS.get(placed.claim.kind, placed.claim.kind), line_to(nodes)


def _reason(case: Case, placed: PlacedReason) -> tuple[str, str]:
    """Return what a reason was taken as, of which men, what was found of it, and the moves to where that is shown."""
    found, reason = judged(case, placed), placed.reason
    kind = ("not " if reason.negated else "") + reason.kind.replace("_", " ")
    of = found.why or (taken(found.node, reason) if found.node is not None else "")
    return f"{kind} ({_VERDICTS[found.verdict]}){of and ': '}{of}", line_to([found.node] if found.node else [])


def _plays(mentions: Iterable[Mention]) -> Iterator[tuple[str, list[Mention]]]:
    """Join the half-moves that follow one another; yield them with the moves before."""
    chains: list[list[Mention]] = []
    for mention in mentions:
        at = {id(node) for node in mention.at}
        before = next(
            (chain for chain in reversed(chains) if at and at <= {id(node) for node in chain[-1].after}), None
        )
        if before is not None:
            before.append(mention)
        elif not at and chains:  # not examined: it stands with what it could not go on from
            chains[-1].append(mention)
        else:
            chains.append([mention])
    for chain in chains:
        yield line_to(chain[0].at), chain


def _step(mention: Mention, words: Words) -> Step:
    found = {node.board.san(after.move): None for node, nodes in mention.ways for after in nodes if after.move}
    said = {
        effect.name.replace("_", " "): None
        for effect, span in mention.effects
        if not _inside(span, mention.phrase.span)
    }
    state: StepState = "asked" if mention.asked else mention.state.value
    number = mention.at[0].number if mention.at else ""
    return Step(words, mention.role.value, number, tuple(found), tuple(said), state)


def line_to(nodes: Sequence[Node]) -> str:
    """Print the moves from the diagram to some positions: "1.Qb6 Nb7", "1.Qb6 {Nb7, Nc4}"; a pass is "--"."""
    if not nodes:
        return ""
    words = []
    for place in range(1, min(len(node.path) for node in nodes)):
        steps = [node.path[place - 1 : place + 1] for node in nodes]
        sans = list(dict.fromkeys(before.board.san(after.move) for before, after in steps if after.move is not None))
        number = steps[0][0].number
        words.append(f"{number if place == 1 or not number.endswith('...') else ''}{in_braces(sans)}")
    return " ".join(words)


def in_braces(sans: Sequence[str], most: int = 8) -> str:
    """Print a set of moves: "{Nb7, Nc4}"; a single one bare, of many only the first and how many more."""
    if len(sans) == 1:
        return sans[0]
    more = f" and {len(sans) - most} more" if len(sans) > most else ""
    return f"{{{', '.join(sans[:most])}{more}}}"


def _overlap(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


def _inside(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start and inner.end <= outer.end
