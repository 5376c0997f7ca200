"""The figures of every ladder as they were proved, so that nobody waits for a proof to read them.

The tests prove them again; a change of a plan changes them here.
"""

from __future__ import annotations

from matebot.method.ladder import Plan
from matebot.method.proof import Figures

#: The version of the program by which the ladders were proved.
PROVED_BY = "0.1.0"
#: Ending and name of the ladder -> stage by stage the longest stay, longest and mean by the method and by the shortest
#: way, positions.
_FIGURES: dict[tuple[str, str], Figures] = {
    ("KBNK", "edge and corner"): Figures((20, 15, 20, 22), 34, 25.2429, 33, 24.6792, 10_822_184),
    ("KBNK", "shrinking triangles"): Figures((17, 19, 19, 13), 34, 25.0065, 33, 24.6792, 10_822_184),
    ("KBBK", "wall and corner"): Figures((12, 8, 15, 16), 20, 13.1052, 19, 12.4815, 5_007_216),
    ("KRK", "box"): Figures((11, 17, 10, 12), 20, 10.4105, 16, 9.8648, 175_168),
    ("KRRK", "staircase"): Figures((7, 8, 5), 12, 3.2429, 7, 3.2088, 8_325_184),
    ("KQRK", "staircase of queen and rook"): Figures((6, 6, 4), 7, 2.5363, 6, 2.5282, 6_911_296),
    ("KQQK", "staircase of queens"): Figures((4, 4, 3), 4, 1.8601, 4, 1.8565, 5_657_120),
    ("KQBK", "edge with a bishop"): Figures((8, 5, 5), 8, 3.8158, 8, 3.7894, 7_698_432),
    ("KQNK", "edge with a knight"): Figures((9, 5, 5), 9, 4.3408, 9, 4.3348, 8_245_296),
    ("KQK", "edge"): Figures((9, 6, 4), 10, 5.6167, 10, 5.6167, 144_508),
    ("KBPK", "guard and lead in with a bishop"): Figures((15, 32, 17), 35, 10.5400, 31, 10.1646, 8_283_622),
    ("KNPK", "guard and lead in with a knight"): Figures((23, 34, 18), 38, 11.5711, 27, 11.1721, 8_810_640),
    ("KPK", "key squares"): Figures((12, 17, 15), 28, 11.2212, 28, 11.2070, 124_960),
    ("KQKP", "hold and approach"): Figures((18, 18, 15), 28, 7.7992, 28, 7.0617, 6_699_262),
    ("KRKP", "cut off and fetch"): Figures((22, 27, 24), 28, 14.2413, 26, 13.0277, 7_406_204),
    ("KQKR", "edge, rook away, fork"): Figures((27, 31, 29, 22), 41, 15.3657, 35, 13.4227, 8_863_768),
    ("KRPKR", "bridge"): Figures((16, 8, 17, 11), 41, 9.1527, 37, 8.7946, 3_916_794),
}


def proved_figures(plan: Plan) -> Figures:
    """Return what was proved about a ladder, the means to four places.

    Raises
    ------
    KeyError
        when a ladder has not been proved
    """
    return _FIGURES[plan.ending, plan.name]
