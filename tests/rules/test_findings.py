"""What every finding owes its reader, over all texts of the corpus, the pages and the cases.

Evidence is replayed with python-chess alone, messages are in one voice, and a repair repairs.
"""

import itertools
import re
from collections import Counter
from functools import cache
from pathlib import Path

import chess
import pytest
from corpus_checked import checked, options, texts
from keyproof.linter.options import Options
from keyproof.linter.pages import pages
from keyproof.linter.pipeline import check_text
from keyproof.rules.checks.register import load_rules
from keyproof.rules.finding import Finding

pytestmark = pytest.mark.kernel


@cache
def everything() -> list[tuple[str, str, Finding]]:
    """Return (where, text, finding) for each finding of the corpus and of the pages."""
    results = [(path.name, checked(path)) for path in texts()]
    results += [(page.name, check_text("example.txt", page.bad, Options(effort=1))) for page in pages().values()]
    return [(name, result.text, placed.finding) for name, result in results for placed in result.findings]


def test_every_rule_is_among_them() -> None:
    assert {finding.rule for _, _, finding in everything()} >= set(load_rules())


def test_evidence_replays_with_python_chess_alone() -> None:
    replayed = 0
    for where, _, finding in everything():
        if finding.evidence is None:
            continue
        board = chess.Board(finding.evidence.fen)
        assert finding.evidence.moves, (where, finding)
        for san in finding.evidence.moves:
            move = board.parse_san(san)
            assert board.san(move) == san, (where, finding)  # parse_san alone would let a false sign pass
            replayed += 1
            if finding.evidence.kind == "line":
                assert move or not board.is_check(), (where, finding)
                board.push(move)
            else:
                assert move in board.legal_moves
    assert replayed > 100


def test_spans_lie_in_the_text_and_hold_something() -> None:
    for where, text, finding in everything():
        assert 0 <= finding.span.start < finding.span.end <= len(text), (where, finding)
        assert finding.span.of(text).strip(), (where, finding)


def test_what_a_message_quotes_stands_in_the_text() -> None:
    quoted = 0
    for where, text, finding in everything():
        if finding.rule == "not-understood":
            assert repr(finding.span.of(text)) in finding.message, (where, finding)
            quoted += 1
    assert quoted


@pytest.mark.parametrize("rule", ["illegal-move", "check-not-mate", "no-check", "wrong-move-number"])
def test_spans_spell_what_is_wrong(rule: str) -> None:
    spelt = {
        "illegal-move": r"(?:[^\W\d_]|[♔-♟]).*",
        "check-not-mate": r"\s?[#‡]|(?:check-?)?mates?.*",
        "no-check": r"\s?[+†]|.*check.*",
        "wrong-move-number": r"\d{1,2}\s?(?:\.{1,3}|…).*|\.{3}|…",
    }[rule]
    spans = [finding.span.of(text) for _, text, finding in everything() if finding.rule == rule]
    assert spans
    assert [span for span in spans if not re.fullmatch(spelt, span, re.S)] == []


# A message begins in lower case unless with a side, a move, a square or the name of a notation.
OPENING = re.compile(r"[a-z0-9\"'(#]|White\b|Black\b|[KQRBNSDTLFCAHWG♔-♟][a-h1-8x]|O-O|0-0|FEN\b")


def test_messages_are_in_one_voice() -> None:
    for where, _, finding in everything():
        assert OPENING.match(finding.message), (where, finding.message)
        ending = re.sub(r"(?<=\d)\.{1,3}$", "", finding.message)  # "the number here should be 1..."
        assert not ending.endswith((".", " ", ":", ";")), (where, finding.message)
        assert "\n" not in finding.message
        assert not re.search(r"\bNone\b|\bTrue\b|\bFalse\b|<\w+\.|  ", finding.message), (where, finding.message)


def repaired(text: str, finding: Finding) -> str:
    for edit in sorted(finding.repair, key=lambda edit: edit.span, reverse=True):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


def test_repairs_change_something_and_do_not_overlap() -> None:
    for where, text, finding in everything():
        spans = sorted(edit.span for edit in finding.repair)
        assert all(left.end <= right.start for left, right in itertools.pairwise(spans)), (where, finding)
        for edit in finding.repair:
            assert edit.span.of(text) != edit.text, (where, finding)


# What a rule of these families says is about one printed move; the others weigh the whole solution,
# and a finding of theirs may come to light when the fault that hid it is repaired (one root, one finding).
OF_ONE_MOVE = ("moves", "signs", "castling", "en_passant", "style")


@pytest.mark.parametrize("path", texts(), ids=lambda path: path.name)
def test_a_repair_removes_its_finding_and_spoils_no_move(path: Path) -> None:
    result = checked(path)
    before = Counter(placed.finding.rule for placed in result.findings)
    for placed in result.findings:
        finding = placed.finding
        if finding.repair:
            again = check_text(path.name, repaired(result.text, finding), options(path))
            after = Counter(each.finding.rule for each in again.findings)
            assert after[finding.rule] < before[finding.rule], finding
            new = {rule for rule in after - before if load_rules()[rule].check.__module__.endswith(OF_ONE_MOVE)}
            assert not new, (finding, new)
