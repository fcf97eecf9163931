"""What a caption promises besides the aim: twins, the number of solutions, set play, a genre that is known."""

from collections.abc import Iterator

from keyproof.grammar.clauses import clauses
from keyproof.grammar.spans import Span

from ..case.case import Case
from ..case.column import column_of
from ..finding import Fault, Level
from .register import rule


@rule("impossible-twin", Level.error)
def impossible_twin(case: Case) -> Iterator[Fault]:
    """A twin cannot be set up: the man to be moved or removed is not there, or the square is taken.

    The change is made in the diagram, or in the twin it names ("d) as c), and remove h7").
    Nothing of such a twin is examined.

    Source: common practice, no source: a twin is the diagram with the change that is printed.

    Bad:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. b) Rook g4 to f4
        a) 1.Kc1 Rh1#
        b) 1.Kc1 Rf1#

    Good:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. b) Rook h4 to f4
        a) 1.Kc1 Rh1#
        b) 1.Kc1 Rf1#
    """
    for fault in case.puzzle.twin_faults:
        yield Fault(fault.span, fault.message)


@rule("twin-without-solution", Level.warning)
def twin_without_solution(case: Case) -> Iterator[Fault]:
    """The text prints the solution of one twin and leaves out that of another.

    Source: common practice, no source.

    Bad:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. b) Rook h4 to f4
        a) 1.Kc1 Rh1#

    Good:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. b) Rook h4 to f4
    """
    span = case.puzzle.label_span
    if span is None or case.reading is None or case.reading.mentions:
        return
    if any(other.reading is not None and other.reading.mentions for other in column_of(case).twins(case)):
        yield Fault(span, f"the solution of {case.puzzle.label}) is not printed")


@rule("wrong-number-of-solutions", Level.error)
def wrong_number_of_solutions(case: Case) -> Iterator[Fault]:
    """The caption states a number of solutions, and there are more or fewer.

    "2.1.1.1" counts the moves that solve at each step: two first moves, then one each, so two
    solutions. Where solutions are printed and others are not, `second-solution` shows one of
    the others instead.

    Source: WFCC Codex, Art. 8: several solutions must be stated.

    Bad:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. 2 solutions.
        1.Kc1 Rh1#

    Good:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1. 1 solution.
        1.Kc1 Rh1#
    """
    proof, stated = case.proof, case.stated_solutions
    if proof is None or stated is None or case.stipulation is None or not proof.searched.complete:
        return
    number, span = stated
    if case.stipulation.help_play:
        solutions = proof.solutions
        printed = case.printed_solutions
        if any(line in printed for line in solutions) and any(line not in printed for line in solutions):
            return
        found, what = len(solutions), "solution"
    else:
        found, what = len(proof.keys), "key"
    if not case.stipulation.help_play and _behind_the_key(case, span):
        return  # "your problem, we regret, has two solutions"
    if found != number and _claims(case, span):
        is_are = f"is {found or 'no'} {what}" if found < 2 and found else f"are {found or 'no'} {what}s"
        yield Fault(span, f"{number} {'is' if number == 1 else 'are'} stated, and there {is_are} of {case.stipulation}")


def _behind_the_key(case: Case, span: Span) -> bool:
    """Tell whether a number stands where the solution has been told: nobody counts there what he then leaves out."""
    return case.reading is not None and any(each.phrase.span.end <= span.start for each in case.reading.mentions)


def _claims(case: Case, span: Span) -> bool:
    """Tell whether the author himself states a number: not in "uncle says one solution only"."""
    start, end = case.masked.rfind("\n", 0, span.start) + 1, case.masked.find("\n", span.end)
    line = Span(start, end if end >= 0 else len(case.masked))
    return all(each.asserts for each in clauses(case.masked, [line], *case.told_in) if each.span.overlaps(span))


@rule("no-set-play", Level.error)
def no_set_play(case: Case) -> Iterator[Fault]:
    """An asterisk after the stipulation promises set play, and there is none.

    In help play: no line that begins with the other side's move. In direct play: no move of
    Black's for which an answer is provided in the diagram.

    Source: common practice, no source.

    Bad:
        White: Kc3, Rh4; Black: Kb1
        h#1*
        1.Kc1 Rh1#

    Good:
        White: Kd7, Rf7; Black: Kb8, Pd6
        h#2*
        Set play: 1...Kc6 2.Kc8 Rf8#
        1.d5 Kc6 2.Kc8 Rf8#
    """
    proof = case.proof
    if proof is None or case.stipulation is None or not case.promises_set_play or not proof.searched.complete:
        return
    if case.stipulation.help_play:
        there = bool(proof.set_solutions)
    else:
        there = any(defence.answers or defence.ends for defence in proof.set_play or ())
    if not there:
        claim = case.stipulation_claim
        assert claim is not None
        yield Fault(claim.span, f"the asterisk promises set play, and there is none: {_set_play(case)}")


def _set_play(case: Case) -> str:
    assert case.stipulation is not None
    if case.stipulation.help_play:
        return "no line solves when the other side begins"
    return "no move of the other side has its answer in the diagram"


@rule("unknown-stipulation", Level.warning)
def unknown_stipulation(case: Case) -> Iterator[Fault]:
    """The text asks for a kind of problem that is not known here, so no key or solution is judged.

    Known are mate, stalemate, selfmate, reflexmate, helpmate and help-stalemate, each in a number
    of moves. The printed moves are replayed all the same.

    Bad:
        White: Kc3, Rh4; Black: Kb1
        Series-helpmate in 2.

    Good:
        White: Kc3, Rh4; Black: Kb1
        Helpmate in 1.
        1.Kc1 Rh1#
    """
    span = case.other_genre
    if span is not None and case.diagram is not None:
        yield Fault(span, f"nothing is proved here: {span.of(case.text)!r} is not among the known kinds of problem")
