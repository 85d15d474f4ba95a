"""Every conversion of columns.toml, US twins and units written by mistake, against the library pint."""

import pint
import pytest

from edgecheck.inputs.columns import COLUMNS, headings
from edgecheck.inputs.unit_words import unit_of

UNITS = pint.UnitRegistry()
GRAVITY = UNITS.standard_gravity
# Unit of columns.toml -> what pint calls it. A mass given as a weight, and the reverse, goes by standard gravity.
PINT = {
    "m": "metre", "mm": "millimetre", "cm": "centimetre", "km": "kilometre", "ft": "foot", "in": "inch",
    "mi": "mile", "m2": "metre**2", "cm2": "centimetre**2", "ft2": "foot**2", "kg": "kilogram", "t": "tonne",
    "lb": "pound", "kPa": "kilopascal", "Pa": "pascal", "psf": "force_pound / foot**2", "psi": "psi",
    "kg/m2": "kilogram / metre**2 * standard_gravity", "t/m2": "tonne / metre**2 * standard_gravity",
    "kN": "kilonewton", "N": "newton", "lbf": "force_pound", "kip": "kip", "m/s": "metre / second",
    "km/h": "kilometre / hour", "mph": "mile / hour", "kn": "knot", "kW": "kilowatt", "W": "watt",
    "kVA": "kilovolt * ampere", "VA": "volt * ampere", "V": "volt", "kV": "kilovolt", "litre": "litre",
    "m3": "metre**3", "ml": "millilitre", "gal": "US_liquid_gallon", "share": "dimensionless", "percent": "percent",
}  # fmt: skip
SCALES = sorted(
    {
        (column.unit, unit, factor, offset)
        for column in COLUMNS.values()
        for unit, (factor, offset) in column.scales().items()
        if unit != column.unit
    }
)


def value_of(unit: str, column_unit: str, number: float) -> float:
    """The number in the column's unit, by pint."""
    if column_unit == "degC":
        kind = {"f": "degF", "K": "kelvin"}[unit]
        return UNITS.Quantity(number, kind).to("degC").magnitude
    if column_unit == "K":
        return UNITS.Quantity(number, "delta_degF").to("delta_degC").magnitude
    quantity = UNITS.Quantity(number, PINT[unit])
    if (column_unit, unit) == ("kg", "kN"):
        quantity = quantity / GRAVITY
    if (column_unit, unit) == ("kN", "kg"):
        quantity = quantity * GRAVITY
    return quantity.to(PINT[column_unit]).magnitude


@pytest.mark.parametrize("column_unit, unit, factor, offset", SCALES)
@pytest.mark.parametrize("number", [0.0, 1.0, -3.5, 451.0])
def test_every_conversion_against_pint(column_unit, unit, factor, offset, number):
    # 1e-12: digits of a double; near 0 degC the difference of two numbers of 460.
    assert number * factor + offset == pytest.approx(
        value_of(unit, column_unit, number), rel=1e-12, abs=1e-10 if offset else 0.0
    )


def test_all_twins_stand_among_the_conversions():
    units = {(column_unit, unit) for column_unit, unit, _, _ in SCALES}
    twins = {(heading.column.unit, heading.unit) for heading in headings().values() if heading.is_converted}
    assert len(twins) >= 13
    assert twins <= units


@pytest.mark.parametrize("name", [name for name, known in headings().items() if known.is_converted])
def test_a_twin_is_converted_there_and_back(name):
    heading = headings()[name]
    assert heading.in_cell(heading.si(12.5)) == pytest.approx(12.5, rel=1e-13)
    assert heading.si(1.0) == pytest.approx(value_of(heading.unit, heading.column.unit, 1.0), rel=1e-12)


@pytest.mark.parametrize(
    "column, word, unit",
    [
        ("roof_reserve_kpa", "PSF", "psf"),
        ("roof_reserve_kpa", "lbs / sq.ft", "psf"),
        ("roof_reserve_kpa", "kN/m\u00b2", "kPa"),
        ("roof_reserve_point_kn", "lbs", "lbf"),
        ("landlord_max_kg", "lbs", "lb"),
        ("free_length_m", "feet", "ft"),
        ("free_length_m", "'", "ft"),
        ("free_length_m", '"', "in"),
        ("spreader_thickness_mm", "inches", "in"),
        ("extreme_dry_bulb_c", "\u00b0F", "f"),
        ("recirculation", "%", "percent"),
        ("asce_wind_speed_m_s", "knots", "kn"),
        ("feed_spare_ampere", "Amps", "A"),
        ("roof_reserve_kpa", "feet", None),
        ("roof_surface", "m", None),
    ],
)
def test_units_as_people_write_them(column, word, unit):
    assert unit_of(COLUMNS[column], word) == unit
