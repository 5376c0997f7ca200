"""``matebot explain``: a position, its outcome and stage, and every legal move with its exact outcome and facts."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace

import chess

from matebot.commands.playing import (
    add_flip,
    add_position,
    add_style,
    add_table_folder,
    library_of,
    position_of,
    style_of,
    words_of,
)
from matebot.errors import UserError
from matebot.facts.making import FactMaker
from matebot.games.demonstrate import outcome_text
from matebot.games.diagram import board_text
from matebot.ideas import features
from matebot.ideas.order import ideas
from matebot.laws.verdict import CAUSES, Verdict
from matebot.method.plans import LARGE_PLANS
from matebot.method.standing import Standing
from matebot.play.choice import choose
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked
from matebot.play.truth import TableTruth
from matebot.terms import CLAIM_PLIES, Outcome, attacker_moves
from matebot.wording import notices, outlook
from matebot.wording.moves import told
from matebot.wording.phrases import mate_in, sentence

_NAMES = {1: "wins", 0: "draws", -1: "loses"}


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_position(parser)
    parser.add_argument("--move", help="explain one move only, in long algebraic form or SAN")
    parser.add_argument(
        "--json",
        action="store_true",
        help="print facts as data: distances in plies, see the names; conversion is a capture, pawn move or mate",
    )
    add_flip(parser)
    add_style(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Explain the position or one move."""
    style, fen = style_of(namespace), words_of(namespace)
    if fen is None:
        raise UserError("expected a position in FEN, got none; see matebot explain --help")
    library = library_of(namespace)
    board = position_of(fen, library)
    judged = Judged.of(library, board)
    maker, ranking = FactMaker(judged, style.attack), judged.ranking
    moves = [_read(board, namespace.move)] if namespace.move is not None else [item.move for item in ranking]
    if namespace.json:
        print(json.dumps(_data(maker, moves), indent=2))
        library.tables.keep()
        return 0
    print(board_text(board, not namespace.flip), end="\n\n")
    print(outcome_text(board, maker.verdict))
    for standing in judged.standings if ranking else ():  # once it is mate there is nothing to aim at
        _show_standing(standing, board.halfmove_clock)
    if not judged.standings:
        _show_no_standing(judged)
    if (claim := judged.referee.claim) is not None and ranking:
        print(sentence(notices.claim(claim).text))
    if namespace.move is not None:
        facts = maker.facts(moves[0])
        print(f"\n{' '.join(told(facts, maker.better(facts)))}")
        return 0
    if ranking:
        chosen = choose(judged, style).move
        facts = maker.facts(chosen)
        print(f"\nTo play: {facts.san}. {' '.join(told(facts, maker.better(facts)))}")
        print("\nLegal moves, best first:")
        for item in ranking:
            print(f"  {board.san(item.move):<8}{_outcome(item)}")
    library.tables.keep()
    return 0


def _show_standing(standing: Standing, clock_plies: int) -> None:
    in_time = clock_plies + standing.rung.plies <= CLAIM_PLIES
    how = f"Mate in {standing.moves}." if in_time else "The fifty-move rule comes before its mate."
    print(f"By {standing.ladder}: {outlook.heading(standing)}. {how}")
    print(f"  {outlook.aim(standing)} {outlook.trap(standing)}")


def _show_no_standing(judged: Judged) -> None:
    """Say of a position the side with the ladder wins why it stands on none, where only some such positions do."""
    material, value = judged.referee.stand.material, judged.referee.here()
    if material is None or value.outcome != (1 if judged.referee.stand.white_to_move else -1):
        return
    there = judged.library.plans(material)
    for plan in LARGE_PLANS.get(material.name, ()):
        print(outlook.outside(plan.name) if plan in there else outlook.unsolved(plan.name, plan.ending))


def _outcome(item: Ranked) -> str:
    if item.mate_plies is None:
        return f"{_NAMES[item.outcome]:<7}{'' if item.cause == 'balance' else item.cause}".rstrip()
    return f"{_NAMES[item.outcome]:<7}{mate_in(attacker_moves(item.mate_plies, item.outcome > 0), item.exact)}"


def _read(board: chess.Board, text: str) -> chess.Move:
    for reader in (board.parse_uci, board.parse_san):
        try:
            move = reader(text)
        except ValueError:
            continue
        if move:
            return move
    raise UserError(f"expected a legal move in {board.fen()!r}, got {text!r}")


def _data(maker: FactMaker, moves: list[chess.Move]) -> dict[str, object]:
    verdict: Verdict = maker.verdict
    assert verdict.cause in CAUSES
    return {
        "fen": maker.board.fen(),
        "turn": chess.COLOR_NAMES[maker.board.turn],
        "outcome": Outcome(verdict.outcome).word,
        "cause": verdict.cause,
        "mate_plies": verdict.mate_plies,
        "exact": verdict.exact,
        "plies_to_mate": verdict.value.dtm_plies,
        "plies_to_conversion": verdict.value.dtz_plies,
        "standings": [standing.as_data() for standing in maker.judged.standings],
        "moves": [_move_data(maker, move) for move in moves],
    }


def _move_data(maker: FactMaker, move: chess.Move) -> dict[str, object]:
    facts = maker.facts(move)
    return {**facts.as_data(), **_ideas_data(maker, move), "sentences": told(facts, maker.better(facts))}


def _ideas_data(maker: FactMaker, move: chess.Move) -> dict[str, object]:
    """Return the ideas of a move and the features of the positions before and after it; nothing without an attacker."""
    board, attacker = maker.board, maker.attacker
    if attacker is None:
        return {"before": None, "after": None, "ideas": []}
    after = board.copy(stack=False)
    after.push(move)
    found = ideas(board, move, after, attacker, TableTruth(maker.judged.library))
    return {
        "before": features.as_data(board, attacker),
        "after": features.as_data(after, attacker),
        "ideas": [idea.as_data() for idea in found],
    }
