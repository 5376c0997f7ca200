"""How sentences about a move become a line, and the numbers and moves beside it, recounted."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import chain, product

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.terms import Mistake
from matebot.wording import moves
from matebot.wording.attack import deeds
from matebot.wording.draws import drew
from matebot.wording.outlook import by_method
from matebot.wording.phrases import LINE, sentence
from matebot.wording.reason import NO_DEED
from tests.counting import counts
from tests.witness.positions import random_positions
from tests.wording.sampling import SIDES, maker_for, taken

LONG = "Kc3 takes the rook, and the king, now alone, is driven back: mate in 12; there is no other way."


@pytest.mark.parametrize("most", range(5, len(LONG) + 2))
def test_a_sentence_is_cut_at_its_last_break_that_leaves_room(most: int) -> None:
    text = moves.cut(LONG, most)
    breaks = [found.start() for found in re.finditer("[;:,] ", LONG)]
    fitting = [at for at in breaks if at < most]
    expected = LONG if len(LONG) <= most else f"{LONG[: max(fitting, default=breaks[0])]}."
    assert text == expected
    assert moves.cut("no break at all.", 4) == "no break at all."


def test_a_reply_is_not_left_without_what_comes_after_it() -> None:
    text = "Bd5 saves the bishop and takes c6 from the king: if Kd6, Nf6 shuts the king in."
    assert moves.cut(text, len(text) - 1) == "Bd5 saves the bishop and takes c6 from the king."
    assert (
        moves.cut(text.replace("if Kd6, ", "after Kd6 comes "), 60)
        == "Bd5 saves the bishop and takes c6 from the king."
    )


def test_a_line_holds_the_first_sentence_and_of_the_others_what_is_new_and_has_room() -> None:
    first, short, fills = "Kc3 waits.", "Mate in 3.", "x" * (LINE - len("Black: Kc3 waits. ")) + ""
    assert moves.one_line("black", [first, short]) == f"Black: {first} {short}"
    assert moves.one_line("white", [first, short], said=[short]) == f"White: {first}"
    assert moves.one_line("white", [first, short], said=[first]) == f"White: {first} {short}"
    assert moves.one_line("black", [first, fills, short]) == f"Black: {first} {fills}"
    assert len(moves.one_line("black", [first, fills])) == LINE
    assert moves.one_line("black", [first, f"{fills}x", short]) == f"Black: {first} {short}"
    assert moves.sentences_of(moves.one_line("black", [first, short, "It holds."])) == [short, "It holds."]
    longest = f"Kc3 waits, {'x' * (LINE - len('Black: Kc3 waits, .'))}."
    assert moves.one_line("black", [longest]) == f"Black: {longest}"
    assert moves.one_line("black", [longest.replace("x", "xx", 1)]) == f"Black: {first}"


@counts(6, 12)
def test_more_than_one_line_says_all_there_is_and_the_distance_never_stands_alone(library: Library, count: int) -> None:
    second = 0
    for ending, side in product(("KBNK", "KRKP", "KRKB"), SIDES):
        for said in taken(library, ending, side, count):
            whole = moves.lines(said.facts, said.better)
            known = moves.beyond_the_first(whole)
            assert len(whole) <= 2
            assert all(len(text) <= LINE and text.startswith(whole[0][:6]) for text in whole), whole
            assert set(moves.sentences_of(moves.line(said.facts, said.better))) <= set(known), whole
            if len(whole) == 2:
                second += 1
                assert not re.fullmatch(r"\w+: (Now it is m|M)ate in (at most )?\d+\.", whole[1])
                assert moves.lines(said.facts, said.better, said=known) == [whole[0].split(". ")[0].rstrip(".") + "."]
    assert second > 10


def test_what_is_better_stands_behind_the_side_with_no_second_colon(library: Library) -> None:
    maker = maker_for(library, chess.Board("8/8/7k/4n1R1/8/8/3K4/8 w - - 0 1"))
    facts = maker.facts(chess.Move.from_uci("g5g6"))
    told = moves.lines(facts, maker.better(facts))
    assert told[1].startswith("White: Better is Rxe5, which takes the loose knight.")
    assert "Better: Rxe5 takes the loose knight." in moves.beyond_the_first(told)


@pytest.mark.parametrize(
    ("alone", "behind"),
    [
        ("The way back: after Ke5, Rd1 shuts the cage.", "The way back after Ke5 is Rd1, which shuts the cage."),
        ("Drawn: White's king comes too late.", "It is drawn, since White's king comes too late."),
        ("Drawn: the wrong rook's pawn.", "Drawn: the wrong rook's pawn."),
        ("Better is Ke7, and if Kd3, Re1.", "Better is Ke7, and if Kd3, Re1."),
    ],
)
def test_what_stands_behind_the_side_in_other_words_is_found_there_again(alone: str, behind: str) -> None:
    assert moves._behind_the_side(alone) == behind
    assert moves.joined(["White: Ra1 loses time.", f"White: {behind}"]) == f"White: Ra1 loses time. {alone}"


def test_only_moves_are_told_where_few_moves_win(library: Library) -> None:
    """Counted from the values of all moves."""
    told = set[int]()
    for board in chain(random_positions("KPK", 40, seed=5), random_positions("KQKR", 30, seed=5)):
        if library.tables.value(board).outcome != 1:
            continue
        wins, others = [], set[int]()
        for move in list(board.legal_moves):
            san = board.san(move)
            board.push(move)
            outcome = -library.tables.value(board).outcome
            board.pop()
            if outcome == 1:
                wins.append(san)
            else:
                others.add(outcome)
        maker = FactMaker(Judged.of(library, board))
        text = moves._only_way(maker.facts(maker.ranking[0].move))
        if not others or len(wins) > 3:
            assert text == ""
        elif len(wins) == 1:
            assert ("draw" in text, "lose" in text) == (0 in others, -1 in others)
        else:
            assert {san for san in wins if san not in text} == {board.san(maker.ranking[0].move)}
        told.add(min(len(wins), 4) if others else 0)
    assert told >= {1, 2, 4}


@pytest.mark.parametrize("clock", [0, 1, 85, 86, 87, 88, 89, 90, 94])
def test_the_moves_left_are_told_where_five_or_fewer_are_to_spare(library: Library, clock: int) -> None:
    """King and rook mate in three from here; of what is left of the count every other ply is his."""
    board = chess.Board(f"7k/8/5K2/8/8/8/8/R7 w - - {clock} 60")
    maker = FactMaker(Judged.of(library, board))
    facts = maker.facts(maker.ranking[0].move)
    left = (101 - clock) // 2
    assert facts.worth.mate_moves is not None
    text = moves._few_moves_left(facts)
    assert bool(text) == (left <= 5 + facts.worth.mate_moves)
    assert re.findall(r"(\d+) moves?$", text) == ([f"{left}"] if text else [])


def test_the_distance_is_that_of_the_method_where_it_is_followed_and_longer(library: Library) -> None:
    kinds = set()
    for board in random_positions("KRK", 12, seed=6):
        if library.tables.value(board).outcome != 1:
            continue
        maker = FactMaker(Judged.of(library, board), "method")
        for item in maker.ranking[::3]:
            facts = maker.facts(item.move)
            board.push(item.move)
            plies, standings = library.tables.value(board).dtm_plies, library.standings(board)
            board.pop()
            text = moves.distance(facts)
            by_method = "at most" in text
            if standings and plies:
                shortest = standings[0].moves == plies // 2 == (library.tables.value(board).dtm_plies or 0) // 2
                assert by_method == (bool(facts.places.method_moves) and not shortest)
            if by_method:
                assert re.findall(r"\d+", text) == [f"{standings[0].moves + 1}"]
            elif plies:
                assert re.findall(r"\d+", text) == [f"{plies // 2 + 1}"]
            else:
                assert text == ""
            kinds.add((by_method, bool(text)))
    assert kinds >= {(True, True), (False, True)}


@pytest.mark.parametrize("ending", ["KRK", "KQKR"])
def test_what_is_said_begins_with_what_the_move_does_and_tells_how_far_it_is_to_mate(
    library: Library, ending: str
) -> None:
    kinds = set()
    for board in random_positions(ending, 14, seed=7):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking[::4]:
            facts = maker.facts(item.move)
            if facts.gives.mate or facts.cost.mistake is not Mistake.NONE or not item.outcome:
                continue
            first, *rest = moves._sentences(facts, maker.better(facts), hints=True)
            deed = next(deeds(facts), NO_DEED).text if facts.by_attacker else ""
            assert deed[:20] in first
            assert sentence(moves.distance(facts)) in rest
            assert (" the win" in first) <= (item.outcome > 0)
            kinds.add((facts.by_attacker, bool(deed)))
    assert kinds >= {(True, True), (False, False)}


def test_the_method_and_the_shortest_way_are_told_side_by_side_while_there_is_time(library: Library) -> None:
    for board in random_positions("KRK", 10, seed=8):
        if library.tables.value(board).outcome != 1:
            continue
        for clock in (0, 60):
            board.halfmove_clock = clock
            maker = FactMaker(Judged.of(library, board))
            facts = maker.facts(maker.ranking[0].move)
            if not facts.places.standings_after or not facts.worth.mate_moves:
                continue
            after = facts.places.standings_after[0]
            text = by_method(facts)
            assert bool(text) == (clock + 1 + after.rung.plies <= 100)
            numbers = {int(number) for number in re.findall(r"\d+", text)}
            assert not text or numbers == {after.moves + 1, facts.worth.mate_moves}


def test_of_a_draw_is_said_whether_any_move_draws_or_only_one(library: Library) -> None:
    told = set()
    for board in chain(random_positions("KRKN", 60, seed=9), random_positions("KPK", 40, seed=9)):
        value = library.tables.value(board)
        maker = FactMaker(Judged.of(library, board))
        if value.outcome or maker.attacks or not maker.ranking:
            continue
        draws = sum(item.outcome == 0 for item in maker.ranking)
        facts = maker.facts(maker.ranking[0].move)
        if facts.worth.cause_after != "balance" or facts.worth.cause_before == "dead position":
            continue
        text = " ".join(drew(facts))
        kind = (
            "very move" if draws == len(maker.ranking) > 1 else "only move" if draws == 1 < len(maker.ranking) else ""
        )
        assert [words for words in ("very move", "only move") if words in text] == ([kind] if kind else [])
        told.add(kind)
    assert told == {"very move", "only move", ""}


@pytest.mark.parametrize(("clock", "told"), [(1, False), (2, True), (3, True)])
def test_the_moves_left_are_told_from_the_second_ply_on_the_clock(library: Library, clock: int, told: bool) -> None:
    """Numbers are made up, since only with five men a mate is so far off: 47 moves, of the fifty one is made."""
    board = chess.Board("8/8/8/3k4/8/8/8/K6R w - - 0 1")
    facts = FactMaker(Judged.of(library, board)).facts(chess.Move.from_uci("a1b2"))
    far = replace(facts.worth, mate_plies_after=2 * 47)
    facts = replace(facts, worth=far, counts=replace(facts.counts, clock_plies=clock))
    assert bool(moves._few_moves_left(facts)) == told
