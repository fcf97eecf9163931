"""Drafts: what they say is proved, so the check must pass every one, in every voice, to the last mention."""

import re
from itertools import pairwise
from typing import Any

import chess
import pytest
from click.testing import CliRunner, Result
from keyproof.linter.cli import cli
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.style import load
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.writing.draft import NoDraft, draft, flights, self_block
from keyproof.rules.writing.spoken import can_be_said, setting_up, spoken
from keyproof.rules.writing.voices import VOICES, Voice, written

from .conftest import DEMO, PUBLISHED, problems

pytestmark = pytest.mark.kernel

TWO_KNIGHTS = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
PROBLEMS = [*problems(DEMO), *problems(PUBLISHED)]


def text_of(problem: dict[str, Any], voice: Voice) -> str:
    facts = draft(chess.Board(problem["fen"]), Stipulation.parse(problem["stipulation"]))
    return "\n\n".join(written(facts, voice)) + "\n"


@pytest.mark.slow
@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize("problem", PROBLEMS, ids=lambda problem: problem["fen"])
def test_every_draft_passes_the_check(problem: dict[str, Any], voice: Voice) -> None:
    text = text_of(problem, voice)
    result = check_text("draft.md", text, Options())
    assert [placed.finding.message for placed in result.findings] == []
    (puzzle,) = result.puzzles
    assert puzzle.verdict == "sound"
    assert puzzle.move_mentions > 1
    assert puzzle.checked == puzzle.move_mentions
    assert puzzle.account.placed == puzzle.account.total
    assert puzzle.stipulation == problem["stipulation"]


@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize(
    ("fen", "stipulation"),
    [
        ("8/8/8/8/8/k1K5/7R/8 b - - 0 1", "h#2"),
        ("8/8/8/8/7R/2K5/8/1k6 w - - 0 1", "h#1.5"),
        ("7k/8/5K2/6Q1/8/8/8/8 w - - 0 1", "=1"),
        ("6k1/8/6K1/8/8/8/8/R7 w - - 0 1", "#1"),
    ],
)
def test_other_genres_pass_too(fen: str, stipulation: str, voice: Voice) -> None:
    result = check_text("draft.md", text_of({"fen": fen, "stipulation": stipulation}, voice), Options())
    assert [placed.finding.message for placed in result.findings] == []
    assert result.puzzles[0].checked == result.puzzles[0].move_mentions > 1


def test_a_column() -> None:
    # The moves are those of corpus/demo column 01, no. 2; their order and layout are ours.
    problem = PROBLEMS[1]
    assert text_of(problem, "column").splitlines()[2:] == [
        "White to play and mate in two. (6+5)",
        "",
        "Set play: 1...b3 2.Ra4#, 1...c4 2.Qb5#",
        "",
        "Tries: 1.Rbxb4? (2.Ra4#) Bb6! 1.Qxc5? (2.Qb5#) Bxc5! 1.Qd3+? c4!",
        "",
        "Key: 1.Ra8! (zugzwang)",
        "",
        "- 1...Ka5 2.Rxa7#",
        "- 1...b3 2.Ra4#",
        "- 1...c4 2.Qb5#",
    ]


@pytest.mark.parametrize(
    ("fen", "stipulation", "reason"),
    [
        (TWO_KNIGHTS, "#1", "no first move solves #1"),
        (TWO_KNIGHTS, "#3", "there is a solution in 2"),
        ("4k3/8/7R/8/6K1/R7/8/8 w - - 0 1", "#2", "2 first moves solve #2"),
        ("8/8/8/8/8/8/k7/2K4R b - - 0 1", "h#1", "0 solutions"),
    ],
)
def test_nothing_is_written_about_an_unsound_puzzle(fen: str, stipulation: str, reason: str) -> None:
    with pytest.raises(NoDraft, match=reason):
        draft(chess.Board(fen), Stipulation.parse(stipulation))


def test_a_refusal_names_the_shortest_solution_only() -> None:
    # 1.Rf8 is mate at once; 1.Kc7 and many others take two moves (python-chess).
    with pytest.raises(NoDraft, match=r"there is a solution in 1 \(Rf8#\)$"):
        draft(chess.Board("k7/8/1K6/5R2/8/8/8/8 w - - 0 1"), Stipulation("#", 2))


def test_nothing_is_written_that_is_not_proved() -> None:
    with pytest.raises(NoDraft, match="not proved within the effort"):
        draft(chess.Board(PROBLEMS[-1]["fen"]), Stipulation("#", 6), effort=0.0001)


@pytest.mark.parametrize(
    ("fen", "move", "said"),
    [
        # FIDE Laws D.2.1 has moves announced with the man and the square; the wording is ours.
        (TWO_KNIGHTS, "f2g2", "the king goes to g2"),
        (TWO_KNIGHTS, "e6d4", "the knight jumps to d4"),
        (TWO_KNIGHTS, "e5h5", "the rook takes the pawn on h5"),
        (TWO_KNIGHTS, "e5g5", "the rook goes to g5, check"),
        ("7k/8/8/3pP3/8/8/8/K7 w - d6 0 1", "e5d6", "the pawn captures on d6 in passing"),
        ("3r3k/4P3/8/8/8/8/8/K7 w - - 0 1", "e7d8n", "the pawn takes the rook on d8 and becomes a knight"),
        ("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "e1c1", "White castles queenside"),
        ("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "h1h8", "the rook goes to h8, check"),
        ("4k3/8/8/8/8/8/8/R4R1K w - - 0 1", "a1d1", "the rook on a1 goes to d1"),
        ("6k1/5ppp/8/8/8/8/8/4R1K1 w - - 0 1", "e1e8", "the rook goes to e8, mate"),
    ],
)
def test_spoken_moves(fen: str, move: str, said: str) -> None:
    assert spoken(chess.Board(fen), chess.Move.from_uci(move)) == said


def test_what_is_taken_where_it_has_just_moved_is_it() -> None:
    # corpus/demo column 02, no. 6: "1...Sg6 2.Qxg6".
    script = " ".join(text_of(PROBLEMS[5], "script").split())
    assert "if the knight jumps to g6, the queen takes it, mate" in script.lower()
    assert "If the knight jumps to f3, f5 or g2, the queen goes to g6, mate." in script


@pytest.mark.parametrize("problem", PROBLEMS[:30], ids=lambda problem: problem["fen"])
def test_a_script_is_for_the_ear(problem: dict[str, Any]) -> None:
    """No FEN, no signs, no line that is too long; sentences that follow each other do not begin alike."""
    text = text_of(problem, "script")
    assert all(len(line) <= 80 for line in text.splitlines())
    assert not set("/#+!?~") & set(text.replace("?", ""))
    assert text.startswith(("White: king ", problem["fen"].split()[0]))
    openings = [sentence.split()[:3] for sentence in re.findall(r"[^.:]+[.:]", text.partition("\n\n")[2])]
    alike = [first for first, second in pairwise(openings) if first == second and first[:1] not in (["If"], ["After"])]
    assert alike == []


@pytest.mark.parametrize("problem", PROBLEMS[:30], ids=lambda problem: problem["fen"])
def test_the_men_that_are_set_up_are_the_position(problem: dict[str, Any]) -> None:
    board = chess.Board(problem["fen"])
    result = check_text("a.md", f"{setting_up(board)}\n\n{problem['stipulation']}\n", Options())
    assert can_be_said(board) == (chess.Board(result.puzzles[0].fen or "").fen() == board.fen()) or board.ep_square


def test_a_reason_is_given_once() -> None:
    for problem in PROBLEMS[:20]:
        text = " ".join(text_of(problem, "tutorial").split())
        reasons = [
            each for each in re.split(r"(?<=[.!?]) ", text) if re.match(r"The \w+( on \w\d)? (guards|protects)", each)
        ]
        assert len(reasons) == len(set(reasons))


def test_the_prettiest_mate_comes_last() -> None:
    """corpus/demo column 01, no. 3: of four mates one needs the pin of the pawn on c7."""
    problem = PROBLEMS[2]
    script = " ".join(text_of(problem, "script").split())
    assert script.endswith("mate, for the pawn on c7 is pinned.")
    lines = [line for line in text_of(problem, "column").splitlines() if line.startswith("- 1...")]
    assert "is pinned" in lines[-1]


def said(fen: str, stipulation: str, voice: Voice) -> str:
    return " ".join(text_of({"fen": fen, "stipulation": stipulation}, voice).split())


def test_long_play_branches_from_the_line_it_shares() -> None:
    """Published problems of four and five moves: what was said is not said again, and two ways that meet are one."""
    script = " ".join(text_of(PROBLEMS[46], "script").split())
    assert (
        "After the key, if the rook takes the pawn on c2, the knight takes it. Then, if the pawn moves to a2," in script
    )
    assert "After the key, rook takes c2 and knight takes c2, if the bishop goes to c7, the rook goes to d5." in script
    for problem in PROBLEMS[25:]:
        sentences = re.split(r"(?<=[.!?:]) ", " ".join(text_of(problem, "script").split()))
        opened = [sentence.partition(", the ")[0] for sentence in sentences if sentence.startswith("After the key, if")]
        assert len(opened) == len(set(opened))
    assert "- 1...Kd5/Kf5 2.e4+ Kxe4 3.Re1 Kd5/Kf5 4.e4#" in text_of(PROBLEMS[60], "column")


@pytest.mark.parametrize("voice", VOICES)
def test_the_last_reply_that_is_left_is_named(voice: Voice) -> None:
    # 1.Rd7 leaves Black 1...Ka8 and 1...Kc8 (python-chess).
    text = said("1k6/R3K3/6P1/8/8/8/4P3/8 w - - 0 1", "#3", voice)
    assert "ny other" not in text


# The positions are ours; what holds in them is proved, and was compared with python-chess by hand.
SWITCH = "8/8/8/2B5/4b3/4R3/R2K4/5k2 w - - 0 1"
THREE = "8/5P2/8/1K6/8/4R3/6k1/8 w - - 0 1"
TWO_PAWNS = "8/P1nK3P/6p1/8/1R4R1/k7/8/2n5 w - - 0 1"
TWO_KINGS = "3R4/5P2/8/1N6/3R4/3K4/5k2/8 w - - 0 1"


@pytest.mark.parametrize(
    ("fen", "stipulation", "voice", "words"),
    [
        # why a try almost works: what it threatens
        (SWITCH, "#2", "column", "Try: 1.Kd1? (2.Re1#) Bc2+!"),
        (SWITCH, "#2", "tutorial", "1.Kd1? threatens 2.Re1#, but 1...Bc2+! refutes it."),
        (SWITCH, "#2", "script", "the king goes to d1, with the threat of rook to e1, mate."),
        # what the key does, and what has changed by it
        (SWITCH, "#2", "column", "That takes the flights g1, f2 and g2 from the king."),
        (SWITCH, "#2", "column", "1...Bg2 2.Ra1# (changed)"),
        # each square of a mate with one guard
        (
            SWITCH,
            "#2",
            "tutorial",
            "The rook on a1 guards e1 and g1. The bishop guards f2. Black's own bishop blocks g2.",
        ),
        # what may be played instead is said in one sentence
        (
            TWO_PAWNS,
            "#2",
            "script",
            "if Black's knight jumps to d5, e6 or e8, the pawn becomes a queen or a rook on a8",
        ),
        (THREE, "#3", "script", "Then the king goes to h1, and the rook goes to e1 or h3, mate."),
        (THREE, "#3", "script", "The queen can also go to g7 or g8."),
        (THREE, "#3", "tutorial", "- 1...Kg1 2.Re2 Kh1 3.Qf1#."),
        # all that a pawn may become, at its place in a list and where it takes
        (
            "8/5R2/8/7p/5Q2/1Kp1N1N1/4p3/k7 w - - 0 1",
            "#2",
            "script",
            "becomes a queen, a rook, a bishop or a knight on e1",
        ),
        (
            "8/5R2/8/7p/5Q2/1Kp1N1N1/4p3/k7 w - - 0 1",
            "#2",
            "script",
            "if the pawn takes the queen on f1 and becomes a queen, a rook, a bishop or a knight, the rook takes it",
        ),
        # where a mate has two makers, only the first takes "it"
        (
            "3k4/7p/3p1N2/8/5r2/8/6QR/6K1 w - - 0 1",
            "#3",
            "script",
            "the knight takes it, or the queen takes the rook on e4",
        ),
        # what falls to the threat and to another mate too is not told as if to the threat alone
        ("3Q4/8/4B3/8/7R/2k5/1b6/1R5K w - - 0 1", "#2", "column", "- Any move 2.Rc4#"),
        # two men of one name
        (TWO_KINGS, "#3", "script", "if the king goes to e1, White's king goes to e3."),
        (
            "k7/8/8/1K3R2/8/8/8/8 w - - 0 1",
            "#2",
            "script",
            "Black has only one move: the king goes to b8, and the rook",
        ),
        ("2k5/2p3p1/3R1b2/1R3P2/7p/K6B/7B/Q7 w - - 0 1", "#2", "column", "The key sacrifices the queen."),
    ],
)
def test_what_a_columnist_would_say(fen: str, stipulation: str, voice: Voice, words: str) -> None:
    assert words in said(fen, stipulation, voice)
    result = check_text("a.md", text_of({"fen": fen, "stipulation": stipulation}, voice), Options())
    assert [placed.finding.message for placed in result.findings] == []
    assert result.account.placed == result.account.total


@pytest.mark.parametrize("voice", VOICES)
def test_no_sentence_is_said_twice(voice: Voice) -> None:
    for problem in PROBLEMS[:20]:
        told = re.split(r"(?<=[.!?:]) ", " ".join(text_of(problem, voice).split()))
        whole = [sentence for sentence in told if len(sentence.split()) > 8]
        assert len(whole) == len(set(whole))


STYLES = [
    'pieces = "KQRBS"\ncapture = ":"',
    'pieces = "KDTLS"\nmate = "‡"\ncheck = "†"',
    'pieces = "figurines"',
    'castling = "0-0"\npromotion = "(Q)"\ncapture = "×"',
]


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("voice", ["column", "tutorial"])
@pytest.mark.parametrize("number", [0, 2, 20, 48])
def test_a_draft_is_in_the_style_of_the_house(tmp_path: Any, style: str, voice: str, number: int) -> None:
    problem = PROBLEMS[number]
    (tmp_path / "keyproof.toml").write_text(style, encoding="utf-8")
    arguments = (problem["fen"], "--stipulation", problem["stipulation"], "--voice", voice)
    done = run(*arguments, "--settings", str(tmp_path / "keyproof.toml"))
    settings = load(tmp_path / "keyproof.toml")
    result = check_text("draft.md", done.output, Options(house=settings.house))
    assert done.exit_code == 0
    assert [each.finding.rule for each in result.findings if "style" in each.finding.rule] == []
    assert result.puzzles[0].checked == result.puzzles[0].move_mentions > 1


def test_flights() -> None:
    # FIDE Laws 3.9.2: g8 and h7 are attacked by nobody, g7 by the king; castling is no flight.
    assert flights(chess.Board("7k/8/5K2/8/8/8/8/8 b - - 0 1")) == (chess.H7, chess.G8)
    assert flights(chess.Board("4k2r/8/3R1R2/8/8/8/8/4K3 b k - 0 1")) == (chess.E7,)


def test_a_self_block() -> None:
    """corpus/demo column 01, no. 4: "The last two are self-blocks", 1...d3 2.Qb2# and 1...b3 2.Qd2#."""
    facts = draft(chess.Board(PROBLEMS[3]["fen"]), Stipulation("#", 2))
    blocks = {
        reply.before.san(reply.move): self_block(reply, reply.answers[0].move)
        for reply in facts.replies
        if len(reply.answers) == 1
    }
    assert blocks["d3"] == chess.D3
    assert blocks["b3"] == chess.B3
    assert blocks["Kd3"] is None


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, ["draft", *arguments])


def test_the_command() -> None:
    done = run(TWO_KNIGHTS, "--stipulation", "#2", "--voice", "script")
    assert done.exit_code == 0
    said = " ".join(done.output.split())
    assert re.search("key.*: the king goes to g2. .*Nothing is threatened, but Black is in zugzwang.", said)


@pytest.mark.parametrize(
    ("arguments", "status", "message"),
    [
        ((TWO_KNIGHTS,), 2, "add --stipulation"),
        ((TWO_KNIGHTS, "--stipulation", "mate"), 2, "not a stipulation"),
        ((TWO_KNIGHTS, "--stipulation", "#1"), 1, "unsound: no first move solves #1"),
        (("hello", "--stipulation", "#2"), 2, "neither a file nor a position"),
        ((TWO_KNIGHTS, "--stipulation", "#2", "--effort", "0"), 2, "above 0"),
        ((f"{TWO_KNIGHTS.replace('k', '1')}", "--stipulation", "#2"), 2, "there is no black king"),
    ],
)
def test_what_cannot_be_written(arguments: tuple[str, ...], status: int, message: str) -> None:
    done = run(*arguments)
    assert (done.exit_code, message in done.output) == (status, True)


def test_a_title_that_only_looks_like_one(tmp_path: Any) -> None:
    column = tmp_path / "column.txt"
    one = f"{TWO_KNIGHTS}\n\nMate in two.\n"
    column.write_text(f"Tonight: The waiting rook\n\n{one}")
    assert run(str(column)).stdout.startswith("Tonight: The waiting rook\n\n8/8/4N3")
    column.write_text(
        f"The waiting rook\n\n{one}\nKey: 1.Kg2!\n\nThe other rook\n\n{PROBLEMS[1]['fen']}\n\nMate in two.\n"
    )
    titles = [part.partition("\n")[0] for part in run(str(column)).stdout.split("\n\n") if part.startswith("The ")]
    assert titles == ["The waiting rook", "The other rook"]
    for sentence in ("White begins", "What a mate this is!", "Here is one for tonight", "Solution", "Mate in two"):
        column.write_text(f"{sentence}\n\n{one}")
        assert run(str(column)).stdout.startswith("8/8/4N3")


def test_every_puzzle_of_a_file(tmp_path: Any) -> None:
    column = tmp_path / "column.txt"
    column.write_text(f"No. 1  One\n{TWO_KNIGHTS}\nMate in two.\n\nNo. 2  Two\n{TWO_KNIGHTS}\nMate in three.\n")
    done = run(str(column))
    assert done.exit_code == 1
    assert done.stdout.startswith("No. 1 One\n\n8/8/4N3")
    assert f"{column}:5:1: error: unsound: there is a solution in 2 (Kg2)" in done.stderr
