"""Text into lexemes: words and forms of several words with all they may mean, printed moves, squares, punctuation."""

import re
from collections.abc import Callable, Iterator, Mapping, Set
from functools import lru_cache
from itertools import islice

import chess
from keyproof.grammar.descriptive import read_descriptive, square_named
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import MovePhrase, NotAMove, Sort, read_move
from keyproof.grammar.phrases import phrases_of
from keyproof.grammar.spans import Span, span_of
from keyproof.grammar.statements import MoveNumber
from msgspec import Struct
from msgspec.structs import replace

from .apart import APART, is_a_line, man_of_letter, move_apart, others_printed
from .said_squares import heard_square, meant, old_square_said, said_square, spelt
from .table import Meaning, Table, table_of

_MAN = "(?:Кр|[KQRBNSPDTLFCAHWGVJФЛСКП♔-♟][\ufe0e\ufe0f]?)"
_PROMOTED = r"(?:=\s?\w|\(\w\)|/[QRBNSDTLFCA](?![a-hx1-8])|[QRBNSDTLFCAPWGHVJФЛСК](?!\w))"
_SHAPE = rf"{_MAN}?[a-h]?[1-8]?[x:×–−-]?{_MAN}?[a-h][1-8]{_PROMOTED}?"
_SPACED = rf"{_MAN}[a-h]?[1-8]?\s[x×]\s?{_MAN}?[a-h][1-8]|[a-h][1-8]?\s[x×]\s{_MAN}?[a-h][1-8]{_PROMOTED}?"
_SPACED_LONG = rf"{_MAN}[a-h][1-8]\s[–−-]\s[a-h][1-8]|(?P<file>[a-h])[1-8]\s[–−-]\s(?P=file)[1-8]{_PROMOTED}?"
_CASTLES = r"[0Oo][-–−][0Oo](?:[-–−][0Oo])?"
_PASSING = r"(?:[+#†‡]*\s?e\.?\s?p\.?)?"
MOVE = re.compile(rf"(?<![\w-])(?:{_CASTLES}|{_SPACED}|{_SHAPE}){_PASSING}[+#†‡!?]*(?![\w])")
_LONG_MOVE = re.compile(rf"(?<![\w-])(?:{_SPACED_LONG})[+#†‡!?]*(?![\w])")  # behind its number, as old columns have it
_LEADS_MOVE = re.compile(r"\.+[^\W_]|\.[♔-♟]|(?<=\s{3}\d)\s?(?:\.\s?\.|…)")  # behind the number of one: "A 1.Rd1" of A
_SIGNS = {".": "stop", "!": "stop", "?": "question", ";": "semicolon", ":": "colon", ",": "comma", "(": "open"}
_SIGNS |= {")": "close", "[": "open", "]": "close", "{": "open", "}": "close", "\n": "line", "/": "slash"}
_SIGNS |= {"…": "dots", ">": "quote", "|": "cell"}
_NO_MOVES = frozenset(_SIGNS) - frozenset(".:…")  # signs that begin nothing but themselves
_REST = r"(?:\s?[~∼]|[\s-](?:any(?:\s+other)?|moves|elsewhere|else|beliebig)\b)"
_SET = re.compile(rf"(?<!\w)(?:{_MAN}[a-h]?[1-8]?\s?[~∼]|{_MAN}[a-h1-8]?{_REST}|[~∼])[!?]*")  # not "Nf3 any move"
_BARE_NUMBER = re.compile(rf"(?P<value>\d{{1,2}})(?=\s(?:{_SPACED}|{_SHAPE})[+#†‡!?]*(?!\w))")
_NUMBER = re.compile(
    r"(?P<value>\d{1,2})\s?(?:\.?\s?(?:\.\s?\.\s?\.(?:\s?\.){0,9}|…)(?:\s?,(?=\s[A-Z]))?|\.\.|\.\s?[-–—](?=\s[A-Za-z♔-♟0])|\.(?!\d(?![-–−][0Oo]))|(?<![5-9])(?<!\d\d)\)(?=\s?[A-Z]))"
)
_DOTS = re.compile(r"\.\s?\.\s?\.|\.\.|…")
_DASH = re.compile(r"[-–—]+")
_WORD = re.compile(r"([^\W_]+(?:['’][^\W_]+)*(?:-[^\W_\d][^\W_]*)*)\s*")  # with the blanks behind it
# A word that is read by nothing but the table of words: too long for letters of men and files, no digit behind it.
_PLAIN_WORD = re.compile(r"(?:[^\W\d_]{4,}|[A-Z]?[a-z]{2}|[a-z]{3}|(?!Kt)[A-Z][i-z])(?![\w'’/-])")
_NEXT_WORD = re.compile(r"\s+([^\W_]+(?:-[^\W_\d][^\W_]*)*)(?=(.?))", re.S)
_SQUARE = re.compile(r"(?:[a-hA-H]|[a-h][ \t])[1-8](?!\w)")
_OLD_SQUARE = re.compile(
    r"(?:[KQ]\.?\s?)?(?:Kt|[RB])(?:['’]s)?\.?\s?(?:[1-8](?:st|nd|rd|th)?(?!\w|\.\d)|sq\b)|[KQ]\.?\s?[1-8](?!\w|\.\d)"
)
_POSITION = re.compile(r"(?<![\w/])[1-8pnbrqkPNBRQK]+(?:/[1-8pnbrqkPNBRQK]+){7}(?![\w/])(?: [wb] (?:[KQkq]+|-) \S+)?")
_GLYPH = re.compile(r"\$\d{1,3}")  # of PGN, 10: an opinion, no number of a move
_NO_WORDS = re.compile(r"\$\d|(?:/[1-8pnbrqkPNBRQK]+){7}")
_LETTER = re.compile(rf"({_MAN})[ \t-]+(?=[^\W\d_])")
_LOOSE = re.compile("|".join(f"(?:{each.pattern})" for each in (_LETTER, APART, _SET)))  # no move in one piece
_BLANKS = frozenset(filter(str.isspace, map(chr, range(0x3001)))) - {"\n"}
_APOSTROPHES = ("'", "’")
_LONGEST = 6  # words of a form
_SPELT = 4  # words that spell a file: "b as in barn"
_BEGINS_MOVE = frozenset("KQRBNSPDTLFCAHWGVJФЛСКПO0oabcdefgh12345678x:×–−-~∼♔♕♖♗♘♙♚♛♜♝♞♟")
_LEADS_TO_SQUARE = frozenset(("man", "go", "put", "to", "take", "guard", "at"))
_LISTS = frozenset({"square"})  # behind a square and "and" or "or"
_CHAT = re.compile(r"[kqrn][a-h]?x?[a-h][1-8][+#]?[!?]*(?!\w)")
_NEGATED = re.compile(r"(?i)n['’]?t$")


class Lexeme(Struct, frozen=True):
    """A piece of text that means something by itself, with all it may mean.

    `kind` is "word", "square", "move", "number", "unknown", or the name of a sign of punctuation. `cost` counts
    what had to be supposed to read it so: a form only misheard.
    """

    kind: str
    span: Span
    text: str
    meanings: tuple[Meaning, ...] = ()
    square: chess.Square | None = None
    phrase: MovePhrase | None = None
    number: MoveNumber | None = None
    cost: int = 0
    categories: frozenset[str] = frozenset()  # of what it may mean, as `worded` gathers them

    def sense(self, category: str) -> str | None:
        """Return the sense it has in a category, the empty string for one without senses, None where it is none."""
        if category in self.categories:
            for each in self.meanings:
                if each.category == category:
                    return each.sense
        return None


def worded(kind: str, span: Span, text: str, meanings: tuple[Meaning, ...]) -> Lexeme:
    """Return a lexeme of a word or form with all it may mean."""
    return Lexeme(kind, span, text, meanings, categories=_categories(meanings))


@lru_cache(maxsize=4096)
def _categories(meanings: tuple[Meaning, ...]) -> frozenset[str]:
    return frozenset([each.category for each in meanings])


def lexemes(
    text: str,
    span: Span,
    language: str = "english",
    letters: Mapping[str, chess.PieceType] = LANGUAGES["en"],
    *,
    descriptive: bool = False,
    in_black: Callable[[int], bool] | None = None,
) -> list[Lexeme]:
    """Cut `span` of `text` into lexemes; blanks are passed over. Never raises for any text.

    `letters` are the piece letters of printed moves; `descriptive`: moves in descriptive notation stand there too;
    `in_black` tells the offsets in a column of Black's moves, whose numbers are printed as White's are.
    """
    found = list(_cut(text, span, language, tuple(letters.items()), descriptive))
    return found if in_black is None else [_of_black(each) if in_black(each.span.start) else each for each in found]


@lru_cache(maxsize=256)  # a puzzle is cut again for its tables, its clauses and its frames
def _cut(
    text: str, span: Span, language: str, letters: tuple[tuple[str, chess.PieceType], ...], descriptive: bool
) -> tuple[Lexeme, ...]:
    return tuple(_Cutter(text, span.end, table_of(language), dict(letters), descriptive).cut(span.start))


def _of_black(lexeme: Lexeme) -> Lexeme:
    number = lexeme.number
    return lexeme if number is None else replace(lexeme, number=replace(number, second=True))


class _Cutter:
    def __init__(
        self, text: str, end: int, table: Table, letters: Mapping[str, chess.PieceType], descriptive: bool
    ) -> None:
        self.text, self.end, self.table, self.letters = text, end, table, letters
        self.has_positions = True
        self.leads: Set[str] = frozenset()  # what the word before is, behind which a square is likely
        self.descriptive = phrases_of("statements.lark").matcher("DESCRIPTIVE") if descriptive else None

    def cut(self, place: int) -> Iterator[Lexeme]:
        """Yield the lexemes from `place` on."""
        self.has_positions = _NO_WORDS.search(self.text, place, self.end) is not None
        numbered = square = False
        while place < self.end:
            sign = self.text[place]
            if sign in _BLANKS:
                place += 1
                continue
            found = self._at(place, sign, numbered)
            self.leads = _LISTS if square and "link" in found.categories else found.categories & _LEADS_TO_SQUARE
            square = found.kind == "square"
            yield found
            place = found.span.end
            numbered = found.kind == "number"
            if found.phrase is not None and found.phrase.promotion is not None:
                for other in self._others(found.phrase, place):
                    yield other
                    place = other.span.end

    def _at(self, place: int, sign: str, numbered: bool) -> Lexeme:
        """Read what begins with a sign; the shapes that cannot begin with it are not tried."""
        if sign in _NO_MOVES:
            return Lexeme(_SIGNS[sign], span_of((place, place + 1)), sign)
        if self.descriptive is None and (plain := _PLAIN_WORD.match(self.text, place, self.end)) is not None:
            return self._plain(plain) or self._worded(place)
        found = None
        if self.has_positions and sign in "12345678pnbrqkPNBRQK$":
            found = self._no_words(place)
        if found is None and self.descriptive is not None and (old := self._old_square(place)) is not None:
            return old
        if found is None and (sign in ".…" or sign.isdecimal()):
            found = self._number(place)
        if found is None and (self.descriptive is not None or sign in _BEGINS_MOVE):
            found = self._move(place, numbered)
        if found is None and sign in "kqrn":
            found = self._chat_move(place)
        return found or self._square(place) or self._sign(place) or self._letter(place) or self._worded(place)

    def _old_square(self, place: int) -> Lexeme | None:
        """Read a square in descriptive notation that is part of no printed move: "has gone to Kt 5"."""
        found = _OLD_SQUARE.match(self.text, place, self.end)
        moves = self.descriptive is not None and self.descriptive(self.text, place) is not None
        if found is None or moves or self._inside_word(place):
            return None
        span = span_of(found.span())
        phrase = MovePhrase(span, found[0], descriptive=True, destinations=square_named(found[0]))
        return Lexeme("old", span, found[0], phrase=phrase)

    def _inside_word(self, place: int) -> bool:
        return place > 0 and self.text[place - 1].isalnum()

    def _no_words(self, place: int) -> Lexeme | None:
        """Read a FEN, of which no part is a move ("3b4"), or a glyph of PGN, which is no number."""
        kind, shape = ("glyph", _GLYPH) if self.text[place] == "$" else ("position", _POSITION)
        found = shape.match(self.text, place, self.end)
        return None if found is None else Lexeme(kind, span_of(found.span()), found[0])

    def _number(self, place: int) -> Lexeme | None:
        """Read "1.", "1...", "1" before a move, or "..."."""
        number = _NUMBER.match(self.text, place, self.end) or _BARE_NUMBER.match(self.text, place, self.end)
        if number is None and self.descriptive is not None:
            bare = re.compile(r"(?P<value>\d{1,2})(?=\s)").match(self.text, place, self.end)
            number = bare if bare is not None and self.descriptive(self.text, bare.end() + 1) is not None else None
        if number is not None and not self._inside_word(place):
            second = "…" in number[0] or number[0].count(".") > 1 or number[0][-1] in "-–—"
            given = span_of((place, number.end()))
            return Lexeme("number", given, number[0], number=MoveNumber(given, int(number["value"]), second))
        dots = _DOTS.match(self.text, place, self.end)
        if dots is None:
            return None
        given = span_of((place, dots.end()))
        after = self.text[dots.end() : self.end].lstrip(" \t")
        if self._inside_word(place) and after[:1].isspace() is False and self.text[dots.end() : dots.end() + 1] == " ":
            return Lexeme("stop" if after[:1].isupper() else "pause", given, dots[0])  # "and he... takes her"
        return Lexeme("number", given, dots[0], number=MoveNumber(given, None, True))

    def _move(self, place: int, numbered: bool) -> Lexeme | None:
        """Read a printed move. A square is one only with a sign behind it and a number before it: "1.e3?"."""
        if self.descriptive is not None and (found := self.descriptive(self.text, place)) is not None:
            try:
                phrase = read_descriptive(found[0], offset=place)
            except NotAMove:
                return None
            return Lexeme("move", Span(place, found.end()), found[0], phrase=phrase)
        loose = _LOOSE.match(self.text, place, self.end) is not None
        if loose and (any_of_it := self._any_of_letter(place)) is not None:
            return any_of_it
        apart = move_apart(self.text, place, self.end, self.letters) if loose else None
        if apart is not None:
            return Lexeme("move", apart.span, apart.text, phrase=apart)
        move = _LONG_MOVE.match(self.text, place, self.end) if numbered else None
        if move is not None and move[0][-1] in "#‡" and self.text[:place].rstrip()[-2:] in ("..", "…", ".…"):
            move = None  # "1...Kd5 – e4#" are two moves
        move = move or (self._set_of_man(place) if loose else None) or MOVE.match(self.text, place, self.end)
        if move is None or (move[0] if numbered else move[0].rstrip("!?")) in chess.SQUARE_NAMES:
            return None
        try:
            phrase = read_move(move[0], offset=place, letters=self.letters)
        except NotAMove:
            return None
        if is_a_line(phrase):
            return None
        return Lexeme("move", span_of(move.span()), move[0], phrase=phrase)

    def _chat_move(self, place: int) -> Lexeme | None:
        """Read "kf4" or "rc8+", as people type who save the shift key; "bc4" may be the pawn's, and stays unread."""
        move = _CHAT.match(self.text, place, self.end)
        if move is None or self._inside_word(place) or self.letters.get("N") != chess.KNIGHT:
            return None
        phrase = read_move(move[0][0].upper() + move[0][1:], offset=place, letters=self.letters)
        return Lexeme("move", span_of(move.span()), move[0], phrase=phrase)

    def _set_of_man(self, place: int) -> re.Match[str] | None:
        """Match "R~" or "Ke any", but not "He moves", where a word stands."""
        found = _SET.match(self.text, place, self.end)
        word = None if found is None else re.match(r"[^\W\d_]{2}(?=\s)", found[0])
        return None if word is not None and (word[0].lower(),) in self.table.forms else found

    def _any_of_letter(self, place: int) -> Lexeme | None:
        """Read "1...S bel." or "1...C joue": all moves of a man, told by its letter and a word of the language."""
        letter = _LETTER.match(self.text, place, self.end)
        piece = self.letters.get(letter[1]) if letter is not None else None
        if letter is None or piece is None or not self.text[max(0, place - 4) : place].rstrip().endswith((".", "…")):
            return None
        found = list(islice(_words(self.text, letter.end(), self.end), _LONGEST))
        words = tuple(each[1].lower().replace("’", "'") for each in found)
        length, meanings = self.table.look_up(words) if words else (0, ())
        if not any(each.category == "anyhow" for each in meanings):
            return None
        given = span_of((place, found[length - 1].end(1)))
        phrase = MovePhrase(given, given.of(self.text), piece=piece, sort=Sort.any_of_piece, every=True)
        return Lexeme("move", given, given.of(self.text), phrase=phrase)

    def _others(self, phrase: MovePhrase, place: int) -> Iterator[Lexeme]:
        """Yield the other men that a pawn may become, printed behind its move: "h1=Q/R/B/S", "h1D (T, L, P)"."""
        others, end = others_printed(self.text, place, self.end, self._joins)
        kinds = [self.letters.get(man.of(self.text)) for man in others]
        if not all(kind not in (None, chess.PAWN, chess.KING) for kind in kinds):
            return
        for man, kind in zip(others, kinds, strict=True):
            other = replace(
                phrase, span=man, text=man.of(self.text), promotion=kind, promotion_span=man, origin_span=None
            )
            yield Lexeme("slash", Span(man.start, man.start), "")
            yield Lexeme("move", man, other.text, phrase=other)
        if others and self.text[end - 1] == ")":
            yield Lexeme("unknown", Span(end - 1, end), ")")

    def _joins(self, word: str, man: str) -> bool:
        links = (each.sense for each in self.table.look_up((word,))[1] if each.category == "link")
        return man in self.letters and any(sense in ("or", "and") for sense in links)

    def _square(self, place: int) -> Lexeme | None:
        square = _SQUARE.match(self.text, place, self.end) if self.text[place] in "abcdefghABCDEFGH" else None
        if square is None or self._inside_word(place) or (len(square[0]) > 2 and square[0][0] in "aA"):
            return None
        name = (square[0][0] + square[0][-1]).lower()
        return Lexeme("square", span_of(square.span()), square[0], square=chess.parse_square(name))

    def _letter(self, place: int) -> Lexeme | None:
        """Read the letter of a man that stands alone."""
        man = man_of_letter(self.text, place, self.end, self.letters, self.table)
        return None if man is None else worded("word", man[0], man[0].of(self.text), (man[1],))

    def _sign(self, place: int) -> Lexeme | None:
        sign = _SIGNS.get(self.text[place])
        if sign is not None:
            return Lexeme(sign, span_of((place, place + 1)), self.text[place])
        dash = _DASH.match(self.text, place, self.end)
        return None if dash is None else Lexeme("dash", span_of(dash.span()), dash[0])

    def _plain(self, word: re.Match[str]) -> Lexeme | None:
        """Read a word with which no known form of several words begins here, nor a square."""
        small = word[0].lower()
        meanings, seconds = self.table.alone(small)
        if meanings is not None and seconds is not None:
            second = _NEXT_WORD.match(self.text, word.end(), self.end)
            if second is not None and (second[1].lower() in seconds or second[2] in _APOSTROPHES):
                return None
        if meanings is None:
            return None
        categories = _categories(meanings)
        if self.leads and "square" in categories:
            return self._heard(word, meanings)
        return Lexeme("word", span_of(word.span()), word[0], meanings, categories=categories)

    def _heard(self, word: re.Match[str], meanings: tuple[Meaning, ...]) -> Lexeme:
        """Read a word that may be a square by its sound."""
        following, given = _NEXT_WORD.match(self.text, word.end(), self.end), span_of(word.span())
        square = heard_square(word[0].lower(), following and following[1].lower(), self.table, self.leads)
        if square is None:
            return worded("word", given, word[0], meanings)
        return Lexeme("square", given, word[0], square=square, cost=3)

    def _worded(self, place: int) -> Lexeme:
        """Read the longest known form of words at `place`, a square said in words first."""
        if (old := old_square_said(self.text, place, self.end)) is not None:
            return Lexeme("old", old.span, old.text, phrase=old)
        words: list[str] = []
        ends: list[int] = []
        most = 1
        for found in _words(self.text, place, self.end):
            first, word = not words, found[1].lower()
            parts = self.table.parted(word.replace("’", "'")) if "’" in word or "'" in word else (word,)
            words += parts
            ends += [found.start() + len(parts[0]), found.end(1)] if parts[1:] else [found.end(1)]
            if first:
                file = meant(self.table, words[0], "file") or meant(self.table, words[0], "sound")
                most = max(_SPELT if file else 1, self.table.longest.get(words[0], 1))
            if len(words) >= most:
                break
        if not words:
            return Lexeme("unknown", span_of((place, place + 1)), self.text[place])
        if len(words[0]) == 1 and (spelling := spelt(words)):
            given = span_of((place, ends[spelling - 1]))
            return worded("word", given, given.of(self.text), (Meaning("filler"),))
        leads = self.leads or (_LISTS if words[0] == "a" and self._square_behind(words, ends) else self.leads)
        said = said_square(words, self.table, leads)
        if said is not None and not _LEADS_MOVE.match(self.text, ends[said[1] - 1], self.end):
            square, taken, cost = said
            given = span_of((place, ends[taken - 1]))
            return Lexeme("square", given, given.of(self.text), square=square, cost=cost)
        length, meanings = self.table.look_up(tuple(words))
        end = ends[max(length, 1) - 1]
        if not length:
            meanings, end = self._part(words[0], place, end)
        given = span_of((place, end))
        return worded("word" if meanings else "unknown", given, given.of(self.text), meanings)

    def _square_behind(self, words: list[str], ends: list[int]) -> bool:
        """Tell whether a square in words follows two words that may be one: "a ate b eight and a six"."""
        if len(words) < 2:
            return False
        behind = [each[1].lower() for each in islice(_words(self.text, ends[1], self.end), 2)]
        return len(behind) > 1 and said_square(behind, self.table) is not None

    def _part(self, word: str, place: int, end: int) -> tuple[tuple[Meaning, ...], int]:
        """Read a word by its parts: a genitive, a negation, the first of two joined by a hyphen, an ending."""
        if (stem := self.table.stem_of(word)) is not None:  # "Königszug": the man, then what he does
            return (Meaning("man", self.table.stems[stem]),), place + len(stem)
        if word.endswith("'s"):
            return self.table.look_up((word[:-2],))[1], end
        if ("n't",) in self.table.forms and (negated := _NEGATED.search(word)) is not None:
            meanings = self.table.look_up((word[: negated.start()],))[1]
            return ((*meanings, Meaning("deny")) if meanings else ()), end
        if "-" in word:  # "f-pawn", "mate-in-one": each part by itself
            first = word[: word.index("-")]
            return self.table.look_up((first,))[1], place + len(first)
        return self.table.by_ending(word), end


def _words(text: str, place: int, end: int) -> Iterator[re.Match[str]]:
    """Yield the words from `place` on that stand together with nothing but blanks and line ends between them."""
    while place < end and (found := _WORD.match(text, place, end)) is not None:
        yield found
        place = found.end()
