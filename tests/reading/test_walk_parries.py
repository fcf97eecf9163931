"""Why a defence defends: the reply it has ready to a mate that is threatened, which is not told again.

The positions are of our own making; what is true in them is what the prover says.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, check_text, sections_of
from keyproof.linter.sources import document_from_text
from keyproof.rules.finding import Level
from keyproof.rules.play.node import Node
from test_walk_print import placed

GUARDS = "6b1/6p1/1K2N2r/4k3/6Q1/5R2/8/2B2n2 w - - 0 1"  # 1.Kc5 threatens 2.Qf5 and 2.Bb2
FLIGHTS = "3NK3/r1p5/2R5/4b3/5k2/2nQ4/2B5/8 w - - 0 1"  # 1.Rg6 threatens 2.Ne6 and 2.Qg3
BLOCKS = "1n2K3/8/3k4/3P4/4Q3/7N/1r1BR1p1/b7 w - - 0 1"  # 1.Qc4 threatens 2.Re6 and 2.Bf4


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.Kc5! 1...Bh7: from there the bishop could take on f5, so 2.Bb2#.", "Kc5 Bh7 Qf5 Bxf5"),
        ("1.Kc5! 1...g6 and the pawn would capture on f5; therefore 2.Bb2#.", "Kc5 g6 Qf5 gxf5"),
        ("1.Kc5! 1...Rh2 2.Qf5#, as the rook could now capture on b2.", "Kc5 Rh2 Bb2 Rxb2"),
        ("King to c five. Bishop to h seven. It could take her, so the bishop mates on b two.", "Kc5 Bh7 Qf5 Bxf5"),
    ],
)
def test_the_man_that_defends_could_take_what_mates(text: str, line: str) -> None:
    assert line in placed(GUARDS, text)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.Rg6! 1...Bh8 and the king could go to e5, so 2.Qg3#.", "Rg6 Bh8 Ne6 Ke5"),
        (
            "Rook g six. The bishop goes to h eight. Now he could slip out to e five. Queen g three, mate.",
            "Rg6 Bh8 Ne6 Ke5",
        ),
        ("1.Rg6! 1...Ne4 2.Qxe4#, because the king might otherwise escape to f5.", "Rg6 Ne4 Ne6 Kf5"),
    ],
)
def test_the_king_could_go_where_the_defence_lets_him(text: str, line: str) -> None:
    assert line in placed(FLIGHTS, text)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.Qc4! 1...Rb7 and the bishop can drop in at e5: 2.Re6#.", "Qc4 Rb7 Bf4 Be5"),
        ("1.Qc4! 1...Nd7 2.Qc6#, for the knight might come to e5.", "Qc4 Nd7 Bf4 Ne5"),
        ("1.Dc4! Auf 1...Tb7 könnte der Läufer nach e5 gehen, also 2.Te6 matt.", "Qc4 Rb7 Bf4 Be5"),
    ],
)
def test_a_man_could_step_in_between(text: str, line: str) -> None:
    assert line in placed(BLOCKS, text, "german" if "Auf" in text else "english")


def test_what_answers_no_threat_stays_where_the_text_stands() -> None:
    assert "Qc4 Nd7 Qc6" in placed(BLOCKS, "1.Qc4! 1...Nd7, and the queen can go to c6, mate.")
    assert "Kc5 Bh7 Qf5 Bxf5" not in placed(GUARDS, "1.Kc5! 1...Bh7 2.Bb2#. The bishop takes on f5.")


def test_a_text_that_says_so_is_sound() -> None:
    told = "1.Kc5! threatens 2.Qf5# and 2.Bb2#. 1...Bh7: from there it could take on f5, so 2.Bb2#."
    result = check_text("a.txt", f"FEN: {GUARDS}\nMate in two.\n{told}\n", Options(fresh=True))
    assert not [each for each in result.findings if each.finding.level is not Level.note]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.Qc4! 1...Rb7 prepares to interpose at e5? No: 1...Nd7 does, and 2.Qc6#.", "Qc4 Rb7"),
        ("1.Qc4! 1...Nd7 prepares to interpose at e5, hence 2.Qc6#.", "Qc4 Nd7 Bf4 Ne5"),
        ("1.Qc4! 1...Nd7: it would interpose on e5, so 2.Qc6#.", "Qc4 Nd7 Bf4 Ne5"),
        ("1.Qc4! 1...Nd7, so that Ne5 would be possible, and now 2.Qc6#.", "Qc4 Nd7 Bf4 Ne5"),
    ],
)
def test_a_man_is_ready_to_interpose(text: str, line: str) -> None:
    assert line in placed(BLOCKS, text)


def test_who_interposes_on_a_square_goes_there() -> None:
    told = "1.Qc4! Interposing on c6 the knight shuts out the queen. 2.Qxc6#."
    assert placed(BLOCKS, told) >= {"Qc4 Nc6", "Qc4 Nc6 Qxc6"}


def grounds(fen: str, text: str) -> set[str]:
    """Return the lines that the reasons of a text stand for, in English notation, without signs."""
    document = document_from_text("a.txt", f"FEN: {fen}\nMate in two.\n{text}\n", "text")
    (case,) = cases_of(document, sections_of(document, Options(fresh=True))[0], Options(fresh=True))
    assert case.reading is not None
    ends = [end for mention in case.reading.parries for end in mention.after]
    return {" ".join(_bare(end) for end in end.path[1:]) for end in ends}


def _bare(node: Node) -> str:
    assert node.parent is not None
    assert node.move is not None
    return node.parent.board.san(node.move).rstrip("+#")


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("1.Kc5! 1...Bh7 guards f5, so 2.Bb2#.", "Kc5 Bh7 Qf5 Bxf5"),
        ("1.Kc5! 1...Rh2 and the rook looks along the rank at b2: 2.Qf5#.", "Kc5 Rh2 Bb2 Rxb2"),
        ("Key king c five. If the rook drops to h two it covers b two, so queen f five.", "Kc5 Rh2 Bb2 Rxb2"),
        ("1.Kc5! If 1...Ng3, 2.Bb2#, for the knight watches f5.", "Kc5 Ng3 Qf5 Nxf5"),
    ],
)
def test_a_guard_tells_what_it_would_answer(text: str, line: str) -> None:
    assert line in grounds(GUARDS, text)


def test_a_guard_that_answers_nothing_tells_no_reply() -> None:
    assert not grounds(GUARDS, "1.Kc5! 1...Bh7 guards g6, so 2.Bb2#.")
    assert not grounds(GUARDS, "1.Kc5! and the knight guards d4. 1...Bh7 2.Bb2#.")


@pytest.mark.parametrize(
    "text",
    [
        "1.Rg6! 1...Bh8 leaves the king e5 if the knight checks: 2.Qg3#.",
        "1.Rg6! 1...Bh8 opens e5 for the king: 2.Qg3#.",
        "1.Rg6! 1...Bh8 provides a flight on e5: 2.Qg3#.",
        "1.Rg6! 1...Bh8 and e5 becomes available: 2.Qg3#.",
        "1.Rg6! 1...Bh8 vacates e5, so 2.Qg3#.",
        "Rook g six. The bishop goes to h eight and gives him e five. So queen g three is mate.",
        "Rook g six. The bishop goes to h eight, and e five is free. So queen g three is mate.",
    ],
)
def test_a_square_is_open_to_the_king(text: str) -> None:
    assert "Rg6 Bh8 Ne6 Ke5" in placed(FLIGHTS, text)


def test_a_square_that_is_open_already_is_none_he_gets() -> None:
    assert not [line for line in placed(FLIGHTS, "1.Rg6! 1...Ra6 opens e5: 2.Qg3#.") if "Ke5" in line]


@pytest.mark.parametrize(
    "text",
    [
        "1.Kc5! 1...Bh7 2.Bb2#. The queen would be taken.",
        "1.Kc5! 1...Bh7 2.Bb2#; the bishop just takes her.",
        "King c five. Bishop to h seven. He'd take the queen, so bishop b two, mate.",
    ],
)
def test_the_man_that_is_threatened_to_mate_would_be_taken(text: str) -> None:
    assert "Kc5 Bh7 Qf5 Bxf5" in placed(GUARDS, text)
