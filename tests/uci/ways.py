"""How a session is led from its start into each of its states."""

from __future__ import annotations

from hypothesis import strategies as st

from matebot.uci.session import State

#: All characters of the library's own texts, those that can be encoded. It would encode a million to find them out, two
#: seconds of a first run.
CHARACTERS = st.characters(exclude_categories=["Cs"])

#: Stands among the lines for the moment at which the partner has its answer.
ANSWERED = "(the partner answers)"
#: Lines that lead from the start into a state.
WAYS: dict[State, tuple[str, ...]] = {
    State.IDLE: (),
    State.THINKING: ("go",),
    State.HELD: ("go infinite",),
    State.PONDERING: ("go ponder",),
    State.KEPT: ("go infinite", ANSWERED),
    State.KEPT_PONDERING: ("go ponder", ANSWERED),
}
