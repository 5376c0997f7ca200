"""What is told of a good move is no condition of the win where another is as quick without it: that one is named."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas import slower_moves
from matebot.ideas.leaves_man import LeavesMan
from matebot.ideas.slower_moves import SlowerMoves
from matebot.ideas.towards_w import TowardsW
from matebot.method.library import Library
from matebot.terms import Mistake
from matebot.wording import as_good, attack, rivals
from matebot.wording.attack import deeds, head
from matebot.wording.reason import Deed, Rank, Reason
from tests.counting import counts
from tests.witness.spoken import Fault, claims
from tests.wording.bare import facts_of
from tests.wording.claiming import said_of as told_of
from tests.wording.sampling import WITH_LADDER, WITHOUT, Said, maker_for, taken, text_of

#: What speaks for itself: mate, and a check that hits two.
_BLOWS = ("forks", "skewers")


def told_also(library: Library, said: Said) -> list[bool]:
    """Return of each other move that mates as soon whether what is told of a move is found among its deeds too."""
    board = chess.Board(said.facts.fen)
    maker, mine = maker_for(library, board), chess.Move.from_uci(said.facts.move)
    value = {move: library.tables.value(_after(board, move)) for move in board.legal_moves}
    alike = [move for move in board.legal_moves if move != mine and value[move] == value[mine]]
    text = head(said.text.partition(f"{said.facts.san} ")[2].partition(". ")[0])
    return [any(text == head(deed.text) for deed in deeds(maker.facts(move))) for move in alike]


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    there = board.copy(stack=False)
    there.push(move)
    return there


@counts(9, 12)
@pytest.mark.parametrize("ending", [*WITH_LADDER, *WITHOUT])
def test_a_move_as_quick_is_named_where_not_all_that_are_do_what_is_told(
    library: Library, ending: str, count: int
) -> None:
    all_do = named = 0
    for said in taken(library, ending, "attack", count):
        facts = said.facts
        speaks = "#" in facts.san or any(blow in said.text for blow in _BLOWS)
        if speaks or facts.cost.moves_lost:
            continue
        do, tells = told_also(library, said), " as quick" in said.text
        all_do, named = all_do + all(do), named + tells
        assert all(do) or tells, said
    assert all_do
    assert named


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # A king that guards the pawn's way, and one that guards nothing there.
        ("3K4/8/8/8/5k2/8/2PR4/8 w", "Kd7", "Mate in 11. Ke7 and others are as quick."),
        # The pawn goes on without its king.
        ("8/8/b4P2/1k6/8/4K3/8/8 w", "Kd4", "f7 is as quick. Bring pawn or king nearer the goal each time"),
        ("8/8/2B5/8/8/2k3K1/7N/8 w", "Kf4", "Nf1 and Ng4 are as quick. A king does most"),
        # A capture left out comes first.
        ("8/8/4r3/8/1P3K2/2k5/8/8 b", "Kd4", "Kxb4 is as quick"),
    ],
)
def test_a_move_as_quick_stands_before_the_lesson(library: Library, fen: str, san: str, words: str) -> None:
    assert words in text_of(library, fen, san)


def test_that_others_are_as_quick_is_missed_where_it_is_left_out(library: Library) -> None:
    text, about = told_of(library, "3K4/8/8/8/5k2/8/2PR4/8 w - - 0 1", "Kd7", "method", in_a_line=True)
    assert "Ke7 and others are as quick" in text
    assert claims(text, about)
    with pytest.raises(Fault, match="as quick, and without it"):
        claims([part.replace("Ke7 and others are", "Ke7 is") for part in text], about)


def test_of_a_fork_no_other_move_is_told(library: Library) -> None:
    assert "as quick" not in text_of(library, "8/4qk2/2K5/8/8/2P5/8/8 b", "Qf6+")


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/3P4/8/5k2/7K/B7/8/8 w", "d8=Q", "others are as quick. A pawn that nobody can stop queens now or later."),
        (
            "5k2/8/1K6/8/8/4B3/7p/8 b",
            "h1=Q",
            "are as quick. A pawn that nobody can stop queens now or later.",
        ),
        ("8/8/8/7r/7N/8/2k5/7K b", "Rxh4+", "Kd2 and Kd3 are as quick. "),
        # The bishop would take the pawn.
        ("8/2P5/8/2K5/5b2/6k1/8/8 w", "c8=Q", "Promote before it can be stopped."),
    ],
)
def test_of_a_new_queen_or_a_capture_what_is_as_quick_is_told(library: Library, fen: str, san: str, words: str) -> None:
    assert words in text_of(library, fen, san)


def test_of_a_step_on_its_way_the_king_s_other_steps_are_told_too(library: Library) -> None:
    assert "Kf6 is as quick. " in text_of(library, "8/8/6K1/8/2N5/8/2B5/k7 w", "Kf5")
    assert "as quick" not in text_of(library, "7B/8/1K6/8/8/1N6/8/6k1 w", "Kc5")


def test_where_many_others_are_as_quick_no_order_is_a_rule_only_that_room_is_taken(library: Library) -> None:
    # Eight others are, and most of them shut nothing: no cage has to come first.
    many = text_of(library, "Q7/8/1K6/8/8/4k3/8/8 w", "Qd5")
    assert "others are as quick. The fewer squares the king has, the better." in many
    assert "cage, then" not in many
    assert "cage, then" in text_of(library, "8/8/6Q1/8/2k5/8/K7/8 w", "Qd6")


@pytest.mark.parametrize(
    ("fen", "san", "words", "not_told"),
    [
        # All the knight's squares are taken, not only its king's way to it.
        ("8/n7/8/4R3/8/K7/7k/8 w", "Rc5", "leaves the knight on a7 no safe square", "cuts the king off"),
        # The king comes at the other king, too.
        ("7k/5R2/8/8/6K1/8/3n4/8 w", "Kf5", "to help against king and knight", "against the knight"),
        # The rook leaves the file in the line that is told.
        ("8/7K/8/1P2k3/8/2R5/8/8 w", "b6", "brings the pawn on: if Kd4, Rg3", "bars"),
        ("4R3/8/8/8/1K1k4/8/8/8 w", "Re1", "keeps the box shut and passes the move: if Kd3", "must stay shut"),
        ("8/K7/8/8/8/k7/q7/2R5 b", "Kb2+", "discovers check and wins the rook", "as quick"),
        ("8/1b6/8/b2k4/8/4K3/8/8 b", "Ke5", "takes the opposition", "keeps close"),
        ("4Q2Q/8/4K3/8/8/4k3/8/8 w", "Kd5+", "discovers check, brings the king nearer and takes e4", "check and"),
        ("2k5/b7/8/8/8/8/1Q6/1K6 w", "Qg7", "An unguarded man is a target", "First the line"),
        ("6k1/6r1/3p4/8/7K/8/8/8 b", "d5", "bars the g-file. Mate in 6. A king cut off stops no pawn", "as quick"),
        # The bishop may hang: the pawn runs.
        ("8/8/8/2P5/8/6Bk/2K5/8 w", "Be1", "Kd3 and others are as quick", "before all else"),
        ("8/8/8/6k1/1b6/8/Q7/1K6 w", "Qf2", "First the line, then the king", "only together"),
        ("8/8/8/1PK5/8/1k6/b7/8 w", "b6", "Only Kd4 wins too, as quickly", "is as quick"),
    ],
)
def test_the_whole_of_a_reason_is_told_first(library: Library, fen: str, san: str, words: str, not_told: str) -> None:
    text = text_of(library, fen, san)
    assert words in text
    assert not_told not in text


def test_of_moves_to_other_posts_it_is_not_asked_whether_their_men_come_there(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked, comes_to = list[int](), SlowerMoves.comes_to

    def noted(slower: SlowerMoves, way: TowardsW, more: int) -> bool:
        asked.append(way.post)
        return comes_to(slower, way, more)

    monkeypatch.setattr(SlowerMoves, "comes_to", noted)
    text = text_of(library, "8/6N1/8/8/2B5/8/8/k3K3 w - - 0 1", "Kd2")
    assert "heads for c3, the king's post in the W" in text
    assert "Ne6 and Nf5 are as quick" in text
    assert set(asked) == {chess.C3}


def test_a_man_too_far_from_its_post_for_the_moves_left_is_not_followed(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    board = chess.Board("8/6N1/8/8/2B5/8/8/k3K3 w - - 0 1")
    seen = maker_for(library, board).facts(board.parse_san("Nf5")).seen
    way = seen.idea(TowardsW)
    assert way is not None
    monkeypatch.setattr(slower_moves, "longest", lambda *_: pytest.fail("followed"))
    assert not seen.slower_moves.comes_to(way, -1)


KINGS = "8/8/8/8/4K3/6R1/8/k7 w - - 0 1"


def named(san: str, uci: str = "e4e5", **told: Any) -> MoveFacts:
    """Return facts of a move by its name, with how many moves win and which are as quick."""
    given: dict[str, Any] = {
        "cost": SimpleNamespace(moves_lost=told.pop("lost", 0), mistake=told.pop("mistake", Mistake.MOVES)),
        "beside": SimpleNamespace(keeping=told.pop("keeping", 9), choices=told.pop("choices", 12)),
        "gives": SimpleNamespace(mate=told.pop("mate", False)),
        "as_quick": told.pop("as_quick", ()),
    }
    return facts_of(KINGS, uci, by_winner=True, san=san, **given, **told)


UP, ACROSS, ASIDE, ROOK = named("Ke5"), named("Kd4", "e4d4"), named("Kf4", "e4f4"), named("Rg2", "g3g2")
PLAN = Reason(lambda _: "comes up", rank=Rank.PLAN)


@pytest.mark.parametrize(
    ("uci", "without", "every", "told", "text"),
    [
        ("e4d5", [UP], [UP], {}, "Ke5 is as quick"),
        ("e4d5", [], [UP], {}, ""),
        ("e4d5", [UP], [UP, ACROSS], {}, "Ke5 and Kd4 are as quick"),
        ("e4d5", [UP, ROOK, ACROSS], [UP, ROOK, ACROSS], {}, "Kd4 and others are as quick"),
        ("g3g1", [UP, ROOK, ACROSS], [UP, ROOK, ACROSS], {}, "Rg2 and others are as quick"),
        ("e4d5", [UP, ROOK], [UP, ROOK], {}, "Ke5 and Rg2 are as quick"),
        ("g3g1", [UP, ACROSS, ASIDE, ROOK], [UP, ACROSS, ASIDE, ROOK], {}, "Kd4 and others are as quick"),
        ("e4d5", [], [UP], {"deed": PLAN}, "Ke5 is as quick"),
        ("g3g1", [], [UP], {"deed": PLAN}, ""),
        ("e4d5", [], [UP], {"deed": Reason(PLAN.rule)}, ""),
        ("e4d5", [UP], [UP], {"lost": 1}, ""),
        ("e4d5", [UP], [UP], {"blow": True}, ""),
        ("e4d5", [], [], {"later": False}, "Rxg3 is as quick"),
        ("e4d5", [], [], {"later": True}, ""),
        ("e4d5", [UP], [UP], {"later": False}, "Rxg3 and Ke5 are as quick"),
        ("e4d5", [UP], [UP], {"keeping": 2}, ""),
        ("e4d5", [UP], [UP], {"keeping": 2, "choices": 2}, "Ke5 is as quick"),
        ("e4d5", [UP, ACROSS], [UP, ACROSS], {"keeping": 3}, ""),
        ("e4d5", [UP], [UP], {"keeping": 3}, ""),
        ("e4d5", [UP], [UP], {"keeping": 3, "choices": 3}, "Ke5 is as quick"),
        ("e4d5", [UP, ACROSS, ASIDE], [UP, ACROSS, ASIDE], {"keeping": 4}, "Kd4 and others are as quick"),
    ],
)
def test_moves_as_quick_are_named_by_the_man_they_move_and_by_what_they_do_not_do(
    monkeypatch: pytest.MonkeyPatch,
    uci: str,
    without: list[MoveFacts],
    every: list[MoveFacts],
    told: dict[str, Any],
    text: str,
) -> None:
    deed, blow, later = Deed("comes up", told.pop("deed", None)), told.pop("blow", False), told.pop("later", None)
    monkeypatch.setattr(rivals, "without", lambda *_: without)
    monkeypatch.setattr(rivals, "of", lambda kind, rule: lambda _: "forks" if blow else "")
    left = {} if later is None else {LeavesMan: SimpleNamespace(later=later, capture=chess.Move.null())}
    seen = SimpleNamespace(idea=left.get, name=lambda _: "Rxg3")
    assert rivals.as_quick(named("Kd5", uci, as_quick=every, seen=seen, **told), deed) == text


@pytest.mark.parametrize(
    ("first", "better", "slip", "text"),
    [
        ("Ra1 misses Kd5, which comes up; two moves lost", {}, {}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5, which comes up.", {}, {}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5, which comes up: if Ka2, Kd4", {}, {}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5, which does something else; two moves lost", {}, {}, ""),
        ("Ra1 misses Kd5: if Ka2, Rg2 holds", {}, {}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5: if Ka2, Kd3 holds", {"others": (ROOK,)}, {}, "Ke5 and others are as good"),
        ("Ra1 loses time: better is Kd5; two moves lost", {}, {}, "Ke5 and Kf4 are as good"),
        ("Ra1 loses time: better is Kd5 or Kf4", {}, {}, "Ke5 is as good"),
        ("Ra1 loses time: better is Kd6; two moves lost", {}, {}, ""),
        ("Ra1 gives away Kd5, which comes up; two moves lost", {}, {}, ""),
        ("Ra1 misses mate in two: Kd5, which comes up", {}, {}, ""),
        ("Ra1 misses the fork Kd5, which comes up", {}, {"lost": 3}, ""),
        ("Ra1 misses the skewer Kd5, which comes up", {}, {"lost": 3}, ""),
        ("Ra1 misses the fork Kd5, which comes up", {}, {"lost": 2}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5, which comes up; two moves lost", {}, {"mistake": Mistake.OUTCOME}, ""),
        ("Ra1 misses Kd5, which comes up; two moves lost", {"lost": 1}, {}, ""),
        ("Ra1 misses Kd5, which comes up; two moves lost", {"mate": True}, {}, ""),
        ("Ra1 misses Kd5, which comes up; two moves lost", {"mate": True}, {"step": UP}, "Ke5 and Kf4 are as good"),
        ("Ra1 misses Kd5, which comes up; two moves lost", {"captured": "rook"}, {}, ""),
        ("Ra1 misses Kd5, which comes up; two moves lost", {"promoted": "queen"}, {}, ""),
        ("Ra1 misses Kd5, which comes up; three moves lost", {}, {"lost": 3, "blow": True}, ""),
        ("Ra1 misses Kd5, which comes up; two moves lost", {}, {"lost": 2, "blow": True}, "Ke5 and Kf4 are as good"),
    ],
)
def test_moves_as_good_as_the_one_missed_are_named_that_do_without_what_is_told_of_it(
    monkeypatch: pytest.MonkeyPatch, first: str, better: dict[str, Any], slip: dict[str, Any], text: str
) -> None:
    lost, mate = better.pop("lost", 0), better.pop("mate", False)
    best = named("Kd5", "e4d5", as_quick=(UP, ASIDE, *better.pop("others", ())), lost=lost, mate=mate)
    vars(best.man).update(better)
    blow, step = slip.pop("blow", False), slip.pop("step", None)
    monkeypatch.setattr(as_good, "best_ones", lambda _: [best])
    monkeypatch.setattr(as_good, "step_as_good", lambda *_: step)
    monkeypatch.setattr(as_good, "of", lambda kind, rule: lambda _: "forks" if blow else "")
    monkeypatch.setattr(attack, "deeds", lambda _: iter([Deed("waits"), Deed("comes up: if Kb2, Kc4")]))
    monkeypatch.setattr(attack, "without", lambda _, deed: [UP] if deed.text.startswith("comes up") else [])
    assert as_good.as_good(named("Rg1", "g3g1", **slip), first) == text
    assert as_good.names_as_good(f"{text}.") == bool(text)
    assert not as_good.names_as_good(text)
