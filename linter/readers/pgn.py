"""PGN (Portable Game Notation, 1994): each game with a FEN tag is a puzzle.

The main line is the solution, a variation in parentheses replaces the move just before it
(8.2.5), numeric glyphs $1 to $6 are the signs ! to ?! (8.2.4), comments are the author's
words. Where a move stands, and not its printed number, says which half-move it is.
A game from the usual array is no puzzle and is passed over.
"""

import re
from collections.abc import Iterator

import chess
from keyproof.grammar.document import Diagram, PuzzleText
from keyproof.grammar.fens import find_fens
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Marker, NotUnderstood, Statement, Turn
from msgspec import Struct, field
from msgspec.structs import replace

from .further import Further, further, joins, spread
from .play import first_ply, language, moved, movetext, numbered, remark, unusable

_TAG = re.compile(r'(?<![^\r\n])\[\s*(?P<name>\w+)\s*"(?P<value>(?:[^"\\\r\n]|\\[^\r\n])*)"\s*\]')
_TOKEN = re.compile(
    r"(?P<escape>^%[^\r\n]*)"
    r"|\{(?P<comment>[^}]*)\}?"
    r"|;(?P<rest>[^\r\n]*)"
    r"|\$(?P<glyph>\d{1,3})"
    r"|(?P<open>\()|(?P<close>\))"
    r"|(?P<end>(?<![\w/.-])(?:1-0|0-1|1/2-1/2|½-½)(?![\w/.-])|\*)"
    r"|(?P<pass>(?:\d+\s?\.+\s*)?(?<![\w-])(?:--|Z0)(?![\w-]))",
    re.M,
)
_TAG_BELOW = re.compile(r"[ \t]*(?:\r\n|\r|\n)[ \t]*\[\s*\w+\s*\"")
_COMMAND = re.compile(r"\[%[^\]]*\]")  # "[%clk 0:01:00]": for programs, common practice, no source
_GLYPHS = {"1": "!", "2": "?", "3": "!!", "4": "??", "5": "!?", "6": "?!"}  # section 10
_NOT_PROSE = re.compile(r"FEN|SetUp|Result|.*Date|.*Time|.*Elo|.*Type|ECO|NIC|PlyCount|Round|Mode|TimeControl|Variant")
_NAMES = ("Event", "Site", "White")  # the first that says something is the title
_LOST = 0  # the number of a half-move whose place is not known: one after a pass deep in a line


class _Tag(Struct):
    span: Span
    value: Span


class _Game(Struct):
    tags: dict[str, _Tag] = field(default_factory=dict)
    play: list[re.Match[str] | Span] = field(default_factory=list)
    end: int = 0


def read(text: str) -> tuple[str, list[PuzzleText]]:
    """Return the masked text and the puzzles of a PGN file. Never raises for any text."""
    return _Reader(text).read()


class _Reader:
    def __init__(self, text: str) -> None:
        self.text = text
        self.shown = list(re.sub(r"[^\r\n]", " ", text))

    def read(self) -> tuple[str, list[PuzzleText]]:
        games = [game for game in self._games() if "FEN" in game.tags or self._set_up_alone(game)]
        for game in games:
            self._show(game)
        masked = "".join(self.shown)
        return masked, [_Play(self.text, masked, game).puzzle() for game in games]

    def _set_up_alone(self, game: _Game) -> bool:
        return "SetUp" in game.tags and game.tags["SetUp"].value.of(self.text) == "1"

    # -- the file in games

    def _games(self) -> Iterator[_Game]:
        game, over = _Game(), False
        place = 0
        while place < len(self.text):
            if tag := _TAG.match(self.text, place):
                if game.play:
                    yield game
                    game, over = _Game(), False
                game.tags.setdefault(tag["name"], _Tag(Span(*tag.span()), Span(*tag.span("value"))))
                game.end = place = tag.end()
                continue
            token = _TOKEN.match(self.text, place)
            if over and not self._closing(token, place):
                yield game
                game, over = _Game(), False
            if token is None:
                place = self._stretch(game, place)
            else:
                place = token.end()
                if token["escape"] is not None:
                    continue
                game.play.append(token)
                game.end = place
                over |= token["end"] is not None
        yield game

    def _closing(self, token: re.Match[str] | None, place: int) -> bool:
        """Tell whether what stands behind the end of a game is a remark on it, or nothing.

        A remark right above the tags of the next game is none.
        """
        if token is None:
            following = _TOKEN.search(self.text, place)
            return not self.text[place : following.start() if following else None].partition("[")[0].strip()
        return _comment(token) is not None and _TAG_BELOW.match(self.text, token.end()) is None

    def _stretch(self, game: _Game, place: int) -> int:
        """Take what stands up to the next token; return where that is."""
        token = _TOKEN.search(self.text, place)
        end = len(self.text) if token is None else token.start()
        tag = self.text.find("[", place, end)  # no further: else each token of a long game looks through all of it
        while tag >= 0 and not _TAG.match(self.text, tag):
            tag = self.text.find("[", tag + 1, end)
        end = tag if tag >= 0 else end
        inked = self.text[place:end]
        if inked.strip():
            start = place + len(inked) - len(inked.lstrip())
            game.play.append(Span(start, place + len(inked.rstrip())))
            game.end = place + len(inked.rstrip())
        return end

    def _show(self, game: _Game) -> None:
        for name, tag in game.tags.items():
            if name == "FEN" or not _NOT_PROSE.fullmatch(name):
                self._keep(tag.value)
        for token in game.play:
            if isinstance(token, Span):
                self._keep(token)
            elif (comment := _comment(token)) is not None:
                self._keep(comment)
                for command in _COMMAND.finditer(self.text, *comment):
                    self.shown[command.start() : command.end()] = " " * len(command[0])

    def _keep(self, span: Span) -> None:
        self.shown[span.start : span.end] = span.of(self.text)


def _comment(token: re.Match[str]) -> Span | None:
    for group in ("comment", "rest"):
        if token[group] is not None:
            return Span(*token.span(group))
    return None


class _Play:
    """One game as statements."""

    def __init__(self, text: str, masked: str, game: _Game) -> None:
        self.text = text
        self.masked = masked
        self.game = game
        self.stretches = [token for token in game.play if isinstance(token, Span)]
        self.remarks = [c for t in game.play if not isinstance(t, Span) and (c := _comment(t)) is not None]
        self.language = "en"

    def read(self) -> tuple[list[Statement], str]:
        """Return the statements of the game and the language of its piece letters."""
        self.language = language(self.masked, self.stretches)
        return list(self._statements()), self.language

    def puzzle(self) -> PuzzleText:
        tags = self.game.tags
        first = min((tag.span.start for tag in tags.values()), default=self.game.end)
        headings = tuple(tag.value for name, tag in tags.items() if not _NOT_PROSE.fullmatch(name))
        return PuzzleText(
            title=self._title(),
            span=Span(first, self.game.end),
            diagrams=(self._diagram(),),
            prose=tuple(sorted(self.stretches + self.remarks)),
            headings=headings,
            play=self.read,
            remarks=tuple(self.remarks),
        )

    def _title(self) -> str:
        for name in _NAMES:
            tag = self.game.tags.get(name)
            value = " ".join(tag.value.of(self.text).split()) if tag else ""
            if value.strip("?-. "):
                return value
        return ""

    def _diagram(self) -> Diagram:
        tag = self.game.tags.get("FEN")
        if tag is None:
            set_up = self.game.tags["SetUp"]
            return unusable(set_up.span, "the game is said to start from a set-up position, and no FEN tag gives it")
        value = tag.value.of(self.text)
        found = next(find_fens(value, standard=True), None)
        if found is None:
            return unusable(tag.span if not value else tag.value, "the FEN tag holds no FEN")
        return moved(found, tag.value.start)

    def _statements(self) -> Iterator[Statement]:
        """Yield the statements; the first move of the main line is the key unless a sign calls it a try."""
        solved = False
        for statement, in_main_line in spread(self._walk()):
            if isinstance(statement, Turn) and in_main_line and not solved:
                solved = True
                if not statement.choices[-1].annotation.startswith("?"):
                    yield Marker("key", Span(statement.span.start, statement.span.start))
            yield statement

    def _walk(self) -> Iterator[tuple[Statement | Further, bool]]:
        """Yield each statement and whether it stands in the main line."""
        said = " ".join(span.of(self.masked) for span in [*(t.value for t in self.game.tags.values()), *self.remarks])
        ply = first_ply(self._diagram().turn is chess.BLACK, said)
        lines = [ply]  # the next half-move of the main line, of the variation in it, and so on
        shift: int | None = None  # how far the printed numbers are ahead, as after "23." for the first move
        opened = False  # a variation has just begun; one put too late is known by its number
        joined = False  # the next half-move is one more like the last
        remarked = False  # a remark stands right before
        held: Turn | None = None  # a half-move that a glyph may yet follow
        for token in self.game.play:
            glyph = None if isinstance(token, Span) else token["glyph"]
            if held is not None and glyph is None:
                yield held, len(lines) == 1
                held = None
            if isinstance(token, Span):
                for statement in movetext(self.masked, token, self.language):
                    if held is not None:
                        yield held, len(lines) == 1
                        held = None
                    if isinstance(statement, Turn):
                        printed = statement.number.ply if statement.number is not None else None
                        if printed is not None and shift is None:
                            shift = printed - lines[-1]
                        if opened and printed is not None and shift is not None and ply <= printed - shift < lines[-1]:
                            lines[-1] = printed - shift
                        same = printed is not None and shift is not None and printed - shift == lines[-1] - 1
                        own = statement.span.start >= token.start  # none that movetext() has put before a square
                        joined |= remarked and same and own  # "1... Kc1 { or else } 1... Ka1"
                        opened = remarked = False
                        if joined and not statement.effects:
                            joined = False
                            yield Further(statement.choices, (), last=True), False
                        elif lines[-1] != _LOST:
                            held = numbered(statement, lines[-1])
                            lines[-1] += 1
                    elif not isinstance(statement, (Break, Aside)):
                        yield statement, False
                continue
            here = Span(*token.span())
            joined &= glyph is not None
            remarked = _comment(token) is not None
            if glyph is not None:
                if held is not None and glyph in _GLYPHS:
                    held = _annotated(held, _GLYPHS[glyph])
            elif token["open"]:
                lines.append(_LOST if lines[-1] == _LOST else max(lines[-1] - 1, ply))
                opened = True
                yield Break("open", here), False
            elif token["close"] and len(lines) > 1:
                lines.pop()
                yield Break("stop", here), False
                yield Break("close", here), False
            elif token["pass"]:
                if lines[-1] == ply + 1:
                    lines[-1] += 1  # the first move and what it threatens
                elif lines[-1] != _LOST:
                    lines[-1] = _LOST
                    yield NotUnderstood(here, token[0]), False
            elif (comment := _comment(token)) is not None and joins(self.masked, comment) and lines[-1] > ply:
                joined = True  # "2. Qf8# { or } 2. Qh7#"
            elif (comment := _comment(token)) is not None:
                said_of = tuple(remark(self.masked, comment, self.language))
                more = further(self.masked, comment, self.language)
                if more:
                    yield Further(more, said_of), False
                else:
                    yield from ((statement, False) for statement in said_of)
            if held is None and len(lines) == 1:
                yield Break("block", here), False
        if held is not None:
            yield held, len(lines) == 1


def _annotated(turn: Turn, sign: str) -> Turn:
    *others, last = turn.choices
    return replace(turn, choices=(*others, replace(last, annotation=last.annotation + sign)))
