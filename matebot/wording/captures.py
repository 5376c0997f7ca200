"""What a good move of the attacker takes or promotes to, and why what is left wins."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage
from matebot.ideas.cut_off import CutOff
from matebot.ideas.idea import square_name
from matebot.ideas.in_time import InTime
from matebot.ideas.mating_net import MatingNet
from matebot.ideas.prepares import Prepares
from matebot.ideas.squares import king_steps
from matebot.wording import cages, coming, king_and_pawn, maxims, nets, rooms
from matebot.wording.phrases import listed, takes_clause
from matebot.wording.said import of, own_king, rivals_men, rivals_square, stands, stood

_AFAR = 3
#: So far is a king one step from guarding.
_SHORT = 2
#: So many ranks or files are half of the board.
_HALF = 4
_TWO = 2
#: How it begins what a new queen leaves.
_QUEEN_LEFT = ": king and queen "
#: Why a queen beats a lone man.
_WEAKER = {
    ("bishop",): "king and queen beat a lone bishop",
    ("knight",): "king and queen beat a lone knight",
    ("rook",): "queen against rook wins as a rule, by a fork or by mate",
    ("pawn",): "the queen comes in time against the other pawn",
}


def promotes(facts: MoveFacts) -> str:
    """Say what a pawn becomes."""
    takes = f"takes the {facts.man.captured} and " if facts.man.captured else ""
    if not facts.man.promoted:
        return ""
    if blow := of(Prepares, coming.wins_by_check)(facts):
        return f"{takes}makes a {facts.man.promoted} and {blow}"
    stopped = facts.seen.idea(InTime)
    stop = "" if stopped is None or not by_piece(facts) else facts.seen.name(stopped.stop)
    before = f" before {stop} {'takes' if 'x' in stop else 'stops'} the pawn" if stop else ""
    left, queen = _left_over(facts), facts.man.promoted == "queen" and not takes
    if queen and before:
        return f"comes{before}{left}"
    if queen and left.startswith(_QUEEN_LEFT) and (not facts.men.defender_men or " lone " in left):
        return left.replace(_QUEEN_LEFT, "gives king and queen, which ", 1)
    return f"{takes}makes a {facts.man.promoted}{before}{left}"


def by_piece(facts: MoveFacts) -> bool:
    """Whether the defender has a bishop, knight or rook, which may stop a pawn."""
    return bool({"bishop", "knight", "rook"} & set(facts.men.defender_men))


def queen_maxim(facts: MoveFacts) -> str:
    """Say what a promotion teaches."""
    if (rule := maxims.forks(facts)) == maxims.SECOND_MAN:
        return rule
    with_check = facts.gives.check and facts.man.promoted == "queen"
    if with_check and not facts.as_quick:
        return maxims.QUEEN_WITH_CHECK
    if facts.seen.idea(InTime) is not None and by_piece(facts):
        return maxims.PROMOTE_IN_TIME
    later = any(not other.man.promoted for other in facts.as_quick) and facts.seen.idea(InTime) is None
    return maxims.NOW_OR_LATER if later else maxims.QUEEN_AT_ONCE


def captures(facts: MoveFacts) -> str:
    """Say what is taken, why it could be, and what is left."""
    if not facts.man.captured:
        return ""
    takes = _takes(facts)
    lone_rook = facts.men.attacker_men == ("rook",) and not facts.men.defender_men
    drawn = lone_rook and facts.man.captured in ("bishop", "knight")
    if drawn and facts.beside.keeping == 1 and facts.beside.others == (0,):
        return takes  # That the others draw says how much the man was worth.
    return f"{takes}{_left_over(facts)}"


def _takes(facts: MoveFacts) -> str:
    """Say what is taken, and why its king could not keep it."""
    kind, at = facts.man.captured, stands(facts)
    assert kind is not None
    apart = king_steps(at, rivals_square(facts))
    if facts.man.victim_guarded:
        return f"takes the {kind}{_held_back(facts)}"
    if facts.seen.answers_check:
        return f"takes the checking {kind}, which nothing guards"
    if apart > _SHORT and maxim(facts) == maxims.EASY_PREY:
        return f"takes the {kind}, which nothing guards"  # the rule tells how far it is from its king
    if apart > _SHORT:
        return f"takes the {kind}, {'far from' if apart > _AFAR else 'left alone by'} its king"
    if apart == _SHORT:
        return f"takes the {kind}, one step out of its king's reach"
    return takes_clause(kind, guarded=False)


def _held_back(facts: MoveFacts) -> str:
    """Say so where the king beside a man may not take back since the other king stands beside it too."""
    at = stands(facts)
    held = square_name(at) not in facts.loose_men.loose
    return " with the support of the king" if held and king_steps(own_king(facts), at) == 1 else ""


def _left_over(facts: MoveFacts) -> str:
    """Say what is taken back, or how what is left wins."""
    if square_name(stands(facts)) in facts.loose_men.loose:
        line = facts.then.ahead
        return f": if {line[0]}, {line[1]}" if len(line) > 1 and "x" in line[0] else ""
    own, theirs = (listed(["king", *men]) for men in (facts.men.attacker_men, facts.men.defender_men))
    if facts.worth.outcome_after <= 0:
        return f": {own} against {theirs} is left"
    if not facts.men.defender_men:
        pawn = facts.men.attacker_men == ("pawn",)
        return _beside(facts) or (f", and {king_and_pawn.pawn_wins(facts)}" if pawn else f": {mated_by(facts)}")
    if facts.men.attacker_men != ("queen",) or facts.men.defender_men not in _WEAKER:
        return f": {own} beat {theirs}"
    if facts.men.defender_men == ("bishop",) and _off_colour(facts):
        return ": the bishop guards one colour only, and king and queen beat it"
    return f": {_WEAKER[facts.men.defender_men]}"


def _off_colour(facts: MoveFacts) -> bool:
    """Whether the other side's bishop could never guard where the move goes, nor did anything stop the pawn."""
    colours = {sum(divmod(square, 8)) % 2 for square in (stands(facts), *rivals_men(facts))}
    return facts.seen.idea(InTime) is None and len(colours) > 1


def _beside(facts: MoveFacts) -> str:
    """Say how mate follows against a king left bare, or what is done to its room; nothing where neither."""
    if follows := of(MatingNet, nets.follows)(facts):
        return f": {follows}"
    deed = of(Cage, cages.shuts_in)(facts) or ("" if _leaves_most(facts) else of(CutOff, rooms.cuts)(facts))
    return f", and {deed}" if deed else ""


def _leaves_most(facts: MoveFacts) -> bool:
    """Whether a line cuts the king off that leaves it more than half of the board."""
    idea = facts.seen.idea(CutOff)
    if idea is None:
        return False
    at, king = stands(facts), rivals_square(facts)
    here, there = (at // 8, king // 8) if idea.line.startswith("rank") else (at % 8, king % 8)
    return (7 - here if there > here else here) > _HALF


def mated_by(facts: MoveFacts) -> str:
    """Say how the men that are left mate a bare king."""
    men = facts.men.attacker_men
    heavy = [man for man in men if man in ("queen", "rook")]
    if len(heavy) >= _TWO:
        return f"{'two ' + heavy[0] + 's' if len(set(heavy)) == 1 else listed(heavy)} mate even without their king"
    if len(men) == 1 and heavy:
        return f"king and {heavy[0]} mate a bare king on the edge"
    if heavy:
        return f"king and {heavy[0]} are enough to mate a bare king"
    if "pawn" in men:
        return "the pawn is left to make a queen"
    if set(men) == {"bishop"}:
        return "the bishops mate a bare king in a corner"
    if sorted(men) == ["bishop", "knight"]:
        return "bishop and knight mate a bare king in a corner of the bishop's colour"
    return f"{listed(['king', *men])} beat a bare king"


def maxim(facts: MoveFacts) -> str:
    """Say what a loose man teaches."""
    if facts.man.victim_guarded:
        return maxims.EVERY_CAPTURE
    at, king = stands(facts), rivals_square(facts)
    if facts.seen.answers_check:
        return maxims.TAKE_IN_CHECK
    if king_steps(at, stood(facts)) >= _AFAR:
        return maxims.LOOSE_AFAR
    if facts.man.piece == "king":
        return maxims.KING_TOO
    prey = king_steps(at, king) >= _AFAR and facts.man.captured != "queen"
    return maxims.EASY_PREY if prey else maxims.EVERY_CAPTURE
