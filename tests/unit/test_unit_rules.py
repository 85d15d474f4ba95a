"""What a unit file must be consistent about: rating table and rating point, temperatures, masses, feet."""

import pytest
from unit_files import faults, only_fault

from edgecheck.inputs.unit import load_unit


def test_ragged_tables(change):
    path = change(("5.9, 5.2, 4.5]", "5.9, 5.2]"), ("  [12.0, 11.5, 11.0, 10.3, 9.3, 8.2],\n", ""))
    assert [(fault.key, fault.allowed) for fault in faults(path)] == [
        ("cooling.capacity_kw", "has 3 rows; liquid_c has 4 values"),
        ("cooling.capacity_kw", "row 1 has 5 values; inlet_air_c has 6"),
    ]


def test_axes_rise_strictly(change):
    fault = only_fault(change(("liquid_c = [20.0, 30.0", "liquid_c = [20.0, 20.0")))
    assert (fault.key, fault.allowed) == ("cooling.liquid_c", "must rise strictly from value to value")


def test_capacity_must_not_rise_with_inlet_air(change):
    fault = only_fault(change(("[12.0, 11.5, 11.0, 10.3, 9.3, 8.2]", "[12.0, 11.5, 11.0, 11.1, 9.3, 8.2]")))
    assert fault.key == "cooling.capacity_kw"
    assert fault.allowed == (
        "rises from 11 to 11.1 between inlet air 25 and 35 degC at liquid 50 degC; "
        "above 15 degC it must not rise with inlet air"
    )


def test_capacity_may_rise_in_the_cold(change):
    """Head-pressure control makes real tables fall towards low ambient temperatures."""
    unit = load_unit(change(("[12.0, 11.5, 11.0,", "[11.0, 11.5, 11.0,")))
    assert unit.cooling.capacity_kw[3][0] == 11.0


def test_capacity_must_not_fall_with_liquid_temperature(change):
    fault = only_fault(change(("[12.0, 11.5, 11.0, 10.3, 9.3, 8.2]", "[12.0, 11.5, 11.0, 10.3, 9.3, 6.8]")))
    assert fault.allowed == (
        "falls from 6.9 to 6.8 between liquid 40 and 50 degC at inlet air 54 degC; "
        "it must not fall with liquid temperature"
    )


def test_values_of_the_table_are_positive(change):
    fault = only_fault(change(("[7.4, 7.0, 6.5, 5.9, 5.2, 4.5]", "[7.4, 7.0, 6.5, 5.9, 5.2, 0.0]")))
    assert (fault.value, fault.allowed) == (
        "0.0",
        "must be greater than 0 at liquid 20 degC, inlet air 54 degC",
    )


@pytest.mark.parametrize(
    "rated, passes", [(10.9, True), (10.61, True), (11.25, True), (10.59, False), (11.27, False)]
)
def test_the_rating_point_balances_within_three_percent(change, rated, passes):
    # First law of thermodynamics: 8.8 kW from the liquid + 2.12 kW of power = 10.92 kW to the air.
    path = change(("rated_heat_rejection_kw = 10.9", f"rated_heat_rejection_kw = {rated}"))
    if passes:
        assert load_unit(path).cooling.rated_heat_rejection_kw == rated
        return
    fault = only_fault(path)
    assert fault.key == "cooling.rated_heat_rejection_kw"
    assert fault.allowed == (
        "capacity 8.80 + power 2.12 at the rating point (40, 35) make 10.92 kW; they must agree within 3%"
    )


def test_the_rating_point_between_nodes_and_outside(change):
    # Halfway between four nodes: the mean of 8.0, 7.3, 9.5, 8.8 is 8.40, of 1.60, 2.02, 1.70, 2.12 is 1.86.
    path = change(("rating_point = [40.0, 35.0]", "rating_point = [35.0, 30.0]"))
    assert "capacity 8.40 + power 1.86" in only_fault(path).allowed
    path = change(("rating_point = [35.0, 30.0]", "rating_point = [55.0, 35.0]"))
    assert only_fault(path).allowed == "55 lies outside liquid_c, 20 to 50 degC"


@pytest.mark.parametrize(
    "old, new, key, allowed",
    [
        (
            "setpoint_c = 40.0",
            "setpoint_c = 49.0",
            "restart_c",
            "must lie between setpoint_c, 49, and shutdown_c, 70",
        ),
        ("service_max_c = 48.0", "service_max_c = 39.0", "service_max_c", "must be at least setpoint_c, 40"),
        ("alarm_c = 55.0", "alarm_c = 48.0", "alarm_c", "must be greater than service_max_c, 48"),
        ("shutdown_c = 70.0", "shutdown_c = 55.0", "shutdown_c", "must be greater than alarm_c, 55"),
        (
            "restart_c = 45.0",
            "restart_c = 40.0",
            "restart_c",
            "must lie between setpoint_c, 40, and shutdown_c, 70",
        ),
        (
            "restart_c = 45.0",
            "restart_c = 70.0",
            "restart_c",
            "must lie between setpoint_c, 40, and shutdown_c, 70",
        ),
        ("start_min_c = -15.0", "start_min_c = 41.0", "start_min_c", "must be less than setpoint_c, 40"),
    ],
)
def test_temperatures_in_order(change, old, new, key, allowed):
    found = {fault.key: fault.allowed for fault in faults(change((old, new)))}
    assert found[f"liquid.{key}"] == allowed


def test_setpoint_above_alarm_says_so(change):
    found = {fault.key: fault.allowed for fault in faults(change(("setpoint_c = 40.0", "setpoint_c = 56.0")))}
    assert found["liquid.setpoint_c"] == "must be less than alarm_c, 55"
    assert found["liquid.service_max_c"] == "must be at least setpoint_c, 56"


@pytest.mark.parametrize(
    "old, new, key, allowed",
    [
        ("load_kw = 6.0", "load_kw = 9.5", "servers.load_kw", "must not be greater than load_max_kw, 9"),
        ("inlet_air_min_c = -25", "inlet_air_min_c = 52", "cooling.inlet_air_min_c", "less than inlet_air_max_c, 52"),
        ("condenser_fan_kw = 0.32", "condenser_fan_kw = 1.1", "cooling.condenser_fan_kw", "is part of power_kw"),
        ("[0.62, 0.41, 0.47]", "[0.62, 0.41, 1.47]", "mass.centre_of_gravity_m", "0 to 1.2, 0 to 0.8, 0 to 1.15 m"),
        ("[[0.06, 0.06], [1.14, 0.06], [1.14, 0.74], [0.06, 0.74]]", "[[0, 0], [0.5, 0], [1, 0]]",
         "mass.feet_m", "the feet must not stand on one line"),
        ("[1.14, 0.74], [0.06, 0.74]]", "[1.14, 0.74], [1.14, 0.74]]",
         "mass.feet_m", "two feet stand on the same point"),
        ("[[0.06, 0.06], [1.14, 0.06], [1.14, 0.74], [0.06, 0.74]]", "[[0, 0], [1, 1]]",
         "mass.feet_m", "a list of at least 3 is needed"),
    ],
)  # fmt: skip
def test_other_rules(change, old, new, key, allowed):
    fault = only_fault(change((old, new)))
    assert fault.key == key
    assert allowed in fault.allowed
