"""Reasons in words: which words are one, what they say, and that their place is exact."""

import chess
import pytest
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.reasons import reasons
from keyproof.grammar.scan import statements
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Man, Reason, Turn


def read(text: str, language: str = "en") -> list[Reason]:
    return reasons(text, Span(0, len(text)), LANGUAGES[language])


def man(found: Man | None) -> str:
    """Write a man as "white knight e4", with what the words say of it."""
    if found is None:
        return "-"
    colour = "" if found.colour is None else f"{chess.COLOR_NAMES[found.colour]} "
    kinds = "/".join(chess.piece_name(kind) for kind in found.kinds) or ("it" if found.pronoun else "unsaid")
    file = "" if found.file is None else f" {chess.FILE_NAMES[found.file]}-file"
    shade = "" if found.light is None else " light" if found.light else " dark"
    return f"{colour}{kinds}{file}{shade}" + "".join(f" {chess.square_name(square)}" for square in found.squares)


def told(reason: Reason) -> str:
    words = [("not " if reason.negated else "") + reason.kind, man(reason.man), man(reason.other)]
    words += [" ".join(map(chess.square_name, reason.squares)), "" if reason.count is None else str(reason.count)]
    return ", ".join([*words, reason.where]).rstrip(", ")


# The words of the reason between bars, and what they say: kind, the man, who does it, squares, count, line.
SAID = {
    "for |the bishop on e6 is pinned| and": "pinned, bishop e6, -",
    "|The knight on c seven is pinned by the rook on\nd seven|.": "pinned, knight c7, rook d7",
    "the |pinned| knight may not take": "pinned, knight, -",
    "|our queen pins it along the third rank|, so": "pinned, it, queen, , , along the third rank",
    "|the bishop isn't pinned any more|, and": "not pinned, bishop, -",
    "1.Dc1? |pins the pawn on c7| but": "pinned, pawn c7, unsaid",
    "since |Black's light-squared bishop is now pinned|": "pinned, black bishop light, -",
    "|the Rb3 is pinned| once": "pinned, rook b3, -",
    "|the rook guards e4 and f four|": "guarded, -, rook, e4 f4",
    "|The night on dee five covers e 7|": "guarded, -, knight d5, e7",
    "|e4 is covered by the white knight|": "guarded, -, white knight, e4",
    "|e4 is controlled by the rook|": "guarded, -, rook, e4",
    "|d5 is guarded twice|": "guarded, -, -, d5, 2",
    "|e4 is guarded by nobody| now": "not guarded, -, -, e4",
    "|the pawn on d6 is pinned by no man|": "not pinned, pawn d6, -",
    "|The bishop, guarded by the rook|, stays": "guarded, bishop, rook",
    "|the bishop on g3 does guard b8| too": "guarded, -, bishop g3, b8",
    "|The rook on g2 has e2 and f2 covered|": "guarded, -, rook g2, e2 f2",
    "|b2 is denied to him by our knight|": "guarded, -, knight, b2",
    "|the king commands d1 and d2|": "guarded, -, king, d1 d2",
    "|e4 is covered by both the rook and the knight from g3|": "guarded, -, rook, e4",
    "|e4 is covered by the rook on e8|, and the knight stays": "guarded, -, rook e8, e4",
    "he can't go to c7 |because of the knight on e5|": "guarded, -, knight e5, c7",
    "e5 is off limits |because of the queen|": "guarded, -, queen, e5",
    "it steps to e4, |which the rook guards|, and": "guarded, -, rook, e4",
    "|the knight guards that|, too": "guarded, it, knight",
    "|From c6 the bishop guards e7|, and": "guarded, -, bishop c6, e7",
    "for |from b7 it is watching d6|": "guarded, -, it b7, d6",
    "|the bishop looks all the way down the long diagonal to h1|.": "guarded, -, bishop, h1",
    "|The rook rakes e4 and e5| at once": "guarded, -, rook, e4 e5",
    "|the bishop down in the corner covers d4|": "guarded, -, bishop, d4",
    "|the c4 pawn backs her|": "guarded, it, pawn c4",
    "|the rook enjoying the protection of the king on e2|": "guarded, rook, king e2",
    "|the bishop keeps the king out of e8 and e6|": "guarded, -, bishop, e8 e6",
    "|nobody guards a six| now": "not guarded, -, -, a6",
    "|The queen no longer guards h seven|, so": "not guarded, -, queen, h7",
    "|it doesn't guard e four any more|": "not guarded, -, it, e4",
    "|the queen gives up the guard of a four|": "not guarded, -, queen, a4",
    "|the bishop on d one protects her|": "guarded, it, bishop d1",
    "|our king guards b two, c two and d two|": "guarded, -, king, b2 c2 d2",
    "|the queen guards e4|, e5 is free": "guarded, -, queen, e4",
    "|The h-pawn can't move|, the rook": "immobile, pawn h-file, -",
    "|the pawns on f four and g two are stuck|": "immobile, pawn f4 g2, -",
    "|the black king has no squares left|": "flights, black king, -, , 0",
    "|the king has two flights, b three and d three|": "flights, king, -, b3 d3, 2",
    "|the king has nowhere to go|": "flights, king, -, , 0",
    "|the only flight is e6|": "flights, -, -, e6, 1",
    "|the king has a single flight|": "flights, king, -, , 1",
    "|the black king had just two squares| in the diagram": "flights, black king, -, , 2",
    "|the king is left with three flights|": "flights, king, -, , 3",
    "|he's got only two squares, h6 and h5|": "flights, -, -, h6 h5, 2",
    "|His Majesty has a single flight, and it is the square h1|.": "flights, king, -, h1, 1",
    "|The king's got just e3|, and": "flights, king, -, e3, 1",
    "|he's got f6 and f7 and nothing else|": "flights, -, -, f6 f7, 2",
    "|the king could step to h5 and that is it|": "flights, king, -, h5, 1",
    "|Black's king can only go to f7|.": "flights, black king, -, f7, 1",
    "|the king is confined to b1, b2 and d1|": "flights, king, -, b1 b2 d1, 3",
    "|he has two squares though, h6 and h5|": "flights, it, -, h6 h5, 2",
    "|the one exit is e7|": "flights, -, -, e7, 1",
    "|he had five moves|, and": "replies, -, -, , 5, he had  five moves",
    "That |leaves him three moves|.": "replies, -, -, , 3, leaves him  three moves",
    "So |that makes nine replies|.": "replies, -, -, , 9, that makes  nine replies",
    "Black has |nine replies to the key|.": "replies, -, -, , 9, nine replies to the key",
    "|In all nine replies|, each answered": "replies, -, -, , 9, In all nine replies",
    "|Nine moves are open to Black|.": "replies, -, -, , 9, Nine moves are open to Black",
    "|He can make nine moves|.": "replies, -, -, , 9, He can make  nine moves",
    "|gives the king a flight on d5|": "flight_given, king, unsaid, d5",
    "|The queen hands the king a second flight on a4|": "flight_given, king, queen, a4",
    "|takes d5 from the king|": "flight_taken, -, unsaid, d5",
    "|the rook takes away the squares d5, e5 and f5|": "flight_taken, -, rook, d5 e5 f5",
    "|the pawn has blocked h five for its own king|": "blocked, -, pawn, h5, , for its own king",
    "|The pawn on b three is blocked by the pawn on b two|": "blocked, pawn b3, pawn b2",
    "|the rook shuts off the bishop| and": "line_closed, bishop, rook",
    "|it opens the line for our own bishop in the corner|": "line_opened, bishop, it, , , the line",
    "|he opens the g file|": "line_opened, -, it, , , the g file",
}


@pytest.mark.parametrize("text", SAID)
def test_the_words_say_this_and_stand_there(text: str) -> None:
    bare = text.replace("|", "")
    (reason,) = read(bare)
    assert told(reason) == SAID[text]
    start = text.index("|")
    assert reason.span == Span(start, text.rindex("|") - 1)


@pytest.mark.parametrize(
    "text",
    [
        "a half-pinned rook",
        "the bishop was pinned",
        "the bishop would be pinned",
        "a pinned knight cannot move",
        "the rook takes d5",
        "the queen takes d5 and mates",
        "the bishop cannot move to d4",
        "the knight cannot move without losing",
        "the rook is stuck with its task",
        "the queen is stuck behind her own pawn",
        "the king has no squares to fear",
        "the king may go to d7 or to e7",
        "he has e4 and goes there",
        "the pawn has e4",
        "the king has e4 and d4",
        "the king has two squares on the fifth rank",
        "the cover of the bulletin",
        "thanks for watching see you soon",
        "the bishop looks very tempting",
        "he took part in the defence of the town",
    ],
)
def test_these_words_are_no_reason(text: str) -> None:
    assert read(text) == []


def test_the_piece_letters_are_those_of_the_language() -> None:
    (reason,) = read("Der Zug droht: the Se4 is pinned, sagt der Autor", "de")
    assert told(reason) == "pinned, knight e4, -"


def test_no_move_is_read_in_a_reason() -> None:
    text = "1.Qb6 takes away d5 and covers e4. The rook on f1 guards f4."
    found, _ = statements(text, [Span(0, len(text))])
    assert [each.span.of(text) for each in found if isinstance(each, Turn)] == ["1.Qb6"]
    assert [each.kind for each in found if isinstance(each, Reason)] == ["flight_taken", "guarded", "guarded"]


def test_the_man_of_a_move_is_left_to_it() -> None:
    text = "the pinned knight takes on d4"
    found, _ = statements(text, [Span(0, len(text))])
    assert [each.span.of(text) for each in found if isinstance(each, Turn)] == ["knight takes on d4"]
