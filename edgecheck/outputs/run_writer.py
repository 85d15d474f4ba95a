"""Writing a run: the files of each site as it is decided, the lists at the end, run.json last.

In: a run folder that is ours, a plan, results. Out: the files of the run folder. Every file is put in place whole;
run.json marks a finished run.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgecheck import __version__
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.inputs.criteria import TABLES
from edgecheck.outputs.folder import RunFolder, write_whole
from edgecheck.outputs.geojson import sites_geojson
from edgecheck.outputs.pages import list_page, site_page
from edgecheck.outputs.records import run_json, run_record, site_json, store_lines
from edgecheck.outputs.run_log import finished_log, started_log
from edgecheck.outputs.site_folders import site_folders
from edgecheck.outputs.survey_sheet import Questions, survey_lines
from edgecheck.outputs.tables import checks_table, hourly_netcdf, hourly_table, verdict_lines
from edgecheck.outputs.workbook import workbook_bytes
from edgecheck.screening.plan import Plan
from edgecheck.screening.run import Run
from edgecheck.screening.survey import survey_rows

REPORTS_UP_TO = 200
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


class RunWriter:
    """Writes one run into one folder.

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
        self._report = report
        self._hourly = hourly
        self._folders = site_folders(list_ids or [site.site_id for site in plan.site_list.sites])
        self._written: dict[int, str] = {}
        self._pages: dict[int, str] = {}

    def site(self, result: Result) -> None:
        """Write the files of one site, as far as they were asked for."""
        wants = self._report.wants(result)
        hourly = self._hourly and result.hourly is not None
        if result.verdict == "unusable" or not (wants or hourly):
            return
        name = self._folders[result.site_id]
        if wants:
            need = self.plan.criteria.need
            page = site_page(result, need=need)
            self.folder.write_text("site.json", site_json(result), site=name)
            self.folder.write_text("checks.csv", checks_table(result, need), site=name)
            self.folder.write_text("worst-hour.html", page, site=name)
        if hourly and result.hourly is not None and result.hot_spell is not None:
            self.folder.write_text("hourly.csv", hourly_table(result.hourly), site=name)
            self.folder.write_bytes("hourly.nc", hourly_netcdf(result.hourly), site=name)
            self.folder.write_text("hot-spell.csv", hourly_table(result.hot_spell), site=name)
        self._written[result.row] = name
        if wants:
            self._pages[result.row] = f"sites/{name}/worst-hour.html"

    def finish(
        self, run: Run, command: Sequence[str], log: Mapping[str, Any] | None = None
    ) -> dict[str, Any]:
        """Write the lists, the log of the finished run, run.json last; the record of run.json."""
        record = record_of(run, command)
        site_list, folder = self.plan.site_list, self.folder
        folder.write_lines("results.jsonl", store_lines(run.results))
        folder.write_lines("verdicts.csv", verdict_lines(site_list, run.results, run.ranks, self._written))
        questions = Questions(survey_rows(run))
        folder.write_lines("survey.csv", survey_lines(questions))
        book = workbook_bytes(run, questions, record, self._written, self._pages)
        folder.write_bytes("verdicts.xlsx", book)
        points = sites_geojson(site_list.sites, run.results, run.ranks, self._written)
        folder.write_text("sites.geojson", points)
        reports = {row: name for row, name in self._written.items() if row in self._pages}
        page = list_page(run.results, run.ranks, reports, site_list.path.stem, record, site_list)
        folder.write_text("index.html", page)
        if log is not None:
            folder.write_text("run-log.json", finished_log(log))
        folder.write_text("run.json", run_json(record))
        return record


def record_of(run: Run, command: Sequence[str]) -> dict[str, Any]:
    """What run.json keeps of a run."""
    plan = run.plan
    weather = [{"role": "weather", "file": name, "sha256": sha} for name, sha in run.weather_sha256]
    criteria = plan.criteria
    return run_record(
        version=__version__,
        command=command,
        inputs=[*plan.inputs, *weather],
        criteria={
            "name": criteria.name,
            **{table: getattr(criteria, table).model_dump() for table in TABLES},
            "need": dict(criteria.need),
        },
        defaults=_defaults(run.results),
        results=run.results,
        unit_cautions=_unit_cautions(run.results),
        notes=[
            *_synthetic_weather(run.results),
            *_type_qualifications(run.results),
            *(note.text for note in plan.notes),
        ],
        cautioned_cells=sum(len(site.cautions) for site in plan.site_list.sites),
    )


def _synthetic_weather(results: Sequence[Result]) -> list[str]:
    """A note that names weather files which say of themselves that they are made up."""
    weather = [result.detail.get("weather") or {} for result in results]
    names = sorted({str(file["file"]) for file in weather if file.get("synthetic")})
    return [f"the weather is synthetic and belongs to no real place: {', '.join(names)}"] if names else []


def _type_qualifications(results: Sequence[Result]) -> list[str]:
    """A note that names the rows which are no places."""
    types = [result for result in results if result.is_type]
    named = "; ".join(f"{result.site_id} ({result.detail['weather']['cycle']['title']})" for result in types)
    return (
        [f"rows that qualify a unit's type against a design day, and are no places: {named}"] if types else []
    )


def _defaults(results: Sequence[Result]) -> Mapping[str, Any]:
    """Values that served for empty cells: key -> value, reason, number of sites."""
    found: dict[str, dict[str, Any]] = {}
    for result in results:
        for entry in result.inputs:
            if entry["origin"] != "default" or entry["key"] == "front_azimuth_deg":
                continue
            item = found.setdefault(
                entry["key"], {"value": entry["value"], "reason": entry["reason"], "sites": 0}
            )
            item["sites"] += 1
    return found


def _unit_cautions(results: Sequence[Result]) -> list[str]:
    """Cautions of checks that describe the unit alone, once each."""
    of_unit = {check.id: check for check in CHECKS if check.of_unit}
    texts = [
        f"{of_unit[check.id].title}: {check.note}"
        for result in results
        for check in result.checks
        if check.id in of_unit and check.status == "caution"
    ]
    return list(dict.fromkeys(texts))


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
    writer = RunWriter(run_folder, run.plan, choice, hourly=hourly)
    for result in run.results:
        writer.site(result)
    writer.finish(run, command, log)


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
