"""A design day as weather: 24 hours that repeat, for the type qualification of a unit.

In: a published day with its global irradiance. Out: `Weather` of one day without a place. The value of hour h of
the tables stands in the hour that ends then. Beam and diffuse irradiance follow from the global one by Erbs, Klein &
Duffie, Estimation of the diffuse radiation fraction for hourly, daily and monthly-average global radiation (1982),
at the date and latitude that the day's file states; the dew point follows from the relative humidity. Pressure is
that of the standard atmosphere, and the sky's longwave that of a clear sky.
"""

import numpy as np
from pvlib.irradiance import erbs

from edgecheck.base.humid_air import dew_point
from edgecheck.base.notes import Note
from edgecheck.inputs.type_qualification import CYCLE_PREFIX
from edgecheck.weather.readers.design_day import HOURS, DesignDay
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.sun import sun, utc_index


def cycle_weather(day: DesignDay) -> Weather:
    """Weather of a design day.

    Parameters
    ----------
    day : DesignDay
        As read.

    Returns
    -------
    Weather
        One "year" of 24 hours on the day's date, local time being that of the longitude 0.
    """
    time = day.date.astype("datetime64[m]") + 60 * np.arange(HOURS)
    above = sun(day.latitude, 0.0, 0.0, 0.0, time, day.sun_offset_min)
    split = erbs(day.ghi, above.zenith, utc_index(time, 0.0, day.sun_offset_min))
    dni = np.asarray(split["dni"], dtype=float)
    dhi = np.asarray(split["dhi"], dtype=float)
    unknown = np.full(HOURS, np.nan)
    hours = WeatherYear(
        time=time,
        temp_air=day.temp_air,
        temp_dew=np.minimum(dew_point(day.temp_air, day.relative_humidity), day.temp_air),
        pressure=unknown.copy(),
        ghi=day.ghi,
        dni=dni,
        dhi=dhi,
        longwave_down=unknown.copy(),
        wind_speed=day.wind_speed,
        opaque_cover=unknown.copy(),
        source_year=np.full(HOURS, 2001),
    )
    residual = np.abs(day.ghi - dni * np.cos(np.radians(above.zenith)) - dhi)
    return Weather(
        name=f"{CYCLE_PREFIX}{day.name}",
        format="design day",
        sha256=day.sha256,
        place="",
        latitude=day.latitude,
        longitude=0.0,
        elevation=0.0,
        utc_offset_h=0.0,
        years=(hours,),
        header=None,
        sun_offset_min=day.sun_offset_min,
        closure=float(np.max(residual)),
        beam_below_horizon=0,
        notes=_notes(day),
        cycle=day,
    )


def _notes(day: DesignDay) -> tuple[Note, ...]:
    texts = {
        "design-day": f"Type qualification: the design day {day.title} repeats; it stands for no place. Source "
        f"({day.confidence}): {day.source}.",
        "design-day-sun": f"Sun of the design day: {day.sun_source}.",
        "design-day-wind": f"Wind of the design day: {day.wind_source}.",
        "design-day-sky": "The sky of the design day counts as clear, and its pressure is that of the standard "
        "atmosphere at the row's elevation (sea level where none is given).",
    }
    return tuple(Note(code, "info", text) for code, text in texts.items())
