"""Moves told in words: "the rook lifts to the third rank", "black takes it with the king"."""

import re
from collections.abc import Iterable
from typing import Any

import chess
from msgspec import Struct, field
from msgspec.structs import replace

from .effects import effects_said
from .lexing import Token
from .moves import Effect, MovePhrase, Sort, read_move
from .spans import Span
from .statements import Topic
from .trees import Tree
from .words import FILES, MEN, rank_of, square_of

_SETS = {"any", "every", "each", "all", "either"}


def man_of(word: str) -> chess.PieceType:
    """Return the kind of man that "knight", "Knights" or "night" names."""
    return MEN[word.lower().removesuffix("s")]


def topic(tree: Tree[Token]) -> Topic:
    """Read the name of a man, and of its square: "the knight on a five", "then there's the bishop"."""
    tokens = _tokens(tree)
    man, square = _first(tokens, "MAN"), _first(tokens, "SQUARE")
    span, text = tokens[0].span.to(tokens[-1].span), " ".join(token.value for token in tokens)
    where = None if square is None else square_of(square.value)
    return Topic(span, text, None if man is None else man_of(man.value), where)


class _Told(Struct):
    """What the words of one move have told so far."""

    parts: dict[str, Any] = field(default_factory=dict)
    effects: list[tuple[Effect, Span]] = field(default_factory=list)


def told_move(tree: Tree[Token]) -> MovePhrase:
    """Read the tree of a `worded` move. Its span runs from the first to the last word."""
    told = _Told()
    whole: list[Token] = []
    for part in tree.children:
        if isinstance(part, Token):
            whole.append(part)
            _WORDS.get(part.type, _nothing)(part, told)
        else:
            inside = _tokens(part)
            whole.extend(inside)
            _PARTS[part.data](inside, told)
    found = told.parts
    if "place" in found and "destination" not in found and "placing" in found:
        found.update(destination=found["place"])  # "put the queen on b6"
    elif "place" in found:
        found.update(_origin(found["place"], found["place_span"]))
    if "there" in found and "destination" in found:
        found.update(_origin(found["there"], found["there_span"]))
    elif "there" in found:
        found["destination"] = found["there"]
    for temporary in ("there", "there_span", "place", "place_span", "placing"):
        found.pop(temporary, None)
    if found.pop("takes_it", False):
        found["captured"] = found.pop("piece")  # "the capture of the queen"
    if whole[0].type == "AND_GOES":
        found["pronoun"] = True
    if "promotion" in found and not {"TO", "ON", "VERB", "PUTS", "AUX"} & {token.type for token in whole}:
        found["piece"] = chess.PAWN  # "so we promote, but to a knight. h eight equals knight"
    if "piece" in found:
        found.update(pronoun=False, feminine=False)  # "he pushes the pawn"
    exact = ("destination" in found and "piece" in found) or found.get("castling") in ("short", "long")
    return MovePhrase(
        span=whole[0].span.to(whole[-1].span),
        text=" ".join(token.value for token in whole),
        sort=Sort.move if exact and not found.get("every") else Sort.any_of_piece,
        worded=True,
        effects=tuple(told.effects) + found.pop("signs", ()),
        **found,
    )


def rivals(tree: Tree[Token]) -> list[MovePhrase]:
    """Read the same move told of several men: "the rook or the bishop takes it"."""
    man = _Told()
    tokens: list[Token] = []
    for part in tree.children[:-2]:
        if isinstance(part, Token):
            tokens.append(part)
            _WORDS.get(part.type, _nothing)(part, man)
        else:
            tokens.extend(_tokens(part))
            _came_from(_tokens(part), man)
    last = tree.children[-1]
    assert isinstance(last, Tree)
    others = rivals(last) if last.data == "rival" else [told_move(last)]
    own: dict[str, Any] = dict.fromkeys(("origin_file", "origin_rank", "origin_span", "square_shade", "wing", "colour"))
    own.update(man.parts)
    span = tokens[0].span.to(tokens[-1].span)
    text = " ".join(token.value for token in tokens)
    return [replace(others[0], span=span, text=text, **own), *others]


def taken(tree: Tree[Token]) -> list[MovePhrase]:
    """Read the captures that "the rook on d7 can be taken by the bishop, or by the knight on f8" speaks of."""
    target = _Told()
    for part in tree.children:
        if isinstance(part, Token):
            _WORDS.get(part.type, _nothing)(part, target)
        elif part.data == "place":
            _destination(_tokens(part), target)
    told = {"captured": target.parts["piece"], "capture": True, "effects": tuple(target.effects), "worded": True}
    if "destination" in target.parts:
        told["destination"] = target.parts["destination"]
    found = []
    for part in tree.named("taker"):
        tokens, taker = _tokens(part), _Told()
        _by(tokens, taker)
        span = tokens[0].span.to(tokens[-1].span)
        sort = Sort.move if "destination" in told else Sort.any_of_piece
        text = " ".join(token.value for token in tokens)
        found.append(MovePhrase(span, text, sort, capture_span=span, **told, **taker.parts))
    return found


def _tokens(tree: Tree[Token]) -> list[Token]:
    return list(tree.leaves())


def _origin(square: chess.Square, span: Span) -> dict[str, Any]:
    return {
        "origin_file": chess.square_file(square),
        "origin_rank": chess.square_rank(square),
        "origin_span": span,
    }


# -- single words ------------------------------------------------------------------


def _nothing(token: Token, told: _Told) -> None:
    """Read a word that adds nothing to which move is meant."""


def _determiner(token: Token, told: _Told) -> None:
    word = token.value.lower()
    if word.startswith(("black", "white")):
        told.parts["colour"] = word.startswith("white")
    elif word in _SETS:
        told.parts["every"] = True
    elif word in ("that", "this"):
        told.parts["pointed_at"] = True


def _colour(token: Token, told: _Told) -> None:
    told.parts["colour"] = token.value.lower() == "white"


def _shade(token: Token, told: _Told) -> None:
    told.parts["square_shade"] = token.value.lower().startswith(("light", "white"))


def _wing(token: Token, told: _Told) -> None:
    told.parts["wing"] = "king" if token.value.lower().startswith("king") else "queen"


def _file_of(token: Token, told: _Told) -> None:
    told.parts["origin_file"] = _file(token.value)


def _file(words: str) -> int:
    name = re.search(r"[a-z]+", words.lower().removeprefix("the").strip())
    assert name is not None
    return FILES[name[0]]


def _man(token: Token, told: _Told) -> None:
    told.parts["piece"] = man_of(token.value)


def _pronoun(token: Token, told: _Told) -> None:
    told.parts.update(pronoun=True, feminine=token.value.lower() in ("she", "her"))


def _king(token: Token, told: _Told) -> None:
    told.parts["piece"] = chess.KING


def _threatens(token: Token, told: _Told) -> None:
    told.parts["threatened"] = True


def _denies(token: Token, told: _Told) -> None:
    told.effects.append((Effect.denied, token.span))


def _in_passing(token: Token, told: _Told) -> None:
    told.parts["en_passant"] = True


def _puts(token: Token, told: _Told) -> None:
    if token.value.lower() in ("put", "puts", "place", "places", "post", "posts"):
        told.parts["placing"] = True


def _steps(token: Token, told: _Told) -> None:
    _distance(token, told)
    told.parts.setdefault("piece", chess.PAWN)


def _distance(token: Token, told: _Told) -> None:
    """Read how far a pawn goes: "two steps", "one square"."""
    number = re.match(r"(?:just\s+)?(one|two|a|another)\b", token.value.lower())
    if number is not None and " or " not in token.value:
        told.parts["steps"] = (2,) if number[1] == "two" else (1,)
    elif line := re.match(r"along\s+the\s+(rank|file|diagonal)", token.value.lower()):
        told.parts["along"] = line[1]


def _takes(token: Token, told: _Told) -> None:
    told.parts.update(capture=True, capture_span=token.span)
    if token.type in ("RETAKES", "TAKES_BACK"):
        told.parts["captures_last"] = True


def _castles(token: Token, told: _Told) -> None:
    side = re.search(r"short|long|king|queen", token.value.lower())
    sides = {"short": "short", "king": "short", "long": "long", "queen": "long"}
    told.parts.update(castling=sides[side[0]] if side else "either", piece=chess.KING)


def _effect(token: Token, told: _Told) -> None:
    told.effects.extend(effects_said(token))


def _effect_on(token: Token, told: _Told) -> None:
    words = token.value.lower()
    effect = Effect.mate if "mat" in words else Effect.check
    if words.startswith("check") and words.endswith("with"):
        told.parts["placing"] = True  # "check with the queen on a six": where she goes
    core = re.search(r"mat(?:es?|ing)|checks?", words)
    assert core is not None
    start = token.span.start
    told.effects.append((effect, Span(start + core.start(), start + core.end())))


def _square(token: Token, told: _Told) -> None:
    told.parts["destination"] = square_of(token.value)
    told.parts.setdefault("piece", chess.PAWN)


def _every(token: Token, told: _Told) -> None:
    words = token.value.lower()
    if "captur" in words:
        told.parts.update(capture=True, capture_span=token.span, takes_it=words.endswith("of"))
    if token.type != "MOVES_OF" or not re.match(r"capture\s", words):
        told.parts["every"] = True  # "the capture by the pawn" is one move


def _promotes(token: Token, told: _Told) -> None:
    words = token.value.lower()
    if "underpromot" in words:
        told.parts["underpromotion"] = True
    elif "queen" in words:
        told.parts.update(promotion=chess.QUEEN, promotion_span=token.span)
    told.parts.setdefault("piece", chess.PAWN)


def _adverb(token: Token, told: _Told) -> None:
    if token.value.lower() in ("anywhere", "elsewhere", "else"):
        told.parts["every"] = True


_WORDS = {
    "ADVERB": _adverb,
    "DETERMINER": _determiner,
    "COLOUR": _colour,
    "SHADE": _shade,
    "WING": _wing,
    "FILE_OF": _file_of,
    "FILE": _file_of,
    "MAN": _man,
    "PRONOUN": _pronoun,
    "GOES_TO": _pronoun,
    "MATED_ON": _king,
    "PUTS": _puts,
    "TAKES": _takes,
    "PICKS_UP": _takes,
    "RETAKES": _takes,
    "TAKES_BACK": _takes,
    "CANNOT": _denies,
    "MAY_NOT": _denies,
    "NO_MAN": _denies,
    "THREATENS_TO": _threatens,
    "IN_PASSING": _in_passing,
    "ANYWHERE": _every,
    "ANYTHING": _every,
    "ANOTHER_MOVE": _every,
    "CASTLES": _castles,
    "EFFECT": _effect,
    "EFFECT_ON": _effect_on,
    "EFFECT_WITH": _effect_on,
    "SQUARE": _square,
    "MOVES_OF": _every,
    "WHATEVER": _every,
    "PROMOTES": _promotes,
    "STEPS_TO": _steps,
    "ADVERBIAL": _distance,
}

# -- parts of several words --------------------------------------------------------


def _first(tokens: Iterable[Token], *types: str) -> Token | None:
    return next((token for token in tokens if token.type in types), None)


def _place(tokens: list[Token], told: _Told) -> None:
    square = _first(tokens, "SQUARE")
    assert square is not None
    told.parts.update(place=square_of(square.value), place_span=square.span)


def _came_from(tokens: list[Token], told: _Told) -> None:
    square = _first(tokens, "SQUARE")
    assert square is not None
    told.parts.update(_origin(square_of(square.value), square.span))


def _there(tokens: list[Token], told: _Told) -> None:
    """Read the square of "from c eight it": where the man stands that goes on, else where it has gone."""
    told.parts.update(there=square_of(tokens[0].value), there_span=tokens[0].span)


def _destination(tokens: list[Token], told: _Told) -> None:
    last = tokens[-1]
    if last.type == "SQUARE":
        told.parts["destination"] = square_of(last.value)
    elif last.type == "RANK":
        told.parts["destination_rank"] = rank_of(last.value)
    elif last.type == "FILE_NAMED":
        told.parts["destination_file"] = _file(last.value)
    else:  # "the king to g2!"
        move = read_move(last.value, offset=last.span.start)
        told.parts.update(destination=move.destination, signs=move.effects, annotation=move.annotation)


def _object(tokens: list[Token], told: _Told) -> None:
    """Read what is captured: "it", "the rook", "the rook on d4", "his h-pawn"."""
    man, square = _first(tokens, "MAN"), _first(tokens, "SQUARE")
    if man is not None:
        told.parts["captured"] = man_of(man.value)
    elif square is None:
        told.parts["captures_last"] = True
        if any(token.value.lower() == "her" for token in tokens):
            told.parts["captured"] = chess.QUEEN
    if square is not None:
        told.parts["destination"] = square_of(square.value)
    elif (named := _first(tokens, "FILE_OF")) is not None:
        told.parts["destination_file"] = _file(named.value)


def _promoted(tokens: list[Token], told: _Told) -> None:
    man = _first(tokens, "MAN")
    assert man is not None
    told.parts.update(promotion=man_of(man.value), promotion_span=man.span)


def _by(tokens: list[Token], told: _Told) -> None:
    """Read who makes the move: "with the king", "with the pawn on f4"."""
    inner = _Told()
    for token in tokens:
        if token.type in ("DETERMINER", "COLOUR", "SHADE", "WING", "FILE_OF", "MAN"):
            _WORDS[token.type](token, inner)
    square = _first(tokens, "SQUARE")
    if square is not None:
        inner.parts.update(_origin(square_of(square.value), square.span))
    told.parts.update(inner.parts)


_PARTS = {
    "place": _place,
    "origin": _came_from,
    "there": _there,
    "destination": _destination,
    "object": _object,
    "promoted": _promoted,
    "by": _by,
}
