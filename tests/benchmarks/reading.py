"""Print explanations to be read with a coach's eye, or read back the marks they were given.

``python -m tests.benchmarks.reading --side attack --count 100 --seed 1`` prints a numbered block for each explanation:
ending, position, line. A reader writes four marks of 0 to 3 behind ``marks:`` (true, why, generalises, English);
``--marks FILE`` prints their means. Same seed, same explanations, while the words stand.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from matebot.method.library import Library
from matebot.solver.tables import Tables
from tests.wording.sampling import SIDES, WITH_LADDER, WITHOUT, Said, sample

_CRITERIA = ("true", "why", "generalises", "English")


def explanations(side: str, count: int, seed: int) -> list[Said]:
    """Return explanations of a side, spread over the endings with a ladder and, as many in all, over those without."""
    library = Library(Tables(held_bytes=1 << 40))
    found: list[Said] = []
    for endings, share in ((WITH_LADDER, count - count // 2), (WITHOUT, count // 2)):
        for number, ending in enumerate(endings):
            each = share // len(endings) + (number < share % len(endings))
            found += islice(once(sample(library, ending, side, seed)), each)
    return found


def once(said: Iterable[Said]) -> Iterator[Said]:
    """Yield what is said, no position and text twice: a reader's mark would count twice."""
    seen = set[tuple[str, str]]()
    for one in said:
        if (key := (one.facts.fen, one.text)) not in seen:
            seen.add(key)
            yield one


def means(text: str) -> str:
    """Return the mean of each criterion, for endings with a ladder and for those without."""
    marks: dict[str, list[tuple[int, ...]]] = {"with a ladder": [], "without": []}
    for ending, given in re.findall(r"^\d+ (\w+) .*\n.*\nmarks: *(\d+)", text, re.MULTILINE):
        marks["with a ladder" if ending in WITH_LADDER else "without"].append(tuple(int(mark) for mark in given))
    return "\n".join(
        f"{group} ({len(rows)}): "
        + ", ".join(
            f"{name} {sum(column) / len(rows):.2f}"
            for name, column in zip(_CRITERIA, zip(*rows, strict=True), strict=True)
        )
        for group, rows in marks.items()
        if rows
    )


def main() -> None:
    """Print what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--side", choices=SIDES, default="attack")
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--marks", type=Path, help="a file of explanations with their marks")
    asked = parser.parse_args()
    if asked.marks is not None:
        print(means(asked.marks.read_text(encoding="utf-8")))
        return
    print(f"side {asked.side}, seed {asked.seed}")
    for number, said in enumerate(explanations(asked.side, asked.count, asked.seed), start=1):
        print(f"{number} {said.ending} {said.facts.fen}\n{said.text}\nmarks:")


if __name__ == "__main__":
    main()
