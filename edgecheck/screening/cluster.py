"""A cluster of machines: Dask distributed's scheduler and workers, started with its own commands.

In: the address of a scheduler. Out: an executor that hands work to its workers. edgecheck must be installed for
the workers, in the same version; they need none of the run's files.
"""

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Any

from edgecheck.base.errors import EdgecheckError

CONNECT_S = 10


class NoCluster(EdgecheckError, RuntimeError):
    """The cluster cannot be reached, has no workers, or what speaks to it is not installed."""

    exit_code = 2


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """Connect to a cluster.

    Parameters
    ----------
    address : str
        Of its scheduler: "tcp://10.0.0.5:8786" or "10.0.0.5:8786".

    Yields
    ------
    executor, workers : concurrent.futures.Executor, int
        What takes work, and how many threads work there now.

    Raises
    ------
    NoCluster
        If nothing answers there, or no worker has joined.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise NoCluster(
            '--cluster needs Dask distributed: python -m pip install "edgecheck[cluster]"'
        ) from error
    try:
        client: Any = Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise NoCluster(f"no cluster answers at {address}: {error}") from error
    try:
        workers = sum(client.nthreads().values())
        if not workers:
            raise NoCluster(
                f"the cluster at {address} has no workers yet; start some with: dask worker {address}"
            )
        yield client.get_executor(pure=False), workers
    finally:
        client.close()
