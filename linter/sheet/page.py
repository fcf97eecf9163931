"""The whole page: one file in HTML, complete in itself, for the screen, for paper and for a screen reader."""

import base64
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from importlib.metadata import version
from importlib.resources import files
from itertools import count

import chess
from keyproof.grammar.document import PuzzleText
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.finding import Finding
from keyproof.rules.proof import prover
from keyproof.rules.proof.proof import Proof

from ..options import Options
from ..pipeline import sections_of
from ..reports.position import count as men_count
from ..reports.proof import asked
from ..reports.terminal import escape
from ..reports.text import counts, repair, summary
from ..results import FileResult, PuzzleResult
from ..sources import document_from_text, kind_of
from ..tally import Tally
from .boards import Boards
from .markup import Markup, tag
from .text import marked
from .tree import ProofTree

FEW_PATHS = 3  # files that the title of the page names

_VERDICTS = {
    "sound": "Proved sound",
    "unsound": "Proved unsound",
    "unproved": "Not proved within the effort",
    "no-claim": "Nothing to prove",
}


def page(results: Sequence[FileResult], options: Options) -> str:
    """Return the proof sheet of some files. `options` are those they were checked with."""
    sheet = _Sheet(options)
    sections = [sheet.file(result) for result in results]
    tally = Tally()
    for result in results:
        tally.add(result)
    style, script = _resource("page.css"), _resource("player.js")
    policy = f"default-src 'none'; style-src '{_digest(style)}'; script-src '{_digest(script)}'"
    paths = ", ".join(escape(result.path) for result in results)
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=policy),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("title", f"Proof sheet: {paths}" if len(results) <= FEW_PATHS else "Proof sheet"),
        tag("style", Markup(style)),
    )
    body = tag(
        "body",
        Boards.definitions(),
        tag("header", tag("h1", "Proof sheet"), tag("p", summary(tally).text, class_="summary"), sheet.contents()),
        tag("main", sections),
        tag("footer", tag("p", f"keyproof {version('keyproof')}")),
        tag("script", Markup(script)),
    )
    return f"<!DOCTYPE html>\n{tag('html', head, body, lang='en')}\n"


def _resource(name: str) -> str:
    return files(__package__).joinpath(name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    """Return the source expression that admits this inline text and no other (Content Security Policy Level 3)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


class _Sheet:
    def __init__(self, options: Options) -> None:
        self.options = options
        self.boards = Boards()
        self._numbers = count(1)
        self._entries: list[Markup] = []

    def contents(self) -> Markup | None:
        """Return the list of puzzles with their verdicts and the number of findings."""
        if len(self._entries) < 2:
            return None
        return tag("nav", tag("ol", self._entries), aria_label="Puzzles")

    def file(self, result: FileResult) -> Markup:
        """Return the section of one file."""
        heading = tag("h2", escape(result.path), class_="path")
        if result.error is not None:
            return tag("section", heading, tag("p", f"Not checked: {escape(result.error)}", class_="failed"))
        kind = self.options.reading_as or kind_of(result.path) or "text"
        document = result.manuscript or document_from_text(result.path, result.text, kind)
        texts = sections_of(document, self.options)[0].puzzles
        loose = [placed.finding for placed in result.findings if placed.puzzle is None]
        parts = []
        for index, (puzzle, text) in enumerate(zip(result.puzzles, texts, strict=True)):
            own = [placed.finding for placed in result.findings if placed.puzzle == index]
            parts.append(self._puzzle(result, puzzle, text, own))
        if not parts:
            parts.append(tag("p", "No puzzle was found in this file."))
        notes = self._notes(result, None, [(next(self._numbers), finding) for finding in loose])
        return tag("section", heading, notes, parts)

    def _puzzle(self, result: FileResult, puzzle: PuzzleResult, text: PuzzleText, own: Sequence[Finding]) -> Markup:
        numbered = [(next(self._numbers), finding) for finding in own]
        place = f"puzzle{len(self._entries) + 1}"
        title = puzzle.title or "A puzzle without a title"
        found = f"{len(own)} finding{'' if len(own) == 1 else 's'}"
        self._entries.append(tag("li", tag("a", title, href=f"#{place}"), f": {_VERDICTS[puzzle.verdict]}, {found}"))
        board = chess.Board(puzzle.fen) if puzzle.fen is not None else None
        stipulation = Stipulation.parse(puzzle.stipulation) if puzzle.stipulation else None
        proof = self._proof(board, stipulation)
        return tag(
            "article",
            tag("h3", title, id=f"{place}-title"),
            self._diagram(board, stipulation, title),
            tag(
                "div",
                [marked(result.text, part, numbered) for part in text.stretches],
                tag("p", self._checked(puzzle), class_="checked"),
                ProofTree(proof).markup() if proof is not None else None,
                class_="main",
            ),
            self._notes(result, puzzle, numbered),
            id=place,
            aria_labelledby=f"{place}-title",
        )

    def _proof(self, board: chess.Board | None, stipulation: Stipulation | None) -> Proof | None:
        if board is None or stipulation is None:
            return None
        return prover.prove(board, stipulation, effort=self.options.effort)

    def _diagram(self, board: chess.Board | None, stipulation: Stipulation | None, title: str) -> Markup:
        if board is None:
            return tag("p", "No position that can be played from was found.", class_="diagram")
        caption = asked(stipulation, board.turn) if stipulation is not None else "Nothing is asked"
        return tag(
            "figure",
            self.boards.board(board, f"Diagram of {title}"),
            tag("figcaption", f"{caption} {men_count(board)}"),
            class_="diagram",
        )

    @staticmethod
    def _checked(puzzle: PuzzleResult) -> str:
        verdict = _VERDICTS[puzzle.verdict]
        if not puzzle.move_mentions:
            return f"{verdict}. No move is mentioned."
        checked = f"{verdict}. Checked {puzzle.checked} of {puzzle.move_mentions} move mentions."
        account = puzzle.account
        return checked if account.placed == account.total else f"{checked} {counts(account)}."

    def _notes(
        self, result: FileResult, puzzle: PuzzleResult | None, numbered: Sequence[tuple[int, Finding]]
    ) -> Markup | None:
        if not numbered:
            return None
        return tag("ol", self._each_note(result, puzzle, numbered), class_="notes", aria_label="Findings")

    def _each_note(
        self, result: FileResult, puzzle: PuzzleResult | None, numbered: Iterable[tuple[int, Finding]]
    ) -> Iterator[Markup]:
        for number, finding in numbered:
            yield tag(
                "li",
                tag(
                    "p",
                    tag("a", str(number), href=f"#place{number}", class_="number", aria_label=f"{number}, in the text"),
                    " ",
                    tag("strong", finding.level.name, class_="level"),
                    f": {finding.message} ",
                    tag("span", f"[{finding.rule}]", class_="rule"),
                ),
                tag("p", f"Repair: {repair(result.text, finding.repair)}", class_="repair") if finding.repair else None,
                self.boards.evidence(finding.evidence, puzzle) if finding.evidence is not None else None,
                id=f"note{number}",
                class_=finding.level.name,
            )
