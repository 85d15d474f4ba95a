"""Handing out blocks: some at a time, weather only where it is missing, and once more where a worker fails.

In: blocks with their weather. Out: their answers, in the order in which they come. A block that brings no answer
is taken apart: each of its rows is tried once more, with nothing else under way, so that the row that kills
its worker is known and costs itself alone.
"""

from asyncio import CancelledError
from collections import deque
from collections.abc import Callable, Iterable
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Future, wait
from dataclasses import replace
from typing import NamedTuple

from edgecheck.screening.block import Answer, Block, Finished, Task, program_error
from edgecheck.screening.crew import Crew, WorkersLost
from edgecheck.screening.parcels import Parcel

DIED = "the process that decided this row ended twice without an answer: killed, or out of memory"

# Without an answer for so long, see whether one can still come.
_PATIENCE_S = 2.0


class Order(NamedTuple):
    """A block to hand out, with the weather it may need, and whether it has failed before."""

    block: Block
    parcel: Parcel
    again: bool = False


def hand_out(
    orders: Iterable[Order],
    crew: Crew,
    take: Callable[[Finished], None],
    give_up: Callable[[Task, str], None],
) -> None:
    """Have blocks decided.

    Parameters
    ----------
    orders : iterable of Order
        Taken as they are needed.
    crew : Crew
        Whoever decides.
    take : callable
        Gets every decided row.
    give_up : callable
        Gets every row without an answer, and why.

    Raises
    ------
    WorkersLost
        If the crew cannot be reached any more or runs another version of the program.
    """
    waiting = iter(orders)
    single: deque[Order] = deque()
    pending: dict[Future[Answer], Order] = {}
    sent: set[str] = set()

    def send(order: Order, *, with_weather: bool) -> None:
        parcel = order.parcel if with_weather else None
        pending[crew.submit(replace(order.block, parcel=parcel))] = order

    try:
        while True:
            if single:
                if not pending:
                    send(single.popleft(), with_weather=True)
            else:
                while len(pending) < crew.most and (order := next(waiting, None)) is not None:
                    send(order, with_weather=order.parcel.key not in sent)
                    sent.add(order.parcel.key)
            if not pending:
                return
            ended, _ = wait(pending, timeout=_PATIENCE_S, return_when=FIRST_COMPLETED)
            if not ended:
                crew.check()
            for future in ended:
                order = pending.pop(future)
                try:
                    answer = future.result()
                except (Exception, CancelledError) as error:
                    _once_more(order, error, single, give_up)
                    continue
                if answer.other_version:
                    text = f"the workers run another version of edgecheck: {answer.other_version}"
                    raise WorkersLost(text)
                if answer.weather_missing:
                    send(order, with_weather=True)
                for row in answer.finished:
                    take(row)
    except BaseException:
        for future in pending:
            future.cancel()
        raise


def _once_more(
    order: Order, error: BaseException, single: deque[Order], give_up: Callable[[Task, str], None]
) -> None:
    """Take a failed block apart, or give a row up that has failed alone."""
    if order.again:
        for task in order.block.tasks:
            give_up(task, _reason(error))
        return
    single.extend(
        Order(replace(order.block, tasks=(task,)), order.parcel, True) for task in order.block.tasks
    )


def _reason(error: BaseException) -> str:
    """Why a row has no answer; the death of a worker reads alike wherever it worked."""
    died = isinstance(error, BrokenExecutor | CancelledError) or type(error).__name__ == "KilledWorker"
    return DIED if died else program_error(error)
