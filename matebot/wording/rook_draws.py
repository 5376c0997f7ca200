"""Why a bishop or a knight holds against a rook: what the move does for it, and what is so on the board."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.phrases import listed, side
from matebot.wording.said import of, own_king, own_others, rivals_men, rivals_square, stands, stood
from matebot.wording.threats_met import met_threat, pitfall

_KNIGHT = 2
#: Steps from its king up to which a knight counts as near; and up to which a king helps to mate.
_NEAR, _MATING_STEPS = 2, 2
_NOT_SHUT_IN, _SAFE = "the king can still step off the edge", "off the edge the king is safe from mate"
_OFF, _INWARDS = "the king leaves the edge", "the king gets away from the edge"
#: What hits king and man at once, on one line too.
_DOUBLE = (None, Means.FORK, Means.SKEWER)
_COME_TOGETHER, _BY_KING = "king and knight come closer together", "it"


def minor_holds(reason: MinorHoldsRook, facts: MoveFacts) -> str:
    """Say why the rook wins nothing: the threat met, what the move does for it, what meets a double attack."""
    minor, seen, rival = man_name(reason.minor), facts.seen, f"{side(facts.attacker or facts.turn)}'s king"
    if reason.double is not None and reason.answer is not None:
        double, answer = seen.name(seen.move, reason.double), seen.name(seen.move, reason.double, reason.answer)
        pins = "+" not in double
        hits = f"pins the {minor}" if pins else f"hits king and {minor}"
        man = "it" if pins else f"the {minor}"
        guards = " holds" if not reason.guards else f" {'still ' if reason.king_steps == 1 else ''}guards {man}"
        return f"{double} {hits}, but {answer}{guards}"
    met, done = of(Meets, met_threat)(facts), does(minor, facts)
    if done and met.startswith(done.partition(" and ")[0]):
        done = f"{_BY_KING} {hits}" if (hits := done.partition(" and ")[2]) else ""  # not twice that it guards
    if done in (_OFF, _INWARDS) and not facts.seen.holding.edge_decides(from_edge(stands(facts))):
        done = ""  # steps along the edge draw as well, or some away from it lose
    safe = "" if done in (_OFF, _INWARDS, _COME_TOGETHER) else _safe_from_mate(reason, minor, rival)
    if safe == _NOT_SHUT_IN and facts.man.piece == "king" and from_edge(stood(facts)):
        safe = ""  # of a step to the edge that is no praise
    trap = seen.idea(Pitfall)
    alike = facts.beside.keeping > 1 and (trap is None or trap.means is Means.CAPTURE)
    if reason.looked_ahead and alike and not met and not done and safe in ("", _SAFE):
        return f"a rook beats a {minor} only by mate on the edge or by winning it, and neither is threatened"
    apart = _apart(minor, met, done, facts) if reason.looked_ahead else ""
    if not safe and not met and not done and not apart:
        return f"the rook can neither mate the king on the edge nor win the {minor}"
    return ", and ".join([text for text in (met, done, apart, safe) if text][:2])


def _apart(minor: str, met: str, done: str, facts: MoveFacts) -> str:
    """Say that no fork or pin wins the man; where a threat is met only beside a move that meets it too and loses."""
    if done.startswith(_BY_KING):
        return ""
    if not met:
        return f"no fork or pin wins the {minor}"
    trap, meets = facts.seen.idea(Pitfall), facts.seen.idea(Meets)
    if trap is None or meets is None or not pitfall(trap, facts) or meets.reply.to_square == trap.reply.to_square:
        return ""
    if trap.means not in _DOUBLE:
        return ""
    return f"no {'other ' if meets.means in _DOUBLE else ''}fork or pin wins it"


def does(minor: str, facts: MoveFacts) -> str:
    """Say what a move does to hold: the king guards its man, leaves the edge, attacks the rook; nothing for others."""
    own, rooks = own_others(facts), rivals_men(facts)
    if facts.by_attacker or len(own) != 1 or len(rooks) != 1 or facts.man.captured:
        return ""
    was, now = stood(facts), stands(facts)
    if facts.man.piece != "king":
        king = own_king(facts)
        return _COME_TOGETHER if minor == "knight" and king_steps(was, king) > _NEAR >= king_steps(now, king) else ""
    guards = f"guards the {minor}" if king_steps(now, own[0]) == 1 < king_steps(was, own[0]) else ""
    loose = king_steps(rivals_square(facts), rooks[0]) > 1
    hits = "attacks the rook" if loose and king_steps(now, rooks[0]) == 1 < king_steps(was, rooks[0]) else ""
    if guards or hits:
        return f"{_BY_KING} {' and '.join(filter(None, (guards, hits)))}"
    if from_edge(now) > from_edge(was):
        return _INWARDS if from_edge(was) else _OFF
    if minor == "knight" and king_steps(was, own[0]) > _NEAR >= king_steps(now, own[0]):
        return _COME_TOGETHER
    return ""


def _safe_from_mate(reason: MinorHoldsRook, minor: str, rival: str) -> str:
    if reason.minor == _KNIGHT and reason.king_steps <= _NEAR:
        return "king and knight stay together" if reason.king_steps == 1 else "the knight stays near its king"
    if reason.from_edge:
        return _SAFE
    if reason.off_edge:
        return _NOT_SHUT_IN
    if reason.kings_apart > _MATING_STEPS:
        return f"{rival} is too far off to help mate"
    if reason.between:
        on = listed([square_name(square) for square in reason.between[:2]], "or")
        return f"the {minor} can step between on {on}"
    return ""
