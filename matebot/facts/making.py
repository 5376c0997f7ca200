"""Makes the facts about a move from the board, the laws, the ranked moves and the ladders."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import chess

from matebot.facts import sights
from matebot.facts.contrast import Contrast, contrast
from matebot.facts.move_facts import MoveFacts
from matebot.facts.seeing import Seen, see
from matebot.facts.slip_kind import falls_back, opens_cage
from matebot.ideas.blame import Blame, blame
from matebot.laws import Verdict, position_key
from matebot.method.field import from_edge
from matebot.method.standing import Standing
from matebot.play.choice import Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, is_weaker
from matebot.play.truth import TableTruth
from matebot.terms import CLAIM_PLIES, Cause, Mistake, attacker_moves


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


#: Equally good replies that are compared when looking ahead.
_REPLIES_LOOKED_AT = 4


@dataclass(frozen=True, slots=True)
class _Ahead:
    """The best reply and the best move after it, as far as they are known."""

    moves: tuple[chess.Move, ...] = ()
    only_holder: bool = False


class FactMaker:
    """Makes the facts of moves from one position.

    Parameters
    ----------
    judged : the position
    attack : style of attack in force; with "method" a move of the method is never a mistake
    """

    def __init__(self, judged: Judged, attack: str = "shortest") -> None:
        self.judged = judged
        self.library, self.referee, self.board = judged.library, judged.referee, judged.board
        self.ranking = judged.ranking
        self.verdict = judged.referee.here()
        self.by_method = attack == "method"
        self.attacker = attacker_of(self.board, self.verdict)
        self.standings = judged.standings
        self._facts: dict[chess.Move, MoveFacts] = {}

    def moves_lost(self, move: chess.Move) -> int | None:
        """Return by how many moves a legal move makes a win longer or a defence shorter, None where it is not known.

        Nothing where it follows the method and that is the style in force.
        """
        played = self.judged.item(move)
        return 0 if self._method_moves(played) else self._lost(played)

    def given_away(self, move: chess.Move) -> int | None:
        """Return the outcome that a legal move gave away, None where it kept it."""
        best = self.ranking[0].outcome
        return best if self.judged.item(move).outcome < best else None

    def better(self, facts: MoveFacts) -> MoveFacts | None:
        """Return the facts of the best move where a move loses something."""
        return None if facts.best is None else self.facts(chess.Move.from_uci(facts.best))

    def facts(self, move: chess.Move, ahead: bool = False) -> MoveFacts:
        """Return the facts of a legal move; with `ahead` also the best reply and what follows it."""
        if move not in self._facts:
            self._facts[move] = self._make(move)
        return self._looked_ahead(move, self._facts[move]) if ahead else self._facts[move]

    def _make(self, move: chess.Move) -> MoveFacts:
        board, ranked = self.board, self.judged.item(move)
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
        race = None if self.attacker is None else sights.pawn_race(after, self.attacker)
        standings = self.library.standings_of(self.referee.steps[move].child) if ranked.outcome else ()
        method_moves = self._method_moves(ranked)
        loses = self._loses(ranked) if best is not None else None
        seen = self._see(move, after, ranked, standings)
        piece = board.piece_type_at(move.from_square)
        assert piece is not None
        return MoveFacts(
            fen=board.fen(),
            move=move.uci(),
            san=self.judged.name(move),
            turn=chess.COLOR_NAMES[board.turn],
            attacker=colour_name(self.attacker),
            outcome_before=self.ranking[0].outcome,
            outcome_after=ranked.outcome,
            cause_before=Cause(self.verdict.cause),
            cause_after=Cause(ranked.cause),
            mate_plies_before=self.ranking[0].mate_plies,
            mate_plies_after=ranked.verdict.mate_plies,
            exact_before=self._best_known,
            exact_after=ranked.exact,
            ranked_exactly=self._ranked_exactly,
            mistake=Mistake.NONE if method_moves else self._mistake(ranked, standings, loses is not None, seen),
            moves_lost=self._lost(ranked),
            method_moves=method_moves,
            loses=None if loses is None else loses[0],
            loses_to=None if loses is None else after.san(loses[1]),
            standings_before=self.standings,
            standings_after=standings,
            check=after.is_check(),
            mate=after.is_check() and not replies,
            stalemate=not after.is_check() and not replies,
            piece=chess.piece_name(piece),
            captured=None if victim is None else chess.piece_name(victim),
            promoted=None if move.promotion is None else chess.piece_name(move.promotion),
            victim_guarded=victim is not None and after.is_attacked_by(after.turn, move.to_square),
            attacker_men=() if self.attacker is None else sights.kinds(after, self.attacker),
            defender_men=() if defender is None else sights.kinds(after, defender),
            king="" if defender is None else chess.square_name(sights.king_square(after, defender)),
            squares_taken=taken,
            squares_given=given,
            flights=flights,
            choices=len(self.ranking),
            keeping=sum(item.outcome == self.ranking[0].outcome for item in self.ranking),
            equals=len(self._best_names),
            keepers=self._keepers,
            others_as_good=tuple(san for san, as_good in self._best_names.items() if as_good != move),
            others=tuple(sorted({item.outcome for item in self.ranking} - {self.ranking[0].outcome})),
            spare_moves=self._spare_moves(),
            rescued=self._rescued(after, move),
            kings_before=sights.kings_apart(board),
            kings_after=sights.kings_apart(after),
            rim_before=from_edge(move.from_square),
            rim_after=from_edge(move.to_square),
            replies=len(replies),
            only_reply=after.san(replies[0]) if len(replies) == 1 else None,
            waiting=(quiet and 0 < len(replies) <= 2 and not taken and not given and self._passes(ranked)),
            stalemating=tuple(
                sorted(self.judged.name(r.move) for r in self.ranking if r.cause == "stalemate" and r.move != move)
            ),
            loose=_names(sights.loose_men(after, board.turn)),
            attacked=_names(hit := self._attacked(after)),
            attacked_kinds=tuple(chess.piece_name(after.piece_type_at(s) or chess.PAWN) for s in hit),
            barred=self._barred(after, piece),
            way_shut=() if self.attacker != board.turn else _names(sights.way_shut(board, after, self.attacker)),
            abreast=self.attacker is not None and sights.abreast(after, self.attacker),
            knights_move_off=self.attacker is not None and sights.knights_move_off(after, self.attacker),
            wall_bishop=_names(wall[0]),
            wall_knight=_names(wall[1]),
            pawn_moves=None if race is None else race[0],
            catch_steps=None if race is None else race[1],
            pawn_goal=None if race is None else chess.square_name(race[2]),
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
            key_steps_before=None if self.attacker is None else sights.key_steps(board, self.attacker),
            key_steps_after=None if self.attacker is None else sights.key_steps(after, self.attacker),
            clock_plies=after.halfmove_clock,
            occurrence=self.referee.seen[position_key(after)] + 1 if after.halfmove_clock else 1,
            best=None if best is None else best.move.uci(),
            best_san=None if best is None else self.judged.name(best.move),
            ahead=(),
            only_holder=False,
            as_good_at_once=False,
            prevented=False,
            reply_attacks=(),
            left_open=(),
            seen=seen,
        )

    def _looked_ahead(self, move: chess.Move, facts: MoveFacts) -> MoveFacts:
        """Return the facts of a move with what a best reply and the best move after it show."""
        played = self.judged.item(move)
        best = self._best(played)
        looked = self._ahead(played, best)
        beside = self._contrast(move, best, looked.moves)
        after = self.board.copy(stack=False)
        after.push(move)
        return replace(
            facts,
            ahead=_in_san(after, looked.moves),
            only_holder=looked.only_holder,
            as_good_at_once=len(looked.moves) == 2 and _at_once(move, looked.moves[1]) in self._best_moves - {move},
            prevented=beside.prevented,
            reply_attacks=beside.attacked,
            left_open=_names(beside.open),
            seen=replace(facts.seen, blame=self._blame(move, best)) if looked.moves else facts.seen,
        )

    def _blame(self, move: chess.Move, best: Ranked | None) -> Blame | None:
        """Return what a move of the attacker lets in by a best reply, and the best move would not."""
        if best is None or self.attacker != self.board.turn:
            return None
        replies = self.judged.after(move).ranking
        return blame(self.board, move, best.move, [item.move for item in replies if _as_good(item, replies[0])])

    def _see(self, move: chess.Move, after: chess.Board, ranked: Ranked, standings: tuple[Standing, ...]) -> Seen:
        """Return the ideas of a move; what needs the truth only where neither clock nor history changes it."""
        value = self.verdict.value
        plain = self.verdict.outcome == value.outcome and self.referee.plain(value, self.board.halfmove_clock)
        exact = self._ranked_exactly and ranked.exact
        told = plain and exact and ranked.outcome == -ranked.verdict.value.outcome
        drawn = self._truth if ranked.outcome == ranked.verdict.value.outcome == 0 else None
        stages = None
        if self.standings and standings:
            stood, stands = self.standings[0], standings[0]
            stages = (stood.ladder, stood.stage - 1), (stands.ladder, stands.stage - 1)
        return see(self.board, move, after, self.attacker, self._truth if told else None, stages, drawn)

    @cached_property
    def _truth(self) -> TableTruth:
        """What is exact without the clock, and the move taught: by the method only while that is in time."""
        in_time = bool(self.standings) and self.board.halfmove_clock + self.standings[0].rung.plies <= CLAIM_PLIES
        return TableTruth(self.library, "method" if self.by_method and in_time else "shortest")

    def _best(self, ranked: Ranked) -> Ranked | None:
        """Return the move recommended instead of a worse one: what would be played, as far as that is better.

        By the method a longer mate may be played than the shortest; what is as fast, or follows the method as well, is
        held against the shortest.
        """
        if ranked.outcome == self.ranking[0].outcome and not self._lost(ranked):
            return None
        taught = self._taught
        better = ranked.outcome < taught.outcome or (taught.mate_plies or 0) < (ranked.mate_plies or 0)
        follows = self._method_moves(ranked) is not None
        return taught if (better and not follows) or self.attacker != self.board.turn else self._shortest

    @cached_property
    def _best_known(self) -> bool:
        """Whether the number of the first move is exact, and so is that of the position: it is no worse than any."""
        return self.ranking[0].exact and self.verdict.exact

    @cached_property
    def _ranked_exactly(self) -> bool:
        return self._best_known and _comparable(self.ranking)

    def _lost(self, played: Ranked) -> int | None:
        """Return by how many moves a win got longer or a defence shorter, 0 where the outcome changed.

        None where either is only a bound: the difference of bounds says nothing.
        """
        best = self.ranking[0]
        if best.outcome != played.outcome or best.mate_plies is None or played.mate_plies is None:
            return 0
        if not (played.exact and self._best_known):
            return None
        return attacker_moves(abs(played.mate_plies - best.mate_plies), False)

    @cached_property
    def _taught(self) -> Ranked:
        """Return the move that is played in the style in force; the longest defence where the other side attacks."""
        return self._chosen("method" if self.by_method else "shortest")

    @cached_property
    def _shortest(self) -> Ranked:
        return self._chosen("shortest")

    def _chosen(self, attack: str) -> Ranked:
        if self.ranking[0].outcome <= 0:
            return self.ranking[0]
        return choose(self.judged, Style(attack=attack))

    @cached_property
    def _keepers(self) -> tuple[str, ...]:
        top = self.ranking[0].outcome
        return tuple(sorted(self.judged.name(item.move) for item in self.ranking if item.outcome == top))

    @cached_property
    def _best_names(self) -> dict[str, chess.Move]:
        """The moves as good as the best, by their names in SAN, in the order of these."""
        best = [item.move for item in self.ranking if _as_good(item, self.ranking[0])]
        return dict(sorted(((self.judged.name(move), move) for move in best), key=lambda pair: pair[0]))

    def _spare_moves(self) -> int | None:
        """Return by how many moves the best of the moves that are worse, but keep the outcome, falls short."""
        if not self._ranked_exactly:
            return None
        lost = [self._lost(r) for r in self.ranking if r.outcome == self.ranking[0].outcome]
        return min((moves for moves in lost if moves), default=None)

    @cached_property
    def _best_moves(self) -> frozenset[chess.Move]:
        return frozenset(self._best_names.values())

    def _contrast(self, move: chess.Move, best: Ranked | None, looked: tuple[chess.Move, ...]) -> Contrast:
        if best is None or not looked or self.attacker != self.board.turn:
            return Contrast()
        return contrast(self.board, move, best.move, looked[0])

    def _barred(self, after: chess.Board, piece: chess.PieceType) -> tuple[str, ...]:
        if self.attacker is None or self.board.turn == self.attacker or piece != chess.KING:
            return ()
        return _names(sights.barred(self.board, after, not self.attacker))

    def _passes(self, ranked: Ranked) -> bool:
        """Whether the defender would be mated as soon if it were his turn in the position before."""
        passed = self.board.copy(stack=False)
        if passed.is_check() or not ranked.exact:
            return False
        passed.push(chess.Move.null())
        mate, now = self.library.tables.value(passed).dtm_plies, ranked.verdict.mate_plies
        return mate is not None and now is not None and 0 < mate <= now

    def _ahead(self, played: Ranked, best: Ranked | None) -> _Ahead:
        """Look at a best reply and the best move after it; among equal replies the one that leaves least choice.

        In a draw replies after which a man may be taken are looked at last.
        Where the move loses something and the move that would have been better still is as good as any, that one.
        Where a distance is only a bound no reply is known to be best, so there is nothing to tell.
        """
        there = self.judged.after(played.move)
        replies = there.ranking
        if not replies or not played.exact or not _comparable(replies):
            return _Ahead()
        found: list[tuple[int, tuple[chess.Move, ...]]] = []
        equal = [item for item in replies if _as_good(item, replies[0])]
        if replies[0].outcome == 0:
            equal.sort(key=lambda item: _gives(there.board, item.move))
        for reply in equal[:_REPLIES_LOOKED_AT]:
            replied = there.after(reply.move)
            after = [] if replied.board.is_insufficient_material() else replied.ranking
            keeping = sum(item.outcome == after[0].outcome for item in after)
            wanted = [r for r in after if _as_good(r, after[0]) and best is not None and r.move == best.move]
            follow = [(wanted or after)[0].move] if after and _comparable(after) else []
            found.append((keeping, (reply.move, *follow)))
        only = sum(item.outcome == replies[0].outcome for item in replies) == 1
        return _Ahead(min(found, key=lambda item: item[0])[1], only)

    def _loses(self, played: Ranked) -> tuple[str, chess.Move] | None:
        """Return the kind of man a worse move loses, and the reply that takes it.

        A man is lost where one of the best replies takes it and the best move would have kept it, without an exchange.
        """
        taken = self._taken(played)
        if taken is None or self.board.is_capture(played.move):
            return None
        spared = self._taken(self._best(played) or self.ranking[0])
        return None if spared is not None and spared[0] == taken[0] else taken

    def _taken(self, played: Ranked) -> tuple[str, chess.Move] | None:
        there = self.judged.after(played.move)
        after, replies = there.board, there.ranking
        for reply in replies:
            if not _as_good(reply, replies[0]):
                break
            if after.is_capture(reply.move):
                kind = chess.PAWN if after.is_en_passant(reply.move) else after.piece_type_at(reply.move.to_square)
                return chess.piece_name(kind or chess.PAWN), reply.move
        return None

    def _mistake(self, played: Ranked, standings: tuple[Standing, ...], man_lost: bool, seen: Seen) -> Mistake:
        lost = self._lost(played)
        if played.outcome < self.ranking[0].outcome:
            return Mistake.OUTCOME
        if not lost:
            return Mistake.NONE
        if man_lost:
            return Mistake.MAN
        if self.attacker == self.board.turn and falls_back(self.standings, standings):
            return Mistake.STAGE
        if self.attacker == self.board.turn and opens_cage(seen):
            return Mistake.CAGE
        return Mistake.MOVES if lost > 1 else Mistake.SLOWER

    def _method_moves(self, played: Ranked) -> int | None:
        """Return the moves to mate by the method, where that is the style in force and the move follows it."""
        if not self.by_method or played.outcome <= 0:
            return None
        rung = on_ladder(self.judged, played)
        return None if rung is None else attacker_moves(rung.plies + 1, True)

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

    def _rescued(self, after: chess.Board, move: chess.Move) -> tuple[str, ...]:
        if self.attacker is None or self.board.turn != self.attacker:
            return ()
        safe = sights.in_danger(self.board, self.attacker) - sights.in_danger(after, self.attacker)
        if move.from_square in safe and move.to_square in sights.in_danger(after, self.attacker):
            safe -= {move.from_square}
        return tuple(chess.piece_name(self.board.piece_type_at(s) or chess.PAWN) for s in sorted(safe))

    def _attacked(self, after: chess.Board) -> list[chess.Square]:
        if self.attacker is None or self.board.turn == self.attacker:
            return []
        king = sights.king_square(after, not self.attacker)
        return sorted(set(after.attacks(king)) & set(chess.SquareSet(after.occupied_co[self.attacker])))

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


def _as_good(item: Ranked, best: Ranked) -> bool:
    """Whether a move is the best one, or known to be as good."""
    known = item.exact and best.exact
    return item is best or (known and (item.outcome, item.mate_plies) == (best.outcome, best.mate_plies))


def _gives(board: chess.Board, move: chess.Move) -> bool:
    """Whether a man may be taken after a move."""
    board.push(move)
    found = any(board.generate_legal_captures())
    board.pop()
    return found


def _at_once(move: chess.Move, later: chess.Move) -> chess.Move:
    """Return the move that takes a man at once to where it goes by the later of two moves of its side."""
    source = move.from_square if later.from_square == move.to_square else later.from_square
    return chess.Move(source, later.to_square, later.promotion)


def _in_san(board: chess.Board, moves: tuple[chess.Move, ...]) -> tuple[str, ...]:
    """Return moves played one after the other by their names."""
    board = board.copy(stack=False)
    return tuple(board.san_and_push(move) for move in moves)


def _comparable(ranking: list[Ranked]) -> bool:
    """Whether the distances of all moves that keep the outcome are exact."""
    return all(item.exact for item in ranking if item.outcome == ranking[0].outcome)
