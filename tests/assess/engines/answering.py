"""Tells the small engines their moves, out of the tables of the tests; to load those would take each a while."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from socketserver import StreamRequestHandler, ThreadingTCPServer
from threading import Lock, Thread

import chess

from matebot.play.ranking import ranked
from matebot.solver.tables import Tables


@contextmanager
def answering(tables: Tables) -> Iterator[int]:
    """Answer each line, a FEN, by the ranked moves, their outcomes, plies to mate and causes; yield the port."""
    lock = Lock()

    class Handler(StreamRequestHandler):
        def handle(self) -> None:
            with suppress(ConnectionError):  # engines may die at any time
                for line in self.rfile:
                    with lock:
                        moves = ranked(chess.Board(line.decode().strip()), tables)
                    told = [(item.move.uci(), item.outcome, item.mate_plies, item.cause) for item in moves]
                    self.wfile.write(json.dumps(told).encode() + b"\n")

    with ThreadingTCPServer(("127.0.0.1", 0), Handler) as server:
        server.daemon_threads = True
        Thread(target=server.serve_forever, args=(0.1,), daemon=True).start()
        try:
            yield server.server_address[1]
        finally:
            server.shutdown()
