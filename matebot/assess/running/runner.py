"""Runs the tasks of a plan, several at a time, and hands on every result as soon as it is there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from queue import Empty, Queue, SimpleQueue
from threading import Event, Thread
from typing import Any

from matebot.assess.engines.client import Client, Unusable
from matebot.assess.engines.uci_monitor import shortened
from matebot.assess.judging.results import AGAINST, ENGINE, Result
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import AssessmentPlan
from matebot.assess.plans.tasks import Task
from matebot.assess.running.analysis import question
from matebot.assess.running.conduct import probe
from matebot.assess.running.match import play_game

Clients = Mapping[str, Client]
_WAIT_SECONDS = 0.2


@contextmanager
def opened(
    plan: AssessmentPlan, jobs: int, check: Callable[[], None]
) -> Iterator[tuple[list[Clients], dict[str, dict[str, str]]]]:
    """Start the engines of every job, give them and what they say of themselves, and end them in any case.

    Parameters
    ----------
    check : asked while engines are waited for; raises when there is no point in waiting

    Raises
    ------
    Unusable
        when one cannot be started; those already started are ended
    """
    teams: list[Clients] = []
    for _ in range(jobs):
        team = {ENGINE: Client(ENGINE, plan.engine, plan.option, plan.patience)}
        if plan.against:
            team[AGAINST] = Client(AGAINST, plan.against, plan.against_option, plan.patience)
        teams.append(team)
    try:
        yield teams, _started(teams, check)
    finally:
        _each(_clients(teams), Client.close)


def _started(teams: Sequence[Clients], check: Callable[[], None]) -> dict[str, dict[str, str]]:
    """Start all engines at once; return what those of each player say of themselves."""
    found: Queue[tuple[Client, Mapping[str, str]] | BaseException] = Queue()

    def start(client: Client) -> None:
        try:
            found.put((client, client.start()))
        except BaseException as fault:  # it belongs to the thread that waits
            found.put(fault)

    names: dict[str, dict[str, str]] = {}
    clients = _clients(teams)
    threads = [Thread(target=start, args=(client,), daemon=True) for client in clients]
    try:
        for thread in threads:
            thread.start()
        for client, about in _taken(len(clients), found, check):
            names[client.player] = {"command": client.command, **{key: shortened(text) for key, text in about.items()}}
    except BaseException:
        _each(clients, Client.end)
        raise
    finally:
        for thread in threads:
            if thread.ident is not None:
                thread.join()
    return names


def _clients(teams: Iterable[Clients]) -> list[Client]:
    return [client for team in teams for client in team.values()]


def _each(clients: Sequence[Client], act: Callable[[Client], None]) -> None:
    """Do something with all engines at once, since each may take a second."""
    threads = [Thread(target=act, args=(client,), daemon=True) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def run_tasks(
    tasks: Sequence[Task],
    plan: AssessmentPlan,
    truth: SharedTruth,
    teams: Sequence[Clients],
    found: Callable[[Result], None],
    check: Callable[[], None],
) -> None:
    """Run tasks and hand each result to `found`, in this thread, in the order they come in.

    Parameters
    ----------
    check : asked while results are waited for; raises when there is no point in waiting

    Raises
    ------
    Unusable
        when an engine cannot be started again; all results before that have been handed on
    KeyboardInterrupt
        likewise, from `check`; the games in progress are given up
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
        for result in _taken(len(tasks), done, check):
            found(result)
    except BaseException:
        # Some workers wait for an engine, which would take as long as it likes.
        stopped.set()
        _each(_clients(teams), Client.end)
        raise
    finally:
        for worker in workers:
            worker.join()


def _taken(wanted: int, done: Queue[Any], check: Callable[[], None]) -> Iterator[Any]:
    """Yield what comes in a queue, and raise the faults in it."""
    while wanted:
        check()
        try:
            # A wait without end would not be interrupted on every system.
            item = done.get(timeout=_WAIT_SECONDS)
        except Empty:
            continue
        if isinstance(item, BaseException):
            raise item
        yield item
        wanted -= 1


def _work(
    waiting: SimpleQueue[Task],
    done: Queue[Result | BaseException],
    stopped: Event,
    plan: AssessmentPlan,
    truth: SharedTruth,
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


def run_task(task: Task, plan: AssessmentPlan, truth: SharedTruth, team: Clients) -> Result:
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


__all__ = ["Clients", "Unusable", "opened", "run_task", "run_tasks"]
