"""Why a position is drawn, in the terms teachers use: one reason a file, each with its exact definition.

Each ``seen`` is asked about a position that is drawn with best play; what it sees must be there on the board. No
values, no English.
"""
