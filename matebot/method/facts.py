"""Facts about one move, each of which can be checked on the board; no words and no opinion.

``MoveFacts.as_data`` is the documented form for other programs: squares as names, moves as long algebraic and as
SAN, distances in plies or moves as the names say.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass

import chess

from matebot.laws import CLAIM_PLIES, Referee, Verdict, position_key
from matebot.method import sights
from matebot.method.field import from_edge
from matebot.method.library import Library, Standing
from matebot.play.ranking import Ranked, is_weaker
from matebot.play.ranking import ranked as ranked_moves

OUTCOMES = {1: "win", 0: "draw", -1: "loss"}


@dataclass(frozen=True, slots=True)
class MoveFacts:
    """What a legal move does.

    Attributes
    ----------
    fen, move, san : the position before, the move in long algebraic form and in SAN
    turn : "white" or "black", the side that moved
    attacker : the side that wins, or has the stronger men; None when the men are equal and it is drawn
    outcome_before, outcome_after : 1, 0 or -1 for the side that moved, under the laws
    cause_after : why, see `laws.CAUSES`
    mate_plies_before, mate_plies_after : plies to mate, each from its own position; None when drawn
    exact : whether both are exact; otherwise mate comes no later
    moves_lost : moves the win got longer (attack) or shorter (defence) by this move; 0 for the best
    standings_before, standings_after : where the positions stand in each ladder; empty when the attacker does not win
    check, mate, stalemate : what the move gives
    piece : kind of the man moved
    captured, promoted : kinds of men ("knight"), None without
    king : the defending king's square after the move
    squares_taken, squares_given : squares the defending king could, or could not, go to before and not, or now, after
    flights : squares the defending king can go to after the move
    choices : legal moves there were
    kings_before, kings_after : steps between the kings
    rim_before, rim_after : steps of the moved man from the edge of the board
    replies : legal replies, and `only_reply` (SAN) when there is just one
    waiting : a quiet move of the attacker that changes no square of the defending king, who has at most two moves
        and who, to move in the position before, would have been mated as soon: the attacker only passes the move
    stalemating : other legal moves (SAN) that would have been stalemate
    loose : men of the side that moved which may be captured at once
    attacked : men of the attacker that the defending king attacks after a move of the defence
    wall_bishop, wall_knight : squares near the king guarded by bishop and knight from squares of one colour
    w_step, w_route : step 1 to 4 of the knight's route to the right corner, and the route
    right_corner : corner of the bishop's colour nearest to the king after the move; None when both are as near
    corner_steps_before, corner_steps_after : the king's steps to the nearest corner of the bishop's colour
    box_before, box_after : squares of the box a lone queen or rook leaves the king
    cut_off : the line of a lone queen or rook between the kings, after the move
    opposition : kind of opposition the side that moved has taken
    on_key_square, key_squares : whether the attacking king stands on a key square after the move; all of them
    clock_plies : plies on the fifty-move count after the move
    occurrence : how often the position after the move has occurred, with this time
    best, best_san : the best move where this one loses something, None otherwise
    ahead : the best reply and the best move after it (SAN), as far as there are any; empty when not asked for
    """

    fen: str
    move: str
    san: str
    turn: str
    attacker: str | None
    outcome_before: int
    outcome_after: int
    cause_after: str
    mate_plies_before: int | None
    mate_plies_after: int | None
    exact: bool
    moves_lost: int
    standings_before: tuple[Standing, ...]
    standings_after: tuple[Standing, ...]
    check: bool
    mate: bool
    stalemate: bool
    piece: str
    captured: str | None
    promoted: str | None
    king: str
    squares_taken: tuple[str, ...]
    squares_given: tuple[str, ...]
    flights: tuple[str, ...]
    choices: int
    kings_before: int
    kings_after: int
    rim_before: int
    rim_after: int
    replies: int
    only_reply: str | None
    waiting: bool
    stalemating: tuple[str, ...]
    loose: tuple[str, ...]
    attacked: tuple[str, ...]
    wall_bishop: tuple[str, ...]
    wall_knight: tuple[str, ...]
    w_step: int | None
    w_route: tuple[str, ...]
    right_corner: str | None
    corner_steps_before: int | None
    corner_steps_after: int | None
    box_before: int | None
    box_after: int | None
    cut_off: str | None
    opposition: str | None
    on_key_square: bool
    key_squares: tuple[str, ...]
    clock_plies: int
    occurrence: int
    best: str | None
    best_san: str | None
    ahead: tuple[str, ...]

    @property
    def by_attacker(self) -> bool:
        """Whether the attacker made the move."""
        return self.attacker == self.turn

    def as_data(self) -> dict[str, object]:
        """Return the facts as plain data for JSON."""
        data = {field.name: _plain(getattr(self, field.name)) for field in fields(self)}
        data["outcome_before"] = OUTCOMES[self.outcome_before]
        data["outcome_after"] = OUTCOMES[self.outcome_after]
        return data


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value) if f.name != "rung"}
    return value


def colour_name(colour: chess.Color | None) -> str | None:
    """Return "white" or "black"."""
    return None if colour is None else chess.COLOR_NAMES[colour]


def attacker_of(board: chess.Board, verdict: Verdict) -> chess.Color | None:
    """Return the side that wins by the men, else the side with the stronger men, None when they are equal."""
    if verdict.value.outcome:
        return board.turn if verdict.value.outcome > 0 else not board.turn
    for colour in (chess.WHITE, chess.BLACK):
        if is_weaker(board, colour):
            return not colour
    return None


class FactMaker:
    """Makes the facts of moves from one position.

    Parameters
    ----------
    referee : judges the position
    ranking : every legal move, best first
    """

    def __init__(self, library: Library, referee: Referee, ranking: list[Ranked]) -> None:
        self.library = library
        self.board = referee.board
        self.referee = referee
        self.ranking = ranking
        self.verdict = referee.here()
        self.attacker = attacker_of(self.board, self.verdict)
        self.standings = library.standings(self.board) if self.verdict.value.outcome else ()

    def moves_lost(self, move: chess.Move) -> int:
        """Return by how many moves a legal move makes a win longer or a defence shorter."""
        return _moves_lost(self.ranking[0], next(item for item in self.ranking if item.move == move))

    def better(self, facts: MoveFacts) -> MoveFacts | None:
        """Return the facts of the best move where a move loses something."""
        return None if facts.best is None else self.facts(chess.Move.from_uci(facts.best))

    def facts(self, move: chess.Move, ahead: bool = False) -> MoveFacts:
        """Return the facts of a legal move; with `ahead` also the best reply and what follows it."""
        board, ranked = self.board, next(item for item in self.ranking if item.move == move)
        defender = None if self.attacker is None else not self.attacker
        after = board.copy(stack=False)
        after.push(move)
        replies = list(after.generate_legal_moves())
        best = self._best(ranked)
        corners = {} if self.attacker is None else sights.right_corner_steps(after, self.attacker)
        nearest = [corner for corner, steps in corners.items() if steps == min(corners.values())]
        step = sights.w_step(board, move) if self.attacker == board.turn else None
        taken, given, flights = self._king_squares(after, defender)
        victim = chess.PAWN if board.is_en_passant(move) else board.piece_type_at(move.to_square)
        quiet = self.attacker == board.turn and not (
            after.is_check() or victim or move.promotion or board.is_zeroing(move)
        )
        wall = ((), ()) if self.attacker is None else sights.guards_together(after, self.attacker)
        piece = board.piece_type_at(move.from_square)
        assert piece is not None
        return MoveFacts(
            fen=board.fen(),
            move=move.uci(),
            san=board.san(move),
            turn=chess.COLOR_NAMES[board.turn],
            attacker=colour_name(self.attacker),
            outcome_before=self.ranking[0].outcome,
            outcome_after=ranked.outcome,
            cause_after=ranked.cause,
            mate_plies_before=self.ranking[0].mate_plies,
            mate_plies_after=ranked.verdict.mate_plies,
            exact=ranked.exact and self.ranking[0].exact,
            moves_lost=_moves_lost(self.ranking[0], ranked),
            standings_before=self.standings,
            standings_after=self.library.standings(after) if ranked.verdict.value.outcome else (),
            check=after.is_check(),
            mate=after.is_check() and not replies,
            stalemate=not after.is_check() and not replies,
            piece=chess.piece_name(piece),
            captured=None if victim is None else chess.piece_name(victim),
            promoted=None if move.promotion is None else chess.piece_name(move.promotion),
            king="" if defender is None else chess.square_name(sights.king_square(after, defender)),
            squares_taken=taken,
            squares_given=given,
            flights=flights,
            choices=len(self.ranking),
            kings_before=sights.kings_apart(board),
            kings_after=sights.kings_apart(after),
            rim_before=from_edge(move.from_square),
            rim_after=from_edge(move.to_square),
            replies=len(replies),
            only_reply=after.san(replies[0]) if len(replies) == 1 else None,
            waiting=(quiet and 0 < len(replies) <= 2 and not taken and not given and self._passes(ranked)),
            stalemating=tuple(
                sorted(board.san(r.move) for r in self.ranking if r.cause == "stalemate" and r.move != move)
            ),
            loose=_names(sights.loose_men(after, board.turn)),
            attacked=self._attacked(after),
            wall_bishop=_names(wall[0]),
            wall_knight=_names(wall[1]),
            w_step=None if step is None else step[0],
            w_route=() if step is None else tuple(chess.square_name(s) for s in step[1]),
            right_corner=chess.square_name(nearest[0]) if len(nearest) == 1 else None,
            corner_steps_before=self._corner_steps_before(),
            corner_steps_after=min(corners.values(), default=None),
            box_before=None if self.attacker is None else sights.box(board, self.attacker),
            box_after=None if self.attacker is None else sights.box(after, self.attacker),
            cut_off=None if self.attacker is None else sights.cut_off(after, self.attacker),
            opposition=sights.opposition(after) if piece == chess.KING else None,
            on_key_square=self._on_key_square(after),
            key_squares=self._key_squares(after),
            clock_plies=after.halfmove_clock,
            occurrence=self.referee.seen[position_key(after)] + 1 if after.halfmove_clock else 1,
            best=None if best is None else best.move.uci(),
            best_san=None if best is None else board.san(best.move),
            ahead=self._ahead(move) if ahead else (),
        )

    def _best(self, ranked: Ranked) -> Ranked | None:
        top = self.ranking[0]
        worse = ranked.outcome < top.outcome or _moves_lost(top, ranked) > 0
        return top if worse else None

    def _passes(self, ranked: Ranked) -> bool:
        """Whether the defender would be mated as soon if it were his turn in the position before."""
        passed = self.board.copy(stack=False)
        if passed.is_check():
            return False
        passed.push(chess.Move.null())
        mate, now = self.library.tables.value(passed).dtm_plies, ranked.verdict.mate_plies
        return mate is not None and now is not None and 0 < mate <= now

    def _ahead(self, move: chess.Move) -> tuple[str, ...]:
        board, line = self.board.copy(), []
        board.push(move)
        for _ in range(2):
            replies = ranked_moves(board, self.library.tables)
            if not replies or board.is_insufficient_material():
                break
            line.append(board.san(replies[0].move))
            board.push(replies[0].move)
        return tuple(line)

    def _king_squares(
        self, after: chess.Board, defender: chess.Color | None
    ) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        if defender is None:
            return (), (), ()
        now = sights.flights(after, defender)
        if self.board.turn == defender:
            return (), (), _names(now)
        before = sights.flights(self.board, defender)
        return _names(before - now), _names(now - before), _names(now)

    def _attacked(self, after: chess.Board) -> tuple[str, ...]:
        if self.attacker is None or self.board.turn == self.attacker:
            return ()
        king = sights.king_square(after, not self.attacker)
        return _names(set(after.attacks(king)) & set(chess.SquareSet(after.occupied_co[self.attacker])))

    def _corner_steps_before(self) -> int | None:
        if self.attacker is None:
            return None
        return min(sights.right_corner_steps(self.board, self.attacker).values(), default=None)

    def _key_squares(self, after: chess.Board) -> tuple[str, ...]:
        return () if self.attacker is None else _names(sights.key_squares_of(after, self.attacker))

    def _on_key_square(self, after: chess.Board) -> bool:
        if self.attacker is None:
            return False
        return sights.king_square(after, self.attacker) in sights.key_squares_of(after, self.attacker)


def _names(squares: object) -> tuple[str, ...]:
    assert isinstance(squares, (set, frozenset, tuple, list))
    return tuple(chess.square_name(s) for s in sorted(squares))


def _moves_lost(best: Ranked, played: Ranked) -> int:
    """Return by how many moves a win got longer or a defence shorter; 0 where the outcome changed."""
    if best.outcome != played.outcome or best.mate_plies is None or played.mate_plies is None:
        return 0
    return abs(played.mate_plies - best.mate_plies) // 2


def moves_left_in_count(clock_plies: int) -> int:
    """Return the full moves left before the fifty-move rule may be claimed."""
    return max(0, (CLAIM_PLIES - clock_plies) // 2)
