"""What a run will do, settled before the first site is computed: units, weather files, rows that cannot run.

In: a site list, the unit, weather file or folder, criteria. Out: a `Plan`. A fault in a unit file or a row
without any unit is a fault of the run; a row whose weather is missing becomes unusable and the others run.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from edgecheck.base.errors import Fault, InputFaults, WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.chain import check_row
from edgecheck.inputs.assumed_values import apply_assumptions
from edgecheck.inputs.assumptions import Assumptions
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.load_profile import LoadProfile, read_load_profile
from edgecheck.inputs.sites import Site, SiteList
from edgecheck.inputs.type_qualification import names_cycle
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.inputs.warming_file import MonthlyWarming, load_warming
from edgecheck.screening.side_files import SideFiles
from edgecheck.weather.read import read_weather
from edgecheck.weather.readers.design_day import cycle_path
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
    profile : LoadProfile, optional
        What the row's load profile says.
    warming : MonthlyWarming, optional
        What the row's warming file says.
    """

    place: int
    site: Site
    unit: Unit
    weather: Path
    profile: LoadProfile | None = None
    warming: MonthlyWarming | None = None


@dataclass(frozen=True)
class Plan:
    """A run before it begins.

    Parameters
    ----------
    site_list : SiteList
        As read, with assumed values where there are any.
    criteria : Criteria
        What is good enough.
    jobs : tuple of Job
        Rows that will be computed, in list order.
    unusable : mapping
        Index of a row -> why it cannot be computed.
    units : tuple of Unit
        Every unit of the run.
    assumptions : Assumptions, optional
        Values that stand for empty cells.
    notes : tuple of Note
        What was remarkable about the list and the weather folder.
    """

    site_list: SiteList
    criteria: Criteria
    jobs: tuple[Job, ...]
    unusable: Mapping[int, tuple[str, ...]]
    units: tuple[Unit, ...] = field(default=())
    assumptions: Assumptions | None = None
    notes: tuple[Note, ...] = field(default=())

    @property
    def inputs(self) -> tuple[dict[str, Any], ...]:
        """Role, name and SHA-256 of list, mapping, survey, units, criteria, load profiles, assumptions."""
        found = [{"role": "sites", "file": self.site_list.path.name, "sha256": self.site_list.sha256}]
        found += [
            {"role": role, "file": source.name, "sha256": source.sha256}
            for role, source in self.site_list.side_files.items()
        ]
        found += [
            {"role": "unit", "file": source.name, "sha256": source.sha256}
            for unit in self.units
            for source in unit.source_files
        ]
        found += [
            {"role": "criteria", "file": source.name, "sha256": source.sha256}
            for source in self.criteria.source_files
        ]
        found += [
            {"role": "load profile", "file": job.profile.name, "sha256": job.profile.sha256}
            for job in self.jobs
            if job.profile is not None
        ]
        if self.assumptions is not None:
            found += [
                {"role": "assumptions", "file": source.name, "sha256": source.sha256}
                for source in self.assumptions.source_files
            ]
        found += [
            {"role": "warming", "file": job.warming.name, "sha256": job.warming.sha256}
            for job in self.jobs
            if job.warming is not None
        ]
        return tuple({tuple(entry.values()): entry for entry in found}.values())


def plan_run(
    site_list: SiteList,
    unit: Unit | None = None,
    weather: str | Path | None = None,
    criteria: Criteria | None = None,
    *,
    strict_list: bool = False,
    assumptions: Assumptions | None = None,
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
        Whether a fault of any row is a fault of the run; every weather file is then read beforehand.
    assumptions : Assumptions, optional
        Values for empty cells of the list.

    Returns
    -------
    Plan

    Raises
    ------
    InputFaults
        With every fault of units, of the weather argument, of assumptions that name a column which the list
        does not have and, if `strict_list`, of rows.
    """
    faults: list[Fault] = []
    if assumptions is not None:
        try:
            site_list = apply_assumptions(site_list, assumptions)
        except InputFaults as wrong:
            faults += wrong.faults
    units = _units(site_list, unit, faults)
    index = _index(weather, faults)
    if faults:
        raise InputFaults((*faults, *(site_list.faults if strict_list else ())))
    jobs: list[Job] = []
    unusable: dict[int, tuple[Fault, ...]] = {}
    profiles = SideFiles(site_list.path, "load_profile", read_load_profile)
    warmings = SideFiles(site_list.path, "warming_file", load_warming)
    for place, site in enumerate(site_list.sites):
        if not site.usable:
            unusable[place] = site.faults
            continue
        found, reason = _weather_of(site, site_list.path, weather, index)
        profile, bad_profile = profiles.of(site)
        warming, bad_warming = warmings.of(site)
        amiss = {profiles.key: bad_profile, warmings.key: bad_warming}
        if found is None:
            unusable[place] = (row_fault(site_list, site, "weather", "", reason),)
        elif any(amiss.values()):
            unusable[place] = tuple(
                row_fault(site_list, site, key, site.text(key) or "", text)
                for key, texts in amiss.items()
                for text in texts
            )
        else:
            jobs.append(Job(place, site, units[site.text("unit") or ""], found, profile, warming))
    if strict_list:
        faults += [fault for found in unusable.values() for fault in found]
        faults += _faults_met(site_list, jobs)
        if faults:
            raise InputFaults(tuple(faults))
    texts = {place: tuple(fault.text() for fault in found) for place, found in unusable.items()}
    used = tuple(dict.fromkeys(units.values()))
    notes = (*site_list.notes, *_folder_notes(index))
    return Plan(site_list, criteria or load_criteria(), tuple(jobs), texts, used, assumptions, notes)


def _units(site_list: SiteList, unit: Unit | None, faults: list[Fault]) -> dict[str, Unit]:
    """Units by the text of the list's cell; the empty text is the run's own unit."""
    units: dict[str, Unit] = {} if unit is None else {"": unit}
    for name, site in _first_rows(site_list).items():
        if name in units:
            continue
        if not name:
            text = "no unit: fill the column unit or give --unit"
            faults.append(row_fault(site_list, site, "unit", "", text))
            continue
        try:
            units[name] = load_unit(site_list.path.parent / name)
        except InputFaults as wrong:
            faults += wrong.faults
    return units


def _first_rows(site_list: SiteList) -> dict[str, Site]:
    """First usable row of every text in the column unit."""
    first: dict[str, Site] = {}
    for site in site_list.usable:
        first.setdefault(site.text("unit") or "", site)
    return first


def _index(weather: str | Path | None, faults: list[Fault]) -> StationIndex | None:
    """Index of a weather folder; None for a single file or nothing."""
    if weather is None:
        return None
    path = Path(weather)
    if path.is_dir():
        index = StationIndex.from_folder(path)
        if not index.paths:
            text = "the folder has no weather file (EPW, TMY2, TMY3)"
            faults.append(Fault(path.name or str(weather), "", "--weather", "", text))
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
        if names_cycle(named):
            return cycle_path(named)
        path = list_path.parent / named
        if path.is_dir():
            return None, f"{named!r} is a folder; name a file, or give the folder as --weather"
        return (path, "") if path.is_file() else (None, f"there is no file {named!r} beside the list")
    if index is not None:
        latitude, longitude = site.number("latitude_deg"), site.number("longitude_deg")
        if latitude is None or longitude is None:
            return None, "latitude and longitude are required"
        found = index.nearest(latitude, longitude, site.number("elevation_m"))
        if found.path is None:
            return None, found.reason + _swapped(index, latitude, longitude)
        return found.path, ""
    if weather is not None:
        return Path(weather), ""
    return None, "no weather: fill the column weather or give --weather FILE or FOLDER"


def _swapped(index: StationIndex, latitude: float, longitude: float) -> str:
    """The likely reading of a far-off position whose twin, latitude and longitude swapped, has a station."""
    if abs(longitude) > 90.0:
        return ""
    other = index.nearest(longitude, latitude)
    if other.path is None:
        return ""
    return f"; with latitude and longitude swapped {other.path.name} would be {other.distance_km:.0f} km away"


def _folder_notes(index: StationIndex | None) -> tuple[Note, ...]:
    """What the weather folder holds that is no weather file."""
    if index is None or not index.skipped:
        return ()
    text = f"files of the weather folder that were left out: {'; '.join(index.skipped)}"
    return (Note("weather-left-out", "caution", text, len(index.skipped)),)


def _faults_met(site_list: SiteList, jobs: list[Job]) -> list[Fault]:
    """Faults of rows that only show with the unit or the weather file at hand."""
    faults: list[Fault] = []
    for path in dict.fromkeys(job.weather for job in jobs):
        served = [job for job in jobs if job.weather == path]
        try:
            weather = read_weather(path)
        except WeatherRefused as refusal:
            faults += [refused(site_list, job, refusal) for job in served]
            continue
        for job in served:
            try:
                check_row(job.site, job.unit, weather, job.profile)
            except InputFaults as found:
                faults += in_list(site_list, found)
    return faults


def row_fault(site_list: SiteList, site: Site, key: str, value: str, text: str) -> Fault:
    """A fault of one row of the list."""
    return Fault(site_list.path.name, f"row {site.site_id} (line {site.row})", key, value, text)


def refused(site_list: SiteList, job: Job, refusal: WeatherRefused) -> Fault:
    """Fault of a row whose weather file was refused."""
    return row_fault(site_list, job.site, "weather", job.weather.name, str(refusal))


def in_list(site_list: SiteList, faults: InputFaults) -> tuple[Fault, ...]:
    """Faults that were found in a row, under the name of the list."""
    return tuple(replace(fault, file=site_list.path.name) for fault in faults.faults)
