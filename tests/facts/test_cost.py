"""What a move costs is what the values before and after it, and python-chess's captures, say."""

from __future__ import annotations

from collections import Counter
from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts import cost
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.facts.played import Played
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.terms import Mistake
from tests.witness import slip_kinds as witness
from tests.witness.positions import random_positions

Worth = tuple[int, int]


def worth(library: Library, board: chess.Board) -> Worth:
    """Return outcome and plies to mate, 0 where it is drawn, for the side to move."""
    value = library.tables.value(board)
    return value.outcome, value.dtm_plies or 0


def gravity(library: Library, board: chess.Board, facts: MoveFacts) -> Mistake:
    """Return the gravest thing a move gives away, the man it loses being known."""
    after = witness.played(board, chess.Move.from_uci(facts.move))
    (outcome, plies), (then, later) = worth(library, board), worth(library, after)
    if -then < outcome:
        return Mistake.OUTCOME
    lost = abs(later + 1 - plies) // 2 if outcome else 0
    if not lost:
        return Mistake.NONE
    if facts.cost.loses:
        return Mistake.MAN
    attacks = outcome > 0
    stood, stands = library.standings(board)[:1], library.standings(after)[:1]
    if attacks and any(a.ladder == b.ladder and b.stage < a.stage for a, b in zip(stood, stands, strict=False)):
        return Mistake.STAGE
    if attacks and witness.opens_cage(board, after, board.turn):
        return Mistake.CAGE
    return Mistake.SLOWER if lost == 1 else Mistake.MOVES


def taken(library: Library, board: chess.Board, move: str) -> dict[str, str]:
    """Return the men that best replies to a move take: how a reply is written -> the kind."""
    after = witness.played(board, chess.Move.from_uci(move))
    replies = {reply: worth(library, witness.played(after, reply)) for reply in after.legal_moves}
    places = {reply: (-outcome, outcome * plies) for reply, (outcome, plies) in replies.items()}
    found = {}
    for reply, place in places.items():
        if place == max(places.values()) and after.is_capture(reply):
            kind = chess.PAWN if after.is_en_passant(reply) else after.piece_type_at(reply.to_square)
            found[after.san(reply)] = chess.piece_name(kind or chess.PAWN)
    return found


@pytest.mark.parametrize("ending", ["KRK", "KBNK", "KPK", "KQKR", "KBBK", "KRKB"])
def test_a_move_costs_what_values_places_and_captures_say(library: Library, ending: str) -> None:
    seen = Counter[str]()
    for board in random_positions(ending, 14, seed=31):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking[:: 1 + len(maker.ranking) // 7]:
            facts = maker.facts(item.move)
            about = f"{facts.fen} {facts.move}"
            assert facts.cost.mistake is gravity(library, board, facts), about
            assert facts.cost.mistake is Mistake.OUTCOME or not facts.cost.moves_lost or facts.instead.best, about
            seen[facts.cost.mistake] += 1
            if not facts.instead.best or facts.man.captured:
                assert facts.cost.loses is facts.cost.loses_to is None
                continue
            falls, spared = taken(library, board, facts.move), taken(library, board, facts.instead.best)
            if facts.cost.loses is None:
                assert not falls or set(falls.values()) & set(spared.values()), about
            else:
                assert falls[facts.cost.loses_to or ""] == facts.cost.loses, about
                assert set(spared.values()) != {facts.cost.loses}, about
                seen["a man"] += 1
    assert len(seen) > 2, seen
    assert seen["a man"] or ending not in ("KRK", "KBNK")


def test_moves_to_mate_are_half_the_plies_from_before_the_move(library: Library) -> None:
    told = Counter[int]()
    for board in (*random_positions("KRK", 4, seed=32), *random_positions("KRKB", 4, seed=32)):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking[::4]:
            facts, (outcome, plies) = maker.facts(item.move), worth(library, board)
            then, later = worth(library, witness.played(board, item.move))
            told[-then] += 1
            # Whose mate it is makes the last move, so he makes the odd one of an odd number of plies.
            assert facts.worth.best_moves == ((plies + (outcome > 0)) // 2 if outcome else None)
            assert facts.worth.mate_moves == ((later + 1 + (then < 0)) // 2 if then else None)
            assert facts.worth.exact
            assert facts.moves_left == 50
    assert set(told) == {1, 0, -1}


def test_counts_are_those_of_the_game(library: Library) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 10 20")
    for text in ("a1a2", "e4d4", "a2a1", "d4e4", "a1a2", "e4d4", "a2a1"):
        board.push_uci(text)
    maker = FactMaker(Judged.of(library, board))
    for item in maker.ranking:
        facts = maker.facts(item.move)
        board.push(item.move)
        assert facts.counts.clock_plies == board.halfmove_clock == 18
        assert facts.counts.occurrence == 1 + board.is_repetition(2) + board.is_repetition(3)
        board.pop()
    pawn = chess.Board("8/8/8/8/4k3/8/4P3/K7 w - - 30 40")
    facts = FactMaker(Judged.of(library, pawn)).facts(chess.Move.from_uci("e2e3"))
    assert (facts.counts.clock_plies, facts.counts.occurrence) == (0, 1)


@pytest.mark.parametrize(
    ("fen", "san", "loose"),
    [
        ("8/8/8/8/8/5Kp1/kr6/8 b - - 0 1", "Kb1", True),  # the pawn was attacked before, and nobody guards it
        ("8/K7/1r6/1k6/8/8/8/8 b - - 0 1", "Ka4", False),  # the king guarded the rook
        ("8/8/8/8/4R2P/K7/8/5k2 w - - 0 1", "Re2", False),  # the rook goes there
        ("8/8/8/3k4/8/4P3/8/K6R w - - 0 1", "e4+", False),  # nobody guarded e4, but the pawn was not there
    ],
)
def test_a_man_lost_was_loose_before_where_it_stood_attacked_and_unguarded(
    library: Library, fen: str, san: str, loose: bool
) -> None:
    board = chess.Board(fen)
    costs = FactMaker(Judged.of(library, board)).facts(board.parse_san(san)).cost
    assert costs.loses is not None
    assert costs.loose_before == loose


@pytest.mark.parametrize(
    ("fen", "move", "loses"),
    [
        ("8/3p4/8/3R4/8/8/2K4k/8 b - - 0 1", "h2g2", None),  # wherever the king goes, the rook takes the pawn
        ("8/8/4r1P1/8/6K1/3k4/8/8 w - - 0 1", "g4f4", None),  # the pawn falls as well where the king takes back
        ("8/1k6/1N6/5K2/8/7p/8/8 w - - 0 1", "b6a8", "knight"),  # after the best move the pawn is lost for it
    ],
)
def test_a_man_is_not_lost_that_the_best_move_leaves_to_be_taken_for_nothing_at_no_cost_to_the_other_side(
    library: Library, fen: str, move: str, loses: str | None
) -> None:
    board = chess.Board(fen)
    facts = FactMaker(Judged.of(library, board)).facts(chess.Move.from_uci(move))
    (kind,) = set(taken(library, board, move).values())
    there = witness.played(board, chess.Move.from_uci(facts.instead.best or ""))
    worths = {reply: -worth(library, witness.played(there, reply))[0] for reply in there.legal_moves}
    free = {
        outcome
        for reply, outcome in worths.items()
        if there.is_capture(reply) and chess.piece_name(there.piece_type_at(reply.to_square) or chess.PAWN) == kind
    }
    assert free
    assert facts.cost.loses == loses == (None if max(worths.values()) in free else kind)


@pytest.mark.parametrize("fen", ["8/8/8/3k4/8/8/8/K6R w - - {} 90", "8/8/8/3k4/8/8/8/K6R b - - {} 90"])
@pytest.mark.parametrize("clock", [0, 41, 42, 96, 97, 98, 99])
def test_moves_left_are_the_turns_of_the_attacker_before_the_fiftieth_move_without_capture_or_pawn_move_is_complete(
    library: Library, fen: str, clock: int
) -> None:
    """Counted turn by turn; source: FIDE Laws of Chess, article 9.3."""
    board = chess.Board(fen.format(clock))
    turns = [board.turn if ply % 2 == clock % 2 else not board.turn for ply in range(clock, 100)]
    maker = FactMaker(Judged.of(library, board))
    facts = maker.facts(maker.ranking[0].move)
    assert facts.attacker == "white"
    assert facts.moves_left == turns.count(chess.WHITE)


def test_of_several_moves_that_take_back_the_first_by_its_name_is_told() -> None:
    after = chess.Board("4k3/8/8/3r4/8/8/3RK3/3R4 b - - 0 1")
    there = witness.played(after, chess.Move.from_uci("d5d2"))
    backs = [there.san(move) for move in there.legal_moves if there.is_capture(move)]
    told = cost._retaken(cast("Played", SimpleNamespace(after=after)), chess.Move.from_uci("d5d2"))
    assert len(backs) > 1
    assert told == min(backs)
