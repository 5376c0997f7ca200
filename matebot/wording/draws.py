"""Why a drawn position is drawn: one rule a reason, in the terms teachers use."""

from __future__ import annotations

import re
from functools import singledispatch

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn import knight_beside_king, safe_corner
from matebot.ideas.drawn.both_aims import BothAims
from matebot.ideas.drawn.equal_men import EqualMen
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.king_before_pawn import KingBeforePawn
from matebot.ideas.drawn.knight_beside_king import KnightBesideKing
from matebot.ideas.drawn.knight_frozen import KnightFrozen
from matebot.ideas.drawn.man_caught import ManCaught
from matebot.ideas.drawn.man_falls import ManFalls
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.drawn.pawn_on_the_seventh import PawnOnTheSeventh
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.drawn.stalemated import Stalemated
from matebot.ideas.drawn.too_few_men import TooFewMen
from matebot.ideas.drawn.wrong_rooks_pawn import WrongRooksPawn
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.ideas.squares import king_steps
from matebot.ideas.stalemate_trap import StalemateTrap
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.strikes import Strikes
from matebot.terms import Cause
from matebot.wording import counsel
from matebot.wording.defence_men import stalemated_by
from matebot.wording.phrases import LINE, listed, other, sentence, side, takes_clause
from matebot.wording.problems import against_pawn, new_queen_falls, problem, tried
from matebot.wording.rook_draws import minor_holds
from matebot.wording.said import men_on, of, own_king, own_men, stands
from matebot.wording.threats_met import king_first, met_threat, pitfall

#: Of so many moves on it tells something that most of them hold.
_MANY = 6
ONLY = "is the only move that draws"
_STALEMATE = "would be stalemate"
#: Beside the side and the move there is room for so many letters in a line.
_ROOM = LINE - len("White:  .")
#: What is told of a man that may be taken.
_FALLS = re.compile(r" then leaves only ")
#: From so far a king helps to mate.
_MATING_STEPS = 2


def why_drawn(facts: MoveFacts) -> str:
    """Return why the position after a move is drawn; nothing where no reason is known."""
    reason = facts.seen.why_drawn
    if isinstance(reason, MinorHoldsRook):
        return minor_holds(reason, facts)
    if isinstance(reason, TooFewMen) and not reason.men and facts.men.defender_men:
        return f"a {facts.men.defender_men[0]} alone cannot mate"
    met = of(Meets, met_threat)(facts) if isinstance(reason, SafeCorner | KnightBesideKing) else ""
    if met and isinstance(reason, KnightBesideKing):
        return f"{met}, and the knight stands beside its king"
    if isinstance(reason, KnightBesideKing) and facts.seen.holding.is_shared(knight_beside_king.seen):
        return f"the knight on {square_name(reason.knight)} stands beside its king, and no fork or pin wins it there"
    if isinstance(reason, SafeCorner) and not met and facts.seen.holding.is_shared(safe_corner.seen):
        return f"the king is by the safe corner {square_name(reason.corner)}, and no check or pin wins the bishop"
    if isinstance(reason, PawnSupported) and not reason.led and of(StandsBy, _comes_to_pawn)(facts):
        return "it comes nearer to its pawn, and the other king is too far off to help the rook"
    return "" if reason is None else f"{met}, and {_why(reason)}" if met else _why(reason)


def _comes_to_pawn(idea: StandsBy, facts: MoveFacts) -> str:
    """Say that the king comes nearer to its pawn, which some other moves fail to hold for; nothing elsewhere."""
    needed = facts.beside.keeping < facts.beside.choices and not facts.by_attacker
    return "nearer" if needed and idea.help is Help.NEARER else ""


def struck(idea: Strikes, facts: MoveFacts) -> str:
    """Say that a move that draws forks or skewers; nothing where that does not win the man."""
    if not isinstance(facts.seen.why_drawn, ManFalls) or facts.seen.why_drawn.man is None:
        return ""
    does = "forks" if idea.means is Means.FORK else "skewers"
    return f"it {does} {king_first(idea.men)}, and the {man_name(facts.seen.why_drawn.man)} falls"


@singledispatch
def _why(reason: object) -> str:
    return ""


@_why.register
def _(reason: BothAims) -> str:
    steps = listed([square_name(square) for square in reason.steps], "or")
    return f"the king serves both aims at once by {steps}: nearer to the other pawn and to its own"


@_why.register
def _(reason: EqualMen) -> str:
    return f"{man_name(reason.man)} against {man_name(reason.man)}, and neither side can force a win"


@_why.register
def _(reason: InsideTheSquare) -> str:
    steps_in = reason.king_steps > reason.pawn_moves
    return f"the king {'steps' if steps_in else 'is'} inside the square of the pawn on {square_name(reason.pawn)}"


@_why.register
def _(reason: KingBeforePawn) -> str:
    if reason.shut_in:
        return "the attacking king is shut in before its own rook's pawn"
    if reason.rooks_pawn:
        return "the king holds the corner before the rook's pawn, out of which nothing drives it"
    if reason.has_opposition:
        return "the king has the opposition, so the other king cannot lead the pawn in"
    return f"the king stands in front of the pawn, on {square_name(reason.square)}"


@_why.register
def _(reason: KnightBesideKing) -> str:
    return f"the knight on {square_name(reason.knight)} stands beside its king, where the rook cannot win it"


@_why.register
def _(reason: KnightFrozen) -> str:
    return (
        f"the knight must guard the pawn on {square_name(reason.pawn)}, and the king coming to help gives stalemate "
        f"by {square_name(reason.corner)}"
    )


@_why.register
def _(reason: ManCaught) -> str:
    step = f"the king comes to {square_name(reason.step)}"
    if reason.man is None:
        return f"{step}, and then a man falls{' or it is stalemate' if reason.stalemates else ''}"
    return f"{step}, and then the {man_name(reason.man)} cannot be saved"


@_why.register
def _(reason: ManFalls) -> str:
    if reason.man is None:
        return f"every reply loses a man{' or is stalemate' if reason.stalemates else ''}"
    return f"the {man_name(reason.man)} falls, and what is left cannot win"


@_why.register
def _(reason: MinorStopsPawn) -> str:
    minor = man_name(reason.minor)
    alone = f"a {minor} alone cannot mate"
    if reason.takes is not None:
        taker = "it" if reason.takes == reason.minor else f"the {man_name(reason.takes)}"
        return f"{alone}, even if {taker} takes the pawn"
    if reason.king_alone:
        return f"{alone}, but the king holds the pawn by itself"
    if reason.held:
        return f"{alone}, but it stops the pawn at {listed([square_name(square) for square in reason.held], 'or')}"
    if reason.gives:
        return f"{alone}, but it can give itself for the pawn"
    if reason.comes:
        return f"{alone}, but it is in time to stop the pawn"
    if reason.king_near:
        return f"{alone}, but the other king is in time to stop the pawn"
    return f"{alone}, but the pawn does not get through"


@_why.register
def _(reason: PawnOnTheSeventh) -> str:
    kind = "bishop's" if reason.bishops_pawn else "rook's"
    holds = f"a {kind} pawn on the seventh draws, since its king goes to {square_name(reason.corner)} for stalemate"
    return f"with the other king too far away {holds}" if reason.king_far else holds


@_why.register
def _(reason: PawnSupported) -> str:
    if reason.led:
        return "the king leads its pawn, the other king is too far off, and the rook must be given for it"
    return "the other king is too far off to help its rook against the pawn"


@_why.register
def _(reason: SafeCorner) -> str:
    return f"the king is by the safe corner {square_name(reason.corner)}, which is not of the bishop's colour"


@_why.register
def _(reason: Stalemated) -> str:
    return f"stalemate: the king on {square_name(reason.king)} has no move and is not in check"


@_why.register
def _(reason: TooFewMen) -> str:
    men = listed([man_name(kind) for kind in reason.men])
    if not reason.men:
        return "only the kings are left"
    men = f"a {men}" if len(reason.men) == 1 else men.replace("knight and knight", "two knights")
    return f"{men} cannot force mate" if reason.possible else f"{men} alone cannot mate"


@_why.register
def _(reason: WrongRooksPawn) -> str:
    where = "holds" if reason.arrived else "reaches"
    return f"the wrong rook's pawn: the bishop never guards {square_name(reason.corner)}, and the king {where} it"


def drew(facts: MoveFacts) -> list[str]:
    """Return how a move draws, and why it is a draw."""
    how = {
        Cause.STALEMATE: "is stalemate",
        Cause.FIFTY_MOVES: "reaches the fifty-move rule in time",
        Cause.REPETITION: "brings about the third repetition in time",
    }.get(facts.worth.cause_after, "keeps the draw")
    known = facts.worth.cause_after in (Cause.BALANCE, Cause.DEAD_POSITION)
    why = (of(Strikes, struck)(facts) or whose(why_drawn(facts), facts)) if known else ""
    if known and not why and not facts.by_attacker:
        why = of(StalemateTrap, stalemated_by)(facts)
    if facts.man.captured:
        why = (_left(facts) if known else "") or why
    tries = tried_in_a_draw(facts)
    if known and not facts.man.captured and not tries:
        why = against_pawn(facts) or why
    alone = "" if tries or not known else _beside(facts)
    split = bool(alone == ONLY and facts.man.captured and isinstance(facts.seen.why_drawn, InsideTheSquare))
    if not split and len(_in_one(alone, why, facts)) + len(facts.san) > _ROOM:
        alone = ""  # the reason would be cut off
    first = tries or _in_one(alone or how, "" if split else why, facts)
    rule = counsel.in_a_draw(facts)
    return [
        sentence(f"{facts.san} {first}"),
        *([sentence(f"it does not win: {why}")] if split and why else []),
        *_shown(facts, tries or why),
        *([] if alone else _alone(facts)),
        *_trap(facts),
        *([] if _FALLS.search(first) or why.endswith(_STALEMATE) else _hanging(facts)),
        *([sentence(rule)] if rule else []),
    ]


def _in_one(how: str, why: str, facts: MoveFacts) -> str:
    """Say what is taken, how that draws and why."""
    if facts.man.captured:
        how = f"{takes_clause(facts.man.captured, facts.man.victim_guarded)} and {how.replace('keeps', 'holds')}"
    return f"{how}: {why}" if why else how


def _beside(facts: MoveFacts) -> str:
    """Say that a move keeps the draw as the only one, as every one or as most do; nothing where only some do."""
    if facts.beside.keeping == 1 < facts.beside.choices:
        return ONLY
    if facts.beside.keeping == facts.beside.choices > 1:
        return "keeps the draw, as every move does"
    return "keeps the draw, as most moves do" if _most_hold(facts) else ""


def tried_in_a_draw(facts: MoveFacts) -> str:
    """Say what problem a move sets, or what it tries that cannot win; nothing for others."""
    if facts.worth.cause_after is not Cause.BALANCE or facts.man.captured or facts.man.promoted:
        return ""
    return "" if of(Strikes, struck)(facts) else problem(facts) or whose(tried(facts), facts)


def _most_hold(facts: MoveFacts) -> bool:
    """Whether a minor piece holds a rook by most of many moves, and this one meets no threat."""
    reason, keeping, choices = facts.seen.why_drawn, facts.beside.keeping, facts.beside.choices
    if not isinstance(reason, MinorHoldsRook) or reason.double is not None or facts.man.captured:
        return False
    return facts.seen.idea(Meets) is None and choices >= _MANY and choices > keeping >= choices * 3 / 4


def _strong(facts: MoveFacts) -> str:
    return facts.attacker or facts.turn


def _left(facts: MoveFacts) -> str:
    """Say what is left where the attacker has lost his last man, and why that is drawn; nothing else."""
    reason = facts.seen.why_drawn
    if facts.attacker is None or facts.men.attacker_men or facts.by_attacker:
        return ""
    hangs = facts.seen.idea(Hanging)
    if isinstance(reason, TooFewMen):
        if hangs is not None and len(facts.men.defender_men) == len(hangs.squares) == 1:
            return f"Kx{square_name(hangs.squares[0])} then leaves only the kings"
        return why_drawn(facts)
    falls = reason.capture if isinstance(reason, ManFalls) and len(facts.men.defender_men) == 1 else None
    if falls is not None:
        return f"{facts.seen.name_after(falls)} then leaves only the kings"
    rival = side(other(facts.turn))
    return f"{rival}'s king still stops the pawn" if isinstance(reason, InsideTheSquare) and _led(facts) else ""


def _led(facts: MoveFacts) -> bool:
    """Whether a king beside its pawn has taken the last man: to be inside the square is then not enough to catch it."""
    pawns, king = own_men(facts, "pawn"), own_king(facts)
    king = stands(facts) if facts.man.piece == "king" else king
    if len(pawns) != 1 or king_steps(king, pawns[0]) > _MATING_STEPS:
        return False
    behind = pawns[0] // 8 - king // 8
    return (behind if facts.turn == "white" else -behind) <= 1


def whose(why: str, facts: MoveFacts) -> str:
    """Say of which side the kings are that a reason speaks of, where it is not that of whoever moved."""
    strong = _strong(facts)
    strong = strong if facts.attacker is None or facts.men.attacker_men else other(strong)
    named = why.replace("the other king", f"{side(strong)}'s king")
    theirs = named.startswith("the king ") and strong == facts.turn
    return f"{side(other(strong))}'s{named[3:]}" if theirs else named


def _alone(facts: MoveFacts) -> list[str]:
    """Say that no other move draws, or that every one does."""
    if facts.beside.keeping == 1 < facts.beside.choices:
        return [sentence(f"it {ONLY}")]
    return [sentence("every move draws")] if facts.beside.keeping == facts.beside.choices > 1 else []


def _trap(facts: MoveFacts) -> list[str]:
    """Name another move that loses."""
    why, idea = facts.seen.why_drawn, facts.seen.idea(Pitfall)
    if facts.man.captured or facts.beside.keeping == 1 or idea is None:
        return []
    if isinstance(why, SafeCorner) and idea.other.to_square == why.corner:
        return []  # into the corner that was called safe
    met = facts.seen.idea(Meets)
    if met is not None and met.means is idea.means and met.reply.to_square == idea.reply.to_square:
        return []  # of the same blow it is told that the move avoids it
    trap = pitfall(idea, facts)
    return [sentence(trap)] if trap else []


def _shown(facts: MoveFacts, why: str) -> list[str]:
    """Show by moves that nothing is to be won, where no reason is known."""
    if why:
        return []
    if facts.worth.cause_after is not Cause.BALANCE or len(facts.then.ahead) < 2:
        return []
    if queen := new_queen_falls(facts):
        return [sentence(queen)]
    reply, holds = facts.then.ahead
    return [sentence(f"if {reply}, {holds} holds")]


def _hanging(facts: MoveFacts) -> list[str]:
    idea, met = facts.seen.idea(Hanging), facts.seen.idea(Meets)
    if isinstance(facts.seen.why_drawn, MinorStopsPawn) and not facts.by_attacker:
        return []  # how the pawn is stopped is told
    if idea is None or (met is not None and met.still) or facts.worth.cause_after is not Cause.BALANCE:
        return []
    return [sentence(f"{men_on(idea.men, idea.squares)} may be taken, and it stays drawn")]
