"""A text that is written is read on from where it changed: the same positions as if it were read whole."""

import random
from pathlib import Path

import pytest
from keyproof.grammar.told_again import Again
from keyproof.grammar.told_men import _Telling

ROOT = Path(__file__).parents[2]
TOLD = """Ann: My king sits on a7, my queen on b6. Ben: And yours? Ann: He has his king on c8 and a rook on d8.
White: king g1, queen d1. Black: king e4, pawn d6.
We spoke of the evening. It was long.
You: king on a2, rook on b2. Me: king on h8.
"""
TEXTS = [
    TOLD * 3,
    "\n".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "corpus" / "demo").glob("talk-*.txt"))[:2]),
    "My king is on a1 and my rook on b1. His king is on h8, a pawn on h7.\n\nPlay goes on. Nothing more.\n" * 4,
]
WORDS = ("", " my king on e1", "\n", ". ", "Ann: ", "!", "no rook", "White: ", ", and a bishop on c3", "1.Kg2 ")


def found(text: str, again: Again) -> list[tuple[object, ...]]:
    return [
        (each.span, each.pieces, each.piece_spans, each.faults, each.others)
        for each in again.read(text, _Telling(text))
    ]


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("seed", range(4))
def test_a_change_reads_as_the_whole(text: str, seed: int) -> None:
    chance = random.Random(seed)
    again = Again()
    for _ in range(25):
        at = chance.randrange(len(text) + 1)
        text = text[:at] + chance.choice(WORDS) + text[min(len(text), at + chance.choice((0, 0, 1, 12))) :]
        assert found(text, again) == found(text, Again())


def test_what_stands_far_from_a_change_is_not_read() -> None:
    text = "\n\n".join(f"Evening {number}. We spoke of kings. Nothing was played." for number in range(200))
    again = Again()
    again.read(text, _Telling(text))
    at = len(text) // 2
    assert 0 < sentences_read(again, f"{text[:at]}x{text[at:]}") < 30


def sentences_read(again: Again, text: str) -> int:
    telling = _Telling(text)
    taken: list[object] = []
    take = telling._take
    telling._take = lambda words: taken.append(words) or take(words)  # type: ignore[method-assign, func-returns-value]
    again.read(text, telling)
    return len(taken)


def test_a_file_and_what_it_says_are_both_remembered() -> None:
    marked = "\n\n".join(f"*Evening {number}*. We spoke of kings. Nothing was played." for number in range(200))
    text = f"First.\n\n{marked}\n\nLast.\n"
    again, at = Again(), len(text) // 2
    for number in range(4):
        changed = f"{text[:at]}{'x' * number}{text[at:]}"
        for given in (changed, changed.replace("*", " ")):
            taken = sentences_read(again, given)
            assert number == 0 or 0 < taken < 30
