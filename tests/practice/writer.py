"""A process that writes games into a record until it is killed, and names each one once it is written."""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from matebot.practice.record import Record
from tests.practice.games import game, save


def main() -> None:
    place, name = sys.argv[1:]
    record = Record(Path(place), lambda text: sys.exit(text))
    for number in count():
        key = f"{name}-{number}"
        save(record, game(key, pupil=name, moves=1, finished=False))
        save(record, game(key, pupil=name, moves=30))
        print(key, flush=True)


if __name__ == "__main__":
    main()
