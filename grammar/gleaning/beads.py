"""What of a text may bear on a position: sides, men and squares, each with all it may mean, and what stands between.

Men and squares are taken in every spelling at once: words of a speaker, letters of any language, squares in
descriptive notation. Which of them tell a position, and how they go together, is not asked here.
"""

import re
from collections.abc import Iterator, Mapping, Sequence

import chess
from msgspec.structs import replace

from ..descriptive import OFFICER, RANK, WING, squares_called
from ..letters import ANY_LETTER, FIGURINES
from ..lexicon.said_squares import meant, old_squares_said, own_ranks_said
from ..lexicon.table import Table, table_of
from ..roster import COLOURS, NAMES
from ..spans import Span, span_of
from ..told_words import Said, words_told
from .bead import Bead, Does
from .nearby import near_others
from .nicknames import named_otherwise
from .spelt import spelt_alike

_PIECE = rf"(?:{ANY_LETTER}|[♔-♟][\ufe0e\ufe0f]?)"
_SEVERAL = r"(?:P|Kt|[RBQNS])['’]?s|pp"
_SMALL = r"(?<![wbWB])[pkqrbn](?=[a-h][1-8](?!\w))"
_LETTERED = re.compile(
    rf"(?<![\w'’])(?P<owner>[wbWB])?(?P<letter>{_PIECE}|{_SEVERAL}|{_SMALL})\.?"
    r"(?:[ \t]*[:=-]?[ \t]*(?P<tight>[a-hé][1-8])(?![\w+#=])|(?=[\s:=,(-]))"
)
_KING = r"(?:K|R|Кр|[kK]ing|♔|♚)[\s:=.,]*[a-h]"
_SIDE = re.compile(rf"(?<![\w'’])(?:(?P<white>Wh?|w)|(?:Bl?|b|S|s|N|n|Z|z))[ \t]*[:.)=|][ \t]*(?={_KING})")
_OLD = re.compile(rf"(?<![\w'’])(?:{WING})?(?:{OFFICER})?(?P<rank>{RANK})(?!:)")  # as it is printed
_SQUARE = re.compile(r"(?<![A-Za-z])[a-hé][1-8](?![\w+#=])|(?<=[a-h][1-8])[a-h][1-8](?!\w)")
_OTHER_SQUARE = re.compile(r"(?<![^\W_])(?<![^\W_]-)(?:[A-Ha-h]-|[A-H])[1-8](?![\w+#=-])")  # "F-8", "king H2"
_NO_FILE_OF_OLD = frozenset("ACDEFGH")  # "B2" may be the bishop's second
_ASKED = re.compile(r"#\s?[2-9](?!\w)")
_AGAINST = re.compile(
    r"(?<=\s)(?:[/–—-]{1,2}|vs?\.?|versus|against|gegen|contre|contra)(?=\s+(?:the\s+)?(?:K|R|Кр|♚)[a-h\s])"
)
_NUMBER_OF_MOVE = re.compile(
    r"(?<!\w)(?<!at )(?<!on )[1-9]\s?\.(?:\s?\.\s?\.)?[^\S\n]?(?=\S)"
    rf"|(?<!\w)[1-9] (?={_PIECE}?[a-h]?[1-8]?[x×:]?[a-h][1-8](?:=?[QRBNS])?[!?+#†‡])"
)
_FILES = frozenset("ABCDEFGHabcdefgh")
_PLAYED = re.compile(rf"(?<!\w){_PIECE}?[a-h]?[1-8]?[x×:]?{_PIECE}?[a-h][1-8](?:=?[QRBNS])?[+#†‡]")
_WORDS: dict[str, Does] = {
    "side": "side", "own": "own", "hearer": "hearer", "other": "other", "man": "man", "square": "square",
    "number": "number", "takes back": "takes back", "no": "takes back", "play": "plays",
    "explains": "explains", "rank": "rank", "asked": "end", "end": "end", "to": "to", "from": "to", "not": "not",
}  # fmt: skip

_LONGEST_NUMBER = 40  # characters with the blanks before it, some of which stand for words: "B (for butter) three"
_INITIALS = re.compile(r"[A-Z]\. [A-Z]\.")
_FOR = re.compile(r"([a-h]) for \w+")
_RANKS = frozenset("12345678")
_CLOSES = frozenset(":)")
_ANSWERS = frozenset(("no", "nope", "nein", "non"))  # to a question: nothing is taken back
_DENIES = frozenset(("no", "kein", "keine", "geen", "pas de", "sin", "nessun", "nessuna"))
_OF = frozenset(("de", "di", "da", "von", "van", "of"))
_THE_ONE = frozenset(
    ("el", "la", "los", "las", "celui", "celle", "ceux", "quello", "quella", "der", "die", "das", "o", "a")
)
_WHO = frozenset(("who", "which", "that", "que", "qui", "che", "der", "die", "das"))
_OTHER = "the other"
_AT = frozenset(("on", "at", "auf"))
_PLAYERS = frozenset(("fellow", "chap", "side", "player", "party", "gentleman", "team", "camp", "army", "lot"))
_CLAUSE = 8  # beads of a clause about a man
_FROM_TO = ["square", "to", "square"]
_ONTO = frozenset(("to", "nach", "naar"))
_LEADS_TO_A = frozenset(("", "on", "at", "file", "column", "the", "\n", ":", ".", ";"))


def signs_in(text: str, span: Span, letters: Mapping[str, chess.PieceType], tongue: str = "english") -> list[Bead]:
    """Return what is printed in letters and figures in a stretch of a text, in order, no two of which overlap.

    `letters` are those of its language, its `tongue`.
    """
    found: list[Bead] = []
    place = span.start
    for bead in sorted(_signs(text, span, letters, tongue), key=lambda bead: (bead.span.start, -bead.span.end)):
        if bead.span.start < place:
            continue
        found.append(bead)
        place = bead.span.end
        if bead.does == "man" and bead.text and bead.tight:
            square = _LETTERED.match(text, bead.span.start, span.end)
            if square is not None and square["tight"]:
                at = span_of(square.span("tight"))
                found.append(Bead("square", at, (_square(square["tight"]),), tight=True))
                place = at.end
    return found


def beads(text: str, span: Span, signs: Sequence[Bead], tongue: str = "english") -> list[Bead]:
    """Return what stands in a stretch of a text, in order: its `signs`, and the words of its `tongue` between them."""
    found: list[Bead] = []
    place = span.start
    for bead in signs:
        found += _of_words(text, Span(place, bead.span.start), tongue)
        found.append(bead)
        place = bead.span.end
    found += _of_words(text, Span(place, span.end), tongue)
    found = spelt_alike(found, table_of(tongue))
    return list(_told(near_others(named_otherwise(found), table_of(tongue).apart.get("stands by", ()))))


def _told(found: Sequence[Bead]) -> Iterator[Bead]:
    """Settle what the beads beside one tell of it: an article, an answer, a square that bounds a part of the board.

    From a square on which it is said that nothing stands a man is lifted: "c eight, not g eight".
    """
    for place, bead in enumerate(found):
        before, behind = found[max(0, place - 2) : place], found[place + 1 : place + 4]
        does = tuple(each.does for each in before)
        left = [each.does for each in (bead, *behind[:2])] == _FROM_TO and not {"square", "man"} & set(does[-1:])
        article = bead.text == "a" and bead.does == "file" and bool(behind) and behind[0].does in ("side", "man")
        answer = bead.text in _ANSWERS and bool(before) and before[-1].text == "?"
        if article or answer:
            yield replace(bead, does="word")
        elif (
            bead.does == "number"
            and behind[:1]
            and behind[0].text in _AT
            and behind[1:2]
            and behind[1].does == "number"
        ):
            yield replace(bead, does="word")  # "both on the h-file, one on seven"
        elif bead.text == _OTHER and behind and behind[0].text.removesuffix("'s") in _PLAYERS:
            yield replace(bead, does="against")
        elif left and behind[0].text in _ONTO:
            yield replace(bead, does="lifted")  # "it was on f7, and has just gone f7 to f5"
        elif bead.does == "takes back" and bead.text in _DENIES and behind[:1] and behind[0].does == "man":
            yield replace(bead, does="not")  # "no rooks, no bishops"
        elif bead.does == "rank" and [each.does for each in behind[:2]] == ["word", "square"]:
            yield replace(bead, does="word")  # "the third on d8"
        elif bead.text == "*" and behind[:1] and behind[0].does in ("square", "man"):
            yield replace(bead, does="takes back")  # "*h5, sorry"
        elif bead.does == "to" and bead.text in _OF and before and before[-1].text in _THE_ONE:
            yield replace(bead, does="word")  # "dos caballos, el de b5 y el de e5"
        elif bead.does == "plays" and not any(bead.values) and _related(found[max(0, place - _CLAUSE) : place]):
            yield replace(bead, does="explains")  # "on h2, which is about to promote"
        elif bead.does == "square" and ("not" in does[-1:] or (does == ("not", "word") and before[-1].text != ",")):
            yield replace(bead, does="lifted")
        elif bead.does != "square" or not (_bounds([bead, *behind]) or _bounds([*before, bead, *behind])):
            yield bead


def _related(before: Sequence[Bead]) -> bool:
    """Tell whether a clause that says something of the man before has begun, and names no other man or square."""
    for place in range(len(before) - 1, 0, -1):
        if before[place].does in ("man", "square", "end"):
            return False
        if before[place].text in _WHO and before[place - 1].text == ",":
            return place > 1 and before[place - 2].does == "square"
    return False


def _bounds(string: Sequence[Bead]) -> bool:
    """Tell whether two squares bound a part of the board: "a1 to d4:"."""
    squares = [each.does for each in string[:3]] == ["square", "to", "square"]
    return squares and len(string) > 3 and string[3].text in _CLOSES


def _signs(text: str, span: Span, letters: Mapping[str, chess.PieceType], tongue: str) -> Iterator[Bead]:
    """Yield what is printed in letters and figures."""
    for side in _SIDE.finditer(text, *span):
        yield Bead("side", Span(*side.span()), (int(side["white"] is not None),))
    for against in _AGAINST.finditer(text, *span):
        yield Bead("against", Span(*against.span()))
    for asked in _ASKED.finditer(text, *span):
        yield Bead("end", Span(*asked.span()))
    for number in _NUMBER_OF_MOVE.finditer(text, *span):
        yield Bead("plays", Span(*number.span()), (int(number[0][0]),))
    for played in _PLAYED.finditer(text, *span):
        yield Bead("plays", Span(*played.span()))
    for square in _SQUARE.finditer(text, *span):
        yield Bead("square", Span(*square.span()), (_square(square[0]),))
    others = [*_OTHER_SQUARE.finditer(text, *span)]
    of_old = not any(square[0][0] in _NO_FILE_OF_OLD for square in others)
    for square in others:
        if "-" in square[0] or not of_old:
            yield Bead("square", Span(*square.span()), (_square(square[0].lower().replace("-", "")),))
    for old in _OLD.finditer(text, *span):
        if old["wing"] or (old["file"] and of_old):
            called = squares_called(old["wing"], old["file"], old["rank"])
            yield Bead("square", Span(*old.span()), tuple(chess.scan_forward(called)), old=True)
    for said in old_squares_said(text, span):
        yield Bead("square", said.span, tuple(chess.scan_forward(said.destinations)), old=True)
    for own, rank in own_ranks_said(text, span):
        yield Bead("home", own, (rank,))
    yield from _lettered(text, span, letters, table_of(tongue))


def _lettered(text: str, span: Span, letters: Mapping[str, chess.PieceType], table: Table) -> Iterator[Bead]:
    """Yield the men named by letters, each behind the letter of its side if it has one."""
    for lettered in _LETTERED.finditer(text, *span):
        letter, end = lettered["letter"], lettered.end("letter")
        kinds = _kinds(letter, letters)
        if not kinds or (
            letter in _FILES and _counts(text[end : min(end + _LONGEST_NUMBER, span.end)].split()[:1], table)
        ):
            continue
        if lettered["owner"]:
            yield Bead("side", Span(*lettered.span("owner")), (int(lettered["owner"] in "wW"),))
        end += text[end : end + 1] == "." and text[end + 1 : end + 2].isspace() and text[end + 2 : end + 3].islower()
        yield Bead("man", Span(lettered.start("letter"), end), kinds, tight=lettered["tight"] is not None, text=letter)


def _counts(words: Sequence[str], table: Table) -> bool:
    """Tell whether a word is a number, so that the letter before it names a file: "the queen, B two"."""
    return any(meant(table, word.strip(".,;:!?").lower(), "digit") for word in words)


def _square(printed: str) -> chess.Square:
    return chess.parse_square(printed.replace("é", "e"))


def _kinds(letter: str, letters: Mapping[str, chess.PieceType]) -> tuple[int, ...]:
    if letter in FIGURINES:
        return (FIGURINES[letter].piece_type,)
    bare = letter.rstrip("s'’") if len(letter) > 1 and letter.endswith("s") else letter
    if bare == "pp":
        return (chess.PAWN,)
    named = bare if bare in letters else bare.upper()
    return (letters[named],) if named in letters else ()


def _of_words(text: str, span: Span, tongue: str) -> Iterator[Bead]:
    if span.start >= span.end:
        return
    before = "" if span.start == 0 else text[span.start - 1]  # "h2 a pawn" names no file
    for said in words_told(span.of(text), tongue):
        if len(said.text) == 2 and said.text[0] in _RANKS and said.text[1] == ".":  # "the knight on 6. The b-file"
            digit, stop = (Span(at, at + 1).further_on(span.start) for at in (said.span.start, said.span.end - 1))
            yield Bead("number", digit, (int(said.text[0]),), text=said.text[0])
            yield Bead("end", stop, text=".")
            continue
        at = said.span.further_on(span.start)
        initial = len(said.text) == 1 and text[at.start].isupper() and _is_initial(text, at)
        yield Bead("word", at, text=said.text) if initial else _bead(replace(said, span=at), before, tongue)
        before = said.text.lower()


def _is_initial(text: str, letter: Span) -> bool:
    """Tell whether a letter is one of the initials of a name: "Taken down by E. P."."""
    return bool(_INITIALS.match(text, letter.start) or _INITIALS.match(text, max(0, letter.start - len("P. "))))


def _bead(said: Said, before: str, tongue: str) -> Bead:
    word = said.text.lower()
    if said.does in ("word", "unknown", "beside") and word in COLOURS and len(word) > 2:
        return Bead("side", said.span, (int(COLOURS[word]),))
    if said.does in ("word", "unknown") and word in NAMES and len(word) > 3:
        return Bead("man", said.span, (NAMES[word],))
    apart = table_of(tongue).apart
    if word in apart.get("rook to many", ()):
        return Bead("man", said.span, (chess.ROOK,), text=word)
    for kind in chess.PIECE_TYPES:
        if said.does in ("word", "unknown") and word in apart.get(f"called {chess.piece_name(kind)}", ()):
            return Bead("man", said.span, (kind,), text=word)
    if word in apart.get("the other side", ()):
        return Bead("other", said.span, text=word)
    if word in apart.get("left empty", ()):
        return Bead("empty", said.span, text=word)
    if said.does == "word" and (file := _file(word, before, tongue)) is not None:
        return Bead("file", said.span, (file,), text=word)
    of_rank = before in apart.get("rank before its number", ())
    if word.isdecimal() and len(word) == 1:
        return Bead("rank" if of_rank else "number", said.span, (int(word) - of_rank,), text=word)
    if said.does == "number" and of_rank and said.value < 9:
        return Bead("rank", said.span, (said.value - 1,), text=word)
    heard = said.does == "number" and word == "too"  # "one pawn too"
    does = "word" if heard or word.endswith(" on") else _WORDS.get(said.does, "word")  # "down on a2" goes nowhere
    return Bead(does, said.span, (said.value,), text=word)


def _file(word: str, before: str, tongue: str) -> int | None:
    """Return the file that a letter or its spelling names; a letter alone is a word in other languages."""
    if spelt := _FOR.fullmatch(word):
        return chess.FILE_NAMES.index(spelt[1])  # "both on h for hat, one on seven"
    file = meant(table_of("english"), word, "file")
    if file is None or file.misheard:
        return None
    if len(word) == 1 and (tongue != "english" or (word == "a" and before not in _LEADS_TO_A)):
        return None
    return chess.FILE_NAMES.index(file.sense)
