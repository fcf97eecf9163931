"""How many misprints are caught: moves of the demo columns are replaced at random by other legal ones.

A wrong move may happen to be as true as the right one (another refutation, a dual), so not
every one can be caught; the share that is says how much of a text is really checked.
"""

import random
import re
from pathlib import Path

import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.listen.desk import Desk
from keyproof.linter.options import Options
from keyproof.linter.sources import document_from_text, kind_of, read
from keyproof.rules.case.case import Case
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading.reading import Mention

pytestmark = pytest.mark.kernel

COLUMNS = sorted(Path("corpus/demo").glob("column-0*"))
LEAST_CAUGHT = 0.94


def misprint(case: Case, mention: Mention, rng: random.Random) -> str | None:
    """Return the text with another legal move in place of `mention`; None where it is the only one."""
    node = mention.at[0]
    others = [move for move in node.board.legal_moves if move not in {child.move for child in mention.after}]
    if not others:
        return None
    old = mention.phrase.span.of(case.text)
    san = node.board.san(rng.choice(others)).rstrip("+#")
    letters = {piece: letter for letter, piece in reversed(LANGUAGES[case.language].items()) if len(letter) == 1}
    letters_by_english = {english: letters[LANGUAGES["en"][english]] for english in "KQRBN"}
    signs = re.search(r"[+#]*[!?]*$", old)
    assert signs is not None
    new = re.sub(r"[KQRBN]", lambda match: letters_by_english[match[0]], san) + signs[0]
    return case.text[: mention.phrase.span.start] + new + case.text[mention.phrase.span.end :]


@pytest.mark.slow
def test_nearly_every_misprint_is_reported() -> None:
    rng = random.Random(1)
    silent: list[str] = []
    planted = 0
    for path in COLUMNS:
        document = read(path)
        desk = Desk(Options())  # it checks only the puzzle with the misprint anew
        parts = puzzle_texts(document)
        for puzzle in parts.puzzles:
            case = Case(document.text, document.masked, puzzle, parts.loose)
            assert case.reading is not None
            printed = [m for m in case.reading.mentions if m.phrase.exact and not m.phrase.worded and len(m.ways) == 1]
            for mention in rng.sample(printed, min(3, len(printed))):
                text = misprint(case, mention, rng)
                if text is None or mention.phrase.castling:
                    continue
                planted += 1
                *_, found = desk.check(document_from_text(str(path), text, kind_of(path.name) or "text"), Cancel())
                if not found.findings():
                    silent.append(f"{path}: {mention.phrase.text} at {mention.phrase.span.start}")
    assert planted > 60
    assert len(silent) <= (1 - LEAST_CAUGHT) * planted, silent
