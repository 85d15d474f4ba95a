"""Writing a run: the files of each site as it is decided, the lists at the end, run.json last.

In: a run folder that is ours, a plan, results. Out: the files of the run folder. A site's files are made where the
site was decided and come as bytes; only the process that holds the folder writes into it. Every file is put in
place whole; run.json marks a finished run.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from edgecheck.checks.result import Result
from edgecheck.outputs.folder import RUN_LOG, RUN_MARK, RunFolder, encoded
from edgecheck.outputs.lists import write_lists
from edgecheck.outputs.pages import site_page
from edgecheck.outputs.records import run_json, site_json
from edgecheck.outputs.run_log import finished_log, started_log
from edgecheck.outputs.site_folders import site_folders
from edgecheck.outputs.tables import checks_table, hourly_netcdf, hourly_table
from edgecheck.screening.plan import Plan
from edgecheck.screening.run import Run
from edgecheck.screening.store import NAME, StoredResults, store_line
from edgecheck.screening.whole_files import write_whole

REPORTS_UP_TO = 200
REPORT_FILES = ("site.json", "checks.csv", "worst-hour.html")
HOURLY_FILES = ("hourly.csv", "hourly.nc", "hot-spell.csv")
VERDICTS = ("go", "conditional", "undecided", "no-go")


@dataclass(frozen=True)
class ReportChoice:
    """For which sites a report is written.

    Parameters
    ----------
    verdicts : tuple of str
        Verdicts whose sites get one; empty for none.
    """

    verdicts: tuple[str, ...]

    @classmethod
    def parse(cls, text: str | None, rows: int) -> "ReportChoice":
        """Read "all", "none" or verdicts joined by commas; without a text all up to 200 rows, else none.

        Raises
        ------
        ValueError
            If a word is none of these.
        """
        if text is None:
            return cls(VERDICTS if rows <= REPORTS_UP_TO else ())
        if text == "all":
            return cls(VERDICTS)
        if text == "none":
            return cls(())
        words = tuple(word.strip() for word in text.split(","))
        wrong = [word for word in words if word not in VERDICTS]
        if wrong:
            raise ValueError(f"{wrong[0]!r} is no verdict; allowed: all, none, or of {', '.join(VERDICTS)}")
        return cls(words)

    def wants(self, result: Result) -> bool:
        """Whether this site gets a report."""
        return result.verdict in self.verdicts


@dataclass(frozen=True)
class SiteFiles:
    """Makes the files of a site as bytes, where the site was decided; it travels there.

    Parameters
    ----------
    report : ReportChoice
        For which sites a report is made.
    need : mapping
        required, confirm or off by check id.
    hourly : bool
        Whether hourly data is made too.
    """

    report: ReportChoice
    need: Mapping[str, str]
    hourly: bool = False

    def names(self, result: Result) -> tuple[str, ...]:
        """Files that are wanted of a site."""
        if result.verdict == "unusable":
            return ()
        return (REPORT_FILES if self.report.wants(result) else ()) + (HOURLY_FILES if self.hourly else ())

    def __call__(self, result: Result) -> dict[str, bytes]:
        """Content of every file that is wanted, by name; hourly files only of a result with hourly data."""
        made: dict[str, bytes] = {}
        names = self.names(result)
        if "site.json" in names:
            page = site_page(result, need=self.need)
            made["site.json"] = encoded("site.json", site_json(result))
            made["checks.csv"] = encoded("checks.csv", checks_table(result, self.need))
            made["worst-hour.html"] = encoded("worst-hour.html", page)
        if "hourly.csv" in names and result.hourly is not None and result.hot_spell is not None:
            made["hourly.csv"] = encoded("hourly.csv", hourly_table(result.hourly))
            made["hourly.nc"] = hourly_netcdf(result.hourly)
            made["hot-spell.csv"] = encoded("hot-spell.csv", hourly_table(result.hot_spell))
        return made


class RunWriter:
    """Writes one run into one folder, as its sites are decided and at its end.

    Parameters
    ----------
    folder : RunFolder
        Ours.
    plan : Plan
        What is screened.
    report : ReportChoice
        For which sites a report is written.
    hourly : bool
        Whether hourly data is written too.
    list_ids : sequence of str, optional
        Ids of the whole list where the plan has only some of its rows, so that a site's folder has the same name.
    """

    def __init__(
        self,
        folder: RunFolder,
        plan: Plan,
        report: ReportChoice,
        *,
        hourly: bool = False,
        list_ids: Sequence[str] | None = None,
    ) -> None:
        self.folder = folder
        self.plan = plan
        self.site_files = SiteFiles(report, dict(plan.criteria.need), hourly)
        self._folders = site_folders(list_ids or [site.site_id for site in plan.site_list.sites])
        self._written: dict[int, str] = {}
        self._pages: dict[int, str] = {}

    @property
    def store(self) -> Path:
        """results.jsonl of the folder."""
        return self.folder.path / NAME

    @property
    def draw(self) -> SiteFiles | None:
        """Makes the files of a site; None where none are wanted of any."""
        return self.site_files if self.site_files.report.verdicts or self.site_files.hourly else None

    def draws(self, result: Result) -> bool:
        """Whether some file is wanted of a site."""
        return bool(self.site_files.names(result))

    def holds(self, result: Result) -> bool:
        """Whether every file that is wanted of a site is there, and no other any more; then they count as written."""
        names = self.site_files.names(result)
        self.folder.keep_only(names, self._folders[result.site_id])
        there = self.folder.has(names, self._folders[result.site_id])
        if names and there:
            self._note(result, names)
        return there

    def put(self, result: Result, files: Mapping[str, bytes]) -> None:
        """Write the files of one site; those of an earlier run that are not wanted go."""
        self.folder.keep_only(files, self._folders[result.site_id])
        for name, content in files.items():
            self.folder.write_bytes(name, content, site=self._folders[result.site_id])
        self._note(result, files)

    def _note(self, result: Result, names: Iterable[str]) -> None:
        """Remember where a site's files are."""
        name = self._folders[result.site_id]
        self._written[result.row] = name
        if "worst-hour.html" in names:
            self._pages[result.row] = f"sites/{name}/worst-hour.html"

    def finish(
        self, run: Run, command: Sequence[str], log: Mapping[str, Any] | None = None
    ) -> dict[str, Any]:
        """Write the lists, the log of the finished run, run.json last; the record of run.json.

        The results pass by once, and every list is written as they do: of a long run nothing but a few facts a row
        is in memory.
        """
        folder = self.folder
        folder.remove_sites(set(self._written.values()))
        if not isinstance(run.results, StoredResults):
            folder.write_filled(NAME, partial(_fill_store, run.results))
        record, page = write_lists(folder, run, command, self._written, self._pages)
        folder.write_text("index.html", page)
        if log is not None:
            computed = len(run.results) - run.taken_over
            folder.write_text(RUN_LOG, finished_log(log, taken_over=run.taken_over, computed=computed))
        folder.write_text(RUN_MARK, run_json(record))
        return record


def _fill_store(results: Iterable[Result], part: Path) -> None:
    with part.open("wb") as out:
        out.writelines(store_line(result) for result in results)


def write_run(
    run: Run,
    folder: str,
    *,
    report: str | None = None,
    hourly: bool = False,
    overwrite: bool = False,
    command: Sequence[str] = ("screen",),
) -> None:
    """Write a run that kept its hourly data.

    Parameters
    ----------
    run : Run
        From `screen(..., keep_hourly=True)`.
    folder : str
        Absent, empty, or of an earlier run with `overwrite`.
    report : str, optional
        "all", "none" or verdicts joined by commas.
    hourly, overwrite : bool
        Hourly data too; replace an earlier run.
    command : sequence of str
        Kept in run.json.

    Raises
    ------
    FolderRefused
        If the folder is not ours or cannot be written.
    """
    choice = ReportChoice.parse(report, len(run.results))
    log = started_log()
    run_folder = RunFolder.open(folder, overwrite=overwrite, log=log)
    try:
        writer = RunWriter(run_folder, run.plan, choice, hourly=hourly)
        for result in run.results:
            files = writer.site_files(result)
            if files:
                writer.put(result, files)
        writer.finish(run, command, log)
    finally:
        run_folder.close()


def write_report(result: Result, path: str, *, need: Mapping[str, str]) -> None:
    """Write the worst-hour report of one site as a single HTML file.

    Parameters
    ----------
    result : Result
        With hourly data.
    path : str
        File to write.
    need : mapping
        required, confirm or off by check id.
    """
    page = site_page(result, need=need).encode("utf-8")
    write_whole(Path(path), lambda part: part.write_bytes(page))
