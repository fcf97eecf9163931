"""Which text belongs to which puzzle. The layout of columns, solutions an issue later under the
earlier number among them: a newspaper column of 27 March 1964, otherwise common practice, no source."""

import pytest
from hypothesis import given
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.sources import Unreadable, document_from_text
from reading_texts import KINDS, START_RANKS, owners, scraps

A = "8/8/8/8/8/8/8/K6k w - - 0 1"
B = "8/8/8/8/8/8/8/K5kq w - - 0 1"
C = "8/8/8/8/8/3Q4/8/K2k4 w - - 0 1"


def parted(text, kind="markdown"):
    """The puzzles as (title, number of diagrams, prose, headings), then the loose prose."""
    document = document_from_text("bulletin", text, kind)
    sections = puzzle_texts(document)
    shown = document.masked
    assert all(sign.isspace() or count == 1 for sign, count in zip(shown, owners(sections, len(shown)), strict=True))
    puzzles = [
        (p.title, len(p.diagrams), [s.of(shown) for s in p.prose], [s.of(shown) for s in p.headings])
        for p in sections.puzzles
    ]
    return puzzles, [span.of(shown) for span in sections.loose]


def prose(text, kind="markdown"):
    puzzles, loose = parted(text, kind)
    return [words for _, _, words, _ in puzzles], loose


def test_headings_are_titles():
    puzzles, loose = parted(
        f"# Bulletin\n\nWelcome.\n\n## No. 1: The Mill\n\nMate in two. {A}\n\n1.Qb1! Kh2\n\n## No. 2\n\n{B}\n\n1.Sf4!"
    )
    assert puzzles == [
        ("No. 1: The Mill", 1, ["Mate in two.", "1.Qb1! Kh2"], ["No. 1: The Mill"]),
        ("No. 2", 1, ["1.Sf4!"], ["No. 2"]),
    ]
    assert loose == ["Welcome."]


@pytest.mark.parametrize("kind", KINDS)
def test_one_position_in_three_notations_is_one_puzzle(kind):
    board = "\n".join(["........"] * 7 + ["K......k"])
    text = f"# The Mill\n\n{A}\n\nWhite: Ka1; Black: Kh1, Pa2\n\n{board}\n\n1.Qb1!"
    puzzles, _ = parted(text, kind)
    assert [(title, count) for title, count, _, _ in puzzles] == [("The Mill", 3)]


def test_a_misprint_in_one_notation_does_not_part_the_puzzle():
    puzzles, _ = parted("White: Ka1, Qd3, Pa2; Black: Kd1\n\nFEN 8/8/8/8/8/3Q4/1P6/K2k4 w - - 0 1\n\n1.Qb1!")
    assert [count for _, count, _, _ in puzzles] == [2]


def test_a_position_after_solution_text_is_a_new_puzzle():
    assert prose(f"{A}\n\n1.Qb1! Kh2\n\n{B}\n\n1.Sf4!") == ([["1.Qb1! Kh2"], ["1.Sf4!"]], [])


def test_another_position_of_the_same_notation_is_a_new_puzzle():
    assert prose(f"Mate in two {A}\n\nMate in three {B}") == ([["Mate in two"], ["Mate in three"]], [])


def test_quite_another_position_is_a_new_puzzle():
    board = "\n".join(START_RANKS)
    assert len(prose(f"{A}\n\n{board}")[0]) == 2


def test_a_position_printed_again_stays_in_its_puzzle():
    assert prose(f"{A}\n\n1.Qb1! Kh2\n\nOnce more: {A}\n\n1.Qa3?") == ([["1.Qb1! Kh2", "Once more:", "1.Qa3?"]], [])


@pytest.mark.parametrize(
    "words", ["White to play and mate in two:", "#2", "No. 8 by a reader", "Selfmate in two", "Here it is:"]
)
def test_words_that_introduce_a_position_belong_to_it(words):
    text = f"{A}\n\n1.Qb1! Kh2\n\n{words}\n\n{B}\n\n1.Sf4!"
    assert prose(text) == ([["1.Qb1! Kh2"], [words, "1.Sf4!"]], [])


def test_other_words_belong_to_the_puzzle_before():
    text = f"{A}\n\n1.Qb1! Kh2\n\nA pretty mate.\n\n{B}\n\n1.Sf4!"
    assert prose(text) == ([["1.Qb1! Kh2", "A pretty mate."], ["1.Sf4!"]], [])


def test_puzzles_line_by_line_in_one_paragraph():
    text = f"Puzzle 5: mate in two. {A} Key: 1.Qb1! Kh2\nPuzzle 6: mate in one. {B} Key: 1.Sf4!"
    puzzles, _ = parted(text)
    assert [(title, words) for title, _, words, _ in puzzles] == [
        ("Puzzle 5", ["Puzzle 5: mate in two.", "Key: 1.Qb1! Kh2"]),
        ("Puzzle 6", ["Puzzle 6: mate in one.", "Key: 1.Sf4!"]),
    ]


@pytest.mark.parametrize("kind", KINDS)
def test_a_divider_parts_puzzles(kind):
    text = f"{A}\n\n1.Qb1! Kh2\n\n* * *\n\nA reader sent this.\n\n{B}\n\n1.Sf4!"
    assert prose(text, kind) == ([["1.Qb1! Kh2"], ["A reader sent this.", "1.Sf4!"]], [])


@pytest.mark.parametrize("part", ["Solution", "Tries", "Set play", "The key", "Variations", "Comments"])
def test_parts_of_a_puzzle_stay_inside_at_any_level(part):
    for signs in ("#", "##", "###"):
        puzzles, loose = parted(f"## The Mill\n{A}\n\n{signs} {part}\n1.Qb1!\n\n## The Tower\n{B}")
        assert puzzles[0] == ("The Mill", 1, ["1.Qb1!"], ["The Mill", part])
        assert loose == []


def test_a_position_under_a_heading_of_its_own_part():
    puzzles, _ = parted(f"## The Mill\n\nText\n\n### Position\n\n{A}\n\n### Solution\n\n1.Qb1!")
    assert puzzles == [("The Mill", 1, ["Text", "1.Qb1!"], ["The Mill", "Position", "Solution"])]


def test_deeper_headings_without_a_position_stay_inside():
    assert prose(f"## The Mill\n{A}\n### A near miss\n1.Qa1?") == ([["1.Qa1?"]], [])


def test_other_headings_without_a_position_end_the_puzzle():
    assert prose(f"## The Mill\n{A}\n\n1.Qb1!\n## Club news\nWe met. 1.Sf3") == ([["1.Qb1!"]], ["We met. 1.Sf3"])


def test_a_solution_under_a_heading_of_its_own_is_not_lost():
    assert prose(f"## The Mill\n{A}\n## How it works\n1.Qb1!") == ([["1.Qb1!"]], [])


SOLUTIONS = {
    "by number": ["## Solutions\n\nNo. 1: 1.Qb1! Kh2\n\nNo. 2: 1.Sf4! Kh2"],
    "by number in one paragraph": ["## Solutions\n\nNo. 1: 1.Qb1! Kh2 2.Qa1#. No. 2: 1.Sf4! Kh2"],
    "by number before the move number": [
        "## Solutions\n\n1. 1.Qb1! Kh2\n2. 1.Sf4! Kh2",
        "## Answers\n\n2) 1.Sf4!\n\n1) 1.Qb1!",
    ],
    "by number and key alone": ["## Solutions\n\n1. Qb1!\n2. Sf4!"],
    "in sentences": ["Solution to No. 1: 1.Qb1! Kh2\n\nSolution to Problem 2: 1.Sf4!"],
    "by headings": ["## Solution 1\n1.Qb1!\n## Solution 2\n1.Sf4!", "## Solutions\n### No. 1\n1.Qb1!\n### 2\n1.Sf4!"],
    "by title": [
        "## Solutions\n### The Mill\n1.Qb1!\n### The Tower\n1.Sf4!",
        "## Solution: The Mill\n1.Qb1!\n## Solution to The Tower\n1.Sf4!",
    ],
    "in another order": ["## Solutions\n\nNo. 2: 1.Sf4!\n\nNo. 1: 1.Qb1!"],
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("text", [text for texts in SOLUTIONS.values() for text in texts])
def test_solutions_at_the_end_go_to_their_puzzles(kind, text):
    (mill, tower), loose = prose(f"## 1. The Mill\n\n{A}\n\n## 2. The Tower\n\n{B}\n\n{text}", kind)
    assert [words[:5] for words in (*mill, *tower)] in (["1.Qb1", "1.Sf4"], ["Qb1!", "Sf4!"])
    assert loose == []


def test_puzzles_without_numbers_are_counted():
    assert prose(f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\n2: 1.Sf4!\n\n1: 1.Qb1!") == (
        [["1.Qb1!"], ["1.Sf4!"]],
        [],
    )


@pytest.mark.parametrize(
    "text",
    [
        "Solution to No. 170: 1.Qh8! Kg2",
        "Solution to last week's puzzle: 1.Qh8! Kg2",
        "## Last week's solution\n1.Qh8! Kg2",
        "## Solutions to previous puzzles\nNo. 170: 1.Qh8! Kg2",
    ],
)
def test_the_solution_of_another_issue_is_nobody_s(text):
    puzzles, loose = prose(f"## No. 171\n{A}\n\nMate in two.\n\n{text}")
    assert puzzles == [["Mate in two."]]
    assert "1.Qh8! Kg2" in " ".join(loose)


def test_a_part_of_solutions_that_nobody_can_deal_out_is_loose():
    assert prose(f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\nAll of them are easy.") == (
        [[], []],
        ["All of them are easy."],
    )


def test_the_number_of_a_move_is_not_the_number_of_a_puzzle():
    text = f"## No. 1\n{A}\n### Solution\n1.Qb1! Kh2\n\n2. Qa1 mate\n\n## No. 2\n{B}\n### Solution\n1.Sf4!"
    assert prose(text) == ([["1.Qb1! Kh2", "2. Qa1 mate"], ["1.Sf4!"]], [])


@pytest.mark.parametrize(
    "text",
    [
        "Solution 1: 1.Kh2 Qb1\n\nSolution 2: 1.Kg2 Qf3",  # a helpmate with two solutions
        "### Solution 1\n1.Kh2 Qb1\n### Solution 2\n1.Kg2 Qf3",
        "### Solution\n1. 1.Kh2 Qb1\n2. 1.Kg2 Qf3",
        "### Solutions\n\n1.Kh2 Qb1\n\n2.Kg2 Qf3",
    ],
)
def test_several_solutions_of_one_puzzle_stay_with_it(text):
    puzzles, loose = prose(f"## No. 1\n{A}\n{text}\n## No. 2\n{B}\n### Solution\n1.Sf4!")
    assert [words[-len("1.Kh2 Qb1") :][2:] for words in puzzles[0]] == ["Kh2 Qb1", "Kg2 Qf3"]
    assert puzzles[1:] == [["1.Sf4!"]]
    assert loose == []


def test_a_solution_at_the_end_for_all_puzzles():
    text = f"## No. 1\n{A}\n## No. 2\n{B}\n## Solution\n1. 1.Qb1! Kh2\n2. 1.Sf4!"
    assert prose(text) == ([["1.Qb1! Kh2"], ["1.Sf4!"]], [])


def test_several_solutions_of_the_only_puzzle():
    text = f"# The Mill\n{A}\n# Solution 1\n1.Kh2 Qb1\n# Solution 2\n1.Kg2 Qf3"
    assert prose(text) == ([["1.Kh2 Qb1", "1.Kg2 Qf3"]], [])


def test_a_heading_with_a_move_is_play():
    text = f"## The Mill\n{A}\n## Try: 1.Qa1?\nfails to 1...Kh2!\n### After 1...Kg1\n2.Qb6#"
    puzzles, loose = parted(text)
    assert puzzles == [("The Mill", 1, ["Try: 1.Qa1?", "fails to 1...Kh2!", "After 1...Kg1", "2.Qb6#"], ["The Mill"])]
    assert loose == []
    text = f"## No. 1\n{A}\n## No. 2\n{B}\n## Solution to No. 1: 1.Qb1!\nPretty.\n## No. 2: 1.Sf4!\nPrettier."
    assert prose(text) == ([["1.Qb1!", "Pretty."], ["1.Sf4!", "Prettier."]], [])


BROKEN = "8/8/8/8/8/8/9/K6k w - - 0 1"


def test_a_broken_position_is_compared_by_its_notation():
    assert prose(f"{BROKEN}\n\nWhite: Ka1, Qb1; Black: Kh1\n\n1.Qa2!") == ([["1.Qa2!"]], [])
    assert prose(f"{BROKEN}\n\n{A}\n\n1.Qa2!") == ([[], ["1.Qa2!"]], [])


def test_a_position_repeated_among_the_solutions_stays_in_its_puzzle():
    text = f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\n### The Mill\n{A}\n\n1.Qb1!\n### The Tower\n1.Sf4!"
    assert [(count, words) for _, count, words, _ in parted(text)[0]] == [(2, ["1.Qb1!"]), (1, ["1.Sf4!"])]
    text = f"## No. 7\n{A}\n## No. 8\n{B}\n## Solutions\n### No. 8\n{B}\n\n1.Qb1!"
    assert [(count, words) for _, count, words, _ in parted(text)[0]] == [(1, []), (2, ["1.Qb1!"])]
    text = f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\n{A}\n\n1.Qb1!\n\n{B}\n\n1.Sf4!"
    assert [(count, words) for _, count, words, _ in parted(text)[0]] == [(2, ["1.Qb1!"]), (2, ["1.Sf4!"])]


def test_the_same_position_under_another_title_is_another_puzzle():
    text = f"## The Mill\n{A}\n### Solution\n1.Qb1!\n## The Mill once more\n{A}\n### Solution\n1.Qc1!"
    assert [(title, words) for title, _, words, _ in parted(text)[0]] == [
        ("The Mill", ["1.Qb1!"]),
        ("The Mill once more", ["1.Qc1!"]),
    ]


def test_a_new_position_among_the_solutions_is_a_puzzle():
    text = f"## The Mill\n{A}\n## Solutions\n1.Qb1!\n\nWhite to play:\n\n{B}\n\n1.Sf4!"
    assert [(title, words) for title, _, words, _ in parted(text)[0]] == [
        ("The Mill", ["1.Qb1!"]),
        ("", ["White to play:", "1.Sf4!"]),
    ]


@pytest.mark.parametrize("text", ["Solution 1.Qb1! Kh2", "Key 1.Qb1! Kh2"])
def test_a_word_before_a_move_number_is_no_label(text):
    assert prose(f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\n### The Mill\n{text}")[0] == [[text], []]


def test_a_number_that_no_puzzle_has_is_no_label():
    text = f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions\nNo. 2: 1.Sf4! was found by all\n26. of our readers"
    assert prose(text)[0] == [[], ["1.Sf4! was found by all\n26. of our readers"]]


def test_counting_does_not_reach_into_another_issue():
    text = f"## The Mill\n{A}\n## The Tower\n{B}\n## Solutions to last week's puzzles\nNo. 1: 1.Qh8!"
    assert prose(text) == ([[], []], ["No. 1:", "1.Qh8!"])


def test_a_document_without_positions_is_loose():
    assert parted("# Club news\n\nWe met. 1.Sf3 was played.") == ([], ["We met. 1.Sf3 was played."])


def test_prose_is_one_span_a_block():
    text = f"## The Mill\n\nFirst `{A}` second\n\n- one\n- two\n\n| 1...Kd5 | 2.Qb6# |\n|--|--|\n| 1...Kc4 | 2.Qb3# |"
    assert prose(text)[0] == [["First", "second", "one", "two", "1...Kd5   2.Qb6#", "1...Kc4   2.Qb3#"]]


def test_many_puzzles_with_one_position():
    unit = f"## No. %d\n\n{C}\n\n### Solution\n\n1.Qb1! Kh2 2.Qa1#\n\n"
    puzzles, loose = parted("".join(unit % number for number in range(2000)))
    assert len(puzzles) == 2000
    assert all(words == ["1.Qb1! Kh2 2.Qa1#"] for _, _, words, _ in puzzles)
    assert loose == []


@pytest.mark.parametrize("kind", KINDS)
@given(text=scraps())
def test_everything_has_one_owner(kind, text):
    try:
        document = document_from_text("bulletin", text, kind)
    except Unreadable:
        return
    sections = puzzle_texts(document)
    count = owners(sections, len(text))
    assert all(sign.isspace() or seen == 1 for sign, seen in zip(document.masked, count, strict=True))
    assert max(count, default=0) <= 1
    for puzzle in sections.puzzles:
        assert puzzle.diagrams
        assert list(puzzle.prose) == sorted(puzzle.prose)
        assert all(span.of(document.masked).strip() == span.of(document.masked) != "" for span in puzzle.prose)
