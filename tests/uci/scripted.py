"""Transcripts of sessions without the solver: what an interface sends, when the partner answers, and what is said.

A line of a transcript begins with ``>`` (from the interface), ``=`` (the partner answers a question: a move, a reply
to ponder on) or ``<`` (to the interface). The reading of bytes is that of the program, the partner is the script.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from matebot.uci.partnership import Answer, Line, Report
from matebot.uci.session import Effect, Leave, Send, Session, Think, Warm
from matebot.uci.stdio import lines

Cut = Callable[[bytes], list[bytes]]


def scripted_answer(words: str) -> Answer:
    """Return the answer in words: a move or ``0000``, and perhaps a reply."""
    best, *reply = words.split()
    line = Line(1, None, "cp", 0, None, 0, 0, 0, tuple(word for word in (best, *reply) if word != "0000"))
    return Answer(None if best == "0000" else best, reply[0] if reply else None, Report((), (line,)))


class Replay:
    """One session fed with a transcript; `said` collects what it says, `owed` counts questions not yet answered."""

    def __init__(self) -> None:
        self.session = Session()
        self.said: list[str] = []
        self.owed = 0
        self.left = False

    def feed(self, transcript: str, cut: Cut, trailing: bytes = b"") -> None:
        """Run the whole transcript, its bytes cut into pieces by `cut`, more bytes after it."""
        for raw in lines(self._pieces(transcript, cut, trailing)):
            if not self.left:
                self.follow(self.session.receive(raw.decode("utf-8", "replace")))
        if not self.left:
            self.follow(self.session.closed())

    def follow(self, effects: list[Effect]) -> None:
        for effect in effects:
            if isinstance(effect, Warm):
                self.follow(self.session.warmed())
            self.owed += isinstance(effect, Think)
            self.left = self.left or isinstance(effect, Leave)
            if isinstance(effect, Send):
                self.said.append(effect.text)

    def answer(self, words: str) -> None:
        assert self.owed, "expected a question before an answer"
        self.owed -= 1
        self.follow(self.session.answered(scripted_answer(words)))

    def _pieces(self, transcript: str, cut: Cut, trailing: bytes) -> Iterator[bytes]:
        """Yield what the interface sends; the partner answers between two pieces, as in the process."""
        waiting = b""
        for line in transcript.splitlines():
            if line.startswith(">"):
                waiting += line[1:].strip().encode() + b"\n"
            elif line.startswith("="):
                yield from cut(waiting)
                waiting = b""
                self.answer(line[1:])
        yield from cut(waiting + trailing)


def expected(transcript: str) -> list[str]:
    """Return what a transcript says the session says."""
    return [line[1:].strip() for line in transcript.splitlines() if line.startswith("<")]
