"""Makes games for the tests: endings played well with random errors, ordinary games, and notes of every kind."""

from __future__ import annotations

from random import Random

import chess
import chess.pgn

from matebot.games.positions import Wish, practice
from matebot.method.library import Library
from matebot.play.ranking import ranked
from matebot.solver.material import Material

#: Ending, and the moves from mate at which games begin.
_BEGINNINGS = (
    ("KBNK", (5, 12)),
    ("KBNK", (15, 22)),
    ("KRK", (4, 10)),
    ("KQK", (3, 9)),
    ("KBBK", (5, 12)),
    ("KPK", (4, 20)),
    ("KQKR", (2, 12)),
    ("KRKP", (2, 15)),
)
_LONGEST_PLIES = 20


def practice_game(library: Library, number: int, errors: float = 0.2) -> chess.pgn.Game:
    """Return an ending played from a practice position; no position occurs twice if that can be helped."""
    random = Random(f"game {number}")
    ending, mate_in = _BEGINNINGS[number % len(_BEGINNINGS)]
    board = practice(library, Wish(Material.parse(ending), mate_in=mate_in), 1, number)[0].board
    game = _game(f"Practice {number}", board)
    node: chess.pgn.GameNode = game
    seen = {_placement(board)}
    while not board.is_game_over() and len(board.move_stack) < _LONGEST_PLIES:
        ranking = [item.move for item in ranked(board, library.tables)]
        fresh = [move for move in ranking if _after(board, move) not in seen] or ranking
        move = random.choice(fresh) if random.random() < errors else fresh[0]
        node = node.add_variation(move)
        board.push(move)
        seen.add(_placement(board))
    game.headers["Result"] = board.result()
    return game


def _after(board: chess.Board, move: chess.Move) -> tuple[object, ...]:
    board.push(move)
    placement = _placement(board)
    board.pop()
    return placement


def _placement(board: chess.Board) -> tuple[object, ...]:
    """Return what tells positions apart, some ten times as fast as in words."""
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
    en_passant = board.ep_square if board.has_legal_en_passant() else None
    return *kinds, board.occupied_co[chess.WHITE], board.turn, board.castling_rights, en_passant


def ordinary_game(number: int, plies: int = 50) -> chess.pgn.Game:
    """Return random legal play from the starting position."""
    random = Random(f"ordinary {number}")
    game = _game(f"Ordinary {number}", chess.Board())
    board = chess.Board()
    node: chess.pgn.GameNode = game
    for _ in range(plies):
        moves = list(board.legal_moves)
        if not moves:
            break
        node = node.add_variation(random.choice(moves))
        board.push(node.move)
    return game


def _game(event: str, board: chess.Board) -> chess.pgn.Game:
    game = chess.pgn.Game()
    game.headers.update({"Event": event, "White": "Anna", "Black": "Bela", "Opening": 'with "quotes"'})
    if board.fen() != chess.STARTING_FEN:
        game.setup(board)
    return game


def noted(game: chess.pgn.Game, seed: int) -> chess.pgn.Game:
    """Put comments, glyphs and variations, nested ones too, into a game."""
    random = Random(f"notes {seed}")
    if random.random() < 0.3:
        game.comment = "Before the first move; with 1. e4 (in brackets) in it."
    board = game.board()
    for node in list(game.mainline()):
        parent = node.parent
        if random.random() < 0.15:
            node.comment = random.choice(["good", "[%clk 0:01:23]", "long " * 40 + "end", "an (odd) $4 remark; 1-0"])
        if random.random() < 0.15:
            node.nags.add(random.choice([1, 2, 3, 4, 5, 6, 10, 146]))
        if random.random() < 0.1:
            others = [move for move in board.legal_moves if move != node.move]
            if others:
                other = parent.add_variation(random.choice(others), comment="or so")
                there = board.copy(stack=False)
                there.push(other.move)
                for reply in list(there.legal_moves)[:2]:
                    other.add_variation(reply, nags=[3])
        board.push(node.move)
    return game


def as_text(games: list[chess.pgn.Game]) -> str:
    """Return games as python-chess writes them, a blank line between them."""
    return "".join(f"{game}\n\n" for game in games)
