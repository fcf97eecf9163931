"""Men as they are named: "the knight on d4", "our other rook", "his g-pawn", "she", "white"."""

from collections.abc import Sequence

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme

from .values import Who

_BEFORE = {
    "article",
    "our",
    "your",
    "this",
    "other",
    "same",
    "side",
    "which",
    "one",
    "pronoun",
    "count",
    "file",
    "mark",
    "own",
}
_KINDS = dict(zip(("pawn", "knight", "bishop", "rook", "queen", "king"), range(1, 7), strict=True))
_DETERMINES = 2  # words, at the most: "any other queen move"
_PRONOUNS = {"he": (), "she": (chess.QUEEN,), "it": (), "they": ()}


def man_at(given: Sequence[Lexeme], index: int) -> tuple[Who, int] | None:
    """Read the man named from `index` on; return it and where it ends, None where no man is named there."""
    return _named(given, index) or (_nameless(given, index) if index < len(given) else None)


def _named(given: Sequence[Lexeme], index: int) -> tuple[Who, int] | None:
    place = _others_from(given, index)
    said: dict[str, object] = {"other": True} if place > index else {}
    while place < len(given) and place < index + 7:
        lexeme = given[place]
        if "object" in lexeme.categories:
            said["object"] = True
        kind = lexeme.sense("man") or _acts(given, place)
        if kind is not None:
            return _with_place(given, index, place, kind, said)
        if lexeme.kind == "square" and place > index and place + 1 < len(given) and given[place + 1].sense("man"):
            said["square"], said["fronted"] = lexeme.square, True  # "the d4 knight"
        elif place > index and _names_pawn(lexeme, given[place - 1]):
            return Who(
                given[index].span.to(lexeme.span), (chess.PAWN,), file=chess.square_file(lexeme.square or 0)
            ), place + 1
        elif lexeme.kind == "dash" and place > index and given[place - 1].sense("file"):
            pass
        elif not lexeme.categories & _BEFORE or not _before(given, place, said):
            return None
        place += 1
    return None


def _others_from(given: Sequence[Lexeme], index: int) -> int:
    """Return where the man is named of whom "either of the other" or the like begins at a place, else that place."""
    if len(given) < index + 4 or not given[index].categories & {"quantifier", "either", "each"}:
        return index
    of, first, second = given[index + 1 : index + 4]
    if of.sense("of") is None:
        return index
    if "rest" in first.categories:
        return index + 3  # "the other" as one
    return index + 4 if first.categories & {"article", "pronoun"} and "other" in second.categories else index


def _acts(given: Sequence[Lexeme], place: int) -> str | None:
    """Return the man that a word for a wing names, where behind it stands what he does: "the queen's mate"."""
    wing, behind = given[place].sense("which"), given[place + 1 : place + 3]
    does = behind and ("effect" in behind[0].categories or behind[0].sense("unit") == "move")
    if behind and "take" in behind[0].categories:
        does = bool(behind[1:] and behind[1].categories & {"of", "at", "to"})  # "the queen's capture on d5"
    return wing if does and wing in ("king", "queen") else None


def _names_pawn(lexeme: Lexeme, before: Lexeme) -> bool:
    """Tell whether "the h one" names a pawn by its file, and no square h1."""
    return lexeme.kind == "square" and lexeme.text.lower().endswith(" one") and before.sense("article") == ""


def _before(given: Sequence[Lexeme], place: int, said: dict[str, object]) -> bool:
    """Read one word before the name of a man; False for one that does not stand there."""
    lexeme = given[place]
    following = given[place + 1] if place + 1 < len(given) else None
    if "mark" in lexeme.categories:
        said["every"] = True
        return lexeme.sense("mark") in ("any", "other") and not _stands_alone(lexeme, following)
    if lexeme.sense("count") not in (None, "1"):
        said["plural"] = True
        corrects = lexeme.sense("count") == "0" and place and "pronoun" in given[place - 1].categories
        return not corrects and "take" not in lexeme.categories  # "takes her no queen to a6", "the king ate a rook"
    file = lexeme.sense("file")
    beside = following is not None and (following.kind == "dash" or following.sense("man") == "pawn")
    if file and beside and not (file == "a" and following is not None and following.kind != "dash"):
        said["file"] = chess.FILE_NAMES.index(file)
    elif "side" in lexeme.categories:
        said["colour"] = lexeme.sense("side") == "white"
    elif "our" in lexeme.categories:
        said["ours"] = True
    elif "pronoun" in lexeme.categories and "article" not in lexeme.categories:
        if lexeme.sense("pronoun") not in ("his", "its", "their", "she"):
            return False
        if lexeme.sense("pronoun") == "his":
            said["ours"] = False
    elif "other" in lexeme.categories:
        said["other"] = True
    elif (which := lexeme.sense("which")) is not None:
        if which in ("light", "dark"):
            said["light"] = which == "light"
        elif which in ("king", "queen"):
            said["wing"] = which
    elif "colour" in said and "article" in lexeme.categories:
        return False  # "wenn Schwarz die Dame schlägt": no black queen
    elif lexeme.categories & {"article", "this", "same", "one", "your", "own"} or lexeme.sense("count") == "1":
        pass
    else:
        return file is None
    return True


def _stands_alone(lexeme: Lexeme, following: Lexeme | None) -> bool:
    """Tell whether words for all other moves are not said of the man behind them: "after any other move the queen"."""
    words, other = len(lexeme.text.split()), lexeme.sense("mark") == "other"
    article = following is not None and "article" in following.categories
    return words > _DETERMINES or (other and words == 1) or (article and (other or words > 1))


def _with_place(given: Sequence[Lexeme], start: int, place: int, kind: str, said: dict[str, object]) -> tuple[Who, int]:
    end = _behind(given, place + 1, kind, said)
    if end + 1 < len(given) and "stands" in given[end].categories and given[end + 1].square is not None:
        said["square"], said["reaches"] = given[end + 1].square, "to" in given[end].categories
        end += 2
    elif end + 1 < len(given) and given[end].square is not None and _verb_follows(given, end + 1):
        said["square"] = given[end].square  # "Springer e5 schlägt"
        end += 1
    elif (file := _file_behind(given, end)) is not None:
        said["file"] = file
        end += 1
    span = given[start].span.to(given[end - 1].span)
    kinds = () if kind == "any" else (_KINDS[kind],)
    said["indefinite"] = given[start].sense("article") == "a"
    is_there = said.get("square") is not None and given[place].text.endswith(("'s", "’s"))  # "once the knight's on d7"
    plural = bool(said.get("plural")) or (given[place].text.lower().endswith("s") and not is_there)
    return Who(span, kinds, **{**said, "plural": plural}), end  # type: ignore[arg-type]


def _verb_follows(given: Sequence[Lexeme], place: int) -> bool:
    """Tell whether a verb with its man before it stands at a place, or behind a pronoun there: "la capture"."""
    if given[place].categories & {"article", "pronoun"}:
        place += 1
    return place < len(given) and "free" in given[place].categories


def _behind(given: Sequence[Lexeme], end: int, kind: str, said: dict[str, object]) -> int:
    """Read what some languages say behind the name of a man: "fou noir", "pion f"; return where that ends."""
    while end < len(given):
        hue, file = given[end].sense("hue"), given[end].sense("behind")
        verb = end + 1 < len(given) and "free" in given[end + 1].categories
        if hue is not None:
            said["colour"] = hue == "white"
        elif file is not None and kind == "pawn" and (file != "a" or verb):
            said["file"] = chess.FILE_NAMES.index(file)
        else:
            break
        end += 1
    return end


def _file_behind(given: Sequence[Lexeme], place: int) -> int | None:
    """Return the file of the man named before: "rook h takes h5", "knight g f4". "A" is rather an article."""
    file = given[place].sense("file") if place + 1 < len(given) else None
    if not file or len(given[place].text) > 1 or file == "a":
        return None
    following = given[place + 1]
    leads = following.kind == "square" or following.categories & {"take", "to"}
    return chess.FILE_NAMES.index(file) if leads else None


def _nameless(given: Sequence[Lexeme], index: int) -> tuple[Who, int] | None:
    """Read a side, a pronoun or "the one on e6"."""
    lexeme = given[index]
    following = given[index + 1] if index + 1 < len(given) else None
    if "side" in lexeme.categories:
        return Who(lexeme.span, colour=lexeme.sense("side") == "white"), index + 1
    if "we" in lexeme.categories:
        done_to = "object" in lexeme.categories
        return Who(lexeme.span, ours=True, pronoun=lexeme.sense("we") or "we", object=done_to), index + 1
    word = lexeme.sense("pronoun")
    if word in _PRONOUNS:
        ours = False if word == "he" else None
        done_to = "object" in lexeme.categories
        return Who(lexeme.span, _PRONOUNS[word], ours=ours, pronoun=word, object=done_to), index + 1
    placed = following is not None and "at" in following.categories and index + 2 < len(given)
    if lexeme.text.lower() == "the one" and placed and given[index + 2].square is not None:
        return Who(lexeme.span.to(given[index + 2].span), square=given[index + 2].square), index + 3
    file = lexeme.sense("file")
    if file and following is not None and "take" in following.categories and lexeme.text != "A":
        return Who(lexeme.span, (chess.PAWN,), file=chess.FILE_NAMES.index(file)), index + 1
    return None
