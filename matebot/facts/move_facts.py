"""Facts about one move, each of which can be checked on the board; no words and no opinion.

``MoveFacts.as_data`` is the documented form for other programs: squares as names, moves in long algebraic form and as
SAN, distances in plies or moves as the names say. The facts are made in `making`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass

from matebot.facts.seeing import Seen
from matebot.method.standing import Standing
from matebot.terms import Cause, Mistake, Outcome, attacker_moves, moves_left


@dataclass(frozen=True, slots=True)
class MoveFacts:
    """What a legal move does.

    Attributes
    ----------
    fen, move, san : the position before, the move in long algebraic form and in SAN
    turn : "white" or "black", the side that moved
    attacker : the side that wins, or has the stronger men; None when the men are equal and it is drawn
    outcome_before, outcome_after : 1, 0 or -1 for the side that moved, under the laws
    cause_before, cause_after : why, of either position
    mate_plies_before, mate_plies_after : plies to mate, each from its own position; None when drawn
    exact_before, exact_after : whether they are exact; otherwise mate comes no later than that
    ranked_exactly : whether the numbers of all moves that keep the best outcome are exact; otherwise no two of them
        may be compared, and `equals`, `others_as_good` and `spare_moves` say nothing
    mistake : what the move gave away, judged by the style of attack in force
    moves_lost : moves the win got longer (attack) or shorter (defence) by this move; 0 for the best, and where the
        outcome changed; None where only bounds are known
    method_moves : moves to mate by the method, this one counted, where the style is the method and the move follows it
    loses, loses_to : kind of the man lost by a move that is worse than the best, and the best reply that takes it (SAN)
    standings_before, standings_after : where the positions stand in each ladder; empty when the attacker does not win
    check, mate, stalemate : what the move gives
    piece : kind of the man moved
    captured, promoted : kinds of men ("knight"), None without
    victim_guarded : whether the captured man was guarded
    attacker_men, defender_men : kinds of men beside the kings after the move
    king : the defending king's square after the move
    squares_taken, squares_given : squares the defending king could, or could not, go to before and not, or now, after
    flights : squares the defending king can go to after the move
    choices : legal moves there were
    keeping : how many of them keep the best outcome
    equals : how many of them are as good as the best in every way, this one counted where it is
    keepers, others_as_good : the moves that keep the best outcome, the other moves as good as the best (SAN)
    others : the outcomes of the moves that do not keep the best one
    spare_moves : by how many moves the best move that is worse, but keeps the outcome, falls short; None without one
    rescued : kinds of the attacker's men the defending king could have taken, to move before, and cannot now
    kings_before, kings_after : steps between the kings
    rim_before, rim_after : steps of the moved man from the edge of the board
    replies : legal replies, and `only_reply` (SAN) when there is just one
    waiting : a quiet move of the attacker that changes no square of the defending king, who has at most two moves
        and who, to move in the position before, would have been mated as soon: the attacker only passes the move
    stalemating : other legal moves (SAN) that would have been stalemate
    loose : men of the side that moved which may be captured at once
    attacked, attacked_kinds : men of the attacker that the defending king attacks after a move of the defence
    barred : squares next to the attacking king that the defending king has come to guard by its move
    way_shut : squares two steps from the defending king, nearer to the centre, that the attacker has come to guard
    abreast : whether two bishops of the attacker stand side by side on a rank or file
    knights_move_off : whether the attacker's lone queen stands a knight's move from the defending king
    wall_bishop, wall_knight : squares next to the king guarded by bishop and knight from squares of one colour
    pawn_moves, catch_steps, pawn_goal : moves of the attacker's lone pawn to promotion, nobody being in its way, steps
        of the other king to that square, and the square
    w_step, w_route : step 1 to 4 of the knight's route to the right corner, and the route
    right_corner : corner of the bishop's colour nearest to the king after the move; None when both are as near
    corner_steps_before, corner_steps_after : the king's steps to the nearest corner of the bishop's colour
    box_before, box_after : squares of the box a lone queen or rook leaves the king
    cut_off : the line of a lone queen or rook between the kings, after the move
    opposition : kind of opposition the side that moved has taken
    on_key_square, key_squares : whether the attacking king stands on a key square after the move; all of them
    key_steps_before, key_steps_after : its steps to the nearest key square
    clock_plies : plies on the fifty-move count after the move
    occurrence : how often the position after the move has occurred, with this time
    best, best_san : the best move where this one loses something, None otherwise
    ahead : the best reply and the best move after it (SAN), as far as there are any; empty when not asked for
    only_holder : whether the best reply is the only one that keeps the outcome
    as_good_at_once : whether the second move of `ahead` was as good instead of the move
    prevented : whether the best move would not have allowed the reply, a step of the defending king
    reply_attacks : kinds of unguarded men that the king attacks by the reply
    seen : the ideas of the move and the conditions of its stage
    left_open : squares the king has after the reply and would not have after the best move and the same reply; these
        three only where the move loses something, with `ahead`
    """

    fen: str
    move: str
    san: str
    turn: str
    attacker: str | None
    outcome_before: int
    outcome_after: int
    cause_before: Cause
    cause_after: Cause
    mate_plies_before: int | None
    mate_plies_after: int | None
    exact_before: bool
    exact_after: bool
    ranked_exactly: bool
    mistake: Mistake
    moves_lost: int | None
    method_moves: int | None
    loses: str | None
    loses_to: str | None
    standings_before: tuple[Standing, ...]
    standings_after: tuple[Standing, ...]
    check: bool
    mate: bool
    stalemate: bool
    piece: str
    captured: str | None
    promoted: str | None
    victim_guarded: bool
    attacker_men: tuple[str, ...]
    defender_men: tuple[str, ...]
    king: str
    squares_taken: tuple[str, ...]
    squares_given: tuple[str, ...]
    flights: tuple[str, ...]
    choices: int
    keeping: int
    equals: int
    keepers: tuple[str, ...]
    others_as_good: tuple[str, ...]
    others: tuple[int, ...]
    spare_moves: int | None
    rescued: tuple[str, ...]
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
    attacked_kinds: tuple[str, ...]
    barred: tuple[str, ...]
    way_shut: tuple[str, ...]
    abreast: bool
    knights_move_off: bool
    wall_bishop: tuple[str, ...]
    wall_knight: tuple[str, ...]
    pawn_moves: int | None
    catch_steps: int | None
    pawn_goal: str | None
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
    key_steps_before: int | None
    key_steps_after: int | None
    clock_plies: int
    occurrence: int
    best: str | None
    best_san: str | None
    ahead: tuple[str, ...]
    only_holder: bool
    as_good_at_once: bool
    prevented: bool
    reply_attacks: tuple[str, ...]
    left_open: tuple[str, ...]
    seen: Seen = field(default_factory=Seen, compare=False)

    @property
    def by_attacker(self) -> bool:
        """Whether the attacker made the move."""
        return self.attacker == self.turn

    @property
    def exact(self) -> bool:
        """Whether both distances are exact, so that their difference may be told."""
        return self.exact_before and self.exact_after

    @property
    def mate_moves(self) -> int | None:
        """Moves to mate that the move promises, counted from before it; at most so many unless `exact_after`."""
        if self.mate_plies_after is None:
            return None
        return attacker_moves(self.mate_plies_after + 1, self.outcome_after > 0)

    @property
    def best_moves(self) -> int | None:
        """Moves to mate that the best move promises; at most so many unless `exact_before`."""
        return (
            None if self.mate_plies_before is None else attacker_moves(self.mate_plies_before, self.outcome_before > 0)
        )

    @property
    def moves_left(self) -> int:
        """Moves of the attacker left under the fifty-move rule, counted from before a move that goes on with it."""
        return moves_left(max(0, self.clock_plies - 1), self.by_attacker)

    def as_data(self) -> dict[str, object]:
        """Return the facts as plain data for JSON."""
        data = {f.name: _plain(getattr(self, f.name)) for f in fields(self) if f.name != "seen"}
        data["outcome_before"] = Outcome(self.outcome_before).word
        data["outcome_after"] = Outcome(self.outcome_after).word
        data["exact"] = self.exact
        return data


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value) if f.name != "rung"}
    return value
