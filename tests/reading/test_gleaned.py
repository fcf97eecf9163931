"""Positions put together out of men and squares, in whatever manner people name them, with no form of them known.

The men are those of the demonstration columns, set out by python-chess; manners of telling: common practice, no source.
"""

import re
from collections.abc import Callable
from pathlib import Path

import chess
import pytest
from keyproof.grammar import positions
from keyproof.grammar.gleaning.beads import beads, signs_in
from keyproof.grammar.gleaning.counted import Count, counts, miscounted
from keyproof.grammar.gleaning.tellings import tellings
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.spans import Span
from keyproof.grammar.words import ORDINALS
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove


def sound(fen: str) -> bool:
    return len(prove(chess.Board(f"{fen} w - - 0 1"), TWO_MOVES).keys) == 1


TWO_MOVES = Stipulation.parse("#2")
PRINTED = re.compile(r"(?<=`)[1-8pnbrqkPNBRQK]+(?:/[1-8pnbrqkPNBRQK]+){7}(?= w - -)")
FENS = sorted(
    filter(sound, {fen for path in Path("corpus/demo").glob("*.md") for fen in PRINTED.findall(path.read_text())})
)
SPOKEN = {str(n + 1): word for n, word in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight"])}
Manner = Callable[[chess.BaseBoard], str]


def men(board: chess.BaseBoard, colour: chess.Color) -> list[tuple[str, str]]:
    """Return the men of a side, the king first, each with its square."""
    found = [(piece, square) for square, piece in board.piece_map().items() if piece.color is colour]
    found.sort(key=lambda man: -man[0].piece_type)
    return [(chess.piece_name(piece.piece_type), chess.square_name(square)) for piece, square in found]


def spoken(square: str) -> str:
    return f"{square[0]} {SPOKEN[square[1]]}"


def dictated(board: chess.BaseBoard) -> str:
    """As a speaker of whom a machine wrote down every word, who corrects himself once."""
    white = " ".join(f"{name} {spoken(square)}" for name, square in men(board, chess.WHITE))
    black = " and then ".join(f"a {name} um on {spoken(square)}" for name, square in men(board, chess.BLACK))
    return f"alright so tonight's one white has got {white} and uh facing that lot black with {black} okay mate in two"


def misheard(board: chess.BaseBoard) -> str:
    """As somebody tells it who says each king's square twice, and which it is not."""

    def side(colour: chess.Color) -> str:
        (name, square), *others = men(board, colour)
        other = f"{'abcdefgh'['hgfedcba'.index(square[0])]}{square[1]}"
        rest = " ".join(f"{name} {square}" for name, square in others)
        return f"the {name}'s on {square} that's {square} not {other} then {rest}"

    return f"so hello again white has {side(chess.WHITE)}\nand black has {side(chess.BLACK)}\nand it is mate in two"


def in_sentences(board: chess.BaseBoard) -> str:
    white = ", ".join(f"{name} {square}" for name, square in men(board, chess.WHITE))
    black = ", ".join(f"{name} {square}" for name, square in men(board, chess.BLACK))
    return f"My aunt's little problem opposes White's {white} to a Black force which is {black}. Mate in two moves."


def in_letters(board: chess.BaseBoard) -> str:
    sides = [
        " ".join(f"{'N' if name == 'knight' else name[0].upper()}{square}" for name, square in men(board, colour))
        for colour in chess.COLORS
    ]
    return f"Position (from the postcard), white {sides[0]} and against them, black {sides[1]}. Mate in two."


def square_first(board: chess.BaseBoard) -> str:
    told = [
        f"{square}: {'white' if colour else 'black'} {name}"
        for colour in chess.COLORS
        for name, square in men(board, colour)
    ]
    return "Mate in two. Take your pencil and write, " + "; ".join(told) + "."


SPELT = dict(zip("abcdefgh", ["alpha", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel"], strict=True))
TONGUES = {
    "es": (
        "Las blancas tienen {}. Las negras, {}. Juegan blancas y dan mate en dos.",
        "{} en {}",
        "rey dama torre alfil caballo peón",
    ),
    "fr": (
        "Pour les Blancs {}. Aux Noirs tu donneras {}. Mat en deux coups.",
        "le {} en {}",
        "roi dame tour fou cavalier pion",
    ),
    "it": ("Il Bianco ha {}. Il Nero, {}. Matto in due mosse.", "{} in {}", "re donna torre alfiere cavallo pedone"),
    "pt": ("As brancas têm {}. As pretas, {}. Mate em dois lances.", "{} em {}", "rei dama torre bispo cavalo peão"),
    "pl": ("Białe mają {}. Czarne: {}. Mat w dwóch posunięciach.", "{} na {}", "król hetman wieża goniec skoczek pion"),
    "sv": ("Vit har {}. Svart har {}. Matt i två drag.", "{} på {}", "kung dam torn löpare springare bonde"),
}


def over_the_radio(board: chess.BaseBoard) -> str:
    white, black = (
        ", ".join(f"{name} {SPELT[square[0]]} {SPOKEN[square[1]]}" for name, square in men(board, colour))
        for colour in (chess.WHITE, chess.BLACK)
    )
    return f"White to go, mate in two, over. White {white}, over. And the other side? Black {black}, over."


ORDINAL = dict(zip("12345678", ORDINALS, strict=False))


def by_lines(board: chess.BaseBoard, lines: str, line: str, man: str, vacant: str) -> str:
    """Tell each file or rank of `lines` in the words of `line`, with its men in those of `man`."""
    found = []
    for name in lines:
        told = [
            man.format(
                colour="white" if colour else "black",
                kind=kind,
                file=square[0],
                ordinal=ORDINAL[square[1]],
                rank=square[1],
            )
            for colour in chess.COLORS
            for kind, square in men(board, colour)
            if name in square
        ]
        found.append(f"{line.format(name=name, ordinal=ORDINAL.get(name, ''))}: {', '.join(told) or vacant}.")
    return " ".join(found) + " White to play and mate in two."


def by_files(board: chess.BaseBoard) -> str:
    return by_lines(board, "abcdefgh", "{name}-file", "{colour} {kind} on the {ordinal}", "vacant")


def by_ranks(board: chess.BaseBoard) -> str:
    return by_lines(board, "87654321", "The {ordinal} rank", "{colour} {kind} on {file}", "nothing at all")


def in_columns(board: chess.BaseBoard) -> str:
    """File by file, from below, with figures."""
    return by_lines(board, "abcdefgh", "Column {name}", "a {colour} {kind} on {rank}", "nothing")


def asked_for(board: chess.BaseBoard) -> str:
    """As one who has the board is asked by one who has not."""

    def kinds(colour: chess.Color) -> str:
        of_kind: dict[str, list[str]] = {}
        for kind, square in men(board, colour):
            of_kind.setdefault(kind, []).append(square)
        side = "White" if colour else "Black"
        return " ".join(f"And {side}'s {kind}s? {' and '.join(squares)}." for kind, squares in of_kind.items())

    return f"{kinds(chess.WHITE)} {kinds(chess.BLACK)} Who moves? White does, and it is mate in two."


def apart(board: chess.BaseBoard) -> str:
    """As over a bad line, file and rank apart."""
    white, black = (
        " - ".join(f"{name.upper()} {square[0].upper()}-{square[1]}" for name, square in men(board, colour))
        for colour in (chess.WHITE, chess.BLACK)
    )
    return f"WHITE - {white} - break. BLACK - {black} - break. White moves first. Mate in two."


def each_with_its_side(board: chess.BaseBoard) -> str:
    """Row by row from the top, without stops, the side said of each man."""
    told = [
        f"{'white' if piece.color else 'black'} {chess.piece_name(piece.piece_type)} {chess.square_name(square)}"
        for square, piece in sorted(board.piece_map().items(), key=lambda man: (-(man[0] // 8), man[0]))
    ]
    return "so from the top there is a " + " then a ".join(told) + "\nand it is mate in two\n"


def lifted(board: chess.BaseBoard) -> str:
    """With a man who was put on a wrong square, which is taken back at the end."""
    name, square = men(board, chess.WHITE)[1]
    wrong = next(each for each in ("a8", "h8", "a1") if not board.piece_at(chess.parse_square(each)) and each != square)
    told = in_sentences(board).replace(f"{name} {square}", f"{name} {wrong}", 1)
    return told.replace(" Mate in", f" Oh wait, the white {name} isn't on {wrong}, it's on {square}. Mate in")


@pytest.fixture
def no_forms(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no position be read by its form."""
    monkeypatch.setattr(positions, "find_told", lambda text: ())
    monkeypatch.setattr(positions, "find_lists", lambda text: ())
    monkeypatch.setattr(positions, "find_tables", lambda document: ())


def shown(text: str) -> list[str]:
    result = check_text("a.txt", text, Options(fresh=True))
    return [puzzle.fen.split()[0] for puzzle in result.puzzles if puzzle.fen]


@pytest.mark.usefixtures("no_forms")
@pytest.mark.parametrize("fen", FENS)
@pytest.mark.parametrize(
    "manner",
    [
        *(dictated, misheard, in_sentences, in_letters, square_first, over_the_radio, by_files, by_ranks),
        *(in_columns, asked_for, apart, each_with_its_side, lifted),
    ],
    ids=lambda each: each.__name__,
)
def test_men_and_squares_make_the_position_that_is_sound(fen: str, manner: Manner) -> None:
    text = manner(chess.BaseBoard(fen))
    assert shown(f"{text}\n\nNow for the answer.\n") == [fen], text


@pytest.mark.usefixtures("no_forms")
@pytest.mark.parametrize("tongue", TONGUES)
@pytest.mark.parametrize("fen", FENS[::4])
def test_men_and_squares_are_known_in_other_languages(fen: str, tongue: str) -> None:
    said, man, names = TONGUES[tongue]
    words = dict(zip(("king", "queen", "rook", "bishop", "knight", "pawn"), names.split(), strict=True))
    board = chess.BaseBoard(fen)
    sides = [
        ", ".join(man.format(words[name], square) for name, square in men(board, colour))
        for colour in (chess.WHITE, chess.BLACK)
    ]
    text = said.format(*sides)
    assert shown(f"{text}\n") == [fen], text


@pytest.mark.parametrize(
    "text",
    [
        "The knight on f3 guards e1 and the king on g1 has no square, so queen h5 mates. Black's king on e8 was lost.",
        "1.Kg2! Kh4 2.Re4 mate. If 1...h4 then 2.Re4 mate, for the king on h5 has no g5, which the knight on e6 sees.",
        "White king to e2, black king to e7, white rook to a1, and after that black rook to h8 and pawn to a6: a draw.",
    ],
)
def test_men_that_are_only_spoken_of_make_no_position(text: str) -> None:
    assert shown(text) == []


def test_men_that_make_no_sound_puzzle_make_no_position(no_forms: None) -> None:
    assert shown("White has a king on e1 and a queen on d2, Black his king on e8 and a rook on a8. Mate in two.") == []


def test_what_is_put_on_another_square_stands_there_alone(no_forms: None) -> None:
    fen = FENS[0]
    name, square = men(chess.BaseBoard(fen), chess.WHITE)[1]
    told = in_sentences(chess.BaseBoard(fen)).replace(f"{name} {square}", f"{name} a1, no, sorry, {square}")
    assert shown(told) == [fen], told


@pytest.mark.parametrize(("men", "found"), [("Kg7, Qf8, Rd1", []), ("Kg7, Qf8, Rd1, Qd1", ["unreadable-position"])])
def test_a_printed_list_with_a_fault_stands_though_a_sound_position_is_in_it(men: str, found: list[str]) -> None:
    text = f"White: {men}; Black: Kh5, d5, f2.\nMate in two.\n\n1.Qf4!\n"
    assert [each.finding.rule for each in check_text("a.txt", text, Options(fresh=True)).findings] == found


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("White has five men, Black two: ", [Count((5,), 1), Count((2,), 0)]),
        ("That is six white and four black, ten in all.", [Count((6,), 1), Count((4,), 0), Count((10,))]),
        ("White has two rooks, and there are three black pawns.", []),
        ("White's four: the king on e1.", [Count((4,), 1)]),
        ("One more, also in two. White has the king e1.", []),
        ("Your king, the black one, on e1. White has one.", [Count((1,), 1)]),
        ("Eight against five, if you were counting.", [Count((8, 5))]),
        ("Seven of ours, six of theirs.", [Count((7,), 1), Count((6,), 0)]),
        ("Seven each, and White begins.", [Count((7, 7))]),
        ("From a1 to two rooks against five pawns.", []),
    ],
)
def test_men_are_counted_where_no_kind_is_named(text: str, wanted: list[Count]) -> None:
    whole = Span(0, len(text))
    assert counts(beads(text, whole, signs_in(text, whole, LANGUAGES["en"]))) == frozenset(wanted)


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ([Count((4,), 1), Count((1,), 0)], [Count((5,), 1), Count((1,), 0)]),
        ([Count((5,))], [Count((6,))]),
        ([Count((1, 4))], [Count((1, 5))]),
    ],
)
def test_of_two_positions_the_one_with_so_many_men_as_are_told_is_likelier(
    right: list[Count], wrong: list[Count]
) -> None:
    pieces = chess.BaseBoard("8/8/8/8/B7/k7/8/1R2K2R").piece_map()
    assert miscounted(pieces, frozenset(right)) < miscounted(pieces, frozenset(wrong))


def test_words_a_list_does_not_know_are_read_as_words() -> None:
    text = (
        "Białe: król c6, pionki c7 i f2. Czarne: sam król na a7.\nMat w dwóch posunięciach.\n\n1.c8W! Ka6 2.Wa8 mat.\n"
    )
    assert shown(text) == ["8/k1P5/2K5/8/8/8/5P2/8"]


@pytest.mark.parametrize(
    ("told", "fen"),
    [
        ("the King at his own square, the Rook at King's Rook's square and a Rook at King's Knight's eighth", "6R1"),
        ("the Queen on her own square, the King on King's second and a Rook at King's Rook's square", "3Q3R"),
    ],
)
def test_a_man_may_stand_on_his_own_square(told: str, fen: str) -> None:
    text = f"For White place {told}; for Black the King at Queen's Knight's eighth, alone."
    boards = {
        part
        for each in tellings(text, Span(0, len(text)))
        for diagram in each.diagrams
        for part in _ranks(diagram.pieces)
    }
    assert fen in boards


def _ranks(pieces: dict[chess.Square, chess.Piece]) -> list[str]:
    board = chess.BaseBoard(None)
    board.set_piece_map(pieces)
    return board.board_fen().split("/")


def misplaced(fen: str) -> chess.BaseBoard:
    """Return a position with its last man but the kings on another square, so that it is no longer sound."""
    board = chess.BaseBoard(fen)
    (square, piece) = next(each for each in board.piece_map().items() if each[1].piece_type != chess.KING)
    board.remove_piece_at(square)
    for put in chess.SquareSet(~board.occupied & ~chess.BB_BACKRANKS & ~chess.BB_SQUARES[square]):
        other = board.copy()
        other.set_piece_at(put, piece)
        if chess.Board(f"{other.board_fen()} w - - 0 1").is_valid() and not sound(other.board_fen()):
            return other
    raise AssertionError(fen)


@pytest.mark.parametrize("fen", FENS)
@pytest.mark.parametrize("manner", [dictated, in_sentences, in_letters], ids=lambda each: each.__name__)
def test_a_position_that_is_not_sound_is_not_replaced_by_one_that_is(fen: str, manner: Manner) -> None:
    board = misplaced(fen)
    text = manner(board) + "\n\nNow for the answer.\n"
    assert shown(text) in ([], [board.board_fen()]), text


BESIDE_ANOTHER = """\
ANN: Mine first, if I may. White king f2, rook e5, knight e6.
BEN: And the other fellow?
ANN: King on g4 and a pawn, h5, that one about to run. White plays and mates in two.
BEN: King g2, and he has no good move. King h4, rook e4 mate.

BEN: Mine is no longer. White: king c6, rook h3, knight f6. Black: king a8, pawn a4. Mate in two.
"""


def test_a_second_position_is_found_in_the_text_of_one_that_was_read() -> None:
    assert shown(BESIDE_ANOTHER) == ["8/8/4N3/4R2p/6k1/8/5K2/8", "k7/8/2K2N2/8/p7/7R/8/8"]


BEFORE_ANOTHER = """\
Taken down in the signal box, a wet night.

– White king, charlie three. White queen, and mind how you pin her up, hotel two. Over.
– Queen. Yes. And next? Over.
– White knights golf two, delta one, pawns bravo six, bravo five. Over.
– Yes. And the other fellow? Over.
– King echo two, knight alpha eight, pawn bravo seven. White to go, mate in two. Over.
– Queen hotel three? King foxtrot one. Over.
– Now mine. White king foxtrot two, queen bravo five, rook golf one, pawn delta seven. Black king charlie seven,
pawn echo seven. Mate in two.
"""


def test_a_position_is_found_before_one_that_was_read() -> None:
    assert shown(BEFORE_ANOTHER) == ["n7/1p6/1P6/1P6/8/2K5/4k1NQ/3N4", "8/2kPp3/8/1Q6/8/8/5K2/6R1"]


def test_a_position_that_is_told_once_more_is_no_other() -> None:
    told = BESIDE_ANOTHER.replace("c6, rook h3, knight f6", "f2, rook e5, knight e6").replace("a8, pawn a4", "g4")
    assert shown(told) == ["8/8/4N3/4R3/6k1/8/5K2/8"]  # only what was read by its form


def test_a_list_of_which_men_were_not_read_is_made_whole() -> None:
    text = "W: Kf2, Re5, Ne6; B: Kg4 and\none pawn, h5. Mate in two.\n1 Kg2! Kh4 2 Re4 mate. 1...h4 2 Rg5 mate.\n"
    assert shown(text) == ["8/8/4N3/4R2p/6k1/8/5K2/8"]


def test_the_cues_of_a_talk_may_end_anywhere_in_a_position() -> None:
    cues = [
        "right the board then white's king's on f2 the",
        "rook on e5 a knight e6 and black has the king g4 and",
        "a pawn h5 and it's mate in two so king g2 is the key",
        "if king h4 rook e4 mate and if pawn h4 rook g5 mate",
    ]
    timed = (f"00:00:0{place}.000 --> 00:00:0{place + 1}.000\n{cue}\n" for place, cue in enumerate(cues))
    result = check_text("a.vtt", "\n".join(["WEBVTT\n", *timed]), Options(fresh=True))
    assert [puzzle.fen.split()[0] for puzzle in result.puzzles if puzzle.fen] == ["8/8/4N3/4R2p/6k1/8/5K2/8"]


def test_another_pawn_behind_its_square_is_not_of_the_file_a() -> None:
    text = "Second rank: White king f2. Fourth: on g4 a black king. Fifth: on e5 a white rook, on h5 a black pawn.\n"
    assert shown(text + "And the white knight is on e6. Mate in two.\n") == ["8/8/4N3/4R2p/6k1/8/5K2/8"]
