"""Numbers that pages and tables show of a heat series: worst hours, months, energy.

In: heat series with their times. Out: plain records with units in their names.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.heat import clock
from edgecheck.checks.result import WorstHour
from edgecheck.heat.curve import BINDING_NAMES, NONE
from edgecheck.heat.headroom import worst_order
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries

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
        "air_side_factor": float(around.factor[hour]),
        "derate_rise": float(around.equivalent_inlet[hour] - around.inlet_air[hour]),
        "equivalent_inlet": float(around.equivalent_inlet[hour]),
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
        "condensing_limit": curve.condensing_limit,
        "inlet_max": machine.cooling.inlet_max,
        "inlet_min": machine.cooling.inlet_min,
        "rejected": machine.rejected,
        "airflow": machine.airflow,
        "split": machine.cooling.split,
        "fouling": machine.fouling,
        "table_end": float(machine.cooling.inlet_columns[-1]),
        "input": float(series.input_power[hour]),
        "liquid": float(series.course.liquid[hour]),
    }
    known = {name: None if value is None or np.isnan(value) else value for name, value in values.items()}
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
        partial_pue_worst: in the hour of greatest compressor power, with the compressor on.
    """
    running = 1.0 - series.course.servers_off / 3600.0
    leakage = 1.0 + machine.leakage * (series.course.liquid - machine.setpoint)
    it = machine.it * leakage * running
    full = series.curve.power_at(machine.setpoint)
    hottest = int(np.argmax(full))
    on = machine.it_heat + machine.pump_power + float(full[hottest])
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
