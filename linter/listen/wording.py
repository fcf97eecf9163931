"""What a sentence was taken for, in a few words: its lines of play, then its claims."""

from collections.abc import Callable, Sequence

from ..understood import Sentence, Step, in_braces
from .words import word

Letters = Callable[[str], str]


def rows(sentence: Sentence, letters: Letters) -> list[str]:
    """Return a line for each line of play that a sentence tells, and each claim it makes; none: nothing was read.

    A claim that it makes twice is told once. `letters` puts SAN in the letters of the author.
    """
    rows = [f"{_after(play.after, letters)}{_said_in(play.steps, letters)}" for play in sentence.play]
    rows += [word("claim_row", claim=f"{_after(claim.after, letters)}{claim.meaning}") for claim in sentence.claims]
    return list(dict.fromkeys(rows))


def _after(line: str, letters: Letters) -> str:
    return f"{word('after', line=letters(line))}: " if line else ""


def _said_in(steps: Sequence[Step], letters: Letters) -> str:
    return ", ".join(_said(step, letters) for step in steps)


def _said(step: Step, letters: Letters) -> str:
    if step.state == "not examined":
        return word("not_examined", words=step.words.text)
    if not step.moves:
        return word("no_legal_move", role=step.role, words=step.words.text)
    told = f"{step.role} {step.number}{letters(in_braces(step.moves))}"
    if step.said:
        told += f" ({word('said_row', words=', '.join(step.said))})"
    return f"{told} ({word('asked_row')})" if step.state == "asked" else told
