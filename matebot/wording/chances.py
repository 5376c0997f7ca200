"""What a slip missed: what the better move does that the slip does not, or the line that shows it."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.cut_off import CutOff
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.king_nearer import KingNearer
from matebot.ideas.king_up import KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import ShutsWay
from matebot.ideas.squares import king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import answers, attack, coming, hunting, king_and_pawn, kings, leads, remedies, room_left, rooms
from matebot.wording.aftermath import (
    THROWN,
    gained,
    headed,
    in_short,
    without_numbers,
)
from matebot.wording.given_up import room_given
from matebot.wording.lapses import best_ones, gives_time, square_open
from matebot.wording.phrases import takes_clause
from matebot.wording.reason import NO_DEED, Rank
from matebot.wording.room_left import line_taken
from matebot.wording.running_on import in_its_way, is_step, runs_on
from matebot.wording.said import (
    Rule,
    defender,
    goal_of,
    of,
    own_king,
    parse_square,
    rival_king,
    rivals_men,
    stands,
    stood,
)
from matebot.wording.unlike import comes_nearer, comes_up, unlike_slip

#: Moves to a mate that may be told as such, and the reply and the answer.
_SOON, _BOTH = 3, 2
#: So many moves are lost by a check that only takes time.
_ONLY_TIME = 2
#: Deeds that are worth their moves.
_BY_MOVES = ("prepares ", "wins ")
#: How deeds begin that come with the move after.
_LATER = ("prepares ",)
#: What comes after a move that tells little of it.
_LITTLE = (" brings the king up", " brings the king nearer")
#: Replies and answers of a line of two moves each.
_TWO_EACH = 4


def of_keys(better: MoveFacts) -> str:
    """Say what a step of the king is about in an ending of king and pawn."""
    return in_short(
        king_and_pawn.key_square(better)
        or king_and_pawn.to_key_squares(better)
        or of(KingNearer, kings.opposes)(better)
    )


def lost_man(facts: MoveFacts, better: MoveFacts) -> str:
    """Say by what the bishop or the knight would be lost after the better move, where the rook wins."""
    by = next(remedies.own(better, facts, (Rank.REASON,)), NO_DEED).text
    if by.startswith(("pins ", "traps ", "wins ")):
        return _misses(better, by, facts)
    idea = better.seen.idea(MinorLost)
    lost = "" if idea is None else _minor_lost(idea, better, facts)
    if lost.startswith(", which attacks ") and of(Threatens, coming.threatens)(facts):
        return ""  # the slip attacks it as well
    return f"misses {better.san}{lost}" if lost else ""


def _minor_lost(idea: MinorLost, better: MoveFacts, facts: MoveFacts) -> str:
    """Say of the better move why the bishop or the knight would be lost after it."""
    if idea.corner is not None:
        return f": by {square_name(idea.corner)}, a corner of the bishop's colour, {rival_king(better)} is lost"
    told = (text for rule in _PARTS if (text := rule(better)) != rule(facts))  # the slip parts them by nothing alike
    apart = next((text for text in told if f" its {man_name(idea.minor)}" in text), "")
    if apart and not _apart_too(better, facts):
        return f", which {apart}"
    if hunting.king_comes(idea.square, better):
        return ""
    threat = better.seen.idea(Threatens)
    hits = threat is not None and threat.threat is Threat.CAPTURE and coming.threatens(threat, better)
    if hits or of(NearsMan, hunting.attacks)(better):
        return f", which attacks the {man_name(idea.minor)}: away from its king it is lost"
    return f": away from its king the {man_name(idea.minor)} on {square_name(idea.square)} is lost"


def _apart_too(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip, or a move about as bad, parts the king from its man as well, by a line or by the squares."""
    slower, slip, way = better.seen.slower_moves, facts.seen.move, better.seen.idea(ShutsWay)
    if of(CutOff, rooms.cuts)(better):
        return bool(of(CutOff, rooms.cuts)(facts)) or slower.as_bad_cuts_off(slip)
    if way is None:
        return False
    shut_too = not any(square_name(square) in facts.room.flights for square in way.squares)
    return shut_too or bool(slower.as_bad_guards(way.squares, slip))


#: What parts a king from its man.
_PARTS: tuple[Rule, ...] = (of(CutOff, rooms.cuts), of(ShutsWay, kings.shuts))


def chance_missed(facts: MoveFacts, better: MoveFacts, falls: bool) -> str:
    """Say what the better move does that this one does not: what every move as good does, before its own deeds."""
    if not facts.by_attacker:
        return THROWN if falls else "loses time"
    best, name = best_ones(facts), better.san
    check = facts.gives.check and (facts.cost.moves_lost or 0) > _ONLY_TIME  # it does worse than to wait
    if not check and (text := runs_on(facts, best)):
        return text
    if text := in_its_way(facts, best):
        return text
    if text := _guarded_there(facts, better, best):
        return text
    own = _does(facts, better, best, Rank.REASON)
    if (better.man.piece == "king" or not own) and (text := room_given(facts, better)[0]):
        return text  # it should have stayed while the king came
    if own:
        return _misses(better, own, facts)
    if text := square_open(facts):
        return text
    if own := _does(facts, better, best, Rank.PLAN):
        return _misses(better, own, facts)
    if not falls and facts.given.gains_now and (text := gives_time_to(facts)):
        return text
    if text := _sooner(facts, better):
        return f"misses {name}: {text}"
    if facts.beside.keeping == 1 and len(better.then.ahead) == _BOTH:
        reply, answer = better.then.ahead
        return f"misses {name}, the only move that wins: if {reply}, {answer}"
    if falls:
        return THROWN
    if text := _by_another(facts, best) or gives_time(facts):
        return text
    taken = remedies.squares_taken(better, facts)
    taken = taken if all(set(taken) <= set(other.room.squares_taken) for other in best) else ()
    if (line := line_taken(taken, better)).startswith("shuts "):
        return f"misses {name}, which {line}"
    if text := _few_squares(facts, better, best):
        return text
    if text := runs_on(facts, best):
        return text
    if text := _line(facts, better):
        weak = unlike_slip(facts, better) if text.endswith(_LITTLE) or " attacks the " in text else ""
        return _straight(facts, better) or weak or f"misses {name}: {text}"
    if taken and not facts.men.defender_men:
        return f"misses {name}, which {line_taken(taken, better)}"
    if facts.worth.best_moves == _SOON and not better.cost.moves_lost:
        return f"misses mate in three, beginning with {name}"
    if own := _does(facts, better, best, Rank.WEAK):
        return _misses(better, own, facts)
    if len(better.then.ahead) == _BOTH:
        reply, answer = better.then.ahead
        if text := _straight(facts, better):
            return text
        if facts.seen.goes_alike(*better.seen.moves_after(reply, answer)):
            return without_line(facts, better, best)
        does = answers.answer_does(better, reply, answer)
        if does and not f" {does}".endswith(_LITTLE):
            return f"misses {name}: if {reply}, {answer} {does}"
        if (to := leads.driven(better)) and not facts.gives.check and not remedies.left_alike(better, facts):
            return f"misses {name}, which {to}: if {reply}, {answer}"
        if then := answers.then_does(better):
            return f"misses {name}: {answers.after_reply(better)}, {answer} {then.text}"
        if text := unlike_slip(facts, better):
            return text
        after = f"{answers.after_reply(better)}, {answer}"
        return f"misses {name}: if {reply}, {answer} {does}" if does else f"loses time: better is {name}, and {after}"
    return "loses time"


def _guarded_there(facts: MoveFacts, better: MoveFacts, best: list[MoveFacts]) -> str:
    """Say that an attacked man was taken away from where every one of the best moves guards it by the king."""
    mine = facts.seen.idea(Saved)
    if mine is None or not mine.moved or facts.gives.check:
        return ""
    guarded = [one for one in best if (there := one.seen.idea(Saved)) is not None and there.square == mine.square]
    beside = (one.man.piece == "king" and king_steps(stands(one), mine.square) == 1 for one in best)
    if guarded != best or not all(beside):
        return ""
    return f"moves the {facts.man.piece} from {square_name(mine.square)}: better {better.san}, which guards it there"


def without_line(facts: MoveFacts, better: MoveFacts, best: list[MoveFacts]) -> str:
    """Say what is better where the line behind it is the same after the slip: by a square, the edge or the pawn."""
    goals = facts.then.goals
    kept = not any(goal in one.room.flights for goal in goals for one in best)
    if kept and len(goals) == 1 and goals[0] in facts.room.flights and facts.then.ahead[0][0] == "K":
        return f"lets {rival_king(facts)} come to {goals[0]}: better is {better.san}"
    if all(remedies.off_edge(one, facts) for one in best):
        return f"misses {better.san}, which brings the king off the edge"
    king = better.man.piece == "king"
    push = next((one for one in best if king and one.man.piece == "pawn" and is_step(one)), None)
    if push is None and (alone := unlike_slip(facts, better)):
        return alone
    return f"loses time: better is {better.san}{'' if push is None else f' or {push.san}'}"


def _straight(facts: MoveFacts, better: MoveFacts) -> str:
    """Say what the move after the better one does where it is as good at once; nothing where it is not."""
    idea, moves = better.seen.idea(Prepares), set[str]()
    moves |= {idea.move.uci()} if idea is not None and idea.does in coming.ROOM else set()
    moves |= {better.answer.move} if better.answer is not None else set()
    one = next((one for one in best_ones(facts) if one.move in moves and one.move != better.move), None)
    if one is None:
        return ""
    does = next(remedies.texts(one, facts), "") or comes_nearer(facts, one)
    plain = does and ": " not in does and not does.startswith((*_BY_MOVES, *_LATER))
    return f"misses {one.san}, which {_brief(does)}" if plain else ""


def gives_time_to(facts: MoveFacts) -> str:
    """Say what the other side does with the time."""
    gain = "" if facts.gives.check and facts.given.gains is Gain.PUSH else gained(facts)
    lets = "gives a check that gains nothing" if facts.gives.check else f"gives {defender(facts)} time"
    reply = facts.then.ahead[0] if facts.then.ahead else ""
    if gain and reply[:1] == "K" and goal_of(reply) in facts.room.squares_given and not facts.gives.check:
        lets = f"lets go of {goal_of(reply)}"
    return f"{lets}: {gain}" if gain else ""


def _few_squares(facts: MoveFacts, better: MoveFacts, best: list[MoveFacts]) -> str:
    """Say which squares the better move leaves the king."""
    own = _does(facts, better, best, Rank.WEAK)
    return f"misses {better.san}, which {attack.head(own)}" if own.startswith("leaves ") else ""


def _does(facts: MoveFacts, better: MoveFacts, best: list[MoveFacts], rank: Rank) -> str:
    """Return what the better move does and the slip does not: what all of the best do, before its own deeds."""
    text = remedies.shared(better, facts, best, rank) or next(remedies.own(better, facts, (rank,)), NO_DEED).text
    return "" if _saved_too(text, facts, better) else text


def _saved_too(text: str, facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether a man is told as saved that the slip moves to where it cannot be taken for nothing either."""
    if not text.startswith("saves the "):
        return False
    same = facts.man.piece == better.man.piece != "pawn" and stood(facts) == stood(better)
    return same and square_name(stands(facts)) not in facts.loose_men.loose


def _by_another(facts: MoveFacts, best: list[MoveFacts]) -> str:
    """Say what another of the best moves does."""
    found = ((other, text) for other in best if (text := next(remedies.texts(other, facts), "")))
    return next((_misses(other, text, facts) for other, text in found if not _saved_too(text, facts, other)), "")


#: How a text begins that tells what it comes to that squares are taken; see `room_left`.
_SQUARES = ("takes ", "leaves ", "shuts ", "holds ")


def _misses(better: MoveFacts, text: str, facts: MoveFacts) -> str:
    """Say what was missed with a move by what it does; what comes with the move after it by the moves."""
    queens = text.startswith(("comes before ", "gives king and queen, "))
    if better.man.promoted and (queens or headed(text) == f"makes a {better.man.promoted}"):
        return f"misses {better.san}"
    if better.man.captured and text.startswith("takes the "):
        return f"misses {better.san}, which {takes_clause(better.man.captured, better.man.victim_guarded)}"
    if _forks(better) and not any(map(_forks, (facts, *facts.no_better))):
        return f"misses the fork {better.san}, which hits king and {better.men.defender_men[0]}"
    if text.startswith("brings the pawn on") and facts.man.piece == "pawn" and stood(facts) == stood(better):
        return f"misses {better.san}, two steps at once"
    rooks = rivals_men(better)
    by_queen = all(better.seen.attacked(rook) and king_steps(own_king(better), rook) > 1 for rook in rooks)
    if text == leads.checks(better) and better.man.piece == "queen" and by_queen:
        return f"misses {better.san}, which hits king and rook"
    prepared = text == of(Prepares, coming.prepares)(better)
    up_too = facts.seen.idea(KingUp) is not None and not leads.driven(better)
    if prepared and not up_too and (lead := of(Prepares, _lead_then)(better)):
        return f"misses {better.san}, which {lead}"
    squares = text.startswith(_SQUARES) and prepared
    if squares and not up_too and (up := comes_nearer(facts, better)):
        return f"misses {better.san}, which {up}"
    taken = better.room.squares_taken
    if squares and (line := line_taken(taken, better)).startswith("shuts "):
        return f"misses {better.san}, which {line}"
    if (squares or text.startswith(_LATER)) and (then := _line(facts, better)):
        return _straight(facts, better) or f"misses {better.san}: {then}"
    if text.startswith(("heads for the centre", "leaves the edge")) and remedies.off_edge(better, facts):
        return f"misses {better.san}, which brings the king off the edge"
    return f"misses {better.san}, which {_brief(text)}"


def _forks(one: MoveFacts) -> bool:
    """Whether a check hits the only other man as well, which no step of the king guards, and only the king can move."""
    men, flights = rivals_men(one), [*map(parse_square, one.room.flights)]
    if not one.gives.check or one.man.piece == "king" or len(men) != 1 or len(flights) != one.replies.replies:
        return False
    far = all(king_steps(flight, men[0]) > 1 for flight in flights)
    return bool(flights) and far and one.seen.comes_to_guard(men[0])


def _in(does: str, reply: str, move: str) -> str:
    """Say of a cage that is shut who is in it, and where a rook or queen holds the king on a line of the edge."""
    shut, line = "shuts the king in", ""
    if reply[0] == "K" and move[0] in "RQ":
        line = room_left.edge_beside(parse_square(goal_of(reply)), parse_square(goal_of(move)))
    return does.replace("shuts the cage", f"{shut} on {line}" if line else shut)


def _lead_then(idea: Prepares, better: MoveFacts) -> str:
    """Say where a check drives the king, or that the king comes up, and what comes then; nothing without either."""
    lead, does = leads.driven(better) or comes_up(better), coming.ROOM.get(idea.does)
    if not lead or does is None or idea.does is Next.KING_UP or not idea.fastest:
        return ""
    reply, move = (better.seen.name_after(*moves) for moves in ((idea.reply,), (idea.reply, idea.move)))
    if idea.does is Next.CUTS_OFF and move.startswith("K"):
        return ""
    first = f"after {reply}, forced" if idea.forced else f"if {reply}"
    return f"{lead}: {first}, {move} {_in(does, reply, move)}"


def _line(facts: MoveFacts, better: MoveFacts) -> str:
    """Say what comes after the reply to the better move; nothing where it is as good after the slip."""
    idea = better.seen.idea(Prepares)
    return "" if idea is None or facts.seen.goes_alike(idea.reply, idea.move) else _then(idea, better)


def _then(idea: Prepares, better: MoveFacts) -> str:
    """Say what comes after the reply to a move: ``if Ke7, Ra6 shuts the cage``."""
    does = coming.ROOM.get(idea.does)
    if does is None or comes_up(better) or leads.driven(better):
        return ""
    if not idea.fastest:
        return ""  # a line is told where each move of it is a best one
    reply, move = (better.seen.name_after(*moves) for moves in ((idea.reply,), (idea.reply, idea.move)))
    return (
        f"after {reply}, forced, {move} {_in(does, reply, move)}"
        if idea.forced
        else f"if {reply}, {move} {_in(does, reply, move)}"
    )


def _sooner(facts: MoveFacts, better: MoveFacts) -> str:
    """Say how soon a pawn promotes after the better move; nothing where the slip is as quick there."""
    mine, wanted = facts.seen.idea(LeadsTo), better.seen.idea(LeadsTo)
    if mine is not None and wanted is not None and mine.does is wanted.does and len(mine.line) <= len(wanted.line):
        return ""
    if wanted is not None and len(wanted.line) >= _BOTH and facts.seen.goes_alike(*wanted.line[:_BOTH]):
        return ""
    return of(LeadsTo, _wins_soon)(better)


def _wins_soon(idea: LeadsTo, better: MoveFacts) -> str:
    """Say by two moves that the pawn promotes; nothing where that takes longer."""
    if len(idea.line) != _TWO_EACH or idea.does is not Next.PROMOTION:
        return ""  # after another reply the man may live longer
    reply, move = (better.seen.name_after(*idea.line[:end]) for end in (1, 2))
    return f"if {reply}, {move}, and the pawn promotes"


def _brief(text: str) -> str:
    """Leave out what follows from a deed; what comes with the next move is told with the moves."""
    if text.startswith(_BY_MOVES):
        return text.partition("; ")[0]
    if text.startswith(("comes up and ", "comes nearer and ")):
        return "brings the king up"
    if text.startswith("takes ") and (": the king has only " in text or " from the king's cage" in text):
        return "makes the cage smaller"
    if text.startswith("moves the wall of the box to "):
        return "shrinks the box"
    if text.startswith("guards the rook and shuts "):
        return "guards the rook"  # its lines are shut before as well
    text = text.replace(" for the pawn, which runs by itself", " for the pawn")
    return without_numbers(headed(text))
