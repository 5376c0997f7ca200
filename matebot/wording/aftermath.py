"""What comes of a slip: how it is punished, what was right, and the way back."""

from __future__ import annotations

import re

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.blame import Lapse
from matebot.ideas.idea import square_name
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.squares import from_edge, king_steps
from matebot.terms import Mistake
from matebot.wording import attack, coming, remedies, unlike
from matebot.wording.attack import deeds
from matebot.wording.defence import purposes
from matebot.wording.denials import MEANS
from matebot.wording.kept_out import kept_out
from matebot.wording.lapses import all_inwards, is_new, led
from matebot.wording.phrases import LINE, listed, other, sentence, side, takes_clause
from matebot.wording.reason import NO_DEED
from matebot.wording.said import goal_of, man, parse_square
from matebot.wording.slip_draws import BY_LAW

#: The reply to a move and the answer to it.
_BOTH = 2
#: Room for the side, blanks and the full stop.
ROOM = 10
THROWN = "throws the win away"
_ONLY = "the only move that holds is "


def in_line(idea: Refutation) -> str:
    """Name the men on one line, the nearer to the man that hits them first."""
    assert idea.reply is not None
    at = idea.reply.to_square
    pairs = sorted(zip(idea.squares, idea.men, strict=True), key=lambda pair: king_steps(pair[0], at))
    return " and behind it ".join(man(kind) for _, kind in pairs)


def _punish(idea: Refutation, facts: MoveFacts) -> str:
    """Say by what means a slip is punished; a capture is told as the cause."""
    if idea.reply is None:
        return ""
    reply = facts.seen.name_after(idea.reply)
    men = [man(kind) for kind in idea.men]
    return {
        Means.MATE: f"{reply} is mate",
        Means.PROMOTION: f"{reply} promotes",
        Means.FORK: f"{reply} forks {listed(men)}",
        Means.SKEWER: f"{reply} attacks {in_line(idea) if idea.means is Means.SKEWER else ''}",
        Means.PIN: f"{reply} pins {listed(men)} to its king",
        Means.ATTACK: f"{reply} attacks {listed(men)}, which nobody guards",
        Means.RUN: f"{reply} {_led(idea, facts) or 'gets out'}",
        Means.CAPTURE: f"{reply} takes {listed(men)}" if facts.man.captured else "",
        Means.NONE: f"{reply} {leads}" if (leads := _led(idea, facts)) else "",
        Means.STALEMATE: "",
    }[idea.means]


def _led(idea: Refutation, facts: MoveFacts) -> str:
    return "" if idea.reply is None else led(idea.leads, idea.target, facts, idea.reply.from_square)


def punished(facts: MoveFacts, first: str) -> list[str]:
    """Say how a slip is punished, by a reply that is none after the best move."""
    if facts.worth.cause_after in BY_LAW:
        return []
    if " misses mate in " in first or " puts off " in first:
        return []  # what is done against nothing in particular
    blame, idea = facts.seen.blame, facts.seen.idea(Refutation)
    text = "" if idea is None else _punish(idea, facts)
    fresh = idea is not None and idea.reply is not None and idea.reply.uci() in facts.reproach.new_replies
    if idea is not None and not fresh and idea.means in (Means.FORK, Means.SKEWER):
        text = ""  # the man may be saved
    if idea is not None and text and facts.by_attacker:
        blamed = blame is not None and text.split()[0] == blame.reply
        text = text if fresh and (blamed or idea.means not in _STEPS) else ""
    if facts.cost.loses:
        text = ""
    elif not text and blame is not None and blame.reply not in _words(first) and is_new(blame.reply, facts):
        leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
        text = f"{blame.reply} {leads}" if leads else ""
    if (leads := _leads_now(idea, facts)) and f" {facts.instead.best_san}, which " in first:
        text = leads
    if not text and facts.then.ahead and facts.cost.mistake is Mistake.OUTCOME:
        reply = facts.then.ahead[0]
        if THROWN in first:
            text = f"{_ONLY}{reply}" if facts.then.only_holder else f"{reply} holds"
        elif facts.worth.outcome_after < 0 and " overlooks " not in first:
            text = f"{reply} wins"
    if text.endswith(_TWICE) and not all_inwards(facts):
        text = ""  # other replies are as good
    idle = " gets out" in text and "cage" not in first.partition(" misses ")[0]
    names = text.split()[-1:] if text.startswith(_ONLY) else text.split()[:1]
    told = idle or not text or names[0] in _words(first) or any(words in first and words in text for words in _TWICE)
    if text.endswith(" wins"):
        text = f"{side(other(facts.turn))} wins by {text.removesuffix(' wins')}"
    now = " misses " in first or text.partition(" ")[2].startswith(_LEADS)
    by_name = " holds" in text or " wins by " in text
    told = told or (now and not by_name and facts.cost.mistake is Mistake.OUTCOME and _beside_the_point(text, facts))
    if told:
        return _meanwhile(facts, first)
    if facts.by_attacker and _was_open(text, facts) and facts.instead.best_san not in _words(first):
        return []  # that comes of what the better move does
    return [sentence(f"now {text}" if now and not by_name else text)]


def _was_open(text: str, facts: MoveFacts) -> bool:
    """Whether a step of the king that leads somewhere goes to a square to which it could go before the move as well."""
    reply, _, leads = text.partition(" ")
    return leads.startswith(_LEADS) and reply[:1] == "K" and goal_of(reply) not in facts.room.squares_given


def _beside_the_point(text: str, facts: MoveFacts) -> bool:
    """Whether a reply is no reason why a missed chance cost the outcome: a step nearer, or not the best one."""
    return text.partition(" ")[2].startswith(("comes to ", "comes nearer to ")) or (
        not facts.by_attacker and text.split()[:1] != list(facts.then.ahead[:1])
    )


def _meanwhile(facts: MoveFacts, first: str) -> list[str]:
    """Say what the other side does with the time; nothing where more than time is lost, or a move ahead is told."""
    ahead = facts.then.ahead
    if facts.cost.mistake is Mistake.OUTCOME or not facts.given.gains_now:
        return []  # with as much time the better move lets it do so as well
    if ahead[0] in _words(first) or any(words in first for words in _AHEAD):
        return []
    if (blame := facts.seen.blame) is not None and blame.reply in _words(first):
        return []  # one reply is enough
    return [sentence(f"now {gained(facts)}")]


def gained(facts: MoveFacts) -> str:
    """Say what the best reply does with the time it is given: ``Kf3 comes nearer to its pawn``; "" where nothing."""
    if facts.given.gains is None:
        return ""
    does = {
        Gain.HIT: f"{'attacks' if facts.given.by_king else 'hits'} the {facts.given.hit}",
        Gain.MAN: f"comes nearer to its {facts.men.defender_men[0] if facts.men.defender_men else 'man'}",
        Gain.PAWN: "comes nearer to the pawn",
        Gain.PUSH: "brings the pawn on",
        Gain.CENTRE: "comes nearer to the centre" if from_edge(parse_square(facts.room.king)) else "gets off the edge",
    }[facts.given.gains]
    return f"{facts.then.ahead[0]} {does}"


def in_time(text: str, first: str) -> bool:
    """Whether a sentence tells what is done with the time where the first sentence has named a reply that does so."""
    when, _, rest = text.partition(" ")
    named = rest.split(" ")[0] in _words(first) or re.search(r" by \S+: ", first) is not None
    twice = any(words in first and rest.rstrip(".").endswith(words) for words in _TWICE)
    return when.lower() == "now" and (named or twice)


#: Where what comes of a better move is told, what comes of the slip matters less.
_AHEAD = (
    " overlooks ",
    ": if ",
    ": after ",
    ", and if ",
    ", and after ",
    " loses time: ",
    " the fork ",
    " the skewer ",
    " outruns ",
    " runs on",
    " runs home",
    " puts off ",
    " in its pawn's way",
)


def _leads_now(idea: Refutation | None, facts: MoveFacts) -> str:
    """Say where a reply leads that is a best one after none of the best moves; nothing without."""
    if idea is None or idea.reply is None:
        return ""
    leads = _led(idea, facts) if idea.reply.uci() in facts.reproach.new_replies else ""
    return f"{facts.seen.name_after(idea.reply)} {leads}" if leads else ""


def _words(text: str) -> list[str]:
    return text.replace(",", " ").replace(";", " ").replace(".", " ").replace(":", " ").split()


#: How a step of the other king is told that leads somewhere.
_LEADS = ("gets ", "comes to ", "goes for ", "runs for ")
#: What need not be said of the reply where the cause has said it.
_TWICE = ("back to the centre", "off the edge")
#: Means that are a step of the king, or nothing in particular: after the best move the step may be there as well.
_STEPS = (Means.ATTACK, Means.RUN, Means.NONE)


def right(facts: MoveFacts, better: MoveFacts, first: str) -> list[str]:
    """Say what the best move does, or how it keeps the outcome."""
    if facts.gives.stalemate and not better.gives.mate:
        return [sentence(f"{better.san} keeps the win")]
    if " runs on" in first:
        return []  # that is the better move
    if better.san in _words(first) or " misses " in first or " overlooks " in first:
        return []
    about = " the pawn" if " lets the pawn promote by " in first else ""
    praise, blame = _remedy(facts, better, about), facts.seen.blame
    open_now = blame is not None and (blame.lapse is Lapse.LEFT_OPEN or (blame.lapse is Lapse.LET_GO and not praise))
    left = blame is not None and (open_now or (blame.lapse is Lapse.MAN_OUT and blame.shuts))
    if blame is not None and left and (blame.reply in _words(first) or " come to " in first):
        keeps_out = kept_out(better, facts, blame.square) if blame.shuts else ""
        if keeps_out.startswith("guards ") and blame.lapse is Lapse.LEFT_OPEN:
            keeps_out = f"{keeps_out} first"
        praise = keeps_out or ("" if square_name(blame.square) in praise else praise)
    if " time for " in first:
        praise = "comes first, with check"
    if not praise and "takes the king away" in first and better.man.piece == "king":
        praise = _nearer(better, facts)
    if praise.startswith(("leaves ", "shuts ", "takes ")) and facts.by_attacker and not facts.worth.outcome_before:
        praise = ""  # room is what a win is about
    keeps = ""
    if facts.cost.mistake is Mistake.OUTCOME and not praise:
        keeps = "keeps the win" if facts.worth.outcome_before > 0 else "holds the draw"
    if better.man.captured and not better.gives.mate:
        praise = takes_clause(better.man.captured, better.man.victim_guarded)
    if better.man.promoted and " time for " in first:
        praise = "comes first"
    elif better.man.promoted and not better.gives.mate:
        takes = f"takes the {better.man.captured} and " if better.man.captured else ""
        praise = f"{takes}makes a {better.man.promoted}"
    if praise.startswith("shuts ") and any(goal in first for goal in _TWICE):
        praise = praise.partition(", the way ")[0]
    praise = praise.partition(" by ")[0] if praise.startswith("threatens to promote by ") else praise
    text = listed([part for part in (praise, keeps) if part])
    if len(first) + len(better.san) + len(text) > LINE - ROOM:
        text = headed(text) if text != _room_later(better) else ""
    if facts.cost.mistake is Mistake.OUTCOME and len(first) + len(better.san) + len(text) > LINE - ROOM:
        text = "keeps the win" if facts.worth.outcome_before > 0 else "holds the draw"
    lets = bool(facts.then.ahead) and (facts.then.ahead[0] in _words(first) or " come to " in first)
    if not text and lets and (facts.given.gains_now or left) and len(better.then.ahead) == _BOTH:
        if text := unlike.deed(facts, better):
            return [sentence(f"better: {better.san} {_MORE.split(text)[0]}")]
        reply, answer = better.then.ahead
        return [sentence(f"better is {better.san}, and if {reply}, {answer}")]
    if not text:
        return []
    plain = text.endswith(_IN_TIME) or text.startswith(_OF_ITSELF)
    return [sentence(f"{'' if plain else 'better: '}{better.san} {text}")]


def _nearer(better: MoveFacts, facts: MoveFacts) -> str:
    """Say that the better step leaves the king nearer to the other than the slip does, if it does."""
    if better.kings.kings_after >= facts.kings.kings_after:
        return ""
    return "keeps it nearer" if better.kings.kings_after >= facts.kings.kings_before else "brings it up"


#: What may be left out behind a deed.
_MORE = re.compile(", (?:while|(?:the|its) way|one of|two of|by which) ")
#: What says by itself that the move it is told of was not made.
_IN_TIME, _OF_ITSELF = (
    (" first", " keeps the win", " holds the draw"),
    ("keeps the win", "holds the draw", "comes first"),
)


def _remedy(facts: MoveFacts, better: MoveFacts, about: str = "") -> str:
    """Say what the best move does that the slip does not, in few words; first what is about something, if anything."""
    if not better.by_attacker or better.gives.mate:
        return praised(better, short=True, slip=facts)
    texts = [text if text == _room_later(better) else in_short(text) for text in remedies.texts(better, facts)]
    return next((text for text in texts if about in text), texts[0] if texts else "")


def _room_later(better: MoveFacts) -> str:
    """Return what is taken from the king by the move after, which without the moves may come after a slip as well."""
    idea = better.seen.idea(Prepares)
    return coming.prepares(idea, better) if idea is not None and idea.does in coming.ROOM else ""


def in_short(text: str) -> str:
    """Leave out what follows from a deed, and how much is left."""
    text = text.partition("; ")[0]
    if text.startswith("keeps the king on the edge: "):
        text = headed(text)
    head, colon, tail = without_numbers(text).partition(": ")
    text = f"{head}{colon}{tail}"
    return head if (colon and tail.startswith(_FOLLOWS)) or tail[:1].isdigit() else text


def headed(text: str) -> str:
    """Return what a move does without what follows from it, so that a king held on the edge is in no cage."""
    held = ": it has only " in text and not text.endswith(" left")
    return attack.head(text).replace("keeps the king on", "holds the king on") if held else attack.head(text)


def without_numbers(text: str) -> str:
    """Leave out how far a man is from its king, and what a pupil need not know of a race."""
    text = text.replace(", far from its king", "").replace(" from inside its square", "")
    return re.sub(r"shuts the way out at [a-h][1-8].*", "shuts the king in", text)


def praised(better: MoveFacts, short: bool = False, slip: MoveFacts | None = None) -> str:
    """Say what the best move does, without its name; short without what follows from it.

    Parameters
    ----------
    slip : a move of the defender of which it cannot be said as well
    """
    if better.gives.mate:
        return "is checkmate"
    text = next(deeds(better), NO_DEED).text if better.by_attacker else next(purposes(better, slip), "")
    return in_short(text) if short else text


#: What is left out where the best move is only named: what follows from it.
_FOLLOWS = ("king and ", "if ", "after ")


def way_back(facts: MoveFacts, told: list[str], whole: bool) -> list[str]:
    """Return how it goes on and what that does, unless another reply has been told of."""
    if facts.worth.outcome_after <= 0 or len(facts.then.ahead) < 2:
        return []
    reply, back = facts.then.ahead
    if "=" in f"{facts.instead.best_san}":
        return []  # the pawn could have promoted at once
    does = "" if facts.seen.back is None else _BACK.get(facts.seen.back, "")
    if not whole and (
        facts.seen.back not in _STRONG or f" {facts.instead.best_san}" in " ".join(told) or " misses " in told[0]
    ):
        return []
    if {reply, back} <= set(_words(told[0])):
        return []
    blame = facts.seen.blame
    if blame is not None and blame.reply != reply and blame.reply in _words(" ".join(told)):
        return []
    return [sentence(f"the way back: after {reply}, {back} {does}".strip())]


#: What is worth the telling where more has been told already.
_STRONG = (Next.MATE, Next.PROMOTION, Next.CAPTURE, Next.W_READY, Next.SHUTS)
#: What the move after the reply does.
_BACK = {
    **MEANS,
    Next.MATE: "mates",
    Next.PROMOTION: "makes the new queen",
    Next.CAPTURE: "wins a man",
    Next.BOX: "makes a new box",
}
