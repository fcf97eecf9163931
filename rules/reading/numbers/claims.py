"""How many moves mate or refute, as a text says it: each such claim with its place."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, ClaimKind

from ..reading import Mention, PlacedClaim, Reading, State
from .beside import Beside
from .forms import Count, Form, counted, ends_with_a_move, said_beside, said_of_the_last, together
from .words import Row, calls, number_of, row, start_of


def say_numbers(text: str, sentences: Iterable[Sequence[Lexeme]], reading: Reading) -> None:
    """Add to a reading what its text says of how many moves mate or refute, where the place of the words is known.

    What calls a refutation the only one speaks of what refutes, not of what is legal; "the only move" may mean either.
    """
    told = sorted((each for each in reading.mentions if each.state is State.read and each.after), key=start_of)
    if not told:
        return
    legal = {each.claim.span: each for each in reading.claims if each.claim.kind == "only_move"}
    for placed in _Numbers(text, reading, told).claims(sentences):
        same = next((span for span, each in legal.items() if span.overlaps(placed.claim.span)), None)
        if same is not None and placed.claim.kind == "replies":
            continue
        if same is not None and placed.claim.kind == "refutations":
            reading.claims.remove(legal.pop(same))
        reading.claims.append(placed)


class _Numbers:
    def __init__(self, text: str, reading: Reading, told: Sequence[Mention]) -> None:
        self._text, self._reading, self._told = text, reading, told
        self._beside = Beside(told, reading.diagram.board.turn)

    def claims(self, sentences: Iterable[Sequence[Lexeme]]) -> Iterator[PlacedClaim]:
        """Yield the claims of all sentences, none overlapping another."""
        before: Sequence[Lexeme] = ()
        for words in sentences:
            if any(map(calls, words)):
                told_last = ends_with_a_move(row(self._text, before, self._told).letters)
                yield from self._apart(row(self._text, words, self._told), told_last=told_last)
            before = words

    def _apart(self, given: Row, *, told_last: bool) -> Iterator[PlacedClaim]:
        done: set[int] = set()
        of_moves: set[Span] = set()  # "it has to be 2.Qb7, nothing else mates" says one thing twice
        for placed, words in self._of_sentence(given, told_last=told_last):
            told = None if placed.mention is None else placed.mention.phrase.span
            if not done & set(words) and told not in of_moves:
                done |= set(words)
                of_moves |= {told} if told is not None else set()
                yield placed

    def _of_sentence(self, given: Row, *, told_last: bool) -> Iterator[tuple[PlacedClaim, range]]:
        if told_last and (form := said_of_the_last(given.letters)) is not None:
            here = bisect_left(self._told, given.words[0].span.start, key=start_of)
            placed = self._placed(given, form, self._told[here - 1], 1) if here else None
            if placed is not None:
                yield placed, range(form.first, form.last + 1)
        for form in self._in_order(given):
            placed = self._of_move(given, form)
            if placed is not None:
                yield placed, range(form.first, form.last + 1)
        for count in counted(given.letters):
            nodes = self._beside.positions(given, count)
            if nodes:
                number = 1 if count.number is None else number_of(given.words[given.places[count.number]])
                placed = PlacedClaim(self._claim("mates", given, count, number), tuple(nodes))
                yield placed, range(count.first, count.last + 1)

    @staticmethod
    def _in_order(given: Row) -> list[Form]:
        """Return all forms of a sentence, those that lead to an answer to the move before them first."""
        forms = list(said_beside(given.letters))
        before = {form.first: given.moves[form.move] for form in forms if not form.ahead}

        def leads(form: Form) -> bool:
            told = before.get(form.first)
            return form.ahead and told is not None and set(given.moves[form.move].at) <= set(told.after)

        return sorted(forms, key=leads, reverse=True)

    def _of_move(self, given: Row, form: Form) -> PlacedClaim | None:
        mention = given.moves[form.move]
        if form.many is not None:
            return self._placed(given, form, mention, number_of(given.words[given.places[form.many]]))
        listed = [given.moves[at] for at in together(given.letters, form.move, ahead=form.ahead)]
        ends = {node for each in listed if each.at == mention.at for node in each.after}
        return self._placed(given, form, mention, len(ends) if form.sole else 1)

    def _placed(self, given: Row, form: Form, mention: Mention, number: int) -> PlacedClaim | None:
        """Return the claim of some words beside a move, if it is an answer or one reply to a first move."""
        noun = set(given.letters[form.first : form.last + 1])
        if self._beside.answers(mention):
            if "r" in noun or form.saves or not form.sole:
                return None
            nodes = self._beside.narrowed(mention.at, given.first(form.first))
            return PlacedClaim(self._claim("mates", given, form, None), tuple(nodes), mention)
        if {"m", "n"} & noun or self._may_mean_more(given, form) or not self._replies(mention):
            return None
        plain = form.does or self._refutes(given, form) or self._fails_to(given, form)
        kind: ClaimKind = "refutations" if plain else "replies"
        return PlacedClaim(self._claim(kind, given, form, number), (mention.at[0],), mention)

    @staticmethod
    def _refutes(given: Row, form: Form) -> bool:
        """Tell whether words count what refutes, not what is legal: "flaw", not "way out"."""
        words = (given.words[given.places[at]] for at in range(form.first, form.last + 1))
        return any("refutation" in each.categories and each.sense("unit") != "flight" for each in words)

    @staticmethod
    def _may_mean_more(given: Row, form: Form) -> bool:
        """Tell whether "only" may mean "but" ("Only the king steps to h3"), or "nothing else" that nothing mates."""
        begins = given.words[given.places[form.first]].text[:1].isupper()
        if form.ahead and given.letters[form.first : form.last + 1] == "O":
            return form.bare or (begins and not form.does)
        if form.does or given.letters[form.first] != "X" or set("ra") & set(given.letters[form.first : form.last + 1]):
            return False
        return bool(set("phbvm") & set(given.letters[form.move + 1 : form.first]))

    @staticmethod
    def _fails_to(given: Row, form: Form) -> bool:
        """Tell whether a first move is said to fail to what is counted: "fails to ...h5 alone"."""
        end = form.first if form.ahead else max(form.move, 0)
        before = given.letters[:end]
        return "V" in before[before.rfind("M") + 1 :]

    def _replies(self, mention: Mention) -> bool:
        one = len(mention.after) == 1 and not mention.asked
        first = one and len(mention.at) == 1 and mention.at[0].ply == 1 and bool(mention.at[0].move)
        return first and not self._reading.is_open(start_of(mention))

    def _claim(self, kind: ClaimKind, given: Row, told: Form | Count, number: int | None) -> Claim:
        first, last = given.places[told.first], given.places[told.last]
        span = given.words[first].span.to(given.words[last].span)
        return Claim(kind, span, span.of(self._text), number)
