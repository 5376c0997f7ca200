"""What a slip broke: only what the better move would not have broken as well."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.facts.slip_kind import stage_lost
from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.guards import Guards
from matebot.ideas.holes import Holes
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.narrows import Narrows
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.out_of_corner import OutOfCorner
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.shuts_way import Aim
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.terms import Mistake
from matebot.wording import kings, maxims
from matebot.wording.attack import exception
from matebot.wording.phrases import counted, line_name
from matebot.wording.said import defender, own_king, own_man, own_men, parse_square, rival_king, rivals_men, squares
from matebot.wording.undone import undone

_FEW = 3
#: A king with at most so many squares is held; with more there is nothing to chase it out of.
_HELD = 32
#: A smaller box is a part of one line, where the box has done its work.
_BOX = 8

#: What a move broke; the facts of the better one beside.
Rule = Callable[[MoveFacts, MoveFacts], str]


def cause(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Return what a move broke and the better one would not have; nothing where that is not seen."""
    return caused(facts, better)[0]


def caused(facts: MoveFacts, better: MoveFacts | None) -> tuple[str, str]:
    """Return the same with what a pupil can take along; both "" where nothing is seen.

    What one of the best moves broke as well is no cause; what no clearly better move broke comes first.
    """
    if better is None:
        return "", ""
    if (text := _in_the_way(facts, better)) and told_from(_in_the_way, facts, best_ones(facts)):
        return text, maxims.RUN_FIRST
    won = facts.cost.mistake is Mistake.OUTCOME  # any move that wins will do
    if text := next((text for other in facts.held_against if won and (text := _in_the_way(facts, other))), ""):
        return text, maxims.RUN_FIRST
    rules = _ATTACK if facts.by_attacker else tuple((rule, "") for rule in _DEFENCE)
    falls = facts.cost.mistake is Mistake.OUTCOME
    for others in (facts.held_against,) if falls else (facts.held_against, best_ones(facts)):
        for rule, general in rules:
            text = rule(facts, better)
            if text and told_from(rule, facts, others) and not _shown_by_worse(rule, text, facts, better):
                return text, general
    return "", ""


def _shown_by_worse(rule: Rule, text: str, facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether what is told is not the reason: another move of the same man comes to no more without it.

    Where the outcome is gone there is more to look at than what a move does by the way.
    """
    if rule not in _FEATURES:
        return False
    return facts.cost.mistake is Mistake.OUTCOME or any(
        _bare(rule(other, better)) != _bare(text) for other in facts.no_better
    )


def _bare(text: str) -> str:
    """Return a text as far as it does not depend on the move: without numbers and what follows."""
    return "".join(sign for sign in text.partition(":")[0] if not sign.isdigit())


def best_ones(facts: MoveFacts) -> list[MoveFacts]:
    """Return the facts of the moves instead that are as good as the best."""
    return [other for other in facts.held_against if other.move in facts.reproach.as_good_as_best]


def told_from(rule: Rule, facts: MoveFacts, others: Iterable[MoveFacts]) -> bool:
    """Whether a rule has something to say of a move beside each of some others."""
    return all(rule(facts, other) for other in others)


def led(aim: Aim | None, target: int | None, facts: MoveFacts, start: int) -> str:
    """Say where a step of the defending king from a square leads: ``gets off the edge``; nothing without."""
    goal = "" if target is None else square_name(target)
    if aim is Aim.OWN_MAN and target is not None and king_steps(start, target) > _FEW:
        return ""  # far from its man it does not come to it yet
    guard = parse_square(facts.move[2:4]) if facts.man.piece == "king" else own_king(facts)
    if aim is Aim.PAWN and target is not None and king_steps(guard, target) <= 1:
        return ""  # its king guards it
    if aim is Aim.CENTRE and "pawn" in facts.men.defender_men:
        return ""  # what matters there is the pawn
    man = facts.men.defender_men[0] if facts.men.defender_men else "man"
    return {
        None: "",
        Aim.OWN_MAN: f"comes to its {man}",
        Aim.PAWN: f"goes for the pawn on {goal}",
        Aim.WRONG_CORNER: f"runs for the wrong corner {goal}",
        Aim.CENTRE: "gets back to the centre" if from_edge(start) else "gets off the edge",
        Aim.OUT_OF_CORNER: f"gets {'out of' if start == target else 'away from'} the corner {goal}",
    }[aim]


def _blamed(lapse: Lapse, text: Callable[[Blame, MoveFacts, MoveFacts], str]) -> Rule:
    """Return a rule from one for what is blamed: nothing where that is another lapse."""

    def rule(facts: MoveFacts, better: MoveFacts) -> str:
        blame = facts.seen.blame
        if blame is None or blame.lapse is not lapse or better.move not in blame.told_from:
            return ""
        return text(blame, facts, better)

    return rule


def _step(blame: Blame, facts: MoveFacts) -> str:
    """Return the reply and where it leads: ``Kd2 gets off the edge``."""
    leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
    return f"{blame.reply} {leads or 'gets out'}"


def _attacked(facts: MoveFacts, better: MoveFacts) -> str:
    blame = facts.seen.blame
    if blame is None or not blame.attacks or better.move not in blame.told_from:
        return ""
    aim = None if blame.target == blame.square else blame.leads
    leads = led(aim, blame.target, facts, parse_square(facts.room.king))
    attack = f"{blame.reply} attacks it" + (f" and {leads}" if leads else "")
    man = f"the {man_name(blame.man)}"
    return {
        Lapse.GUARD_TAKEN: f"takes the guard from {man} on {square_name(blame.square)}: {attack}",
        Lapse.IN_REACH: f"puts {man} within reach of {rival_king(facts)}: {attack}",
    }.get(blame.lapse, f"leaves {man} on {square_name(blame.square)} loose: {attack}")


def _let_go(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
    if blame.line:
        return f"takes the {man_name(blame.man)} off {line_name(blame.line)}: {blame.reply} {leads}" if leads else ""
    beside = facts.men.defender_men or "pawn" in facts.men.attacker_men
    if beside and not leads:
        return ""
    return f"leaves {square_name(blame.square)} unguarded: {_step(blame, facts)}"


def _left_open(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    if not led(blame.leads, blame.target, facts, parse_square(facts.room.king)):
        return ""
    if blame.leads is Aim.WRONG_CORNER and blame.target is not None:
        runs = "into the wrong corner" if blame.square == blame.target else "run for the wrong corner"
        way = f"{runs} {square_name(blame.target)}"
    else:
        way = "" if blame.leads is None else kings.way(blame.leads, blame.target, facts)
    way = f"get {way}" if way.startswith(("away", "to ")) else way
    return f"lets {rival_king(facts)} {way}: {blame.reply}" if way else ""


def gives_time(facts: MoveFacts) -> str:
    """Say for which reply a move gives time, where the best ones leave none by a check and no move as bad does."""
    rule, best = _blamed(Lapse.TIME, _time), best_ones(facts)
    if not best or any(other.gives.check for other in facts.no_better) or not told_from(rule, facts, best):
        return ""
    return rule(facts, best[0])


def _square_open(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    return f"lets {rival_king(facts)} come to {square_name(blame.square)}"


def square_open(facts: MoveFacts) -> str:
    """Say to which square the king comes that every one of the best moves shuts; nothing without."""
    rule, best = _blamed(Lapse.LEFT_OPEN, _square_open), best_ones(facts)
    return rule(facts, best[0]) if best and told_from(rule, facts, best) else ""


def _unguarded(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    man = f"the {man_name(blame.man)} on {square_name(blame.square)}"
    return f"takes the guard from {man}: {blame.reply} goes for it"


def _hit(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    return f"allows {blame.reply}, which hits the {man_name(blame.man)}"


def _man_out(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    alone = len(facts.reproach.new_replies) == 1 and facts.then.ahead[:1] == (blame.reply,)
    if not alone:
        return ""  # other replies are as good
    return f"lets the {man_name(blame.man)} escape by {blame.reply}"


def _time(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    return f"gives {defender(facts)} time for {blame.reply}"


def _out_of_corner(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(OutOfCorner)
    if idea is None or better.seen.idea(OutOfCorner) is not None or facts.men.defender_men:
        return ""
    return f"drives the king out of {square_name(idea.corner)}, where it should be mated"


def _leaves_w(facts: MoveFacts, better: MoveFacts) -> str:
    idea, other = facts.seen.idea(KnightsW), better.seen.idea(KnightsW)
    if idea is None or idea.state is not WState.LEAVES or (other is not None and other.state is WState.LEAVES):
        return ""
    who = "the king" if facts.man.piece == "king" else f"the {man_name(idea.man)}"
    return f"breaks off the W: {who} leaves its square"


def _chases(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(ChasingCheck)
    if facts.men.defender_men or idea is None or idea.size_before > _HELD or better.seen.idea(ChasingCheck) is not None:
        return ""
    holes = facts.seen.idea(Holes)
    if holes is not None and holes.left:
        return f"checks while the king has a way out: {squares(holes.left)} {_is(holes.left)} open"
    if idea.way_out and {square_name(square) for square in idea.way_out} == set(facts.room.flights):
        return f"checks too soon: it only chases the king out, to {squares(idea.way_out, 'or')}"
    return "checks too soon: it only chases the king out"


def _is(found: tuple[int, ...]) -> str:
    return "is" if len(found) == 1 else "are"


def _opens(facts: MoveFacts, better: MoveFacts) -> str:
    # Where the king has a man beside it, there is more to look at than the king's room.
    if facts.men.defender_men or not _cage(facts, CageChange.OPENS) or _cage(better, CageChange.OPENS):
        return ""
    guards = facts.seen.idea(Guards)
    for square in () if guards is None else guards.let_go:
        man = own_man(facts, square)
        if man and square_name(square) != facts.move[2:4] and square_name(square) != better.move[:2]:
            return f"takes the guard from the {man} on {square_name(square)}, which shut the cage"
    run = facts.seen.idea(Refutation)
    if run is None or run.reply is None or facts.seen.move is None:
        return "opens the cage"
    name, new = facts.seen.name(facts.seen.move, run.reply), run.reply.uci() in facts.reproach.new_replies
    leads = led(run.leads, run.target, facts, run.reply.from_square)
    if not leads and run.means is Means.RUN and run.reply.to_square in run.squares:
        leads = "gets out"
    if new and leads:
        return f"opens the cage: {name} {leads}"
    blame = facts.seen.blame
    # Which square is left open says more than that one is.
    open_square = blame is not None and blame.lapse is Lapse.LEFT_OPEN and blame.leads is None
    return "" if open_square else "opens the cage"


def _cage(facts: MoveFacts, change: CageChange) -> bool:
    idea = facts.seen.idea(Cage)
    return idea is not None and idea.change is change


def _widens(facts: MoveFacts, better: MoveFacts) -> str:
    idea, other = facts.seen.idea(Cage), better.seen.idea(Cage)
    if idea is None or idea.change is not CageChange.WIDENS:
        return ""
    if other is not None and (other.size_after or 0) >= (idea.size_after or 0):
        return ""
    return f"lets the cage grow from {idea.size_before} to {counted(idea.size_after, 'square')}"


def _stage(facts: MoveFacts, better: MoveFacts) -> str:
    return _condition(facts, better) if stage_lost(facts) else ""


def _condition(facts: MoveFacts, better: MoveFacts) -> str:
    text = undone(facts)
    return "" if not text or text == undone(better) else text


def _to_edge(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that a man goes to the edge, where the better move takes none."""
    if (
        facts.man.piece not in ("king", "knight", "bishop")
        or facts.man.rim_after
        or not min(facts.man.rim_before, better.man.rim_after)
    ):
        return ""
    does = "does little" if facts.man.piece == "king" else "guards few squares"
    return f"takes the {facts.man.piece} to the edge, where it {does}"


def _no_bishop_to_edge(facts: MoveFacts, better: MoveFacts) -> str:
    return "" if facts.man.piece == "bishop" or "pawn" in facts.men.attacker_men else _to_edge(facts, better)


def _from_pawn(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the king goes away from its only pawn, where no better move of the king does."""
    board = own_men(facts, "pawn")
    if facts.man.piece != "king" or len(board) != 1 or len(facts.men.attacker_men) != 1:
        return ""
    was, now = (king_steps(parse_square(square), board[0]) for square in (facts.move[:2], facts.move[2:4]))
    kept = better.man.piece != "king" or king_steps(parse_square(better.move[2:4]), board[0]) <= was
    alone = facts.race.runs_alone or better.race.runs_alone
    return "takes the king away from its pawn" if now > was and kept and not alone else ""


def _box(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(Box)
    if (
        idea is None
        or facts.men.defender_men
        or facts.seen.idea(Narrows) is not None
        or "rook" not in facts.men.attacker_men  # a queen guards more than its lines
        or (idea.before or 0) < _BOX
        or (better.box.box_after or 64) >= (facts.box.box_after or 64)
    ):
        return ""
    if idea.change is BoxChange.WIDENS and idea.before is not None and idea.after is not None:
        return "lets the box grow"
    return ""


def _cut(facts: MoveFacts, better: MoveFacts) -> str:
    idea, other = facts.seen.idea(CutOff), better.seen.idea(CutOff)
    if idea is None or idea.change is not CutChange.GIVES_UP or other is None or other.change is CutChange.GIVES_UP:
        return ""
    return f"gives up {line_name(idea.line)}, which cut the king off"


def _in_the_way(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the king stands before its own pawn, which would otherwise go on."""
    if facts.man.piece != "king" or better.man.piece != "pawn" or better.man.captured:
        return ""
    return "stands in its pawn's way" if facts.move[2:4] == better.move[2:4] else ""


def _astray(facts: MoveFacts, better: MoveFacts) -> str:
    apart = facts.kings.kings_after
    if facts.man.piece == "king" and apart > max(facts.kings.kings_before, better.kings.kings_after):
        idle = "pawn" in facts.men.attacker_men or _nears_a_man(facts)
        return "" if idle else f"takes the king away: {kings.alone(facts)}"
    return ""


def _nears_a_man(facts: MoveFacts) -> bool:
    """Whether a man of the other side beside its king is nearer to where a man went than to where it stood."""
    was, now = parse_square(facts.move[:2]), parse_square(facts.move[2:4])
    return any(king_steps(now, man) < king_steps(was, man) for man in rivals_men(facts))


def _hunts(facts: MoveFacts, better: MoveFacts) -> str:
    idea = better.seen.idea(NearsMan)
    if idea is None or _goes_for_man(facts) or idea.inside is not None or idea.from_king < _FEW:
        return ""
    return f"leaves the {man_name(idea.man)} in peace: {better.san} goes after it, far from its king"


def _goes_for_man(facts: MoveFacts) -> bool:
    """Whether a move brings its king nearer to the other side's man, or attacks it."""
    attacks = facts.seen.idea(Threatens)
    return facts.seen.idea(NearsMan) is not None or (attacks is not None and attacks.threat is Threat.CAPTURE)


def _exception(facts: MoveFacts, better: MoveFacts) -> str:
    idea = facts.seen.idea(MinorLost)
    return "" if idea is None or facts.cost.mistake is not Mistake.OUTCOME else f"loses because {exception(idea)}"


def _edge(facts: MoveFacts, better: MoveFacts) -> str:
    if facts.man.piece == "king" and facts.man.rim_after < facts.man.rim_before:
        return f"goes {'to' if facts.man.rim_after == 0 else 'towards'} the edge of its own accord"
    before, after = facts.corner.corner_steps_before, facts.corner.corner_steps_after
    if before is not None and after is not None and after < before <= _FEW:
        return f"goes nearer to {facts.corner.right_corner or 'a right corner'}, where mate is forced"
    return ""


#: Which idea a move of the attacker broke, the most telling first, and what a pupil can take along.
_ATTACK: tuple[tuple[Rule, str], ...] = (
    (_attacked, maxims.TOGETHER),
    (_blamed(Lapse.UNGUARDED, _unguarded), maxims.TOGETHER),
    (_out_of_corner, ""),
    (_leaves_w, ""),
    (_blamed(Lapse.LET_GO, _let_go), maxims.HOLD_THE_LINE),
    (_opens, maxims.KEEP_IT_SHUT),
    (_chases, maxims.NO_CHECK),
    (_blamed(Lapse.LEFT_OPEN, _left_open), maxims.WAY_FIRST),
    (_hunts, maxims.HUNTED),
    (_blamed(Lapse.HIT, _hit), ""),
    (_blamed(Lapse.MAN_OUT, _man_out), ""),
    (_stage, ""),
    (_widens, ""),
    (_box, ""),
    (_cut, ""),
    (_from_pawn, maxims.TOGETHER),
    (_astray, ""),
    (_no_bishop_to_edge, ""),
    (_condition, ""),
)
#: What a move may show by the way: no reason where another move of its man does as badly without it.
_FEATURES: tuple[Rule, ...] = (_opens, _chases, _stage, _widens, _box, _cut, _astray, _no_bishop_to_edge, _condition)
_DEFENCE: tuple[Rule, ...] = (_exception, _edge)
