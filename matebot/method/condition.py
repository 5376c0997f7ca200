"""The names of the conditions of stages: what a pupil can tick off on the board. `ideas.conditions` sees them.

What each condition means is said beside its name; "edge" is the rim of the board, steps are king's steps.
"""

from __future__ import annotations

from enum import Enum


class Condition(Enum):
    """A condition by name."""

    #: The attacking king stands on one of the sixteen squares two steps or more from the edge.
    KING_IN_CENTRE = "king in the centre"
    #: The attacking king is not on the edge.
    KING_OFF_EDGE = "king off the edge"
    #: No bishop, no knight of the attacker is on the edge.
    BISHOP_OFF_RIM = "bishop off the rim"
    KNIGHT_OFF_RIM = "knight off the rim"
    #: The bishop is off the rim, or on its square of the W (h7 for a8) with the king near that edge.
    BISHOP_WELL_PLACED = "bishop well placed"
    #: The defending king is on the edge; at most one step from it.
    DEFENDER_ON_EDGE = "defender on the edge"
    DEFENDER_NEAR_EDGE = "defender near the edge"
    #: King, bishop and knight on their squares of one W (f6, h7, f7 for a8), the defending king near that edge.
    KING_AT_W = "king at the W"
    BISHOP_AT_W = "bishop at the W"
    KNIGHT_AT_W = "knight at the W"
    #: The defending king is at most 6, 4 or 2 ranks and files together from a corner in which mate can be forced.
    IN_LARGE_TRIANGLE = "in the large triangle"
    IN_MATING_TRIANGLE = "in the mating triangle"
    IN_SMALL_TRIANGLE = "in the small triangle"
    #: The king is in a cage (see `cage`).
    CAGE_SHUT = "cage shut"
    #: The defending king is at most 2 ranks and files together from a corner, whichever.
    BY_A_CORNER = "by a corner"
    #: The attacking king is at most two steps from that corner nearest to the defending king where mate can be forced.
    KING_AT_CORNER = "king at the corner"
    #: Two bishops stand side by side on a rank or file.
    BISHOPS_ABREAST = "bishops abreast"
    #: No man of the attacker can be taken by the king.
    MEN_SAFE = "men safe"
    #: Rank and file of the lone piece leave a box of at most 28, or 8, squares; a king on its line has the whole width.
    BOX_OF_28 = "box of at most 28"
    BOX_OF_8 = "box of at most 8"
    #: A rank or file of the lone piece lies between the kings (see `cut_off`).
    CUT_OFF = "cut off"
    #: The kings stand in direct opposition.
    OPPOSITION = "opposition"
    #: A queen or rook holds the rank or file next to the edge on which the defending king stands (see `shut_in`).
    EDGE_HELD = "edge held"
    #: A rank or file of a queen or rook leaves the defending king at most four, or two, ranks or files (see `shut_in`).
    SHUT_IN_HALF = "shut in on half the board"
    SHUT_IN_TWO = "shut in on two lines"
    #: Two queens or rooks stand on ranks, or files, next to each other.
    NEIGHBOURING_LINES = "on neighbouring lines"
    #: The kings are at most two steps apart.
    KING_AT_HAND = "king at hand"
    #: The attacking king stands on a key square of the lone pawn or, on its file or next to it, in front of them all;
    #: or next to the pawn, the defending king being at most four steps from it.
    KING_ON_KEY_SQUARE = "king on a key square"
    #: The defending king, to move, needs more steps to the promotion square than the pawn (double step not counted).
    OUTSIDE_SQUARE = "defender outside the square"
    #: The attacking king is on the pawn's file or next to it, nearer to promotion than the pawn.
    KING_IN_FRONT = "king in front of the pawn"
    #: The only pawn is on its seventh rank.
    PAWN_ON_SEVENTH = "pawn on the seventh"
    #: The attacker's pawn is safe, its way is sure, its king is next to it, its promotion corner held (see `own_pawn`).
    PAWN_SAFE = "pawn safe"
    WAY_SURE = "way of the pawn sure"
    KING_GUARDS_PAWN = "king guards the pawn"
    CORNER_HELD = "promotion corner held"
    #: The defender's only man, a pawn, is held (see `their_man`).
    PAWN_HELD = "pawn held"
    #: A man of the attacker, or the king, stands on the square before that pawn.
    PAWN_BLOCKED = "pawn blocked"
    #: The attacking king is at most four steps, at most two, from the square on which that pawn promotes.
    KING_NEAR_PROMOTION_SQUARE = "king near the promotion square"
    KING_AT_PROMOTION_SQUARE = "king at the promotion square"
    #: The attacking king is at most two steps from that pawn; it is in its square (see `their_man`).
    KING_BY_PAWN = "king by the pawn"
    KING_IN_SQUARE = "king in the square of the pawn"
    #: A rank or file of the attacker's only piece lies between that pawn and its king.
    CUT_FROM_PAWN = "defender cut off from its pawn"
    #: The defending king stands on the square before that pawn.
    DEFENDER_BEFORE_PAWN = "defender before its pawn"
    #: The defender's only man does not stand beside its king; a man of the attacker attacks both at once.
    MAN_AWAY = "man away from its king"
    FORKED = "king and man attacked at once"
    #: That pawn is attacked, by two men or away from its king.
    PAWN_FALLS = "pawn falls"
    #: The attacking king is at the promotion square of its own pawn, out, down; the defending king is cut off from the
    #: pawn by the rook's file; the rook is ready, helps, bridges, stands as the bridge (see `bridge`).
    KING_BEFORE_PAWN = "king at its pawn's promotion square"
    CUT_BY_FILE = "defender cut off by a file"
    ROOK_READY = "rook on the fourth or fifth rank"
    ROOK_HELPS = "rook on the fourth, fifth or last rank"
    KING_OUT = "king out"
    KING_DOWN = "king down"
    ROOK_BRIDGES = "rook bridges"
    BRIDGE_BUILT = "bridge built"
