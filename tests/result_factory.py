"""A made-up but plausible result, for tests of pages and tables that do not want to run the whole chain.

The numbers follow simple curves (a warm summer, a cold winter, a sunny afternoon); they are not a model of
anything. Every part of a result that pages show is filled.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import xarray as xr

from edgecheck.base.notes import Note
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import CheckResult, outcome
from edgecheck.checks.result import Result, WorstHour

NEED = {check.id: "confirm" if check.at_worst else "required" for check in CHECKS}
_ORDER = [
    "temp_air",
    "roof",
    "inlet_air",
    "equivalent_inlet",
    "condensing",
    "it",
    "pump_heat",
    "solar",
    "envelope",
    "longwave",
    "load",
    "capacity",
    "headroom",
    "service_headroom",
    "liquid",
    "input",
]


def hours(start: str, count: int, shift: float = 0.0) -> xr.Dataset:
    """Hourly quantities in memory units on simple curves, from a start time on."""
    time = np.datetime64(start, "m") + np.arange(count) * np.timedelta64(60, "m")
    year_hour = (time - np.datetime64("2001-01-01T00:00", "m")).astype(int) / 60.0
    season = -np.cos(2 * np.pi * (year_hour / 8760.0 - 0.055))
    daily = -np.cos(2 * np.pi * (year_hour % 24 - 3.0) / 24.0)
    wander = np.sin(year_hour / 37.0) + 0.6 * np.sin(year_hour / 91.0 + 1.0)
    sun = np.clip(daily * 1.25 - 0.2, 0.0, 1.0) * (0.65 + 0.35 * season)
    air = 14.0 + 13.0 * season + 5.5 * daily + 2.4 * wander + shift
    roof = air + 32.0 * sun - 3.0
    inlet = air + 0.04 * np.clip(roof - air, 0.0, None) + 0.41
    equivalent = inlet + 1.45
    values = {
        "temp_air": air,
        "roof": roof,
        "inlet_air": inlet,
        "equivalent_inlet": equivalent,
        "condensing": inlet + 15.2 + 0.02 * inlet,
        "it": np.full(count, 6000.0),
        "pump_heat": np.full(count, 153.0),
        "solar": 420.0 * sun,
        "envelope": 9.0 * (air - 40.0),
        "longwave": -60.0 + 40.0 * sun,
    }
    values["load"] = sum(values[name] for name in ("it", "pump_heat", "solar", "envelope", "longwave"))
    values["capacity"] = np.where(air < -25.0, 0.0, 9500.0 - 95.0 * (equivalent - 25.0))
    values["headroom"] = values["capacity"] - values["load"]
    values["service_headroom"] = values["headroom"] + 1150.0
    values["liquid"] = 40.0 + np.clip(-values["headroom"] / 250.0, 0.0, 14.0) + 0.4 * sun
    values["input"] = 6180.0 + 1500.0 + 28.0 * inlet
    binding = np.where(values["service_headroom"] < 0, "capacity", "none").astype("<U12")
    data: dict[str, Any] = {name: ("time", values[name]) for name in _ORDER}
    data["binding"] = ("time", binding)
    return xr.Dataset(data, coords={"time": time}, attrs={"utc_offset_h": -5.0})


def with_gaps(hourly: xr.Dataset) -> xr.Dataset:
    """The same hours with some of every class: unknown, past the table, barred by each limit, short."""
    out = hourly.copy(deep=True)
    hottest = np.argsort(out["temp_air"].to_numpy())[::-1]
    coldest = hottest[::-1]
    binding = out["binding"].to_numpy().astype("<U12")
    for places, name in (
        (hottest[:20], "inlet-high"),
        (hottest[20:60], "condensing"),
        (hottest[60:90], "beyond-table"),
        (coldest[:70], "inlet-low"),
        (hottest[90:150], "capacity"),
    ):
        binding[places] = name
        if name in ("inlet-high", "condensing", "inlet-low"):
            out["capacity"][places] = 0.0
            out["headroom"][places] = -out["load"][places]
            out["service_headroom"][places] = -out["load"][places]
    out["capacity"][hottest[60:90]] = np.nan
    out["headroom"][hottest[60:90]] = np.nan
    out["service_headroom"][hottest[60:90]] = np.nan
    out["service_headroom"][hottest[90:150]] = -120.0
    out["binding"] = ("time", binding)
    return out


def outage(governing: np.datetime64) -> xr.Dataset:
    """Minutes to shutdown of every hour, and the two curves of one hour."""
    time = np.datetime64("2001-01-01T00:00", "m") + np.arange(8760) * np.timedelta64(60, "m")
    minute = np.arange(0.0, 61.0)
    return xr.Dataset(
        {
            "ride_through": ("time", np.full(8760, 19.4 * 60.0)),
            "pump_lost": ("time", np.full(8760, 7.9 * 60.0)),
            "liquid_cooling_lost": ("minute", 42.0 + 28.0 / 19.4 * minute),
            "liquid_pump_lost": ("minute", 42.0 + 28.0 / 7.9 * minute - 0.004 * minute**2),
        },
        coords={"time": time, "minute": minute},
        attrs={"governing": str(governing)},
    )


def worst_hour(
    title: str, spell: str, dataset: xr.Dataset, place: int, spell_shift: float = 0.0
) -> WorstHour:
    """A worst hour with every step of its worked example."""
    hour = dataset.isel(time=place)
    values: dict[str, float | None] = {name: float(hour[name]) for name in _ORDER}
    service = values["service_headroom"] or 0.0
    values |= {
        "station_temp_air": (values["temp_air"] or 0.0) + 0.35 - spell_shift,
        "elevation_shift": -0.35,
        "warming_shift": 0.0,
        "spell_shift": spell_shift,
        "roof_mixing_rise": (values["inlet_air"] or 0.0) - (values["temp_air"] or 0.0) - 0.41,
        "recirculation_rise": 0.41,
        "derate_rise": 1.45,
        "setpoint": 40.0,
        "rejected": 10900.0,
        "airflow": 1.30,
        "split": 12.0,
        "air_side_factor": 1.1208,
        "fouling": 0.10,
        "pressure": 98100.0,
        "condensing_limit": 63.0,
        "service_liquid": 48.0,
        "service_load": values["load"],
        "service_capacity": (values["load"] or 0.0) + service,
        "share": service / (values["load"] or 1.0),
        "exceedance": 0.0,
    }
    when = str(hour["time"].to_numpy().astype("datetime64[m]")).replace("T", " ")
    return WorstHour(title=title, spell=spell, time=when, binding=str(hour["binding"].item()), values=values)


def _checks(worst: WorstHour, peak: float) -> tuple[CheckResult, ...]:
    """One outcome of every check, of every status."""
    share = worst.values["share"] or 0.0
    given: dict[str, Any] = {
        "heat.weather": ("pass", 0.0, 0.0, {}),
        "heat.station": ("pass", 13.2, 50.0, {}),
        "heat.headroom": ("pass", share, 0.10, {"governed_by": worst.time}),
        "heat.hot-spell": (
            "caution",
            peak,
            52.0,
            {
                "governed_by": "2001-07-19 16:00",
                "note": "Near its limit.",
                "condition": "confirm the hot extreme",
            },
        ),
        "heat.operating-range": ("pass", 0.0, 0.0, {}),
        "heat.cold-spell": ("pass", 38.7, -15.0, {"governed_by": "2001-01-22 07:00"}),
        "heat.cycling": (
            "not applicable",
            None,
            None,
            {"note": "The unit's machine runs at variable speed."},
        ),
        "outage.cooling-lost": ("pass", 19.4, 10.0, {"governed_by": "2001-07-19 16:00"}),
        "outage.pump-lost": (
            "caution",
            7.9,
            5.0,
            {
                "governed_by": "2001-07-19 16:00",
                "note": "Below 8 minutes.",
                "condition": "agree the shutdown time",
            },
        ),
        "roof.load": (
            "fail",
            3.56,
            2.4,
            {"governed_by": "member", "note": "A spreader of 1.4 m by 1.4 m would pass."},
        ),
        "roof.point-load": ("not assessed", 1.62, None, {"missing": ("roof_reserve_point_kn",)}),
    }
    results = []
    for check in CHECKS:
        status, demand, limit, more = given.get(
            check.id, ("not assessed", None, None, {"missing": ("survey_date",)})
        )
        results.append(outcome(check, status, demand, limit, **more))
    return tuple(results)


def roof_detail() -> dict[str, Any]:
    """Mass states, reactions and reserves of a small unit on four feet."""
    box = {"name": "box with cooling section and pumps", "mass_kg": 176.0, "source": "unit: mass.dry_kg"}
    servers = {"name": "servers", "mass_kg": 38.0, "source": "unit: mass.servers_kg"}
    liquid = {"name": "liquid", "mass_kg": 95.0, "source": "unit: liquid.volume_litre, 805 kg/m3 at 20 degC"}

    def state(name: str, lines: list[dict[str, Any]], centre: list[float]) -> dict[str, Any]:
        return {
            "name": name,
            "lines": lines,
            "mass_kg": sum(float(line["mass_kg"]) for line in lines),
            "centre_of_gravity_m": centre,
            "centre_source": "unit: mass.centre_of_gravity_m",
            "tolerance_m": 0.05,
        }

    return {
        "mass_states": [
            state("drained without servers", [box], [0.62, 0.42, 0.52]),
            state("drained", [box, servers], [0.62, 0.42, 0.52]),
            state("operating", [box, servers, liquid], [0.62, 0.41, 0.47]),
        ],
        "roof_mass_kg": 309.0,
        "roof_weight_kn": 3.03,
        "feet_m": [[0.06, 0.06], [1.14, 0.06], [1.14, 0.74], [0.06, 0.74]],
        "foot_plate_m": [0.10, 0.10],
        "body_m": [1.20, 0.80],
        "reactions": [
            {
                "case": "all feet bear, centre as stated",
                "forces_kn": [0.71, 0.77, 0.80, 0.75],
                "greatest_kn": 0.80,
            },
            {
                "case": "foot 1 free, centre back right",
                "forces_kn": [0.0, 1.40, 0.21, 1.42],
                "greatest_kn": 1.42,
            },
            {"case": "half the weight on one foot", "forces_kn": [], "greatest_kn": 1.52},
        ],
        "point_demand_kn": 1.52,
        "point_case": "half the weight on one foot",
        "spreader": {"kind": "none", "plan_m": None, "mass_kg": 0.0, "mass_source": "no spreader stated"},
        "plan_m": [1.20, 0.80],
        "patch_kpa": 3.16,
        "member": {"span_m": 6.0, "spacing_m": 1.5, "equivalent_kpa": 0.61},
        "free_area_kpa": 0.126,
        "reserve": {
            "value_kpa": 2.4,
            "source": "roof_reserve_kpa",
            "evidence": "calculation",
            "for_information": False,
        },
        "point_reserve": {"value_kn": None, "source": "", "evidence": None, "for_information": False},
    }


def environment_detail() -> dict[str, Any]:
    """A class that is left in some hours, and air that is harsher than the coating."""
    limits = (
        ("temp_low", "low air temperature", "degC", -33.0, "published", 0, -14.2),
        ("temp_high", "high air temperature", "degC", 30.0, "published", 312, 38.9),
        ("humidity_low", "low relative humidity", "%", 15.0, "published", 0, 41.0),
        ("humidity_high", "high relative humidity", "%", 100.0, "published", 0, 62.0),
        ("water_low", "low absolute humidity", "g/m3", 0.26, "from memory, 85 %", 0, 0.7),
        ("water_high", "high absolute humidity", "g/m3", 25.0, "from memory, 85 %", 0, 24.1),
        ("wind", "wind", "m/s", 50.0, "from memory, 85 %", 0, 12.0),
    )
    named = {"name": "4.1", "standard": "ETSI EN 300 019-1-4", "words": "open air"}
    return {
        "class": {
            **named,
            "declared": "4.1",
            "edition": "V2.2.1",
            "hours": 312,
            "of": 8760,
            "year": None,
            "binding": "temp_high",
            "covering": {"etsi": {**named, "name": "4.1E"}, "iec": {"name": None, "standard": None, "words": None}},
            "rows": [
                {
                    "parameter": key, "label": label, "unit": unit, "limit": limit, "known": known, "hours": count,
                    "farthest": farthest, "by": abs(farthest - limit), "time": "2001-07-19 15:00",
                }
                for key, label, unit, limit, known, count, farthest in limits
            ],
        },
        "corrosion": {
            "coating": "C4", "temp_mean_c": 14.2, "humidity_mean_percent": 55.0, "wet_hours": 2312.0,
            "wetness_class": 3, "sulphur": {"mg_m2_d": 5.0, "source": "site list", "stated": True},
            "chloride": {"mg_m2_d": 140.0, "source": "1 km from the sea, a rule", "stated": False},
            "steel_um_a": 81.0, "zinc_um_a": 3.4, "steel_category": "C5", "zinc_category": "C4", "category": "C5",
            "outside": ["chloride deposition 900 mg/m2 d, outside 0.4 to 760.5"],
        },
    }  # fmt: skip


def make_result(**changes: Any) -> Result:
    """A conditional site with every part filled; `changes` replace fields."""
    hourly = hours("2001-01-01T00:00", 8760)
    hourly["temp_dew"] = hourly["temp_air"] - 9.0  # last, as in a real year
    hottest = int(np.argmax(hourly["temp_air"].to_numpy()))
    start = max(0, hottest - 90)
    spell = hours(str(hourly["time"].to_numpy()[start]), 168, shift=5.6)
    cold = int(np.argmin(hourly["temp_air"].to_numpy()))
    cold_start = str(hourly["time"].to_numpy()[min(max(0, cold - 80), 8760 - 168)])
    cold_spell = hours(cold_start, 168, shift=-6.0)
    place = int(np.argmin(hourly["service_headroom"].to_numpy()))
    spell_place = int(np.argmin(spell["service_headroom"].to_numpy()))
    worst = worst_hour("Worst hour of the year", "year", hourly, place)
    worst_spell = worst_hour("Worst hour of the hot spell", "hot spell", spell, spell_place, spell_shift=5.6)
    peak = float(spell["liquid"].max()) + 2.0
    order = np.argsort(hourly["service_headroom"].to_numpy(), kind="stable")[:10]
    time = hourly["time"].to_numpy()
    months = time.astype("datetime64[M]").astype(int) % 12 + 1
    share = (hourly["service_headroom"] / hourly["load"]).to_numpy()
    detail: dict[str, Any] = {
        "unit": {
            "name": "Heron 6",
            "setpoint_c": 40.0,
            "service_max_c": 48.0,
            "alarm_c": 55.0,
            "shutdown_c": 70.0,
            "kind": "chiller",
            "it_load_kw": 6.0,
            "liquid": "synthetic-hydrocarbon-4",
        },
        "weather": {
            "file": "example.csv",
            "format": "TMY3",
            "place": "Invented field",
            "latitude_deg": 36.10,
            "longitude_deg": -79.95,
            "elevation_m": 273.0,
            "distance_km": 13.2,
            "sha256": "ab" * 32,
            "synthetic": True,
            "sun_offset_min": 30.0,
            "closure_w_m2": 3.2,
            "filled": {"wind_speed": 3},
            "source_years": [1988, 1991, 1979, 1990, 1986],
        },
        "extremes": {
            "hot": {"value_c": 38.5, "source": "list", "return_years": 20.0, "note": "", "shift_k": 5.6},
            "cold": {
                "value_c": -20.0,
                "source": "estimate",
                "return_years": None,
                "note": "The file's minimum less 4.5 K.",
                "shift_k": -6.0,
            },
        },
        "roof": roof_detail(),
        "environment": environment_detail(),
        "hours_short": 0,
        "longest_run_h": 0,
        "energy": {
            "it_kwh": 52560.0,
            "input_kwh": 66376.8,
            "partial_pue": 1.31,
            "partial_pue_worst": 1.42,
            "partial_pue_worst_time": "2001-07-19 15:00",
            "distribution_kwh": 0.0,
            "pump_kwh": 1576.8,
            "cooling_kwh": 12000.0,
            "standby_kwh": 240.0,
            "price_per_kwh": 0.25,
            "carbon_kg_per_kwh": None,
            "cost": 16594.2,
            "cost_beside_it": 3454.2,
            "carbon_kg": None,
            "months": [
                {
                    "month": month,
                    "it_kwh": 4380.0,
                    "distribution_kwh": 0.0,
                    "pump_kwh": 131.4,
                    "cooling_kwh": 1000.0,
                    "standby_kwh": 20.0,
                    "input_kwh": 5531.4,
                    "partial_pue": 1.2629,
                    "cost": 1382.85,
                    "cost_beside_it": 287.85,
                    "carbon_kg": None,
                }
                for month in range(1, 13)
            ],
        },
        "ten_worst": [
            {
                "time": str(time[hour].astype("datetime64[m]")).replace("T", " "),
                "share": float(share[hour]),
                "headroom_kw": float(hourly["service_headroom"][hour]) / 1000.0,
                "temp_air_c": float(hourly["temp_air"][hour]),
                "binding": "none",
            }
            for hour in order
        ],
        "monthly": [
            {
                "month": month,
                "temp_max_c": float(hourly["temp_air"].to_numpy()[months == month].max()),
                "least_share": float(share[months == month].min()),
                "hours_short": 0,
                "liquid_peak_c": float(hourly["liquid"].to_numpy()[months == month].max()),
            }
            for month in range(1, 13)
        ],
        "outage": {
            "ride_through_minutes": 19.4,
            "ride_through_when": "hot spell 2001-08-04 15:00",
            "to_alarm_minutes": 9.0,
            "pump_lost_minutes": 7.9,
            "pump_lost_when": "hot spell 2001-08-04 15:00",
            "pump_lost_to_alarm_minutes": 3.7,
        },
        "versions": {"edgecheck": "0.1.0", "pvlib": "0.16.1", "numpy": "2.4.6"},
        "hashes": {"list": "12" * 32, "unit": "34" * 32, "criteria": "56" * 32, "weather": "ab" * 32},
        "not_checked": ["Wind and earthquake.", "Delivery to the roof.", "Feed, sound and containment."],
        "front_azimuth_deg": {"value": 225.0, "why": "worst of eight directions"},
    }
    result = Result(
        site_id="R-001",
        name="Harbour exchange",
        row=2,
        verdict="no-go",
        groups={
            "heat": "conditional",
            "outage": "conditional",
            "environment": "not covered",
            "roof": "no-go",
            "stability": "not covered",
            "delivery": "not covered",
            "services": "not covered",
        },
        governing_check="roof.load",
        reason="Weight on the roof: 3.56 kPa against at most 2.40 kPa. A spreader of 1.4 m by 1.4 m would pass.",
        checks=_checks(worst, peak),
        conditions=(
            "confirm the hot extreme",
            "agree the shutdown time",
            "not covered: stability.wind, services.feed",
        ),
        to_survey=("Point reserve of the roof under one foot (roof_reserve_point_kn): structural engineer",),
        asks={
            "asks_mass_kg": 309.0,
            "asks_area_m2": 4.84,
            "asks_kpa": 3.16,
            "asks_point_kn": 1.52,
            "asks_spreader_at_1_kpa_m": 1.99,
            "asks_spreader_at_2_kpa_m": 1.32,
            "asks_spreader_at_3_kpa_m": 1.05,
            "asks_ampere": None,
        },
        figures={
            "headroom_share": worst.values["share"],
            "headroom_kw": (worst.values["service_headroom"] or 0.0) / 1000.0,
            "worst_time": worst.time,
            "liquid_peak_c": peak,
            "ride_through_minutes": 19.4,
            "pump_lost_minutes": 7.9,
            "max_it_load_kw": 6.9,
            "asks_mass_kg": 309.0,
            "asks_area_m2": 4.84,
            "asks_kpa": 3.16,
            "asks_point_kn": 1.52,
            "asks_ampere": None,
            "sound_dba": None,
            "weather_file": "example.csv",
            "weather_distance_km": 13.2,
            "defaults_used": ["recirculation", "inlet_roof_mixing"],
            "assumed": [],
        },
        worst_hours=(
            worst,
            worst_spell,
            replace(worst_hour("Worst hour by condensing", "year", hourly, place - 24), binding="condensing"),
        ),
        inputs=(
            {"key": "latitude_deg", "value": 36.10, "origin": "list", "reason": "", "used": True},
            {"key": "longitude_deg", "value": -79.95, "origin": "list", "reason": "", "used": True},
            {
                "key": "elevation_m",
                "value": 273.0,
                "origin": "station",
                "reason": "the station's",
                "used": True,
            },
            {"key": "it_load_kw", "value": 6.0, "origin": "unit", "reason": "", "used": True},
            {
                "key": "roof_surface",
                "value": "dark",
                "origin": "default",
                "reason": "the worst common roof",
                "used": True,
            },
            {"key": "recirculation", "value": 0.05, "origin": "default", "reason": "open roof", "used": True},
            {"key": "asce_exposure", "value": "B", "origin": "list", "reason": "", "used": False},
        ),
        detail=detail,
        notes=(
            Note("gap-filled", "info", "3 h of wind speed were interpolated.", 3),
            Note("extreme-estimated", "caution", "The cold extreme is an estimate."),
        ),
        hourly=hourly,
        hot_spell=spell,
        cold_spell=cold_spell,
        outage=outage(time[place]),
    )
    return replace(result, **changes)


def make_unusable(**changes: Any) -> Result:
    """A row that could not be used: no numbers at all."""
    result = Result(
        site_id="R-009",
        name="Old mill",
        row=10,
        verdict="unusable",
        reason="",
        faults=("sites.csv, row R-009 (line 10), latitude_deg: '95': must be between -90 and 90",),
    )
    return replace(result, **changes)
