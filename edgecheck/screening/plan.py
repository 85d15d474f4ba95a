"""What a run will do, settled before the first site is computed: units, weather files, rows that cannot run.

In: a site list, the unit, weather file or folder, criteria. Out: a `Plan`. A fault in a unit file or a row
without any unit is a fault of the run; a row whose weather is missing becomes unusable and the others run.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from edgecheck.base.errors import Fault, InputFaults, WeatherRefused
from edgecheck.chain import liquid_of
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.sites import Site, SiteList
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.weather.station import StationIndex


@dataclass(frozen=True)
class Job:
    """One usable row with everything it needs.

    Parameters
    ----------
    place : int
        Index of the row in the list.
    site : Site
        The row.
    unit : Unit
        The unit that may go there.
    weather : Path
        The file that serves it.
    """

    place: int
    site: Site
    unit: Unit
    weather: Path


@dataclass(frozen=True)
class Plan:
    """A run before it begins.

    Parameters
    ----------
    site_list : SiteList
        As read.
    criteria : Criteria
        What is good enough.
    jobs : tuple of Job
        Rows that will be computed, in list order.
    unusable : mapping
        Index of a row -> why it cannot be computed.
    units : tuple of Unit
        Every unit of the run.
    """

    site_list: SiteList
    criteria: Criteria
    jobs: tuple[Job, ...]
    unusable: Mapping[int, tuple[str, ...]]
    units: tuple[Unit, ...] = field(default=())

    @property
    def inputs(self) -> tuple[dict[str, Any], ...]:
        """Role, name and SHA-256 of list, units and criteria file."""
        found = [{"role": "sites", "file": self.site_list.path.name, "sha256": self.site_list.sha256}]
        found += [
            {"role": "unit", "file": source.name, "sha256": source.sha256}
            for unit in self.units
            for source in unit.source_files
        ]
        found += [
            {"role": "criteria", "file": source.name, "sha256": source.sha256}
            for source in self.criteria.source_files
        ]
        return tuple({entry["file"] + entry["role"]: entry for entry in found}.values())


def plan_run(
    site_list: SiteList,
    unit: Unit | None = None,
    weather: str | Path | None = None,
    criteria: Criteria | None = None,
    *,
    strict_list: bool = False,
) -> Plan:
    """Settle a run.

    Parameters
    ----------
    site_list : SiteList
        As read.
    unit : Unit, optional
        For rows that name none.
    weather : str or Path, optional
        A file for every row without a weather file of its own, or a folder of which the nearest serves.
    criteria : Criteria, optional
        The shipped set "full" if not given.
    strict_list : bool
        Whether a fault of any row is a fault of the run.

    Returns
    -------
    Plan

    Raises
    ------
    InputFaults
        With every fault of units, of the weather argument and, if `strict_list`, of rows.
    """
    faults: list[Fault] = []
    units = _units(site_list, unit, faults)
    index = _index(weather, faults)
    if strict_list:
        faults += site_list.faults
    if faults:
        raise InputFaults(tuple(faults))
    jobs: list[Job] = []
    unusable: dict[int, tuple[str, ...]] = {}
    for place, site in enumerate(site_list.sites):
        if not site.usable:
            unusable[place] = tuple(fault.text() for fault in site.faults)
            continue
        found, reason = _weather_of(site, site_list.path, weather, index)
        if found is None:
            key = "weather"
            fault = Fault(site_list.path.name, f"row {site.site_id} (line {site.row})", key, "", reason)
            unusable[place] = (fault.text(),)
        else:
            jobs.append(Job(place, site, units[site.text("unit") or ""], found))
    named = tuple(dict.fromkeys(units.values()))
    return Plan(site_list, criteria or load_criteria(), tuple(jobs), unusable, named)


def _units(site_list: SiteList, unit: Unit | None, faults: list[Fault]) -> dict[str, Unit]:
    """Units by the text of the list's cell; the empty text is the run's own unit."""
    units: dict[str, Unit] = {} if unit is None else {"": unit}
    for site in site_list.usable:
        name = site.text("unit") or ""
        if name in units:
            continue
        if not name:
            text = "no unit: fill the column unit or give --unit"
            where = f"row {site.site_id} (line {site.row})"
            faults.append(Fault(site_list.path.name, where, "unit", "", text))
            break
        try:
            units[name] = load_unit(site_list.path.parent / name)
        except InputFaults as found:
            faults += found.faults
            units[name] = None  # type: ignore[assignment]
    for found in units.values():
        if found is None:
            continue
        file = found.source_files[0].name if found.source_files else found.name
        if found.cooling.kind != "chiller":
            text = 'cooling sections of this kind are read and checked, but not computed yet; allowed now: "chiller"'
            faults.append(Fault(file, "", "cooling.kind", found.cooling.kind, text))
        try:
            liquid_of(found)
        except InputFaults as wrong:
            faults += wrong.faults
    return units


def _index(weather: str | Path | None, faults: list[Fault]) -> StationIndex | None:
    """Index of a weather folder; None for a single file or nothing."""
    if weather is None:
        return None
    path = Path(weather)
    if path.is_dir():
        index = StationIndex.from_folder(path)
        if not index.paths:
            faults.append(Fault(path.name, "", "--weather", "", "the folder has no weather file (EPW, TMY2, TMY3)"))
        return index
    if not path.exists():
        faults.append(Fault(path.name, "", "--weather", "", "no such file or folder"))
    return None


def _weather_of(
    site: Site, list_path: Path, weather: str | Path | None, index: StationIndex | None
) -> tuple[Path | None, str]:
    """Weather file of a row, or why there is none."""
    named = site.text("weather")
    if named:
        if named.startswith("cycle:"):
            return None, f"{named}: design-day cycles are not computed yet; name a weather file"
        path = list_path.parent / named
        return (path, "") if path.is_file() else (None, f"there is no file {named!r} beside the list")
    if index is not None:
        latitude, longitude = site.number("latitude_deg"), site.number("longitude_deg")
        if latitude is None or longitude is None:
            return None, "latitude and longitude are required"
        found = index.nearest(latitude, longitude, site.number("elevation_m"))
        return found.path, found.reason
    if weather is not None:
        return Path(weather), ""
    return None, "no weather: fill the column weather or give --weather FILE or FOLDER"


def refused(job: Job, refusal: WeatherRefused, list_name: str) -> tuple[str, ...]:
    """Reason of a row whose weather file was refused."""
    where = f"row {job.site.site_id} (line {job.site.row})"
    return (Fault(list_name, where, "weather", job.weather.name, str(refusal)).text(),)
