"""What a sentence was taken for, in a few words: its lines of play, then its claims."""

from collections.abc import Callable, Sequence

from ..understood import Sentence, Step, in_braces

Letters = Callable[[str], str]


def rows(sentence: Sentence, letters: Letters) -> list[str]:
    """Return a line for each line of play that a sentence tells, and each claim it makes; none: nothing was read.

    `letters` puts SAN in the letters of the author.
    """
    rows = [f"{_after(play.after, letters)}{_said_in(play.steps, letters)}" for play in sentence.play]
    return rows + [f"claim: {_after(claim.after, letters)}{claim.meaning}" for claim in sentence.claims]


def _after(line: str, letters: Letters) -> str:
    return f"after {letters(line)}: " if line else ""


def _said_in(steps: Sequence[Step], letters: Letters) -> str:
    return ", ".join(_said(step, letters) for step in steps)


def _said(step: Step, letters: Letters) -> str:
    if step.state == "not examined":
        return f"not examined: {step.words.text}"
    if not step.moves:
        return f"{step.role}: no legal move for {step.words.text}"
    claimed = f" (said: {', '.join(step.said)})" if step.said else ""
    asked_only = " (a question, nothing claimed)" if step.state == "asked" else ""
    return f"{step.role} {step.number}{letters(in_braces(step.moves))}{claimed}{asked_only}"
