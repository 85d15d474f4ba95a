"""Worked values of one box on a roof by a reviewing engineer's hand, to the digits printed.

They were computed by hand for the example unit (176 + 38 kg, 118 l of 815 kg/m3; body 1.20 x 0.80 m, spreader of
1.6 x 1.2 m and 60 kg) with g = 9.81 m/s2: regression values, not results of a standard.
"""

from pathlib import Path

import pytest

from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.asks import clear_plan
from edgecheck.roof.bearing import PERSON_ASCE, PERSON_EN, site_bearing
from edgecheck.roof.demand import roof_demand
from edgecheck.roof.load import added_share, member_equivalent, pressure
from edgecheck.roof.snow import site_snow
from edgecheck.roof.spreader import NO_SPREADER, stated_spreader

UNIT = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
G, HAND_G = 9.80665, 9.81
FRAME = {
    "spreader_kind": "frame",
    "spreader_length_m": 1.6,
    "spreader_width_m": 1.2,
    "spreader_kg": 60.0,
}


def site(**row):
    return Site(row=2, site_id="X", values=row)


def test_masses():
    """310 kg (3.04 kN), drained with servers 214 kg, without 176 kg."""
    demand = roof_demand(UNIT, 815.0, NO_SPREADER)
    assert {name: round(state.mass) for name, state in demand.states.items()} == {
        "drained without servers": 176,
        "drained": 214,
        "operating": 310,
    }
    assert demand.weight / 1000 == pytest.approx(3.04, abs=0.005)


def test_distributed_load():
    """On 1.92 m2: 1.58 (unit), 1.89 (with 60 kg), 2.40 (with 100 kg more), 2.72 kPa (with 0.8 x 0.4 of snow)."""
    bare = roof_demand(UNIT, 815.0, NO_SPREADER)
    assert pressure(bare.weight, 1.92) / 1000 == pytest.approx(1.58, abs=0.005)
    framed = roof_demand(UNIT, 815.0, stated_spreader(site(**FRAME)))
    assert framed.patch / 1000 == pytest.approx(1.89, abs=0.005)
    assert framed.patch_with(100.0 * G) / 1000 == pytest.approx(2.40, abs=0.005)
    lid = site_snow(site(load_standard="en", en_ground_snow_kpa=0.4), UNIT).lid
    assert lid[0] == lid[1] == pytest.approx(320.0)
    assert framed.patch_with(100.0 * G + lid[1] * 1.92) / 1000 == pytest.approx(2.72, abs=0.005)


def test_member():
    """3.04 kN on members of 6 m at 2.4 and 1.2 m, load at one place: 0.42 and 0.85 kPa."""
    for spacing, printed in ((2.4, 0.42), (1.2, 0.85)):
        assert member_equivalent(310.17 * HAND_G, 6.0, spacing) / 1000 == pytest.approx(printed, abs=0.005)


def test_five_percent_trigger():
    """310 kg need 60.9 kN of design load on the member, about 30 m2 at 2.0 kPa."""
    weight = 310.17 * HAND_G
    assert added_share(weight, 2000.0, 60_900.0 / 2000.0) == pytest.approx(0.05, rel=1e-3)
    assert pytest.approx(60.9, rel=0.02) == 2.0 * 30.0
    with pytest.raises(ValueError, match="positive"):
        added_share(weight, 0.0, 30.0)


def test_point_force():
    """Half the weight is 1.52 kN; with one foot free and the centre of gravity as stated 1.57 kN."""
    sure = UNIT.model_copy(update={"mass": UNIT.mass.model_copy(update={"cg_tolerance_m": 0.0})})
    assert roof_demand(sure, 815.0, NO_SPREADER).point.value / 1000 == pytest.approx(1.57, abs=0.005)


def test_pressure_under_the_plates():
    """71 to 81 kPa for years, 157 kPa with one foot free; the centre of gravity as stated."""
    sure = UNIT.model_copy(update={"mass": UNIT.mass.model_copy(update={"cg_tolerance_m": 0.0})})
    pressed = site_bearing(site(), sure, roof_demand(sure, 815.0, NO_SPREADER), PERSON_ASCE)
    assert pressed.lasting.pressure / 1000 == pytest.approx(81, abs=0.5)
    free = max(case.pressure for case in pressed.cases if "free" in case.text)
    assert free / 1000 == pytest.approx(157, abs=0.5)
    with_person = max(case.pressure for case in pressed.cases if "person" in case.text)
    assert with_person / 1000 == pytest.approx(81 + PERSON_ASCE / 10, abs=0.5)
    en = site_bearing(site(), sure, roof_demand(sure, 815.0, NO_SPREADER), PERSON_EN)
    with_person = max(case.pressure for case in en.cases if "person" in case.text)
    assert with_person / 1000 == pytest.approx(81 + PERSON_EN / 10, abs=0.5)


def test_plan_with_clearances():
    """1.20 + 2 x 0.5 along, 0.80 + 0.9 + 0.5 back."""
    assert clear_plan(UNIT, roof_demand(UNIT, 815.0, NO_SPREADER)) == pytest.approx((2.2, 2.2))
