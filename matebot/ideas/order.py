"""The table of all ideas, those that teach most first; a new idea is one file, one witness and one line here."""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.ideas import (
    answers,
    at_pawn,
    attacks_man,
    barrier,
    bars_king,
    bishop_barred,
    box,
    bridging,
    cage,
    chasing_check,
    concedes,
    counters,
    critical,
    cut_off,
    cuts_from_pawn,
    denies,
    drives,
    ends_checks,
    ends_in,
    escapes_mate,
    expects,
    forced,
    from_king,
    guards,
    guards_man,
    hanging,
    holds_pawn,
    holes,
    in_time,
    keeps_room,
    king_nearer,
    king_up,
    knights_w,
    leads_to,
    leaves_man,
    lets_at_once,
    lets_go,
    looms,
    makes_for,
    mates,
    mating_net,
    meets,
    minor_lost,
    must_first,
    narrows,
    nears_man,
    off_the_rim,
    out_of_corner,
    outlasts,
    outruns,
    pawn_runs,
    pawn_step,
    pins,
    pitfall,
    prepares,
    prevents,
    refutation,
    safe_here,
    saved,
    sets_problem,
    shuts_way,
    sooner,
    stalemate_trap,
    stands_by,
    stands_out,
    stays_caged,
    stops_pawn,
    strikes,
    threatens,
    through_hole,
    ties_man,
    to_centre,
    towards_w,
    trapped,
    waiting_move,
    worse,
    wrong_corner,
)
from matebot.ideas.idea import Idea
from matebot.ideas.truth import Truth
from matebot.records import dataclass

Seen = Callable[[chess.Board, chess.Move, chess.Board, chess.Color], Idea | None]
Told = Callable[[chess.Board, chess.Move, chess.Board, chess.Color, Truth], Idea | None]


@dataclass(frozen=True, slots=True)
class Entry:
    """An idea of the table: how it is seen on the board, or how when the truth is told."""

    kind: str
    seen: Seen | None = None
    told: Told | None = None


ORDER: tuple[Entry, ...] = (
    Entry("mates", seen=mates.seen),
    Entry("mating_net", told=mating_net.seen),
    Entry("refutation", told=refutation.seen),
    Entry("hanging", seen=hanging.seen),
    Entry("out_of_corner", seen=out_of_corner.seen),
    Entry("holds_pawn", seen=holds_pawn.seen),
    Entry("bridging", seen=bridging.seen),
    Entry("stops_pawn", seen=stops_pawn.seen),
    Entry("bishop_barred", seen=bishop_barred.seen),
    Entry("knights_w", seen=knights_w.seen),
    Entry("cage", seen=cage.seen),
    Entry("holes", seen=holes.seen),
    Entry("chasing_check", seen=chasing_check.seen),
    Entry("waiting_move", told=waiting_move.seen),
    Entry("escapes_mate", told=escapes_mate.seen),
    Entry("ends_checks", seen=ends_checks.seen),
    Entry("saved", seen=saved.seen),
    Entry("safe_here", told=safe_here.seen),
    Entry("guards_man", seen=guards_man.seen),
    Entry("lets_go", told=lets_go.seen),
    Entry("leaves_man", told=leaves_man.seen),
    Entry("pawn_runs", seen=pawn_runs.seen),
    Entry("pawn_step", seen=pawn_step.seen),
    Entry("in_time", seen=in_time.seen),
    Entry("trapped", seen=trapped.seen),
    Entry("pins", seen=pins.seen),
    Entry("minor_lost", told=minor_lost.seen),
    Entry("wrong_corner", seen=wrong_corner.seen),
    Entry("forced", seen=forced.seen),
    Entry("critical", told=critical.seen),
    Entry("sooner", told=sooner.seen),
    Entry("stands_out", told=stands_out.seen),
    Entry("denies", told=denies.seen),
    Entry("lets_at_once", told=lets_at_once.seen),
    Entry("worse", told=worse.seen),
    Entry("looms", told=looms.seen),
    Entry("concedes", told=concedes.seen),
    Entry("prevents", told=prevents.seen),
    Entry("counters", told=counters.seen),
    Entry("outlasts", told=outlasts.seen),
    Entry("meets", told=meets.seen),
    Entry("pitfall", told=pitfall.seen),
    Entry("strikes", seen=strikes.seen),
    Entry("sets_problem", told=sets_problem.seen),
    Entry("through_hole", seen=through_hole.seen),
    Entry("attacks_man", seen=attacks_man.seen),
    Entry("threatens", seen=threatens.seen),
    Entry("outruns", told=outruns.seen),
    Entry("at_pawn", seen=at_pawn.seen),
    Entry("stands_by", seen=stands_by.seen),
    Entry("stalemate_trap", seen=stalemate_trap.seen),
    Entry("king_nearer", seen=king_nearer.seen),
    Entry("drives", seen=drives.seen),
    Entry("towards_w", seen=towards_w.seen),
    Entry("shuts_way", seen=shuts_way.seen),
    Entry("nears_man", seen=nears_man.seen),
    Entry("king_up", seen=king_up.seen),
    Entry("guards", seen=guards.seen),
    Entry("box", seen=box.seen),
    Entry("cut_off", seen=cut_off.seen),
    Entry("cuts_from_pawn", seen=cuts_from_pawn.seen),
    Entry("barrier", seen=barrier.seen),
    Entry("narrows", seen=narrows.seen),
    Entry("off_the_rim", seen=off_the_rim.seen),
    Entry("bars_king", seen=bars_king.seen),
    Entry("from_king", seen=from_king.seen),
    Entry("makes_for", seen=makes_for.seen),
    Entry("ties_man", seen=ties_man.seen),
    Entry("keeps_room", seen=keeps_room.seen),
    Entry("stays_caged", seen=stays_caged.seen),
    Entry("to_centre", seen=to_centre.seen),
    Entry("prepares", told=prepares.seen),
    Entry("leads_to", told=leads_to.seen),
    Entry("answers", told=answers.seen),
    Entry("must_first", told=must_first.seen),
    Entry("expects", told=expects.seen),
    Entry("ends_in", told=ends_in.seen),
)


_BY_KIND = {entry.kind: entry for entry in ORDER}


def ideas(
    before: chess.Board,
    move: chess.Move,
    after: chess.Board,
    attacker: chess.Color,
    truth: Truth | None = None,
) -> tuple[Idea, ...]:
    """Return every idea of a move, what teaches most first; those that need the truth only where it is given."""
    found = (idea_of(kind, before, move, after, attacker, truth) for kind in _BY_KIND)
    return tuple(idea for idea in found if idea is not None)


def idea_of(
    kind: str, before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth | None
) -> Idea | None:
    """Return the idea of a kind in a move, None where it is not seen, or needs the truth and that is not given."""
    entry = _BY_KIND[kind]
    if entry.seen is not None:
        return entry.seen(before, move, after, attacker)
    return None if entry.told is None or truth is None else entry.told(before, move, after, attacker, truth)
