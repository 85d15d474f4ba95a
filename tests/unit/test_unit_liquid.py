"""The liquid of a unit file: own values and tables over temperature, their faults, the head space."""

import math

import pytest
from unit_files import faults, line_of, only_fault

from edgecheck.base.liquids import liquids
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.unit_liquid import head_space, liquid_of
from edgecheck.outputs.unit_text import unit_text

VALUES = """[liquid.properties]
density_kg_m3 = 900.0
heat_capacity_j_kg_k = 2000.0
"""
TABLE = """[liquid.properties]
temperature_c = [0.0, 20.0, 60.0, 100.0]
density_kg_m3 = [910.0, 900.0, 872.0, 846.0]
heat_capacity_j_kg_k = [1900.0, 2000.0, 2150.0, 2300.0]
conductivity_w_m_k = 0.14
viscosity_mm2_s = [200.0, 60.0, 12.0, 5.0]
"""


@pytest.fixture
def own(change):
    """Write the example with a liquid of its own; pairs of (old, new) change its lines."""

    def own(text, *pairs):
        for old, new in pairs:
            assert old in text, old
            text = text.replace(old, new)
        return change(("[servers]", f"{text}\n[servers]"))

    return own


def table_fault(own, *pairs):
    """The only fault of a changed table: key within [liquid.properties], and what is allowed."""
    fault = only_fault(own(TABLE, *pairs))
    return fault.key.removeprefix("liquid.properties."), fault.allowed


# ---------------------------------------------------------------------------------------------- own values


def test_single_values(own):
    liquid = liquid_of(load_unit(own(VALUES)))
    assert liquid.density(20.0) == liquid.density(60.0) == 900.0
    assert liquid.heat_capacity(50.0) == 2000.0
    assert math.isnan(liquid.density(100.5))
    assert not liquid.expands
    assert math.isnan(liquid.expansion(20.0, 40.0))
    assert math.isnan(liquid.viscosity(40.0))
    assert liquid.pour_c is liquid.flash_c is liquid.fire_c is None
    assert liquid.known["density"].confidence == "unit file"


def test_expansion_and_two_viscosities(own):
    more = "expansion_per_k = 0.001\nviscosity_40_mm2_s = 28.0\nviscosity_100_mm2_s = 5.25\npour_point_c = -15.0\n"
    liquid = liquid_of(load_unit(own(VALUES + more)))
    assert liquid.density(40.0) == pytest.approx(900.0 - 0.001 * 900.0 * 20.0)
    assert liquid.expansion(20.0, 40.0) == pytest.approx(900.0 / 882.0)
    assert liquid.viscosity(40.0) == pytest.approx(28.0)
    assert liquid.viscosity(20.0) == pytest.approx(70.1, abs=0.05)  # ASTM D341, by hand
    assert math.isnan(liquid.viscosity(-16.0))
    assert math.isnan(liquid.viscosity(121.0))


def test_one_viscosity_says_nothing_about_other_temperatures(own):
    liquid = liquid_of(load_unit(own(VALUES + "viscosity_40_mm2_s = 28.0\n")))
    assert math.isnan(liquid.viscosity(40.0))


def test_a_table_over_temperature(own):
    unit = load_unit(own(TABLE))
    liquid = liquid_of(unit)
    assert liquid.density(40.0) == pytest.approx(886.0)
    assert liquid.heat_capacity(80.0) == pytest.approx(2225.0)
    assert liquid.conductivity(-10.0) == 0.14
    assert liquid.viscosity(60.0) == pytest.approx(12.0)
    assert liquid.expansion(20.0, 60.0) == pytest.approx(900.0 / 872.0)
    assert math.isnan(liquid.density(-1.0))
    assert math.isnan(liquid.viscosity(101.0))
    assert [used.key for used in unit.defaults_used] == ["liquid.properties.reference_c"]


def test_a_reference_is_no_default_where_all_is_listed(own):
    unit = load_unit(own(TABLE, ("conductivity_w_m_k = 0.14\n", "")))
    assert unit.defaults_used == ()
    assert math.isnan(liquid_of(unit).conductivity(40.0))


# ---------------------------------------------------------------------------------------------- faults


@pytest.mark.parametrize(
    "old, new, key, allowed",
    [
        ("[0.0, 20.0, 60.0", "[0.0, 60.0, 20.0", "temperature_c", "must rise strictly from value to value"),
        ("872.0, 846.0]", "872.0]", "density_kg_m3", "has 3 values; temperature_c has 4"),
        ("872.0, 846.0]", "872.0, 873.0]", "density_kg_m3", "must fall strictly with temperature"),
        ("12.0, 5.0]", "12.0, 12.0]", "viscosity_mm2_s", "must fall strictly with temperature"),
        (
            "conductivity",
            "expansion_per_k = 0.0008\nconductivity",
            "expansion_per_k",
            "the list of densities says it already; leave one of them out",
        ),
        (
            "conductivity",
            "viscosity_40_mm2_s = 25.0\nconductivity",
            "viscosity_40_mm2_s",
            "the list of viscosities stands for it; leave one of them out",
        ),
        (
            "12.0, 5.0]",
            "12.0, 0.1]",
            "viscosity_mm2_s[4]",
            "must be 0.21 or more (kinematic viscosity over temperature_c, mm2/s)",
        ),
        (
            "density_kg_m3 = [910.0",
            "density_kg_m3 = [-910.0",
            "density_kg_m3[1]",
            "must be greater than 0 (density at reference_c, kg/m3)",
        ),
        (
            "conductivity_w_m_k = 0.14",
            'conductivity_w_m_k = "much"',
            "conductivity_w_m_k",
            "a number is needed (thermal conductivity, W/mK)",
        ),
    ],
)
def test_faults_of_a_table(own, old, new, key, allowed):
    assert table_fault(own, (old, new)) == (key, allowed)


def test_lists_need_their_temperatures(own):
    found = faults(own(TABLE, ("temperature_c = [0.0, 20.0, 60.0, 100.0]\n", "")))
    assert [fault.key.rpartition(".")[2] for fault in found] == [
        "density_kg_m3",
        "heat_capacity_j_kg_k",
        "viscosity_mm2_s",
    ]
    assert {fault.allowed for fault in found} == {
        "a list needs temperature_c, the temperatures of its values"
    }


def test_temperatures_need_their_lists(own):
    alone = only_fault(own(VALUES + "temperature_c = [0.0, 20.0]\n"))
    assert alone.allowed.startswith("no property is given as a list")


def test_values_that_contradict_each_other(own):
    more = (
        "viscosity_40_mm2_s = 5.0\nviscosity_100_mm2_s = 9.0\nflash_point_c = 200.0\nfire_point_c = 190.0\n"
    )
    assert {fault.key: fault.allowed for fault in faults(own(VALUES + more))} == {
        "liquid.properties.viscosity_100_mm2_s": "must be less than viscosity_40_mm2_s, 5",
        "liquid.properties.fire_point_c": "must be at least flash_point_c, 200",
    }


def test_a_table_must_reach_the_bath(own):
    found = faults(own(TABLE, ("[0.0, 20.0, 60.0, 100.0]", "[0.0, 10.0, 20.0, 30.0]")))
    assert {fault.key for fault in found} == {"liquid.properties"}
    assert [fault.allowed for fault in found] == [
        "the liquid's density is known from 0 to 30 degC and needed at 40 degC (filling, setpoint)",
        "the liquid's specific heat is known from 0 to 30 degC and needed at 40 degC (filling, setpoint)",
    ]


def test_a_family_must_be_known_at_the_setpoint(change):
    found = faults(
        change(
            ("setpoint_c = 40.0", "setpoint_c = 125.0"),
            ("service_max_c = 48.0", "service_max_c = 130.0"),
            ("alarm_c = 55.0", "alarm_c = 140.0"),
            ("shutdown_c = 70.0", "shutdown_c = 150.0"),
            ("restart_c = 45.0", "restart_c = 135.0"),
        )
    )
    assert {fault.key for fault in found} == {"liquid.setpoint_c"}
    assert found[0].allowed.startswith("the liquid's density is known from -50 to 120 degC")


def test_a_liquid_must_flow_at_the_setpoint(own):
    fault = only_fault(own(VALUES + "pour_point_c = 45.0\n"))
    assert fault.key == "liquid.setpoint_c"
    assert fault.allowed == "the liquid does not flow there, but only above 45 degC"


def test_an_unknown_family_is_found_with_its_line(change):
    path = change(("synthetic-hydrocarbon-4", "synthetic-hydrocarbon-5"))
    fault = only_fault(path)
    assert fault.where == f"line {line_of(path, 'family')}"
    assert fault.allowed.startswith(f"not a liquid of the library; allowed: {', '.join(liquids())}")
    assert "did you mean synthetic-hydrocarbon-" in fault.allowed


# ---------------------------------------------------------------------------------------------- head space
# Example: 118 l of synthetic hydrocarbon 4, shut down at 70 degC: 118 (815/(815 - 0.62 50) - 1) = 4.666 l.


def with_room(change, litre, *pairs):
    return load_unit(
        change(("volume_litre = 118.0", f"volume_litre = 118.0\nhead_space_litre = {litre}"), *pairs)
    )


def test_room_enough(change):
    unit = with_room(change, 4.7)
    room = head_space(unit, liquid_of(unit))
    assert (room.hottest, room.there) == (70.0, 4.7)
    assert room.needed == pytest.approx(4.666, abs=1e-3)
    assert unit.notes == ()
    assert "head space: 4.7 litre; the liquid grows by 4.7 litre" in unit_text(unit)


@pytest.mark.parametrize("litre", [4.6, 0.0])
def test_too_little_room_is_a_caution_with_both_numbers(change, litre):
    unit = with_room(change, litre)
    (note,) = unit.notes
    assert (note.code, note.level) == ("unit-head-space", "caution")
    assert note.text == (
        "the liquid grows by 4.7 litre from filling at 20 degC to shutdown at 70 degC; the head space is "
        f"{litre:g} litre"
    )
    assert note.worst == pytest.approx(4.666 - litre, abs=1e-3)
    assert f"note: {note.text}" in unit_text(unit)


def test_limits_of_the_supply_are_hotter_in_the_bulk(change):
    """9 kW and 0.18 x 0.85 kW of the pump over 0.9 kg/s: 4.74 K at 2144 J/kgK."""
    unit = with_room(change, 9.0, ('limit_basis = "return"', 'limit_basis = "supply"'))
    room = head_space(unit, liquid_of(unit))
    pump = unit.cooling.pump_kw * unit.cooling.pump_heat_to_liquid
    assert room.hottest == pytest.approx(70.0 + (9.0 + pump) / (0.9 * 2.144), abs=1e-6)
    assert room.needed > 4.666


def test_unknown_room_and_unknown_expansion_are_said_and_not_cautions(change, own):
    unit = load_unit(change())
    assert [(note.code, note.level) for note in unit.notes] == [("unit-head-space", "info")]
    assert unit.notes[0].text == (
        "head space not checked: the unit file gives no head_space_litre; the liquid grows by 4.7 litre from filling "
        "at 20 degC to shutdown at 70 degC"
    )
    unit = load_unit(own(VALUES))
    assert [note.level for note in unit.notes] == ["info"]
    assert "expansion from filling at 20 degC to shutdown at 70 degC is not known" in unit.notes[0].text


# ---------------------------------------------------------------------------------------------- in words


def test_the_text_shows_values_with_their_sources(change):
    text = unit_text(load_unit(change(("synthetic-hydrocarbon-4", "natural-ester"))))
    for part in (
        "density at 40 degC: 906.4 kg/m3 (+-2%, from memory: typical values of the family)",
        "viscosity at 40 degC: 34 mm2/s",
        "viscosity at -15 degC, the coldest start of the pumps: not known",
        "sets when held below: -15 degC (+-3 K, published: 25-day test: Rapp",
        "fire point: 350 degC",
    ):
        assert part in text


def test_the_text_says_what_is_not_known(own):
    text = unit_text(load_unit(own(VALUES)))
    assert "density at 40 degC: 900 kg/m3 (the unit file)" in text
    for part in ("conductivity at 40 degC: not known", "pour point: not known", "fire point: not known"):
        assert part in text
