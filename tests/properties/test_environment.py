"""Environment: humidity stays physical under any warming, harsher air never makes a milder category."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from site_cases import site, station

from edgecheck.base.humid_air import absolute_humidity, relative_humidity
from edgecheck.heat.place import place_of
from edgecheck.heat.site_year import air_of
from edgecheck.inputs.warming_file import RANGE_FACTOR, SHIFT_K, MonthlyWarming
from edgecheck.weather.class_hours import class_hours, conditions, mildest_classes
from edgecheck.weather.climate_class import climate_classes
from edgecheck.weather.corrosion import RANGES, chloride_by_coast, corrosivity
from edgecheck.weather.site_air import site_air

MONTHS = st.lists(st.floats(*SHIFT_K), min_size=12, max_size=12)
FACTORS = st.lists(st.floats(*RANGE_FACTOR), min_size=12, max_size=12)
CLASSES = tuple(climate_classes().values())


def inside(name: str) -> st.SearchStrategy[float]:
    low, high, _ = RANGES[name]
    return st.floats(low, high)


AIR = (
    inside("annual mean temperature"),
    inside("annual mean relative humidity"),
    inside("sulphur dioxide deposition"),
    inside("chloride deposition"),
)


@given(shift=MONTHS, factor=FACTORS, more=st.floats(-2.0, 10.0), elevation=st.floats(0.0, 3000.0))
def test_relative_humidity_never_leaves_0_to_100(shift, factor, more, elevation):
    monthly = MonthlyWarming("x", "", tuple(shift), tuple(factor))
    row = site(warming_file="x", urban_heat_k=more, elevation_m=elevation)
    air = air_of(place_of(row, station(), monthly=monthly), station().years[0])
    humidity = relative_humidity(air.temp_air, air.temp_dew)
    assert np.all((humidity > 0.0) & (humidity <= 100.0 + 1e-9))
    humidity = conditions(air, station().years[0].hours.ghi)["humidity"]
    assert np.all((humidity > 0.0) & (humidity <= 100.0))
    assert np.all(np.isfinite(air.longwave_down))
    assert np.all(air.temp_dew <= air.temp_air)


@given(shift=st.floats(-2.0, 10.0))
def test_warming_never_lowers_the_hours_above_the_high_end(shift):
    """More warming, more hours above 40 degC, and no more below -33 degC."""
    year = station().years[0]

    def hours(warming: float) -> tuple[int, int]:
        air = air_of(place_of(site(warming_k=warming), station()), year)
        rows = class_hours(conditions(air, year.hours.ghi), climate_classes()["4.1"]).rows
        by = {row.parameter.key: row.hours for row in rows}
        return by["temp_high"], by["temp_low"]

    (hot, cold), (hotter, colder) = hours(shift), hours(shift + 0.5)
    assert hotter >= hot
    assert colder <= cold


@given(shift=st.floats(-40.0, 40.0))
def test_humidity_by_the_stations_vapour_pressure_is_that_of_the_sites_own_dew_point(shift):
    """Site air is the station's, moved: with the station's dew point kept, or without it, the numbers are the same."""
    year = station().years[0].hours
    air = site_air(year, 0.0, 0.0, shift)
    found = conditions(air, year.ghi, station_dew=year.temp_dew)
    plain = conditions(air, year.ghi)
    np.testing.assert_allclose(
        found["humidity"], np.minimum(relative_humidity(air.temp_air, air.temp_dew), 100.0)
    )
    np.testing.assert_allclose(found["water"], absolute_humidity(air.temp_air, air.temp_dew))
    for name, values in plain.items():
        np.testing.assert_array_equal(found[name], values)


@given(values=st.tuples(*AIR), one=st.sampled_from([1, 2, 3]), share=st.floats(0.0, 1.0))
def test_more_humidity_or_deposition_never_corrodes_less(values, one, share):
    top = list(RANGES.values())[one][1]
    harsher = list(values)
    harsher[one] = values[one] + share * (top - values[one])
    was, now = corrosivity(*values), corrosivity(*harsher)
    assert now.steel >= was.steel - 1e-12
    assert now.zinc >= was.zinc - 1e-12
    assert now.category >= was.category


@given(near=st.floats(0.0, 5000.0), further=st.floats(0.0, 5000.0))
def test_chloride_by_the_rule_falls_with_the_distance_and_stays_in_range(near, further):
    near, further = sorted((near, further))
    assert RANGES["chloride deposition"][0] <= chloride_by_coast(further) <= chloride_by_coast(near)
    assert chloride_by_coast(near) <= RANGES["chloride deposition"][1] * (1 + 1e-12)


@given(
    temp=st.lists(st.floats(-70.0, 60.0), min_size=1, max_size=30),
    humidity=st.floats(0.0, 100.0),
    water=st.floats(0.0, 60.0),
    wind=st.floats(0.0, 80.0),
)
def test_hours_outside_are_those_of_any_limit_and_the_binding_one_has_most(temp, humidity, water, wind):
    hours = len(temp)
    found = {
        "temp_air": np.array(temp), "humidity": np.full(hours, humidity), "water": np.full(hours, water),
        "sun": np.zeros(hours), "wind": np.full(hours, wind), "rate": np.zeros(hours),
    }  # fmt: skip
    for one in CLASSES:
        counted = class_hours(found, one)
        each = [row.hours for row in counted.rows]
        assert max(each) <= counted.hours <= min(sum(each), hours)
        assert (counted.binding is None) == (counted.hours == 0)
        for row in counted.rows:
            assert (row.by > 1e-6) == (row.hours > 0)
        if counted.binding is not None:
            assert counted.binding.hours == max(each)
    for family, mildest in mildest_classes(found).items():
        clear = [one for one in CLASSES if one.family == family and class_hours(found, one).hours == 0]
        assert mildest is (clear[0] if clear else None)
