"""What a sentence was taken for, in a few words: its lines of play, then its claims."""

from collections.abc import Sequence

from ..understood import Sentence, Step, in_braces


def rows(sentence: Sentence) -> list[str]:
    """Return a line for each line of play that a sentence tells, and each claim it makes; none: nothing was read."""
    rows = [_play(play.after, play.steps) for play in sentence.play]
    claims = [f"claim: {f'after {claim.after}: ' if claim.after else ''}{claim.meaning}" for claim in sentence.claims]
    return rows + claims


def _play(after: str, of: Sequence[Step]) -> str:
    said = ", ".join(map(_said, of))
    return f"after {after}: {said}" if after else said


def _said(step: Step) -> str:
    if step.state == "not examined":
        return f"not examined: {step.words.text}"
    if not step.moves:
        return f"{step.role}: no legal move for {step.words.text}"
    claimed = f" (said: {', '.join(step.said)})" if step.said else ""
    asked_only = " (a question, nothing claimed)" if step.state == "asked" else ""
    return f"{step.role} {step.number}{in_braces(step.moves)}{claimed}{asked_only}"
