"""The sun against the worked example of the NREL solar position algorithm and printed solar constants."""

import numpy as np
import pytest

from edgecheck.weather.sun import sun, true_zenith

# Reda & Andreas, Solar position algorithm for solar radiation applications, NREL/TP-560-34302 (2008),
# appendix A.5: 17 October 2003, 12:30:30 local standard time of UTC-7, 39.742476 N, 105.1786 W, 1830.14 m
LATITUDE, LONGITUDE, ELEVATION, ZONE = 39.742476, -105.1786, 1830.14, -7.0
ZENITH, AZIMUTH = 50.11162, 194.34024
NOON = np.array(["2003-10-17T12:00"], dtype="datetime64[m]")


def test_worked_example() -> None:
    """Hughes' ephemeris stays within a hundredth of a degree of the algorithm."""
    found = sun(LATITUDE, LONGITUDE, ELEVATION, ZONE, NOON, 30.5)
    assert found.apparent_zenith[0] == pytest.approx(ZENITH, abs=0.01)
    assert found.azimuth[0] == pytest.approx(AZIMUTH, abs=0.01)
    assert found.zenith[0] == pytest.approx(
        50.12795, abs=0.01
    )  # the same without refraction, by pvlib's own SPA
    assert found.airmass_relative[0] == pytest.approx(1 / np.cos(np.radians(ZENITH)), rel=0.003)


def test_offset_is_minutes_after_the_row() -> None:
    by_offset = sun(LATITUDE, LONGITUDE, ELEVATION, ZONE, NOON, 30.0)
    by_time = sun(LATITUDE, LONGITUDE, ELEVATION, ZONE, NOON + np.timedelta64(30, "m"), 0.0)
    assert by_offset.zenith[0] == by_time.zenith[0]
    assert true_zenith(LATITUDE, LONGITUDE, ZONE, NOON, 30.0)[0] == by_time.zenith[0]


def test_zone_and_longitude_move_together() -> None:
    """Local time east of Greenwich is ahead of UTC: noon in UTC+9 is 03:00 UTC."""
    time = np.array(["2001-06-21T12:00"], dtype="datetime64[m]")
    utc = np.array(["2001-06-21T03:00"], dtype="datetime64[m]")
    east = sun(35.0, 135.0, 0.0, 9.0, time, 0.0)
    assert east.zenith[0] == sun(35.0, 135.0, 0.0, 0.0, utc, 0.0).zenith[0]
    assert east.zenith[0] < 13  # near noon at the solstice: 35 - 23.4 degrees


def test_half_hour_zones() -> None:
    time = np.array(["2001-03-01T12:00"], dtype="datetime64[m]")
    utc = np.array(["2001-03-01T06:30"], dtype="datetime64[m]")
    assert sun(28.6, 77.2, 0.0, 5.5, time, 0.0).zenith[0] == sun(28.6, 77.2, 0.0, 0.0, utc, 0.0).zenith[0]


@pytest.mark.parametrize(
    ("day", "extra"), [("2001-01-03", 1414.0), ("2001-07-04", 1320.5), ("2001-06-21", 1321.6)]
)
def test_extraterrestrial_beam(day: str, extra: float) -> None:
    """Spencer (1971) with 1366.1 W/m2 (ASTM E-490-00a): +3.5 % near perihelion, -3.3 % near aphelion."""
    time = np.array([f"{day}T12:00"], dtype="datetime64[m]")
    assert sun(40.0, 0.0, 0.0, 0.0, time, 0.0).dni_extra[0] == pytest.approx(extra, abs=0.1)


def test_air_mass_at_zenith_40() -> None:
    """Kasten & Young (1989): 1.3042 at an apparent zenith of 40 degrees (secant 1.3054)."""
    time = np.arange(
        np.datetime64("2001-06-21T06:00"), np.datetime64("2001-06-21T12:00"), np.timedelta64(1, "m")
    )
    found = sun(40.0, 0.0, 0.0, 0.0, time, 0.0)
    masses = np.interp(40.0, found.apparent_zenith[::-1], found.airmass_relative[::-1])
    assert masses == pytest.approx(1.304224, abs=2e-4)
