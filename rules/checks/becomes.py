"""What a pawn becomes, told in the words around its move."""

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme, lexemes

from ..case.case import Case
from ..reading.reading import Mention

_PASSED = ("comma", "open", "dash", "colon")
_ENDS = (*_PASSED, "close", "semicolon", "stop", "line")


def is_told_apart(case: Case, mention: Mention) -> bool:
    """Tell whether the words around a pawn's move speak of what it becomes: "the pawn on h1, whatever it becomes".

    Of a printed move the words right behind it do: "1...exd1, promoting to whatever he pleases", "h2h1, a queen or a
    knight".
    """
    span = mention.phrase.span
    around = [clause.sentence for clause in case.clauses if clause.sentence.start <= span.start < clause.sentence.end]
    words = lexemes(case.masked, around[0], *case.told_in) if around else []
    if not mention.phrase.worded:
        behind = [each for each in words if each.span.start >= span.end and each.kind not in _PASSED]
        if _names_man(behind):
            return True
        words = behind[:1]
    return any({"promote", "promoting"} & word.categories or word.sense("mark") == "any" for word in words)


def _names_man(words: Sequence[Lexeme]) -> bool:
    """Tell whether words begin with one man alone, who is told to do nothing: "a queen or a knight"."""
    named = words[1:] if words and "article" in words[0].categories else words
    return (
        bool(named)
        and "man" in named[0].categories
        and (len(named) == 1 or named[1].kind in _ENDS or named[1].sense("link") == "or")
    )
