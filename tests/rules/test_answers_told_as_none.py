"""A printed answer that the sentence tells as one that fails, or is there no more, is held against nobody.

The position is that of the rules' own pages; the sentences are ours (common practice, no source). 1...h4 2.Re4+ is
check and no mate, by python-chess.
"""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.finding import Level

TEXT = (
    "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"
    "1.Kg2! is the key, a waiting move. 1...Kh4 2.Re4#. {} So 1...h4 2.Rg5#.\n"
)


def accused(sentence: str, text: str = TEXT) -> list[str]:
    """Return the rules by which a sentence in the midst of the solution is accused."""
    found = check_text("a.txt", text.format(sentence), Options(fresh=True)).findings
    return [each.finding.rule for each in found if each.finding.level is not Level.note]


def test_the_answer_is_no_mate() -> None:
    board = chess.Board("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1")
    for san in ("Kg2", "h4", "Re4+"):
        board.push_san(san)
    assert board.is_check()
    assert not board.is_checkmate()


@pytest.mark.parametrize(
    "sentence",
    [
        "After 1...h4 2.Re4+ no longer works.",
        "1...h4 is the defence to 2.Re4.",
        "1...h4 defends against 2.Re4#.",
        "1...h4 robs White of 2.Re4.",
        "After 1...h4 there is no longer 2.Re4#.",
        "After 1...h4 the move 2.Re4+ would leave the square h5 unattended.",
        "After 1...h4 I can't see 2.Re4+ working.",
        "After 1...h4 2.Re4 is met by 2...Kh5.",
        "After 1...h4 you may be tempted by 2.Re4+, and you would be wrong.",
        "After 1...h4 2.Re4+ is useless.",
        "1...h4 takes the sting out of 2.Re4+.",
        "After 1...h4 2.Re4+ is ruled out.",
        "After 1...h4 2.Re4 throws away the rook.",
        "After 1...h4 2.Re4 merely loses the rook.",
    ],
)
def test_an_answer_told_as_none_is_not_accused(sentence: str) -> None:
    assert accused(sentence) == []


@pytest.mark.parametrize(
    "sentence",
    [
        "After 1...h4 comes 2.Re4#.",
        "1...h4 is met by 2.Re4.",
        "On 1...h4 White has 2.Re4#.",
        "1...h4 runs into 2.Re4#.",
        "The answer to 1...h4 is 2.Re4#.",
        "1...h4 fails to 2.Re4#.",
        "If Black plays 1...h4 instead, then 2.Re4 mates.",
        "1...h4 opens the fourth rank to 2.Re4#.",
        "To 1...h4 White replies 2.Re4#.",
        "1...h4 allows 2.Re4#.",
        "And 1...h4, then? 2.Re4#.",
        "1...h4 2.Re4, mate.",
    ],
)
def test_an_answer_told_as_one_is(sentence: str) -> None:
    assert len(accused(sentence)) == 1


OTHER_TONGUES = {
    "german": (
        "Matt in zwei Zügen.\n\nSchlüssel ist 1.Kg2!, ein Wartezug. Auf 1...Kh4 folgt 2.Te4#. {} Also 1...h4 2.Tg5#.",
        ("Nach 1...h4 folgt 2.Te4#.", "Auf 1...h4 hat Weiß 2.Te4#."),
        (
            "Nach 1...h4 geht 2.Te4+ nicht mehr.",
            "1...h4 raubt Weiß das Matt 2.Te4.",
            "1...h4 nimmt 2.Te4+ die Spitze.",
            "Nach 1...h4 ist 2.Te4+ nur ein Schach.",
            "Nach 1...h4 ist 2.Te4+ lediglich ein Schach.",
            "Nach 1...h4 ist es mit 2.Te4 vorbei.",
            "Wer auf 1...h4 voreilig 2.Te4+ zieht, hat den König auf h5 vergessen.",
        ),
    ),
    "french": (
        "Mat en deux coups.\n\nLa clé est 1.Rg2!, un coup d'attente. Sur 1...Rh4, 2.Te4#. {} Donc 1...h4 2.Tg5#.",
        ("Après 1...h4 suit 2.Te4#.", "Sur 1...h4, les Blancs ont 2.Te4#."),
        (
            "Après 1...h4, 2.Te4+ ne marche plus.",
            "1...h4 prive les Blancs de 2.Te4.",
            "1...h4 enlève 2.Te4.",
            "Après 1...h4, 2.Te4+ serait prématuré.",
            "Après 1...h4, 2.Te4+ n'est qu'un échec.",
            "Après 1...h4, 2.Te4+ donne seulement échec.",
            "Qui joue 2.Te4+ après 1...h4 oublie la case h5.",
        ),
    ),
    "spanish": (
        "Mate en dos.\n\nLa clave es 1.Rg2!, una jugada de espera. Si 1...Rh4, 2.Te4#. {} Así, 1...h4 2.Tg5#.",
        ("Tras 1...h4 sigue 2.Te4#.", "A 1...h4 las blancas responden 2.Te4#."),
        (
            "Tras 1...h4 ya no vale 2.Te4+.",
            "1...h4 priva a las blancas de 2.Te4.",
            "1...h4 quita fuerza a 2.Te4+.",
            "Tras 1...h4, 2.Te4+ sería prematuro.",
            "Tras 1...h4, 2.Te4+ es sólo un jaque.",
            "Tras 1...h4, 2.Te4+ no pasa de ser un jaque.",
            "Quien juega 2.Te4+ tras 1...h4 olvida la casilla h5.",
        ),
    ),
    "dutch": (
        "Mat in twee zetten.\n\nDe sleutel is 1.Kg2!, een wachtzet. Op 1...Kh4 volgt 2.Te4#. {} Dus 1...h4 2.Tg5#.",
        ("Na 1...h4 volgt 2.Te4#.", "Op 1...h4 heeft wit 2.Te4#."),
        (
            "Na 1...h4 gaat 2.Te4+ niet meer.",
            "1...h4 berooft wit van 2.Te4.",
            "Na 1...h4 zou 2.Te4+ voorbarig zijn.",
            "Na 1...h4 is 2.Te4+ slechts een schaak.",
            "Na 1...h4 geeft 2.Te4+ alleen schaak.",
            "Na 1...h4 vervalt 2.Te4.",
        ),
    ),
    "italian": (
        "Matto in due mosse.\n\nLa chiave è 1.Rg2!, mossa d'attesa. Su 1...Rh4 segue 2.Te4#. {} Dunque 1...h4 2.Tg5#.",
        ("Dopo 1...h4 segue 2.Te4#.", "Su 1...h4 il Bianco ha 2.Te4#."),
        (
            "Dopo 1...h4 non va più 2.Te4+.",
            "1...h4 priva il Bianco di 2.Te4.",
            "Dopo 1...h4 2.Te4+ sarebbe prematuro.",
            "Dopo 1...h4 2.Te4+ è solo uno scacco.",
            "Dopo 1...h4 2.Te4+ è soltanto uno scacco.",
            "Chi gioca 2.Te4+ dopo 1...h4 dimentica la casa h5.",
        ),
    ),
}


@pytest.mark.parametrize("tongue", OTHER_TONGUES)
def test_so_it_is_in_other_tongues(tongue: str) -> None:
    text, as_answers, as_none = OTHER_TONGUES[tongue]
    head, _, _ = TEXT.partition("Mate")
    accusing = {sentence: len(accused(sentence, f"{head}{text}\n")) for sentence in (*as_answers, *as_none)}
    assert accusing == dict.fromkeys(as_answers, 1) | dict.fromkeys(as_none, 0)
