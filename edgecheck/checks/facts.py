"""Numbers that pages and tables show of a heat series: worst hours, months, energy.

In: heat series with their times. Out: plain records with units in their names.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.heat import clock
from edgecheck.checks.result import WorstHour
from edgecheck.heat.curve import BINDING_NAMES, NONE
from edgecheck.heat.economiser import EconomiserCurve
from edgecheck.heat.headroom import headroom, worst_hour, worst_order
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries, cooling_curve
from edgecheck.heat.site_heat import SiteHeat

KILO = 1e3


def longest_run(mask: NDArray[np.bool_]) -> int:
    """Length of the longest run of true values.

    Parameters
    ----------
    mask : ndarray of bool, shape (time,)
        Hours.

    Returns
    -------
    int
    """
    padded = np.concatenate([[False], mask, [False]]).astype(np.int8)
    change = np.diff(padded)
    starts, ends = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    return int(np.max(ends - starts, initial=0))


def worst_hour_record(
    title: str,
    spell: str,
    series: HeatSeries,
    machine: Machine,
    time: NDArray[np.datetime64],
    hour: int,
    station_temp: float,
    elevation_shift: float,
    warming_shift: float,
    spell_shift: float,
) -> WorstHour:
    """One hour with every step of its worked example.

    Parameters
    ----------
    title, spell : str
        Heading; "year", "hot spell" or "cold spell".
    series : HeatSeries
        The series it stands in.
    machine : Machine
        The unit.
    time : ndarray of datetime64, shape (time,)
        Of the series.
    hour : int
        Index in the series.
    station_temp : float
        Air temperature in the weather file. [degC]
    elevation_shift, warming_shift, spell_shift : float
        Steps from the station's air to the site's. [K]

    Returns
    -------
    WorstHour
    """
    around, room, curve = series.surroundings, series.headroom, series.curve
    shell = around.envelope
    at = float(room.liquid[hour])
    power = float(curve.power_at(room.liquid)[hour])
    capacity_there = (
        float(curve.capacity_at(room.liquid)[hour]) if curve.allowed_at(room.liquid)[hour] else 0.0
    )
    values: dict[str, float | None] = {
        "station_temp_air": station_temp,
        "elevation_shift": elevation_shift,
        "warming_shift": warming_shift,
        "spell_shift": spell_shift,
        "temp_air": float(around.temp_air[hour]),
        "roof": float(around.roof[hour]),
        "ghi": float(around.ghi[hour]),
        "wind_at_unit": float(around.wind[hour]),
        "pressure": float(around.pressure[hour]),
        "roof_mixing_rise": float(around.mixing_rise[hour]),
        "recirculation_rise": float(around.recirculation_rise[hour]),
        "inlet_air": float(around.inlet_air[hour]),
        "equivalent_inlet": float(series.equivalent_inlet[hour]),
        "it": machine.it_heat,
        "pump_heat": machine.pump_load,
        "solar": float(shell.solar[hour]),
        "envelope": float(shell.envelope[hour]),
        "longwave": float(shell.longwave[hour]),
        "load": float(series.load.at_setpoint[hour]),
        "capacity": float(room.capacity[hour]),
        "headroom": float(room.at_setpoint[hour]),
        "setpoint": machine.setpoint,
        "service_liquid": at,
        "service_load": float(series.load.at(room.liquid)[hour]),
        "service_capacity": capacity_there if not np.isnan(room.service[hour]) else None,
        "service_headroom": float(room.service[hour]),
        "share": float(room.share[hour]),
        "exceedance": float(room.exceedance[hour]),
        "power": power,
        "condensing": float(series.condensing[hour]),
        "inlet_max": machine.cooling.inlet_max,
        "inlet_min": machine.cooling.inlet_min,
        "rejected": machine.rejected,
        "airflow": machine.airflow,
        "fouling": machine.fouling,
        "in_service": float(machine.in_service),
        "free_cooling": float(curve.free_cooling_at(machine.setpoint)[hour]),
        "input": float(series.input_power[hour]),
        "liquid": float(series.course.liquid[hour]),
    }
    air = around.at_section(machine).window(slice(hour, hour + 1))
    values |= machine.cooling.worked(air, machine.setpoint)
    known = {
        name: value if value is not None and np.isfinite(value) else None for name, value in values.items()
    }
    return WorstHour(title, spell, clock(time[hour]), BINDING_NAMES[int(room.binding[hour])], known)


def first_of_each_binding(series: HeatSeries) -> dict[str, int]:
    """Worst hour of every limit that binds in a series: name -> index."""
    order = worst_order(series.headroom, len(series.headroom.binding))
    found: dict[str, int] = {}
    for hour in order:
        code = int(series.headroom.binding[hour])
        if code != NONE:
            found.setdefault(BINDING_NAMES[code], int(hour))
    return found


def ten_worst(series: HeatSeries, time: NDArray[np.datetime64]) -> list[dict[str, Any]]:
    """The ten worst hours of a series."""
    room = series.headroom
    return [
        {
            "time": clock(time[hour]),
            "share": _known(room.share[hour]),
            "headroom_kw": _known(room.service[hour] / KILO),
            "temp_air_c": float(series.surroundings.temp_air[hour]),
            "inlet_air_c": float(series.surroundings.inlet_air[hour]),
            "binding": BINDING_NAMES[int(room.binding[hour])],
        }
        for hour in worst_order(room, 10)
    ]


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def monthly(series: HeatSeries, time: NDArray[np.datetime64]) -> list[dict[str, Any]]:
    """One record a month: hottest air, least share, hours short, energy."""
    months = time.astype("datetime64[M]").astype(int) % 12
    room = series.headroom
    rows = []
    for month in range(12):
        hours = months == month
        if not hours.any():
            continue
        share = room.share[hours]
        rows.append(
            {
                "month": month + 1,
                "temp_max_c": float(np.max(series.surroundings.temp_air[hours])),
                "least_share": None if np.isnan(share).any() else float(np.min(share)),
                "hours_short": int(np.count_nonzero(room.short[hours])),
                "liquid_peak_c": float(np.max(series.course.peak[hours])),
                "input_kwh": float(np.sum(series.input_power[hours])) / KILO,
            }
        )
    return rows


def energy(series: HeatSeries, machine: Machine) -> dict[str, float]:
    """Energy of a year and partial PUE.

    Parameters
    ----------
    series : HeatSeries
        A year.
    machine : Machine
        The unit.

    Returns
    -------
    dict
        it_kwh, input_kwh, partial_pue (both over the year, ISO/IEC 30134-2 with the box as the boundary) and
        partial_pue_worst: in the hour in which it is greatest; compressor_on_kw: most that the box draws, with the
        servers at full load and the cooling section at full power.
    """
    running = 1.0 - series.course.servers_off / 3600.0
    leakage = 1.0 + machine.leakage * (series.course.liquid - machine.setpoint)
    it = machine.it * leakage * running
    full = series.curve.power_at(machine.setpoint)
    hottest = int(np.argmax(full))
    on = machine.it_heat + machine.pump_power + machine.idle_power + float(full[hottest])
    total_it = float(np.sum(it))
    total = float(np.sum(series.input_power))
    return {
        "it_kwh": total_it / KILO,
        "input_kwh": total / KILO,
        "partial_pue": total / total_it if total_it > 0.0 else float("nan"),
        "partial_pue_worst": float(np.max(series.input_power / machine.it))
        if machine.it > 0.0
        else float("nan"),
        "compressor_on_kw": on / KILO,
    }


def sections_record(heat: SiteHeat) -> dict[str, Any]:
    """How many cooling sections there are, and what is left of the year when one has failed.

    Parameters
    ----------
    heat : SiteHeat
        Of the site.

    Returns
    -------
    dict
        count, in_service, stands_by; share_one_failed, hours_short_one_failed, worst_time_one_failed: None for a
        unit of one section, of which none is left.
    """
    machine = heat.machine
    found: dict[str, Any] = {
        "count": machine.sections,
        "in_service": machine.in_service,
        "stands_by": machine.stands_by,
        "share_one_failed": None,
        "hours_short_one_failed": None,
        "worst_time_one_failed": None,
    }
    left = machine.with_one_failed()
    if left.in_service == 0:
        return found
    curve = cooling_curve(heat.year.surroundings.around(left), left)
    room = headroom(curve, heat.year.load, left.service_max)
    worst = worst_hour(room)
    return found | {
        "share_one_failed": _known(room.share[worst]),
        "hours_short_one_failed": int(np.count_nonzero(room.short)),
        "worst_time_one_failed": clock(heat.time[worst]),
    }


def free_cooling(series: HeatSeries) -> dict[str, float] | None:
    """Hours in which a coil before the compressor carries all or part of the heat; None without one."""
    if not isinstance(series.curve, EconomiserCurve):
        return None
    coil = series.curve.free_cooling_at(series.course.liquid)
    cooled = series.course.cooled / 3600.0
    carries = np.minimum(coil, cooled)
    total = float(np.sum(cooled))
    return {
        "hours_alone": int(np.count_nonzero((coil >= cooled) & (cooled > 0.0))),
        "hours_helping": int(np.count_nonzero((coil > 0.0) & (coil < cooled))),
        "heat_share": float(np.sum(carries)) / total if total > 0.0 else 0.0,
    }
