"""From data to lines of the protocol; each line is whole and holds no line break."""

from __future__ import annotations

from matebot.uci.partnership import Answer, Line, Report

#: A sentence may quote what an interface sent, and that may be of any length.
_LONGEST_SENTENCE = 1000


def info_string(text: str) -> str:
    """Return a line for people; line breaks and other white space become single spaces."""
    sentence = " ".join(text.split())
    if len(sentence) > _LONGEST_SENTENCE:
        half = _LONGEST_SENTENCE // 2
        sentence = f"{sentence[:half]} ... {sentence[-half:]}"
    return f"info string {sentence}"


def info_line(line: Line, multipv: int | None) -> str:
    """Return the line of one variation; `multipv` is its number where several are asked for."""
    words = ["info", "depth", str(line.depth)]
    if line.seldepth is not None:
        words += ["seldepth", str(line.seldepth)]
    if multipv is not None:
        words += ["multipv", str(multipv)]
    words += ["score", line.score_kind, str(line.score_value)]
    if line.bound is not None:
        words.append(line.bound)
    words += ["time", str(line.time_ms), "nodes", str(line.nodes), "tbhits", str(line.tbhits)]
    if line.pv:
        words += ["pv", *line.pv]
    return " ".join(words)


def report_lines(report: Report, numbered: bool = False) -> list[str]:
    """Return the lines of a report: sentences first, then the variations, best first.

    Variations carry numbers where there are several; `numbered` asks for one with a single variation too.
    """
    several = numbered or len(report.lines) > 1
    return [
        *map(info_string, report.notices),
        *(info_line(line, number if several else None) for number, line in enumerate(report.lines, start=1)),
    ]


def best_move(answer: Answer) -> str:
    """Return the line that ends a question; ``0000`` where there is no move to give."""
    if answer.best is None:
        return "bestmove 0000"
    return f"bestmove {answer.best}" + (f" ponder {answer.ponder}" if answer.ponder else "")
