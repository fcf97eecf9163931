"""Ways of calling a mate or a refutation the only one: each is reported where it is false, and silent where it is true.

In `TWO` 1.Kb6 leaves the king c8, where the queen mates on e8 and on c7; in `ONE` after 1.Kg2 Kh4 the rook mates on e4
and nothing else does, 1.Rg5+ fails to ...Kh3 and to ...Kh4, 1.Rxh5 to ...Kxh5 alone.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TWO = "FEN: 1k6/4Q3/8/K7/8/8/8/8 w - - 0 1\n{asked}\n\n{key}\n"
TWO_ENDS = "\n1...{k}a8 2.{q}a7/{q}b7/{q}d8/{q}e8/{q}f8#\n"
ONE = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\n{asked}\n\n{key}\n"
ONE_ENDS = "\n1...h4 2.{rook}g5#\n"
TRIED = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"
TRIED_ENDS = "\nThe key is 1.Kg2. If the king goes to h4, 2.Re4# and if the pawn goes to h4, 2.Rg5#.\n"


def rules(text: str) -> list[str]:
    """Return the rules of all that is reported of a text, but for notes."""
    found = check_text("solution.txt", text, Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name != "note"]


def errors(text: str) -> list[str]:
    """Return the rules of the errors in a text."""
    found = check_text("solution.txt", text, Options()).findings
    return [each.finding.rule for each in found if each.finding.level.name == "error"]


MATES = """
{r} {a}# only
{r} {a}# (only)
{r} {a}#, the only mate
{r} {a}#, the sole mate
{r} {a}#; the sole mate here
{r} {a}# [the one mate left]
{r} {a}#, unique.
{r} {a}# uniquely.
{r} {a}# and no other
{r} {a}# and not another.
{r} {a}# and nothing else
{r} {a}# (nothing else)
{r} {a}#; nothing else will do.
{r} {a}#. Nothing else mates.
{r} {a}#. Nothing but that does it.
{r} {a}#. No other.
{r} {a}#. No other move mates there.
{r} {a}#, no other mate serving.
{r} leaves nothing but {a}#.
{r} covers one square and leaves nothing except {a}#.
{r}: White has nothing but {a}#.
{r}: there is no mate but {a}#.
{r}, and there is just {a}# left.
{r} {a}#. There is no other mate.
{r} {a}# and there is no second mate.
{r} {a}# and no more.
{r} {a}# and only that.
{r} {a}#, only so.
{r} {a}# and that alone.
{r} {a}# alone
{r} {a}# and that is the only one.
{r} {a}# is the only mate.
{r} {a}# is the one and only mate.
{r} {a}#, which is the only move that mates.
{r}: {a}# is forced, nothing else mates.
{r} and nothing but {a} mates.
{r} and only {a} mates.
{r} leaves only {a}#.
{r} allows a single mate, {a}#
{r} and just one mate, {a}#
{r} leaves White exactly one mate: {a}#
{r} has one answer and one only, {a}#
{r}, where the only answer is {a}#.
{r} leaves nothing but {a}#.
{r} leaves just {a}#.
{r}, and there's just {a}# left.
{r}: the only mate now is {a}#.
{r}: there is but one mate, {a}#.
{r} leaves one mate, {a}#.
{r} {a}# (no choice).
{r} gives White no choice: {a}#.
{r} {a}#, without alternative.
{r}, and {a}# is all there is.
"""

MATES_TOLD = """
If {king}, {m} mates, and nothing else.
If {king}, {m} mates, there's no other way.
If {king}, {m} is mate and no other move is.
If {king}, {m}, mate. Nothing else does it.
If {king}, {m}, mate, and only that.
If {king}, it's {m}, just that.
If {king}, {m} alone mates.
If {king}, {m}, mate, sole mate.
If {king}, {m} is mate, the only one.
If {king}, {m}, mate. And that's the only one.
If {king}, {m}, mate. That's the only mate there.
If {king}, {m} mate, that's the one and only.
If {king}, only {m} mates.
If {king}, nothing but {m} mates.
If {king}, {m} and nothing but {m}.
If {king}, only one move mates, {m}.
If {king}, only one thing works: {m}.
If {king}, the only thing that mates is {m}.
If {king}, you have just one mate, {m}.
If {king} there's one mate and one only, {m}.
If {king} there's just {m} left.
If {king}, there is only one mate for us, {m}.
If {king}, there's nothing but {m}.
If {king}, you only have {m}.
If {king}, we've only got {m}.
If {king}, {m} is the only mate on the board.
If {king}, it has to be {m}, nothing else mates.
If {king}, it has to be {m}.
If {king} it must be {m}, mate.
If {king} there is but one mate, {m}.
If {king}, {m} is all there is.
"""

REFUTATIONS = """
{f}? {r}! (only)
{f}? {r}! and only that
{f}? {r}! and nothing else.
{f}? {r}. Nothing else refutes it.
{f}? {r}! No other defence holds.
{f}? {r}. That's the only move that beats it.
{f}? {r}! is the one move that saves Black.
{f}? {r} is the sole refutation.
{f}? {r}!, the only refutation.
{f}? {r}!, a unique refutation.
{f}? {r} is his only rescue.
{f}? fails to {r} only.
{f}? fails to {r} alone.
{f}? fails to {r}, and to that alone.
{f}? is defeated by {r} alone.
{f}? is refuted by {r} and by nothing else.
{f}? is beaten by {r}, and there is no other refutation.
{f}? founders on {r}!, and on nothing else.
{f}? breaks down upon one defence only, {r}.
{f}? has one refutation only, {r}.
{f}? has a single refutation, {r}!
{f}? has exactly one hole, {r}.
{f}? There is one answer, and one only, {r}.
{f}? Only one thing spoils it, {r}.
{f}? Only {r} refutes it.
{f}? Nothing but {r} refutes it.
A good try is {first}, but {reply} is the only cure.
A good try is {first}, but {reply} refutes it, and that alone.
A good try is {first}, but {reply} saves him, and nothing else does.
A good try is {first}, but he goes {reply} and nothing else helps.
A good try is {first}, but {reply}. It's the one move that does it.
A good try is {first}, but there's {reply}, his only way out.
A good try is {first}, but it fails to {reply}, and to nothing else.
A good try is {first}, and only one thing spoils it, {reply}.
A good try is {first}. It has just one flaw, {reply}.
A good try is {first}. Nothing but {reply} stops it.
{f}? There is one move that saves him: {r}.
{f}? There's one thing that stops it, {r}.
{f}? {r}. One move kills it.
{f}? {r}, and it's the only move that beats {f}.
{f}? The one thing that stops it is {r}.
{f}? {r} is the one thing that stops it.
{f}? fails only by {r}.
{f}? fails only to {r}.
{f}? is met only by {r}.
A good try is {first}; there is one move and that's {reply}.
A good try is {first}. One move spoils it: {reply}.
A good try is {first}, {reply} is the move that spoils it, and it's the one thing that does.
A good try is {first}, but {reply} and you have nothing. That's the sole defence, though.
A good try is {first}, it looks great, but there is one answer, {reply}.
A good try is {first}, the sole spoiler is {reply}.
"""


def ways(lines: str) -> list[str]:
    """Return the lines of a list."""
    return lines.strip().splitlines()


@pytest.mark.parametrize("words", ways(MATES) + ways(MATES_TOLD))
def test_of_a_mate(words: str) -> None:
    """Where there is a second mate it is reported, and where there is none nothing is."""
    told, english = "{king}" in words, {"k": "K", "q": "Q", "rook": "R", "asked": "Mate in two."}
    two = (TWO + words + TWO_ENDS).format(
        key="The key is king to b6." if told else "1.Kb6!",
        r="1...Kc8",
        a="2.Qe8",
        king="the king goes to c8",
        m="queen to e8",
        **english,
    )
    one = (ONE + words + ONE_ENDS).format(
        key="The key is king to g2." if told else "1.Kg2!",
        r="1...Kh4",
        a="2.Re4",
        king="the king goes to h4",
        m="rook to e4",
        **english,
    )
    assert rules(two) == ["wrong-number-of-mates"]
    assert rules(one) == []


@pytest.mark.parametrize("words", ways(REFUTATIONS))
def test_of_a_refutation(words: str) -> None:
    """Where another reply refutes it is an error, and where none does nothing is."""
    two = words.format(f="1.Rg5+", r="1...Kh3", first="rook to g5 check", reply="king to h3")
    one = words.format(f="1.Rxh5", r="1...Kxh5", first="rook takes h5", reply="king takes h5")
    assert errors(TRIED + two + TRIED_ENDS) == ["further-refutation"]
    assert rules(TRIED + one + TRIED_ENDS) == []


LANGUAGES = {
    "Matt in zwei Zügen.": (
        "KDT",
        "{r} {a} matt (einziges Matt)./{r} {a} matt, das einzige Matt./{r} und nur {a} matt./{r} {a} matt (nur so)."
        "/{r} {a} matt und kein anderes Matt./{r} {a} matt und sonst nichts./{r} {a} matt, und nur das."
        "/{r} und nichts als {a} matt./{r} {a} matt allein.",
    ),
    "Mat en deux coups.": (
        "RDT",
        "{r} {a} mat et rien d'autre./{r} {a} mat, le seul mat./{r} {a} mat, mat unique./{r} et seul {a} mat."
        "/{r} {a} mat et aucun autre mat./{r} {a} mat seulement.",
    ),
    "Mate en dos.": (
        "RDT",
        "{r} {a} mate y nada más./{r} {a} mate, el único mate./{r} y sólo {a} mate./{r} {a} mate y ningún otro mate."
        "/{r} y únicamente {a} mate.",
    ),
    "Matto in due mosse.": (
        "RDT",
        "{r} {a} matto e nient'altro./{r} {a} matto, l'unico matto./{r} e solo {a} matto."
        "/{r} {a} matto e nessun altro matto.",
    ),
    "Mat in twee zetten.": (
        "KDT",
        "{r} {a} mat en niets anders./{r} {a} mat, het enige mat./{r} en alleen {a} mat."
        "/{r} {a} mat en geen ander mat.",
    ),
}
IN_LANGUAGES = [(asked, men, words) for asked, (men, told) in LANGUAGES.items() for words in told.split("/")]


@pytest.mark.parametrize(("asked", "men", "words"), IN_LANGUAGES)
def test_in_other_languages(asked: str, men: str, words: str) -> None:
    """The same in five languages."""
    king, queen, rook = men
    letters = {"k": king, "q": queen, "rook": rook, "asked": asked}
    two = (TWO + words + TWO_ENDS).format(key=f"1.{king}b6!", r=f"1...{king}c8", a=f"2.{queen}e8", **letters)
    one = (ONE + words + ONE_ENDS).format(key=f"1.{king}g2!", r=f"1...{king}h4", a=f"2.{rook}e4", **letters)
    assert rules(two) == ["wrong-number-of-mates"]
    assert rules(one) == []


@pytest.mark.parametrize(
    "words",
    [
        "1...Kc8 2.Qe8#, not the only mate.",
        "1...Kc8 2.Qe8# is perhaps the only mate.",
        "1...Kc8 2.Qe8#, the only nice bit.",
        "1...Kc8 2.Qe8#, the only mate with the king shut in.",
        "1...Kc8 2.Qe8#, and there is no other reason to look.",
        "1...Kc8 2.Qe8#. Only the other mate is prettier.",
        "If the king goes to c8, the queen takes the only way to e8, mate.",
        "1...Kc8 2.Qe8#, one of the only two.",
    ],
)
def test_what_is_no_such_claim(words: str) -> None:
    """Of what is denied, doubted, or said of something else nothing is false."""
    text = (TWO + words + TWO_ENDS).format(key="1.Kb6!", asked="Mate in two.", k="K", q="Q")
    assert "wrong-number-of-mates" not in rules(text)


@pytest.mark.parametrize(
    "words",
    [
        "1.Rg5+? Kh3! and White has nothing else.",
        "1.Rg5+? Only the king steps to h3.",
        "1.Rg5+? Kh3 is not the only answer.",
        "1.Rg5+? Kh3 and I see nothing further.",
        "1.Rg5+? Kh3 is one move that spoils it, Kh4 another.",
        "1.Rg5+? Then just Kh3.",
    ],
)
def test_what_is_no_claim_of_a_refutation(words: str) -> None:
    """That White has nothing else, or "only" for "but", numbers no refutations."""
    assert "further-refutation" not in errors(TRIED + words + TRIED_ENDS)


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("Mate en dos.", "1.Tg5+? falla únicamente por {r}."),
        ("Matt in zwei Zügen.", "1.Tg5+? Es gibt eine Parade, {r}."),
        ("Mat en deux coups.", "1.Tg5+? Il y a une seule défense, {r}."),
        ("Matto in due mosse.", "1.Tg5+? fallisce soltanto per {r}."),
        ("Mat in twee zetten.", "1.Tg5+? faalt alleen op {r}."),
    ],
)
def test_of_a_refutation_in_other_languages(language: str, words: str) -> None:
    """What fails only to one reply fails to no other."""
    king = "K" if language.startswith(("Matt ", "Mat in")) else "R"
    end = f"\n\n1.{king}g2! {king}h4 2.Te4#, 1...h4 2.Tg5#\n"
    text = TRIED.replace("Mate in two.", language) + words.format(r=f"1...{king}h3") + end
    assert errors(text) == ["further-refutation"]


def test_a_mate_that_is_turned_down() -> None:
    """Who says not to accept a second mate has not told it as one."""
    words = "1...Kc8 leaves a single mate, 2.Qe8#; do not accept 2.Qc7."
    assert rules((TWO + words + TWO_ENDS).format(key="1.Kb6!", asked="Mate in two.", k="K", q="Q")) == [
        "wrong-number-of-mates"
    ]
