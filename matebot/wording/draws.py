"""Why a drawn position is drawn: one rule a reason, in the terms teachers use."""

from __future__ import annotations

from functools import singledispatch

from matebot.facts.move_facts import MoveFacts
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
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.strikes import Strikes
from matebot.terms import Cause
from matebot.wording import counsel
from matebot.wording.phrases import listed, other, sentence, side, takes_clause
from matebot.wording.said import men_on, of, own_king, own_men, own_others, parse_square, rivals_men, rivals_square

_KNIGHT = 2
#: Of so many moves on it tells something that most of them hold.
_MANY = 6
_LEAVES, _SAFE = "the king can leave the edge", "off the edge the king is safe from mate"
EVERY = "every move draws"
#: Steps from its king up to which a knight counts as near.
_NEAR = 2
#: From so far a king helps to mate.
_MATING_STEPS = 2


def why_drawn(facts: MoveFacts) -> str:
    """Return why the position after a move is drawn; nothing where no reason is known."""
    reason = facts.seen.why_drawn
    if isinstance(reason, MinorHoldsRook):
        return _minor_holds(reason, facts)
    if isinstance(reason, TooFewMen) and not reason.men and facts.men.defender_men:
        return f"a {facts.men.defender_men[0]} alone cannot mate"
    saved = facts.seen.idea(Meets) if isinstance(reason, SafeCorner) else None
    if saved is not None:
        return f"{met_threat(saved, facts)}, and {_why(reason)}"
    return "" if reason is None else _why(reason)


def _minor_holds(reason: MinorHoldsRook, facts: MoveFacts) -> str:
    """Say why the rook wins nothing: what threat was met, what meets a double attack, why it does not mate."""
    minor, seen, rival = man_name(reason.minor), facts.seen, f"{side(facts.attacker or facts.turn)}'s king"
    if reason.double is not None and reason.answer is not None and seen.move is not None:
        double, answer = seen.name(seen.move, reason.double), seen.name(seen.move, reason.double, reason.answer)
        guards = f" guards the {minor}" if reason.guards else " holds"
        hits = f"hits king and {minor}" if "+" in double else f"pins the {minor}"
        return f"{double} {hits}, but {answer}{guards}"
    met, safe = of(Meets, met_threat)(facts), _safe_from_mate(reason, minor, rival)
    if safe == _LEAVES and facts.man.piece == "king" and from_edge(parse_square(facts.move[:2])):
        safe = ""  # of a step to the edge that is no praise
    by_king = _by_king(minor, facts)
    alike = facts.beside.keeping > 1 and not of(Pitfall, pitfall)(facts)
    if reason.looked_ahead and alike and not met and not by_king and safe in ("", _SAFE):
        return f"a rook beats a {minor} only by mate on the edge or by winning it, and neither threatens"
    apart = by_king or (f"no fork or pin wins the {minor}" if reason.looked_ahead else "")
    if not safe and not met and not apart:
        return f"the rook can neither mate the king on the edge nor win the {minor}"
    return ", and ".join(text for text in (met or apart, safe) if text)


def _by_king(minor: str, facts: MoveFacts) -> str:
    """Say that the king steps up to its man, to the rook, or to both; nothing where it does neither."""
    own, rooks = own_others(facts), rivals_men(facts)
    if facts.by_attacker or facts.man.piece != "king" or len(own) != 1 or len(rooks) != 1 or facts.man.captured:
        return ""
    was, now = parse_square(facts.move[:2]), parse_square(facts.move[2:4])
    guards = f"guards the {minor}" if king_steps(now, own[0]) == 1 < king_steps(was, own[0]) else ""
    loose = king_steps(rivals_square(facts), rooks[0]) > 1
    hits = "attacks the rook" if loose and king_steps(now, rooks[0]) == 1 < king_steps(was, rooks[0]) else ""
    return f"it {' and '.join(filter(None, (guards, hits)))}" if guards or hits else ""


def met_threat(idea: Meets, facts: MoveFacts) -> str:
    """Say what threat a move meets: ``it gets out of the fork Rb2+``."""
    name, men = facts.seen.name(idea.reply), listed([man_name(kind) for kind in idea.men])
    if idea.means is None:
        return f"it avoids {name}, which pins the {men}"
    if idea.means is Means.CAPTURE and idea.still:
        return f"it guards the {men} against {name}" if idea.guarded else f"it strikes back after {name}"
    return {
        Means.MATE: f"it avoids the mate {name}",
        Means.CAPTURE: f"it saves the {men} from {name}",
        Means.PROMOTION: f"it stops {name}",
        Means.FORK: f"it avoids the fork {name}",
        Means.SKEWER: f"it avoids the skewer {name}",
    }[idea.means]


def _safe_from_mate(reason: MinorHoldsRook, minor: str, rival: str) -> str:
    if reason.minor == _KNIGHT and reason.king_steps <= _NEAR:
        return "king and knight stay together"
    if reason.from_edge:
        return _SAFE
    if reason.off_edge:
        return _LEAVES
    if reason.kings_apart > _MATING_STEPS:
        return f"{rival} is too far off to help mate"
    if reason.between:
        on = listed([square_name(square) for square in reason.between[:2]], "or")
        return f"the {minor} can step between on {on}"
    return ""


def struck(idea: Strikes, facts: MoveFacts) -> str:
    """Say that a move that draws forks or skewers; nothing where that does not win the man."""
    if not isinstance(facts.seen.why_drawn, ManFalls) or facts.seen.why_drawn.man is None:
        return ""
    does = "forks" if idea.means is Means.FORK else "skewers"
    return f"it {does} {_king_first(idea.men)}, and the {man_name(facts.seen.why_drawn.man)} falls"


def _king_first(men: tuple[int, ...]) -> str:
    return listed([man_name(kind) for kind in sorted(men, reverse=True)])


def pitfall(idea: Pitfall, facts: MoveFacts) -> str:
    """Warn of a move that loses: ``not Kb2: Rb3+ forks king and knight``."""
    if idea.means is Means.CAPTURE:
        return ""  # a man given away teaches nothing
    other, reply = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.reply)
    if idea.means is None:
        return f"not {other}: {reply} pins the {man_name(idea.men[0])}"
    if idea.means in (Means.FORK, Means.SKEWER):
        does = " forks " if idea.means is Means.FORK else " skewers "
        return f"not {other}: {reply}{does}{_king_first(idea.men)}"
    return f"not {other}: {reply}{'' if '#' in reply else ' wins'}"


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
    return f"the king is inside the square of the pawn on {square_name(reason.pawn)}"


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
        return f"{step}, and then a man falls or it is stalemate"
    return f"{step}, and then the {man_name(reason.man)} cannot be saved"


@_why.register
def _(reason: ManFalls) -> str:
    if reason.man is None:
        return "every reply loses a man or is stalemate"
    return f"the {man_name(reason.man)} falls, and what is left cannot win"


@_why.register
def _(reason: MinorStopsPawn) -> str:
    minor = man_name(reason.minor)
    alone = f"a {minor} alone cannot mate"
    if reason.takes is not None:
        taker = "it" if reason.takes == reason.minor else f"the {man_name(reason.takes)}"
        return f"{alone}, even if {taker} takes the pawn"
    if reason.held:
        return f"{alone}, but it stops the pawn at {listed([square_name(square) for square in reason.held], 'or')}"
    if reason.king_near:
        return f"{alone}, but the other king is in time to stop the pawn"
    return f"{alone}, but it comes in time to stop the pawn"


@_why.register
def _(reason: PawnOnTheSeventh) -> str:
    kind = "bishop's" if reason.bishops_pawn else "rook's"
    far = ", and the other king is too far away" if reason.king_far else ""
    return f"with a {kind} pawn on the seventh the king goes to {square_name(reason.corner)} for stalemate{far}"


@_why.register
def _(reason: PawnSupported) -> str:
    if reason.led:
        return f"the king leads its pawn on {square_name(reason.pawn)}, so that the rook must be given for it"
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
    why = (of(Strikes, struck)(facts) or whose(_of_the_pawn(facts) or why_drawn(facts), facts)) if known else ""
    if facts.man.captured:
        how = f"{takes_clause(facts.man.captured, facts.man.victim_guarded)} and {how.replace('keeps', 'holds')}"
        if known and _took_last(facts):
            why = f"{side(other(facts.turn))} has nothing left to win with"
    how = f"{how}, as most moves do" if _most_hold(facts) else how
    text, rule = f"{facts.san} {how}{': ' + why if why else ''}", counsel.in_a_draw(facts)
    return [
        sentence(text),
        *_shown(facts, why),
        *_alone(facts),
        *([sentence(rule)] if rule else []),
        *_hanging(facts),
        *([sentence(EVERY)] if facts.beside.keeping == facts.beside.choices > 1 else []),
    ]


def _most_hold(facts: MoveFacts) -> bool:
    """Whether a minor piece holds a rook by most of many moves, and this one meets no threat."""
    reason, keeping, choices = facts.seen.why_drawn, facts.beside.keeping, facts.beside.choices
    if not isinstance(reason, MinorHoldsRook) or reason.double is not None or facts.man.captured:
        return False
    return facts.seen.idea(Meets) is None and choices >= _MANY and choices > keeping >= choices * 3 / 4


def _of_the_pawn(facts: MoveFacts) -> str:
    """Say why the side with a pawn is safe from a bishop or a knight, whatever comes of the pawn."""
    reason = facts.seen.why_drawn
    if not isinstance(reason, MinorStopsPawn) or facts.by_attacker or reason.takes is not None:
        return ""
    return f"a {man_name(reason.minor)} alone cannot mate, even if the pawn falls"


def _strong(facts: MoveFacts) -> str:
    return facts.attacker or facts.turn


def _took_last(facts: MoveFacts) -> bool:
    """Whether the attacker has lost his last man, and nobody can win any more."""
    if isinstance(facts.seen.why_drawn, InsideTheSquare):
        return _led(facts)
    bare = facts.attacker is not None and not facts.men.attacker_men
    return bare and isinstance(facts.seen.why_drawn, TooFewMen | ManFalls)


def _led(facts: MoveFacts) -> bool:
    """Whether a king beside its pawn has taken the last man: to be inside the square is then not enough to catch it."""
    pawns, king = own_men(facts, "pawn"), own_king(facts)
    king = parse_square(facts.move[2:4]) if facts.man.piece == "king" else king
    if len(rivals_men(facts)) != 1 or len(pawns) != 1 or king_steps(king, pawns[0]) > _MATING_STEPS:
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
    """Say that no other move draws, or name one that loses."""
    if facts.beside.keeping == 1 < facts.beside.choices:
        return [sentence("it is the only move that draws")]
    trap = "" if facts.man.captured else of(Pitfall, pitfall)(facts)
    return [sentence(trap)] if trap else []


def _shown(facts: MoveFacts, why: str) -> list[str]:
    """Show by moves that nothing is to be won, where no reason is known."""
    if why:
        return []
    if facts.worth.cause_after is not Cause.BALANCE or len(facts.then.ahead) < 2:
        return []
    reply, holds = facts.then.ahead
    return [sentence(f"if {reply}, {holds} holds")]


def _hanging(facts: MoveFacts) -> list[str]:
    idea = facts.seen.idea(Hanging)
    if idea is None or facts.worth.cause_after is not Cause.BALANCE:
        return []
    return [sentence(f"{men_on(idea.men, idea.squares)} may be taken, and it stays drawn")]
