"""Delivery numbers against printed tables and examples.

Sources
-------
- EN 81-20 table 6, greatest car area by rated load, reproduced on a lift maker's page; above 2500 kg 0.16 m2 for
  every 100 kg.
- Team lifting: two persons 2/3, three 1/2 of the sum of what each may lift (HSE L23); a railway's safety page
  prints 26.6 kg for two persons of 20 kg each; 25 kg a person: HSE INDG143.
- A rectangle in a rectangle: brute force over angles.
"""

import numpy as np
import pytest

from edgecheck.roof.delivery import TEAM_SHARES, greatest_by_hand, team_guideline, wheel_load
from edgecheck.roof.lifts import largest_car, stands_on


@pytest.mark.parametrize(
    ("rated", "area"),
    [
        (100, 0.37),
        (450, 1.30),
        (630, 1.66),
        (1000, 2.40),
        (1275, 2.95),
        (1600, 3.56),
        (2500, 5.00),
        (3000, 5.80),
    ],
)
def test_lift_areas(rated, area):
    assert largest_car(rated) == pytest.approx(area, abs=0.005)


def test_lift_areas_between_rows_and_below_the_first():
    assert largest_car(1040) == pytest.approx(2.40 + 0.10 * 40 / 50)
    assert largest_car(90) is None
    areas = [largest_car(rated) for rated in range(100, 3500, 10)]
    assert areas == sorted(areas)


def test_team_lifting():
    assert TEAM_SHARES[2] * (20.0 + 20.0) == pytest.approx(26.6, abs=0.1)
    assert [team_guideline(persons) for persons in (1, 2, 3)] == pytest.approx([25.0, 33.3, 37.5], abs=0.05)
    assert greatest_by_hand() == 37.5  # no team carries 96 kg


def test_wheel_of_a_pallet_truck():
    """(96 + 60) kg on four wheels, times 1.5, by hand: 58.5 kg."""
    assert wheel_load(96.0) == pytest.approx(58.5 * 9.80665)


def fits_at_some_angle(plan, floor):
    angles = np.linspace(0.0, np.pi / 2, 20_001)
    wide = plan[0] * np.cos(angles) + plan[1] * np.sin(angles)
    deep = plan[0] * np.sin(angles) + plan[1] * np.cos(angles)
    return bool(np.any((wide <= floor[0] + 1e-9) & (deep <= floor[1] + 1e-9)))


def test_rectangle_on_a_floor():
    random = np.random.default_rng(7)
    seen = set()
    for _ in range(400):
        plan, floor = random.uniform(0.1, 2.0, 2), random.uniform(0.8, 2.2, 2)
        found = stands_on(tuple(plan), tuple(floor))
        if found != fits_at_some_angle(plan, floor):
            # only where the answer hangs on the step of the angles
            assert fits_at_some_angle(plan * 0.999, floor) != fits_at_some_angle(plan * 1.001, floor)
        seen.add((bool(found), bool(max(plan) > max(floor))))
    assert seen == {(True, False), (False, False), (False, True), (True, True)}
    assert stands_on((1.2, 0.8), (0.8, 1.2))
    assert not stands_on((1.2, 0.8), (1.1, 1.1))
