"""Hostile texts, other ones each time: none may draw a traceback, an endless run, or a line that is not there.

`.ci/explore` draws fresh ones with a seed of its own and prints it; what was found stands in tests/data/hostile.jsonl,
and is read again each time.
"""

import base64
import json
import random
from pathlib import Path

import pytest
from hostile_manners import FENS, MIXED, Manner
from hypothesis import example, given
from hypothesis import strategies as st
from keyproof.linter.jobs import guarded
from keyproof.linter.options import Options
from keyproof.linter.pieces import Piece

ROOT = Path(__file__).parents[1]
FOUND = ROOT / "tests" / "data" / "hostile.jsonl"
SUFFIXES = (".txt", ".md", ".pgn", ".epd", ".vtt", ".srt", ".html", ".tex", ".rtf")

_CORPUS = sorted(path for path in (ROOT / "corpus" / "demo").iterdir() if path.suffix in SUFFIXES)
_MOVES_PRINTED = (
    "1. 1... 2. Kg2! Rf4# O-O-O exd8=Q+ Bxf7?? a1 h8 e.p. ~ any other R~ 1...Kh4/h4 -- Z0 ... P-K4 QxQ ½-½ 0-1"
)
_VOCABULARY = (
    "the key is takes mate in two three White Black to play if then but threat zugzwang try refuted by set play twin "
    "b) castles any other move FEN: position problem No. solution helpmate selfmate pawn queen never not all only"
)
_MOVES, _WORDS = _MOVES_PRINTED.split(), _VOCABULARY.split()
_SETS = ("any other", "else", "R~", "any", "R any", "N~", "K~", "or", "/", "?", "1...", "2.", "#")
_TAGS = ('[SetUp "1"]', "(", ")", "{", "}", "$1", "$999", ";x", "%", "*", "1-0", "[")
_SIGNS = "\x00\x07\x1b\u200b\u202e\ufeff\ud7ff\U0001f600äß♔♚—…½“”«»\u0301\r\n\t\f\v\u2028"


def _bytes(chance: random.Random) -> bytes:
    return chance.randbytes(chance.randrange(200))


def _corpus(chance: random.Random) -> bytes:
    return chance.choice(_CORPUS).read_bytes()[:3_000]


def _flipped(chance: random.Random) -> bytes:
    text = bytearray(_corpus(chance))
    for _ in range(chance.randrange(1, 30)):
        text[chance.randrange(len(text))] ^= 1 << chance.randrange(8)
    return bytes(text)


def _cut(chance: random.Random) -> bytes:
    text = _corpus(chance)
    start = chance.randrange(len(text))
    return text[start : start + chance.randrange(600)]


def _recoded(chance: random.Random) -> bytes:
    text = _corpus(chance).decode("utf-8", "replace")
    return text.encode(chance.choice(["utf-16", "utf-16-le", "cp1252", "utf-8-sig", "utf-32", "latin-1"]), "replace")


def _shuffled(chance: random.Random) -> bytes:
    lines = _corpus(chance).splitlines(keepends=True)
    chance.shuffle(lines)
    return b"".join(lines)


def _words(chance: random.Random) -> bytes:
    words = chance.choices([*_WORDS, *_MOVES, *"abcdefgh", *"12345678", ".", ",", "?", "!", "(", ")", ";", "\n"], k=60)
    return f"FEN: {chance.choice(FENS)}\nMate in two.\n{' '.join(words)}\n".encode()


def _soup(chance: random.Random) -> bytes:
    moves = chance.choice(["", " "]).join(chance.choices(_MOVES, k=40))
    return f"FEN: {chance.choice(FENS)}\nMate in 2\n{moves}".encode()


def _sets(chance: random.Random) -> bytes:
    sets = chance.choices(_SETS, k=12)
    task = chance.choice(["h#2", "h#3", "#3", "s#2", "", "r#2"])
    return f"5nq1/b1R5/8/2nk2P1/2RN1B2/7Q/K7/8 {task} {chance.choice(['', ' ']).join(sets)}".encode()


def _positions(chance: random.Random) -> bytes:
    ranks = ["".join(chance.choices("KkQqRrBbNnPp12345678/9 x", k=chance.randrange(1, 9))) for _ in range(8)]
    rights = chance.choice(["KQkq", "-", "AHah", "x"])
    return f"FEN: {'/'.join(ranks)} {chance.choice('wbx')} {rights} e3 0 1\n1.e4".encode()


def _games(chance: random.Random) -> bytes:
    parts = [f'[FEN "{chance.choice(FENS)}"]', *_TAGS, *_MOVES]
    return "\n".join(chance.choices(parts, k=40)).encode()


def _records(chance: random.Random) -> bytes:
    parts = ["dm 2;", "bm Kg2;", 'id "x";', "am", ";", '"', "pv Kg2 Kh4;", "c0 x", "#", "\n", *FENS]
    return " ".join(chance.choices(parts, k=30)).encode()


def _cues(chance: random.Random) -> bytes:
    cues = [f"00:00:{n:02}.000 --> 00:00:{chance.randrange(90):02}.{n}\n{_soup(chance).decode()}\n" for n in range(8)]
    return ("WEBVTT\n\n" * chance.randrange(2) + "\n".join(cues)).encode()


def _nested(chance: random.Random) -> bytes:
    depth = chance.randrange(400)
    sign = chance.choice(["> ", "- ", "(", "[", "*", "`", "#", "1. ", "<b>", "{", "_", "|"])
    return (sign * depth + _soup(chance).decode() + ")" * depth).encode()


def _signs(chance: random.Random) -> bytes:
    text = list(_words(chance).decode())
    for _ in range(chance.randrange(1, 20)):
        text.insert(chance.randrange(len(text)), chance.choice(_SIGNS))
    return "".join(text).encode("utf-8", "surrogatepass")


def _digits(chance: random.Random) -> bytes:
    """Put signs in the place of some digits that Unicode calls digits and `int` does not take, or takes from afar."""
    text = _cut(chance).decode("utf-8", "replace")
    return "".join(
        chance.choice("²³¹①⑧٣६Ⅷ½") if each.isdecimal() and not chance.randrange(4) else each for each in text
    ).encode()


MANNERS: tuple[Manner, ...] = (
    _bytes, _flipped, _cut, _recoded, _shuffled, _words, _soup, _sets, _positions, _games, _records, _cues, _nested,
    _signs, _digits, _corpus, *MIXED,
)  # fmt: skip


def survives(suffix: str, data: bytes) -> None:
    """Check one text as `check` does, and hold its result against the text."""
    result = guarded(Piece(f"hostile{suffix}", data), Options(effort=0.01))
    assert result.error is None or "keyproof itself failed" not in result.error, result.error
    for placed in result.findings:
        span = placed.finding.span
        assert 0 <= span.start <= span.end <= len(result.text)
        assert all(0 <= edit.span.start <= edit.span.end <= len(result.text) for edit in placed.finding.repair)
    for puzzle in result.puzzles:
        assert puzzle.checked <= puzzle.move_mentions


@given(st.sampled_from(MANNERS), st.integers(0, 2**32), st.sampled_from(SUFFIXES))
@example(_sets, 1, ".txt")
def test_no_text_is_too_hostile(manner: Manner, seed: int, suffix: str) -> None:
    survives(suffix, manner(random.Random(seed)))


def _found() -> list[tuple[str, bytes]]:
    lines = map(json.loads, FOUND.read_text("utf-8").splitlines())
    return [(line["suffix"], base64.b64decode(line["data"])) for line in lines]


@pytest.mark.parametrize(("suffix", "data"), _found())
def test_what_was_found_stays_mended(suffix: str, data: bytes) -> None:
    survives(suffix, data)
