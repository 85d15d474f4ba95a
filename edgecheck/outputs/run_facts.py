"""What run.json says of a run, gathered in one pass over its results.

In: a finished run. Out: the record of run.json: inputs, criteria, defaults that served, counts, notes.
"""

from collections.abc import Sequence
from typing import Any

from edgecheck import __version__
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.inputs.criteria import TABLES
from edgecheck.outputs.records import run_record
from edgecheck.screening.run import Run

SYNTHETIC = "the weather is synthetic and belongs to no real place"
TYPES = "rows that qualify a unit's type against a design day, and are no places"


def record_of(run: Run, command: Sequence[str], facts: "RunFacts | None" = None) -> dict[str, Any]:
    """What run.json keeps of a run.

    Parameters
    ----------
    run : Run
        Finished.
    command : sequence of str
        The words of the command line.
    facts : RunFacts, optional
        Of all results, in list order; gathered here if not given.

    Returns
    -------
    dict
        See `edgecheck.outputs.records.run_record`.
    """
    plan = run.plan
    if facts is None:
        facts = RunFacts()
        for result in run.results:
            facts.add(result)
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
        defaults=facts.defaults,
        counts=facts.counts,
        unit_cautions=list(facts.unit_cautions),
        notes=[*facts.notes, *(note.text for note in plan.notes)],
        cautioned_cells=sum(len(site.cautions) for site in plan.site_list.sites),
    )


class RunFacts:
    """Facts of all results, as they pass by in list order.

    `defaults` are values that served for empty cells (key -> value, reason, number of sites), `unit_cautions`
    cautions of checks that describe the unit alone, once each.
    """

    def __init__(self) -> None:
        self.defaults: dict[str, dict[str, Any]] = {}
        self.counts = {"sites": 0, "usable": 0, "unusable": 0, "cautioned": 0}
        self.unit_cautions: dict[str, None] = {}
        self._synthetic: set[str] = set()
        self._types: list[str] = []
        self._of_unit = {check.id: check for check in CHECKS if check.of_unit}

    def add(self, result: Result) -> None:
        """Take in the next row."""
        usable = result.verdict != "unusable"
        self.counts["sites"] += 1
        self.counts["usable" if usable else "unusable"] += 1
        self.counts["cautioned"] += usable and any(check.status == "caution" for check in result.checks)
        for entry in result.inputs:
            if entry["origin"] == "default" and entry["key"] != "front_azimuth_deg":
                first = {"value": entry["value"], "reason": entry["reason"], "sites": 0}
                self.defaults.setdefault(entry["key"], first)["sites"] += 1
        for check in result.checks:
            if check.id in self._of_unit and check.status == "caution":
                self.unit_cautions[f"{self._of_unit[check.id].title}: {check.note}"] = None
        weather = result.detail.get("weather") or {}
        if weather.get("synthetic"):
            self._synthetic.add(str(weather["file"]))
        if result.is_type:
            self._types.append(f"{result.site_id} ({weather['cycle']['title']})")

    @property
    def notes(self) -> list[str]:
        """Notes that name weather files which say of themselves that they are made up, and rows that are no places."""
        found = [f"{SYNTHETIC}: {', '.join(sorted(self._synthetic))}"] if self._synthetic else []
        if self._types:
            found.append(f"{TYPES}: {'; '.join(self._types)}")
        return found
