"""Who decides blocks: this process, processes of its own, or an executor that was handed in.

In: blocks. Out: futures of answers. Worker processes are spawned, not forked: a forked child inherits locks that
threads of the parent may hold, and hangs on them. They ignore Ctrl-C, which is the parent's to handle, and end
when the parent is gone.
"""

import gc
import multiprocessing
import os
import signal
import threading
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Protocol

from edgecheck.base.errors import EdgecheckError
from edgecheck.screening.block import Answer, Block, decide

# Work that pays for the start of a worker process, which takes as long as some thirty rows.
ROWS_A_WORKER = 32
ROWS_A_PAGE = 3


class WorkersLost(EdgecheckError, RuntimeError):
    """The processes that compute cannot be started or reached; what is finished is kept."""


class Crew(Protocol):
    """Whoever decides blocks."""

    most: int

    def submit(self, block: Block) -> "Future[Answer]":
        """Have a block decided."""

    def check(self) -> None:
        """Raise `WorkersLost` if no answer can come any more."""

    def close(self, *, now: bool = False) -> None:
        """Let it go, `now` without waiting for what is under way."""


class Here:
    """The process itself, one block after the other."""

    most = 1

    def submit(self, block: Block) -> "Future[Answer]":
        """Decide a block at once."""
        future: Future[Answer] = Future()
        try:
            future.set_result(decide(block))
        except Exception as error:
            future.set_exception(error)
        return future

    def check(self) -> None:
        """It answers always."""

    def close(self, *, now: bool = False) -> None:
        """Nothing of it is left."""


class OwnProcesses:
    """Worker processes on this machine.

    Parameters
    ----------
    jobs : int
        How many.

    Raises
    ------
    WorkersLost
        If they cannot be started.
    """

    def __init__(self, jobs: int) -> None:
        self.most = 2 * jobs
        self._jobs = jobs
        self._pool = self._started()

    def _started(self) -> ProcessPoolExecutor:
        context = multiprocessing.get_context("spawn")
        pool = ProcessPoolExecutor(self._jobs, mp_context=context, initializer=_begin_worker)
        try:
            pool.submit(os.getpid).result()
        except (BrokenProcessPool, OSError) as error:
            _end(pool)
            raise WorkersLost(
                "worker processes cannot be started; use --jobs 1 (in a script of your own, call screen under "
                '`if __name__ == "__main__":`)'
            ) from error
        except BaseException:
            _end(pool)
            raise
        return pool

    def submit(self, block: Block) -> "Future[Answer]":
        """Have a worker decide a block; new ones are started where one has died."""
        try:
            return self._pool.submit(decide, block)
        except BrokenProcessPool:
            self._pool.shutdown(wait=True)
            self._pool = self._started()
            return self._pool.submit(decide, block)

    def check(self) -> None:
        """Its futures fail when a worker dies."""

    def close(self, *, now: bool = False) -> None:
        """End the workers."""
        if now:
            _end(self._pool)
        else:
            self._pool.shutdown(wait=True)


def _end(pool: ProcessPoolExecutor) -> None:
    """End the workers of a pool, whatever they do."""
    workers = list((getattr(pool, "_processes", None) or {}).values())
    pool.shutdown(wait=False, cancel_futures=True)
    for worker in workers:
        worker.terminate()


class Lent:
    """An executor of somebody else: it is neither mended nor closed.

    Parameters
    ----------
    executor : concurrent.futures.Executor
        Threads, processes, or another machine's.
    workers : int, optional
        How many work there; what the executor says of itself if not given.
    """

    def __init__(self, executor: Executor, workers: int | None = None) -> None:
        self._executor = executor
        self.most = 2 * (workers or getattr(executor, "_max_workers", None) or os.cpu_count() or 1)

    def submit(self, block: Block) -> "Future[Answer]":
        """Hand a block over."""
        try:
            return self._executor.submit(decide, block)
        except Exception as error:
            text = f"the workers cannot be reached any more ({error}); what is finished is kept, --resume continues"
            raise WorkersLost(text) from error

    def check(self) -> None:
        """Ask Dask's executor for its client: its futures stay open for ever when the scheduler is gone."""
        client = getattr(self._executor, "_client", None)
        if getattr(client, "status", "") == "closed":
            raise WorkersLost("the cluster is gone; what is finished is kept, --resume continues")

    def close(self, *, now: bool = False) -> None:
        """Leave it open."""


def usable_cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def worth_starting(rows: int, pages: int) -> int:
    """How many workers so much work pays for, at most the cores that this process may use.

    Parameters
    ----------
    rows, pages : int
        Rows to decide, and how many of them get pages.
    """
    return max(1, min(usable_cores(), (rows + ROWS_A_PAGE * pages) // ROWS_A_WORKER))


def _begin_worker() -> None:
    """Set up a worker process."""
    gc.freeze()  # what the program itself holds stays: the collector need not look at it again
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: "multiprocessing.process.BaseProcess") -> None:
    """End this process when its parent is gone; a killed parent leaves no worker behind."""
    parent.join()
    os._exit(1)
