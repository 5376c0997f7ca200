"""Runs the tasks of a plan, several at a time, and hands on every result as soon as it is there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from queue import Empty, Queue, SimpleQueue
from threading import Event, Thread

from matebot.assess.analysis import question
from matebot.assess.client import Client, Unusable
from matebot.assess.conduct import probe
from matebot.assess.match import play_game
from matebot.assess.plan import Plan
from matebot.assess.results import AGAINST, ENGINE, Result
from matebot.assess.tap import shortened
from matebot.assess.tasks import Task
from matebot.assess.truth import Truth

Clients = Mapping[str, Client]
_WAIT_SECONDS = 0.2


def open_clients(plan: Plan, jobs: int) -> tuple[list[Clients], dict[str, dict[str, str]]]:
    """Start the engines of every job; return them, and what the engines say of themselves.

    Raises
    ------
    Unusable
        when one cannot be started; those already started are ended
    """
    names: dict[str, dict[str, str]] = {}
    teams: list[Clients] = []
    try:
        for _ in range(jobs):
            team = {ENGINE: Client(ENGINE, plan.engine, plan.option, plan.patience)}
            if plan.against:
                team[AGAINST] = Client(AGAINST, plan.against, plan.against_option, plan.patience)
            teams.append(team)
            for player, client in team.items():
                about = {name: shortened(text) for name, text in client.start().items()}
                names[player] = {"command": client.command, **about}
    except BaseException:
        close_clients(teams)
        raise
    return teams, names


@contextmanager
def opened(plan: Plan, jobs: int) -> Iterator[tuple[list[Clients], dict[str, dict[str, str]]]]:
    """Start the engines of every job as `open_clients` does, and end them in any case."""
    teams, names = open_clients(plan, jobs)
    try:
        yield teams, names
    finally:
        close_clients(teams)


def close_clients(teams: Iterable[Clients]) -> None:
    """End all engines."""
    for team in teams:
        for client in team.values():
            client.close()


def run_tasks(
    tasks: Sequence[Task], plan: Plan, truth: Truth, teams: Sequence[Clients], found: Callable[[Result], None]
) -> None:
    """Run tasks and hand each result to `found`, in this thread, in the order they come in.

    Raises
    ------
    Unusable
        when an engine cannot be started again; all results before that have been handed on
    KeyboardInterrupt
        likewise; the games in progress are given up
    """
    waiting: SimpleQueue[Task] = SimpleQueue()
    for task in tasks:
        waiting.put(task)
    done: Queue[Result | BaseException] = Queue()
    stopped = Event()
    workers = [Thread(target=_work, args=(waiting, done, stopped, plan, truth, team), daemon=True) for team in teams]
    for worker in workers:
        worker.start()
    try:
        _collect(len(tasks), done, found)
    except BaseException:
        # Some workers wait for an engine, which would take as long as it likes.
        stopped.set()
        for team in teams:
            for client in team.values():
                client.end()
        raise
    finally:
        for worker in workers:
            worker.join()
        close_clients(teams)


def _collect(wanted: int, done: Queue[Result | BaseException], found: Callable[[Result], None]) -> None:
    while wanted:
        try:
            # A wait without end would not be interrupted on every system.
            item = done.get(timeout=_WAIT_SECONDS)
        except Empty:
            continue
        if isinstance(item, BaseException):
            raise item
        found(item)
        wanted -= 1


def _work(
    waiting: SimpleQueue[Task],
    done: Queue[Result | BaseException],
    stopped: Event,
    plan: Plan,
    truth: Truth,
    team: Clients,
) -> None:
    while not stopped.is_set():
        try:
            task = waiting.get_nowait()
        except Empty:
            return
        try:
            result = run_task(task, plan, truth, team)
        except BaseException as fault:  # anything that happens here belongs to the thread that waits
            done.put(fault)
            return
        if not stopped.is_set():
            done.put(result)


def run_task(task: Task, plan: Plan, truth: Truth, team: Clients) -> Result:
    """Run one task with the engines of one job.

    Raises
    ------
    Unusable
        when an engine cannot be started again
    """
    if task.part == "analysis":
        return question(task, plan, truth, team[task.player])
    if task.part == "conduct":
        return probe(task, plan, team[task.player])
    return play_game(task, plan, truth, team)


__all__ = ["Clients", "Unusable", "close_clients", "open_clients", "opened", "run_task", "run_tasks"]
