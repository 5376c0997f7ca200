"""Which case of a reason for a draw is told: each has words of its own, and the witness of reasons knows the case."""

from __future__ import annotations

import re

#: Words of a case, the reason, and what the witness says of it; where a list is told, whether there is anything in it.
_CASES: tuple[tuple[str, str, dict[str, bool]], ...] = (
    (r"is shut in before its own rook's pawn", "king_before_pawn", {"shut_in": True}),
    (r"holds the corner before the rook's pawn", "king_before_pawn", {"shut_in": False, "rooks_pawn": True}),
    (
        r"the king has the opposition, so",
        "king_before_pawn",
        {"shut_in": False, "rooks_pawn": False, "has_opposition": True},
    ),
    (
        r"the king stands in front of the pawn",
        "king_before_pawn",
        {"shut_in": False, "rooks_pawn": False, "has_opposition": False},
    ),
    (r"never guards .*king holds it$", "wrong_rooks_pawn", {"arrived": True}),
    (r"never guards .*king reaches it$", "wrong_rooks_pawn", {"arrived": False}),
    (r"with a bishop's pawn on the seventh", "pawn_on_the_seventh", {"bishops_pawn": True}),
    (r"with a rook's pawn on the seventh", "pawn_on_the_seventh", {"bishops_pawn": False}),
    (r"on the seventh .*stalemate$", "pawn_on_the_seventh", {"king_far": False}),
    (r"on the seventh .*too far away$", "pawn_on_the_seventh", {"king_far": True}),
    (r"leads its pawn on .*the rook must be given", "pawn_supported", {"led": True}),
    (r"too far off to help its rook against the pawn", "pawn_supported", {"led": False}),
    (r"alone cannot mate, but it stops the pawn at", "minor_stops_pawn", {"held": True}),
    (r"alone cannot mate, but it comes in time", "minor_stops_pawn", {"held": False, "king_near": False}),
    (r"but the other king is in time to stop the pawn", "minor_stops_pawn", {"held": False, "king_near": True}),
)


def wrong_case(text: str, reasons: dict[str, dict[str, object]]) -> str:
    """Return the case that is told and not so, nothing where what is told is so."""
    for words, reason, case in _CASES:
        if re.search(words, text) and (reason not in reasons or any(bool(reasons[reason][k]) != case[k] for k in case)):
            return f"{text}: {reasons.get(reason)}"
    return ""
