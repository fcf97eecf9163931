"""The answers that a case takes from its proof are those that a search of their own finds."""

from pathlib import Path

import pytest
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.sources import read
from keyproof.rules.case.case import Case
from keyproof.rules.proof import prover

TEXTS = [*sorted(Path("corpus/demo").glob("column-0[1-7]*")), Path("corpus/published/three-movers-from-1910.md")]


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.name)
def test_answers_to_every_reply(path: Path) -> None:
    document = read(str(path))
    parts = puzzle_texts(document)
    for puzzle in parts.puzzles:
        case = Case(document.text, document.masked, puzzle, parts.loose)
        assert case.reading is not None
        assert case.proof is not None
        diagram = case.reading.diagram
        firsts = [diagram.play(key) for key in case.proof.keys]
        if case.reading.set_play is not None:
            firsts.append(case.reading.set_play)
        for first in firsts:
            for reply in first.board.legal_moves:
                node = first.play(reply)
                searched = prover.mating_moves(node.board, case.moves_left(node))
                assert case.mating_moves(node).lengths == searched.lengths, (puzzle.title, node.moves)
