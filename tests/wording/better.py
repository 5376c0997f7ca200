"""Facts of moves of the side that wins, a slip and what is better, as a board and a test tell them."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from matebot.facts.move_facts import MoveFacts
from tests.wording.bare import facts_of


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas by their kinds, and as told."""
    ideas = told.pop("ideas", {})
    room = {"king": "e5", "flights": ("d6",), "squares_taken": (), "squares_given": ()}
    room |= {name: told.pop(name) for name in list(told) if name in room}
    given = {"gains": None, "gains_now": False, "by_king": False}
    given |= {name: told.pop(name) for name in list(told) if name in given}
    apart = told.pop("apart", (4, 4))
    groups: dict[str, Any] = {
        "seen": SimpleNamespace(
            idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
            name_after=lambda *moves: ("Kd6", "Rh6+")[len(moves) - 1],
            attacked=lambda square: told.get("hits", True),
            goes_alike=lambda *moves: told.get("goes_on", "no") == " ".join(map(str, moves)),
            moves_after=lambda *names: names,
            comes_to_guard=lambda square: told.get("guards", True),
            answers_check=False,
        ),
        "room": SimpleNamespace(**room),
        "given": SimpleNamespace(**given),
        "gives": SimpleNamespace(check=told.pop("check", False), mate=False),
        "race": SimpleNamespace(runs_alone=told.pop("runs", False)),
        "kings": SimpleNamespace(kings_before=apart[0], kings_after=apart[1]),
        "worth": SimpleNamespace(best_moves=told.pop("best", 9), outcome_before=1, outcome_after=1, mate_moves=20),
        "cost": SimpleNamespace(moves_lost=told.pop("lost", 0)),
        "beside": SimpleNamespace(keeping=told.pop("keeping", 5)),
        "replies": SimpleNamespace(replies=told.pop("replies", 3)),
        "then": SimpleNamespace(ahead=told.pop("ahead", ()), goals=told.pop("goals", ())),
        "answer": told.pop("answer", None),
        "as_quick": (),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **groups)
