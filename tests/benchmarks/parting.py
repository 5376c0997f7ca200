"""Count how often the reason told of a move is told of a worse rival too, or leaves out a move as good.

``python -m tests.benchmarks.parting --side attack --count 60 --seed 1`` takes so many moves of each ending, and prints
the rates, the kinds of reasons that fail most often, and examples of each with the rivals that it holds of.
"""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

import chess

from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from tests.benchmarks.reading import once
from tests.witness.parting import NOT_READ, Weighed, weigh
from tests.witness.spoken import Spoken, sentences, then
from tests.wording.sampling import SIDES, WITH_LADDER, WITHOUT, Said, sample

#: In what way a reason fails to part.
FAULTS = ("shared", "alike", "unlike")
_MEANING = {
    "shared": "told of a worse move too",
    "alike": "told of a worse move too, its own squares put in",
    "unlike": "not so of a move as good, which is not named",
}


@dataclass(frozen=True)
class Rates:
    """How many of the reasons told fail, in each way and in either way of the first two."""

    told: int
    reasons: int
    failing: dict[str, int]


def weighed(library: Library, said: Iterable[Said]) -> Iterator[tuple[Said, Weighed | None]]:
    """Yield moves with what is told of them held beside their rivals."""
    truth = TableTruth(library)
    for one in said:
        yield one, weigh(*_about(one, truth), slip=one.better is not None)


def _about(said: Said, truth: TableTruth) -> tuple[list[str], Spoken]:
    facts, board = said.facts, chess.Board(said.facts.fen)
    move = chess.Move.from_uci(facts.move)
    best = None if facts.instead.best is None else chess.Move.from_uci(facts.instead.best)
    attacker = board.turn if facts.attacker is None else facts.attacker == "white"
    text = sentences(said.text.partition(": ")[2])
    return [part.rstrip(".") for part in text], Spoken(board, move, then(board, move), best, attacker, truth)


def rates(found: Iterable[Weighed | None]) -> Rates:
    """Return how many reasons fail to part a move from its rivals."""
    told = list(found)
    reasons = [one for one in told if one is not None and one.kind != NOT_READ]
    failing = {fault: sum(bool(getattr(one, fault)) for one in reasons) for fault in FAULTS}
    return Rates(len(told), len(reasons), failing)


def main() -> None:
    """Print the rates of a side, and the kinds that fail most often."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--side", choices=SIDES, default="attack")
    parser.add_argument("--count", type=int, default=60, help="moves of each ending")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--endings", default=",".join((*WITH_LADDER, *WITHOUT)))
    parser.add_argument("--kinds", type=int, default=25, help="kinds printed of each fault")
    parser.add_argument("--examples", type=int, default=2, help="examples printed of each kind")
    asked = parser.parse_args()
    library = Library(Tables(held_bytes=1 << 40))
    found: list[tuple[Said, Weighed | None]] = []
    for ending in asked.endings.split(","):
        found += weighed(library, islice(once(sample(library, ending, asked.side, asked.seed)), asked.count))
    counted = rates(held for _, held in found)
    print(f"{asked.side}, seed {asked.seed}: {counted.told} moves, {counted.reasons} with a reason read beside rivals")
    all_of = Counter(held.kind for _, held in found if held is not None)
    for fault in FAULTS:
        number = counted.failing[fault]
        print(f"\n## {fault}, {_MEANING[fault]}: {number} ({100 * number / max(counted.reasons, 1):.1f} in a hundred)")
        kinds: defaultdict[str, list[str]] = defaultdict(list)
        for said, held in found:
            if held is not None and (rivals := getattr(held, fault)):
                kinds[held.kind].append(f"{said.facts.fen} {said.text} || {held.move}: {', '.join(rivals)}")
        for kind, examples in sorted(kinds.items(), key=lambda item: -len(item[1]))[: asked.kinds]:
            print(f"{len(examples)} of {all_of[kind]}: {kind}")
            print(*(f"    {example}" for example in examples[: asked.examples]), sep="\n")


if __name__ == "__main__":
    main()
