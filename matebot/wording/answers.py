"""The move that answers the best reply to the better move: how the two are named, and what it does."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import king_steps
from matebot.wording import attack
from matebot.wording.reason import NO_DEED, Deed
from matebot.wording.said import goal_of, kind_signed, own_king, parse_square, stands


def after_reply(better: MoveFacts) -> str:
    """Name the best reply to the better move: ``if Kd2``, or that it is forced."""
    reply = better.then.ahead[0]
    return f"after {reply}, forced" if better.replies.replies == 1 else f"if {reply}"


def then_does(better: MoveFacts) -> Deed:
    """Say what the move after the best reply does, by the first reason that needs no further move."""
    if better.answer is None:
        return NO_DEED
    shown = _SHOWN if better.men.defender_men or "pawn" in better.men.attacker_men else (*_SHOWN, *_OF_ROOM)
    told = (deed.told(attack.head(deed.text)) for deed in attack.reasons(better.answer) if ": if " not in deed.text)
    return next((deed for deed in told if deed.text.startswith(shown)), NO_DEED)


#: How a reason begins for which the moves before it are worth telling.
_SHOWN = (
    "clears the way",
    "pins ",
    "attacks ",
    "checks, looking for a fork",
    "forks ",
    "steps to where the checks end",
    "takes the opposition",
    "brings the knight off the edge",
    "brings the bishop off the edge",
    "stops the pawn",
    "goes on with the W",
)
#: The same where nothing but the king's room counts.
_OF_ROOM = ("shuts ", "drives the king to", "heads for the centre")


def answer_does(better: MoveFacts, reply: str, answer: str) -> str:
    """Say what the move after the reply does for the pawn or the king; nothing for another man."""
    if "=" in answer:
        return f"makes the {kind_signed(answer.partition('=')[2])}"
    if answer[0].islower() and "x" not in answer:
        return "" if better.man.piece == "pawn" else "brings the pawn on"
    if "x" in answer and len(better.men.defender_men) == 1 and "=" not in reply:
        return f"takes the {better.men.defender_men[0]}"
    if answer[0] != "K" or "x" in answer:
        return ""
    was = stands(better) if better.man.piece == "king" else own_king(better)
    rival = parse_square(goal_of(reply)) if reply[0] == "K" else parse_square(better.room.king)
    return "brings the king up" if king_steps(parse_square(goal_of(answer)), rival) < king_steps(was, rival) else ""
