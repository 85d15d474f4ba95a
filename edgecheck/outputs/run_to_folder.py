"""A plan to a run folder: whoever computes, the folder that takes the results, the lists at the end.

In: a plan and where it goes. Out: the finished run, written.
"""

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path

from edgecheck.base.errors import FolderRefused
from edgecheck.outputs.folder import RunFolder
from edgecheck.outputs.run_log import started_log
from edgecheck.outputs.run_writer import ReportChoice, RunWriter
from edgecheck.screening.cluster import cluster
from edgecheck.screening.crew import worth_starting
from edgecheck.screening.plan import Plan
from edgecheck.screening.run import Progress, Run, screen


def run_to_folder(
    plan: Plan,
    folder: Path,
    report: ReportChoice,
    command: Sequence[str],
    *,
    hourly: bool = False,
    resume: bool = False,
    overwrite: bool = False,
    list_ids: Sequence[str] | None = None,
    jobs: int | None = None,
    cluster_address: str | None = None,
    on_progress: Callable[[Progress], None] | None = None,
) -> Run:
    """Screen a plan into a folder.

    Parameters
    ----------
    plan : Plan
        From `plan_run`.
    folder : Path
        Absent, empty, or of an earlier run with `resume` or `overwrite`.
    report : ReportChoice
        For which sites a report is written.
    command : sequence of str
        Kept in run.json.
    hourly : bool
        Hourly data too.
    resume, overwrite : bool
        Continue an earlier run, or replace it.
    list_ids : sequence of str, optional
        Ids of the whole list where the plan has only some of its rows.
    jobs : int, optional
        Processes that compute; as many as the work pays for if not given.
    cluster_address : str, optional
        Scheduler of a cluster that computes instead.
    on_progress : callable, optional
        Called after every row.

    Returns
    -------
    Run

    Raises
    ------
    FolderRefused
        If the folder is not ours, is in use, or cannot be written; what is finished is kept.
    NoCluster, WorkersLost
        If whoever computes cannot be reached.
    """
    rows = len(plan.jobs)
    processes = worth_starting(rows, rows if report.verdicts else 0) if jobs is None else jobs
    with ExitStack() as to_end:
        executor, workers = None, None
        if cluster_address is not None:
            executor, workers = to_end.enter_context(cluster(cluster_address))
        log = started_log(workers or processes)
        run_folder = RunFolder.open(folder, overwrite=overwrite, resume=resume, log=log)
        to_end.callback(run_folder.close)
        writer = RunWriter(run_folder, plan, report, hourly=hourly, list_ids=list_ids)
        try:
            run = screen(
                plan,
                jobs=processes,
                executor=executor,
                workers=workers,
                into=writer,
                on_progress=on_progress,
            )
            writer.finish(run, command, log)
        except FolderRefused as error:
            kept = "what is finished is kept, --resume continues"
            raise FolderRefused(error.folder, f"{error.reason}; {kept}") from error
    return run
