"""Checks of the environment group: climatic class and corrosion.

In: air and sun at the site, the unit's declared class and coating, depositions of the list. Out: what was found, and
one result a check. Both are at worst a caution. A design day is judged against the class; it has no year, and so no
corrosion.
"""

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.facts import clock
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.heat.site_year import air_of
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.weather.class_hours import ClassHours, Exceeded, class_hours, conditions, mildest_classes
from edgecheck.weather.climate_class import ClimateClass, class_named, known_classes
from edgecheck.weather.corrosion import (
    CATEGORIES,
    RANGES,
    Corrosivity,
    category_name,
    category_number,
    chloride_by_coast,
    corrosivity,
    hours_of_wetness,
    wetness_class,
)
from edgecheck.weather.site_air import SiteAir

CATEGORY_UNIT = "ISO 9223 category"
NO_CLASS = "unit: qualification.climate_class"
NO_COATING = "unit: qualification.coating_category"
_SULPHUR, _CHLORIDE, _COAST = "so2_deposition_mg_m2_d", "cl_deposition_mg_m2_d", "coast_distance_km"
_CLEAN_SULPHUR = RANGES["sulphur dioxide deposition"][0]
_CLEAN_CHLORIDE = RANGES["chloride deposition"][0]

ENVIRONMENT_CHECKS: tuple[Check, ...] = (
    Check(
        id="environment.class",
        title="Hours outside the declared class",
        sense="at most",
        unit="h",
        inputs=(("weather",),),
        has_true_zero=True,
        at_worst="caution",
        basis="hourly air and sun against the class (ETSI EN 300 019-1-4, IEC 60721-3-4 2nd edition); only "
        "temperature, humidity and rate of class 4.1 were read in a published manual, every other limit is from memory",
        confidence="memory",
    ),
    Check(
        id="environment.corrosion",
        title="Corrosivity against the coating",
        sense="at most",
        unit=CATEGORY_UNIT,
        inputs=((_SULPHUR, _CHLORIDE), (_SULPHUR, _COAST)),
        at_worst="caution",
        basis="ISO 9223:2012 8.2, first-year loss of carbon steel and zinc, the harsher category; steel read in "
        "published implementations, the function of zinc from memory (98 %)",
        confidence="memory",
    ),
)


@dataclass(frozen=True)
class Deposition:
    """What settles on surfaces a day: the value [mg/m2 d], where it comes from, whether somebody measured it."""

    value: float
    source: str
    stated: bool


@dataclass(frozen=True)
class Environment:
    """What the air at a site is like.

    Parameters
    ----------
    declared : str or None
        The unit's class as its file gives it.
    climate_class : ClimateClass or None
        That class; None where it is not known here.
    against : ClassHours or None
        The year with most hours outside it.
    time : ndarray of datetime64, shape (n,), or None
        Local standard time of the hours of `against`.
    year : int or None
        Which year of the file that is; None where it has one.
    covering : mapping of str to (ClimateClass or None)
        Mildest class that holds in every hour, by standard.
    hottest, coldest : float
        Of the spells. [degC]
    estimated : tuple of bool
        Whether hot and cold extreme are estimates.
    temp_mean, humidity_mean : float
        Over all hours. [degC], [%]
    wet_hours : float
        Time of wetness a year. [h]
    sulphur, chloride : Deposition or None
        None where unknown.
    corrosion : Corrosivity or None
        None where a deposition is unknown, or for a design day.
    is_cycle : bool
        Whether the weather is a design day.
    """

    declared: str | None
    climate_class: ClimateClass | None
    against: ClassHours | None
    time: NDArray[np.datetime64] | None
    year: int | None
    covering: dict[str, ClimateClass | None]
    hottest: float
    coldest: float
    estimated: tuple[bool, bool]
    temp_mean: float
    humidity_mean: float
    wet_hours: float
    sulphur: Deposition | None
    chloride: Deposition | None
    corrosion: Corrosivity | None
    is_cycle: bool

    def when(self, row: Exceeded) -> str:
        """When a limit of `against` is passed farthest."""
        return "" if self.time is None else clock(self.time[row.hour])


def environment_of(heat: SiteHeat, unit: Unit, site: Site) -> Environment:
    """What the air at a site is like.

    Parameters
    ----------
    heat : SiteHeat
        Its surroundings, with every kind of warming, and its spells.
    unit : Unit
        Declared class.
    site : Site
        Depositions.
    """
    station = heat.place.station
    years, cycle = station.years, station.weather.cycle is not None
    found = [
        conditions(air, year.hours.ghi, station_dew=year.hours.temp_dew, repeats=cycle)
        for air, year in zip(_airs(heat), years, strict=True)
    ]
    declared = unit.qualification.climate_class
    climate_class = None if declared is None else class_named(declared)
    against: ClassHours | None = None
    time: NDArray[np.datetime64] | None = None
    which: int | None = None
    if climate_class is not None:
        counted = [class_hours(hours, climate_class) for hours in found]
        worst = max(range(len(counted)), key=lambda one: counted[one].hours)
        against = counted[worst]
        time = years[worst].hours.time
        which = int(years[worst].hours.source_year[0]) if len(years) > 1 else None
    together = found[0]
    if len(found) > 1:
        together = {name: np.concatenate([hours[name] for hours in found]) for name in together}
    sulphur, chloride = _sulphur(site), _chloride(site)
    temp, humidity = float(np.mean(together["temp_air"])), float(np.mean(together["humidity"]))
    corrosion = None
    if sulphur is not None and chloride is not None and not cycle:
        corrosion = corrosivity(temp, humidity, sulphur.value, chloride.value)
    return Environment(
        declared=declared,
        climate_class=climate_class,
        against=against,
        time=time,
        year=which,
        covering=mildest_classes(together),
        hottest=_greatest(heat.hot.series.surroundings.temp_air),
        coldest=-_greatest(-heat.cold.series.surroundings.temp_air),
        estimated=(heat.hot.estimated, heat.cold.estimated),
        temp_mean=temp,
        humidity_mean=humidity,
        wet_hours=hours_of_wetness(together["temp_air"], together["humidity"]) / len(years),
        sulphur=sulphur,
        chloride=chloride,
        corrosion=corrosion,
        is_cycle=cycle,
    )


def _airs(heat: SiteHeat) -> list[SiteAir]:
    """Air at the site in every year of the file; that of a file of one year is known."""
    years = heat.place.station.years
    if len(years) == 1:
        return [cast(SiteAir, heat.year.surroundings.air)]
    return [air_of(heat.place, year) for year in years]


def _greatest(values: NDArray[np.float64]) -> float:
    return float(np.max(values))


def _sulphur(site: Site) -> Deposition | None:
    if site.get(_SULPHUR) is DOES_NOT_APPLY:
        return Deposition(_CLEAN_SULPHUR, "the list says none: the cleanest air of the function", True)
    value = site.number(_SULPHUR)
    return None if value is None else Deposition(value, "site list", True)


def _chloride(site: Site) -> Deposition | None:
    if site.get(_CHLORIDE) is DOES_NOT_APPLY:
        return Deposition(_CLEAN_CHLORIDE, "the list says none: the cleanest air of the function", True)
    value = site.number(_CHLORIDE)
    if value is not None:
        return Deposition(value, "site list", True)
    if not site.known(_COAST):
        return None
    distance = site.number(_COAST)
    at = "no coast" if distance is None else f"{distance:g} km from the sea"
    by_rule = chloride_by_coast(float("inf") if distance is None else distance)
    return Deposition(by_rule, f"{at}, a rule of the program (engineering default, no source)", False)


def class_check(check: Check, found: Environment) -> CheckResult:
    """Hours outside the declared class, and spells that leave it.

    Parameters
    ----------
    check : Check
        Declaration of environment.class.
    found : Environment
        From `environment_of`.
    """
    against = found.against
    if against is None:
        said = "The unit's file declares no class."
        if found.declared is not None:
            said = f"The class {found.declared!r} is not known here; known: {known_classes()}."
        return outcome(check, "not assessed", None, 0.0, note=said, missing=(NO_CLASS,))
    title = against.climate_class.title
    outside = [row for row in against.rows if row.hours]
    spells = _spells_outside(found, against)
    parts = [
        f"{row.parameter.label} in {row.hours} h, by up to {_figure(row.by)} {row.parameter.unit.replace('degC', 'K')}"
        for row in sorted(outside, key=lambda row: -row.hours)
    ]
    of = (
        "the day" if found.is_cycle else "the year" if found.year is None else f"{found.year}, the worst year"
    )
    notes = [f"{against.hours} h of {of} lie outside {title}: {'; '.join(parts)}." if parts else ""]
    notes += spells
    covering = found.covering[against.climate_class.family]
    if outside:
        held = f"The mildest class that holds is {covering.name}." if covering else "No class of it holds."
        notes.append(held)
    memory = [row.parameter.label for row in against.rows if row.limit.from_memory]
    if memory:
        notes.append(f"Limits from memory: {', '.join(memory)}.")
    status: Status = "fail" if outside or spells else "pass"
    condition = f"the maker confirms the unit beyond class {against.climate_class.name}"
    binding = against.binding
    governed = ""
    if binding is not None:
        governed = f"{binding.parameter.label}, farthest {found.when(binding)}"
    return outcome(
        check, status, float(against.hours), 0.0, governed_by=governed,
        note=" ".join(note for note in notes if note), condition="" if status == "pass" else condition,
    )  # fmt: skip


def _spells_outside(found: Environment, against: ClassHours) -> list[str]:
    """Extremes of the spells outside the class, where no hour of the year says it already."""
    if found.is_cycle:
        return []
    limits = {row.parameter.key: row for row in against.rows}
    said = []
    for key, name, value, estimated, sign in (
        ("temp_high", "hot", found.hottest, found.estimated[0], 1.0),
        ("temp_low", "cold", found.coldest, found.estimated[1], -1.0),
    ):
        row = limits.get(key)
        if row is not None and sign * (value - row.limit.value) > 0.0:
            what = " (an estimate)" if estimated else ""
            said.append(
                f"The {name} extreme of {value:.1f} degC{what} lies outside {row.limit.value:g} degC."
            )
    return said


def _figure(value: float) -> str:
    return f"{value:.2g}" if abs(value) < 1.0 else f"{value:.1f}"


def corrosion_check(check: Check, found: Environment, coating: str | None) -> CheckResult:
    """Category of the air against that of the coating.

    Parameters
    ----------
    check : Check
        Declaration of environment.corrosion.
    found : Environment
        From `environment_of`.
    coating : str or None
        The unit's coating_category.
    """
    if found.is_cycle:
        return outcome(check, "not applicable", note="A design day has no year: nothing corrodes by it.")
    limit = None if coating is None else category_number(coating)
    bound = None if limit is None else float(limit)
    result = found.corrosion
    if result is None:
        missing: tuple[str, ...] = () if found.sulphur else (_SULPHUR,)
        missing += () if found.chloride else (_CHLORIDE, _COAST)
        note = (
            f"Deposition unknown. Wet for {found.wet_hours:.0f} h a year (class tau "
            f"{wetness_class(found.wet_hours)}), mean {found.temp_mean:.1f} degC and {found.humidity_mean:.0f} %."
        )
        return outcome(check, "not assessed", None, bound, note=note, missing=missing)
    category = float(result.category)
    notes = [
        f"First year: carbon steel {_figure(result.steel)} um ({category_name(result.steel_category)}), zinc "
        f"{_figure(result.zinc)} um ({category_name(result.zinc_category)})."
    ]
    if limit is None:
        said = "The unit's file declares no coating category."
        if coating is not None:
            said = f"The coating category {coating!r} is not known; known: {', '.join(CATEGORIES)}."
        return outcome(
            check, "not assessed", category, None, note=" ".join((said, *notes)), missing=(NO_COATING,)
        )
    conditions_: list[str] = []
    if category > limit:
        conditions_.append(
            f"a coating for {category_name(category)}, or inspections agreed with the maker: the air is harsher than "
            f"{category_name(limit)}"
        )
    if found.chloride is not None and not found.chloride.stated:
        conditions_.append("confirm the chloride deposition: it is a rule by distance from the sea")
        notes.append(f"Chloride {found.chloride.value:.0f} mg/m2 d: {found.chloride.source}.")
    if result.outside:
        conditions_.append("the corrosion function is used outside its range")
        notes.append(f"Outside the range of the function: {'; '.join(result.outside)}.")
    return outcome(
        check, "caution" if conditions_ else "pass", category, bound, note=" ".join(notes),
        condition=tuple(conditions_),
    )  # fmt: skip
