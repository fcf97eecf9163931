"""The report of how each sentence was read: the author's words, and beneath them what they were taken for."""

from collections.abc import Iterator

from keyproof.rules.play.node import PASS
from keyproof.rules.reading.account import Standing

from ..results import FileResult, PuzzleResult
from ..understood import Doubt, Play, Sentence, Step, Words, in_braces
from .terminal import Line, Part, escape, line
from .text import clock, counts, head

_LONGEST = 110  # characters of the author's words; the reading beneath tells the rest


def report(result: FileResult) -> Iterator[Line]:
    """Yield the lines for one file; none where the reading was not asked for."""
    for puzzle in result.puzzles:
        if puzzle.reading is not None:
            yield head(result, puzzle)
            yield from _puzzle(result, puzzle)
            if puzzle.account.total:
                yield line(f"  {counts(puzzle.account)}.")
            yield line()


def _puzzle(result: FileResult, puzzle: PuzzleResult) -> Iterator[Line]:
    if puzzle.fen is None:
        yield line("  Not read: there is no position that can be played from.", "warning")
    elif not puzzle.reading:
        yield line("  No sentence speaks of moves.")
    for sentence in puzzle.reading or ():
        start = sentence.words.span.start
        time = result.time(start)
        at = result.where(start).removeprefix("line ") + (f", {clock(time)}" if time else "")
        yield Line((Part(f"  {at}: "), Part(_short(sentence.words), "strong")), hang=6)
        yield from _sentence(sentence)


def _sentence(sentence: Sentence) -> Iterator[Line]:
    nothing = not (sentence.play or sentence.claims or sentence.not_understood or sentence.passed_over)
    for play in sentence.play:
        yield _play(play)
    for claim in sentence.claims:
        yield line(f"      claim: {_after(claim.after)}{escape(claim.meaning)}", hang=10)
    for words in sentence.not_understood:
        yield _marked("not understood", f': "{_short(words)}"')
    for words in sentence.passed_over:
        yield line(f'      passed over: "{_short(words)}"', hang=10)
    for doubt in () if nothing else _not_told_above(sentence):
        because = f" ({', '.join(_short(words) for words in doubt.because)})" if doubt.because else ""
        yield _marked(doubt.standing.value, f': "{_short(doubt.words)}"{because}')
    if nothing:
        yield _marked("nothing read", "")


def _not_told_above(sentence: Sentence) -> Iterator[Doubt]:
    """Yield the clauses that are doubtful, and those not understood of which no word is named above."""
    unread = [each.span for each in sentence.not_understood]
    unread += [step.words.span for play in sentence.play for step in play.steps if step.state != "read"]
    for doubt in sentence.doubts:
        start, end = doubt.words.span
        if doubt.standing is Standing.doubtful or not any(start <= span.start < end for span in unread):
            yield doubt


def _play(play: Play) -> Line:
    parts = [Part(f"      {_after(play.after)}")]
    for place, step in enumerate(play.steps):
        parts.append(Part(", " if place else ""))
        parts += _step(step)
    return Line(tuple(parts), hang=10)


def _step(step: Step) -> Iterator[Part]:
    if step.state == "not examined":
        yield Part("not examined", "warning")
        yield Part(f': "{_short(step.words)}"')
        return
    yield Part(f"{step.role} {step.number}")
    if step.moves:
        yield Part(in_braces(step.moves))
    else:  # no legal move agrees, or a set of moves of which the others have left none
        gone = step.state != "impossible"
        yield Part("no move left" if gone else "no legal move", "plain" if gone else "warning")
        yield Part(f': "{_short(step.words)}"')
    if step.said:
        yield Part(f" (said: {', '.join(step.said)})")
    if step.state == "asked":
        yield Part(" (a question, nothing claimed)")


def _after(play: str) -> str:
    return f"after {play.replace('--', PASS)}: " if play else ""


def _marked(what: str, more: str) -> Line:
    return Line((Part("      "), Part(what, "warning"), Part(more)), hang=10)


def _short(words: Words) -> str:
    """Return the author's words, shortened between two of them."""
    text = words.text
    if len(text) > _LONGEST:
        text = text[: text.rfind(" ", 0, _LONGEST)] if " " in text[:_LONGEST] else text[:_LONGEST]
        text += " …"
    return escape(text)
