"""Status and words of the seismic check: exemptions, anchors, what is unknown; made-up values."""

import pytest
from asked import asked
from stability_cases import ANCHORS, CRITERIA, EXAMPLE, STRONG_ROOF, held, site

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.sites import DOES_NOT_APPLY
from edgecheck.roof.seismic_action import site_seismic

ASCE = {
    "load_standard": "asce7-16",
    "seismic_design_category": "D",
    "sds_g": 1.0,
    "component_importance": 1.0,
}
LATER = {**ASCE, "load_standard": "asce7-22"}
EN = {"load_standard": "en", "en_ground_acceleration_g": 0.2, "en_soil_factor": 1.2}
YES, NO = {"penetrations_allowed": "yes"}, {"penetrations_allowed": "no"}
MASS = 176.0 + 38.0 + 118.0 * 0.815  # kg


def seismic(row, unit=EXAMPLE):
    return held(row, unit).results[1]


def on(mounting):
    return EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update={"mounting": mounting})})


@pytest.mark.parametrize(
    "row, clause",
    [
        ({**ASCE, "seismic_design_category": "A"}, "13.1.4"),
        ({**ASCE, "seismic_design_category": "B"}, "13.1.4"),
        ({"load_standard": "asce7-22", "seismic_design_category": "B"}, "ASCE 7-22"),
        ({**ASCE, "seismic_design_category": "C"}, "Ip 1.0"),
        (
            {"load_standard": "asce7-16", "seismic_design_category": "C", "risk_category": "II"},
            "Ip 1.0",
        ),
        ({**ASCE, "seismic_design_category": DOES_NOT_APPLY}, "declared"),
        ({**EN, "en_ground_acceleration_g": DOES_NOT_APPLY}, "declared"),
        ({"load_standard": "en", "en_ground_acceleration_g": 0.0}, "3.2.1(5)"),
        ({**EN, "en_ground_acceleration_g": 0.04, "en_soil_factor": 1.25}, "3.2.1(5)"),
    ],
)
def test_not_applicable_only_by_declaration_or_by_a_value_that_the_code_exempts(row, clause):
    result = seismic(row)
    assert result.status == "not applicable"
    assert clause in result.note


def test_just_above_very_low_seismicity_counts():
    row = {**EN, "en_ground_acceleration_g": 0.041, "en_soil_factor": 1.25, **YES}
    assert seismic(row).status == "caution"
    important = {**EN, "en_ground_acceleration_g": 0.04, "en_soil_factor": 1.25, "en_importance_factor": 1.4}
    assert seismic({**important, **YES}).status == "caution"


@pytest.mark.parametrize(
    "row, missing",
    [
        ({}, ("load_standard",)),
        ({"load_standard": "asce7-16"}, ("seismic_design_category", "sds_g")),
        ({"load_standard": "asce7-16", "sds_g": 0.1}, ("seismic_design_category",)),
        ({"load_standard": "asce7-16", "seismic_design_category": "D"}, ("sds_g",)),
        (
            {"load_standard": "asce7-16", "seismic_design_category": "C", "sds_g": 0.4},
            ("component_importance", "risk_category"),
        ),
        ({"load_standard": "en"}, ("en_ground_acceleration_g",)),
        ({"load_standard": "en", "en_ground_acceleration_g": 0.01}, ("en_soil_factor",)),
        (ASCE, ("penetrations_allowed",)),
        (EN, ("penetrations_allowed",)),
    ],
)
def test_what_is_unknown_is_not_assessed(row, missing):
    result = seismic(row)
    assert result.status == "not assessed"
    assert result.missing == missing


@pytest.mark.parametrize("row", [ASCE, LATER, EN])
def test_anchors_are_the_answer(row):
    result = seismic({**row, **YES})
    assert result.status == "caution"
    assert "4 anchors at the feet" in asked(result)
    assert "in an earthquake" in asked(result)
    assert seismic({**row, **NO}).status == "fail"


@pytest.mark.parametrize("row", [ASCE, EN])
def test_neither_friction_nor_ballast_counts(row):
    holding = {
        "friction_design": 1.0,
        "friction_evidence": "test",
        "fixing": "ballast",
        "ballast_kg": 5000.0,
        **STRONG_ROOF,
        **NO,
    }
    assert seismic({**row, **holding}).status == "fail"
    plain, held_down = seismic({**row, **YES}), seismic({**row, **holding, **YES})
    assert held_down.conditions == plain.conditions


def test_stated_anchors_pass_or_fail_by_their_resistance():
    result = seismic({**ASCE, **ANCHORS})
    assert result.status == "pass"
    assert 0.0 < result.utilisation < 1.0
    weak = seismic({**ASCE, **ANCHORS, "anchor_design_shear_kn": 0.1})
    assert weak.status == "fail"
    assert weak.utilisation > 1.0
    asd = seismic({**ASCE, **ANCHORS, "anchor_level": "asd"})
    assert "0.7 Ev" in asd.governed_by
    assert asd.utilisation < result.utilisation


def test_shear_of_an_anchor_by_hand():
    """Fp/Wp = 0.4 x 2.5 x 1.0 x 3/6 = 0.5; anchors in concrete with Omega0 2.0; a quarter each."""
    anchors = held({**ASCE, **YES}).detail["anchors"]["seismic"]
    assert anchors["shear_kn"] == pytest.approx(0.5 * 2.0 * MASS * GRAVITY / 4.0 / 1000.0)


def test_tension_of_an_anchor_by_hand():
    """About the long edge: (Omega0 Fp z - (0.9 - 0.2 SDS) W a)/(2 x 0.68), a 0.33 m less the tolerance of 0.05 m."""
    weight = MASS * GRAVITY
    moment = 1.0 * weight * 0.47 - 0.7 * weight * (0.33 - 0.05)
    anchors = held({**ASCE, **YES}).detail["anchors"]["seismic"]
    other = 1.0 * 176.0 * GRAVITY * 0.52 - 0.7 * 176.0 * GRAVITY * (0.32 - 0.05)
    assert anchors["tension_kn"] == pytest.approx(max(moment, other) / (2.0 * 0.68) / 1000.0)


@pytest.mark.parametrize(
    "mounting, factor", [("rigid", 2.5 / 6.0), ("rubber", 2.0 * 2.5 / 2.5), ("spring", 2.0 * 2.5 / 2.0)]
)
def test_row_of_the_component_by_its_mounting(mounting, factor):
    """7-16 Table 13.6-1 rows; doubled on isolators while the gap of the snubber is unknown; here below the cap."""
    found = site_seismic(site({**ASCE, "sds_g": 1.0}), on(mounting), CRITERIA.stability)
    assert found.horizontal == pytest.approx(
        2.0 * min(0.4 * factor * 3.0, 1.6 * (2.0 if mounting != "rigid" else 1))
    )


def test_unknown_mounting_counts_as_on_springs():
    values = CRITERIA.stability
    unknown, spring = (site_seismic(site(ASCE), on(one), values).horizontal for one in (None, "spring"))
    assert unknown == spring


def test_unknown_importance_counts_as_1_5_and_never_exempts():
    row = {key: value for key, value in ASCE.items() if key != "component_importance"}
    values = CRITERIA.stability
    unknown, high = (
        site_seismic(site({**row, **more}), EXAMPLE, values) for more in ({}, {"component_importance": 1.5})
    )
    assert unknown.horizontal == high.horizontal
    assert site_seismic(site({**row, "risk_category": "IV"}), EXAMPLE, values).horizontal == high.horizontal
    assert site_seismic(site({**row, "risk_category": "I"}), EXAMPLE, values).horizontal < high.horizontal


@pytest.mark.parametrize("row", [ASCE, LATER, EN])
def test_a_unit_below_the_top_of_its_building_is_shaken_less(row):
    low = {"roof_level_agl_m": 5.0, "building_top_agl_m": 50.0}
    values = CRITERIA.stability
    top = site_seismic(site(row), EXAMPLE, values).horizontal
    assert site_seismic(site({**row, **low}), EXAMPLE, values).horizontal < top
    assert site_seismic(site({**row, "roof_level_agl_m": 5.0}), EXAMPLE, values).horizontal == top


def test_editions_differ():
    values = CRITERIA.stability
    early, late = (site_seismic(site(row), EXAMPLE, values).horizontal for row in (ASCE, LATER))
    assert early == pytest.approx(2.0 * 0.5)
    assert late == pytest.approx(2.0 * 0.4 * (3.5 / 1.3) * (1.4 / 2.0))


def test_steps_name_their_clauses():
    for row, clause in ((ASCE, "13.3.1"), (LATER, "not verified"), (EN, "4.3.5.2")):
        steps = held({**row, **YES}).detail["seismic"]["steps"]
        assert any(clause in f"{step['clause']} {step['numbers']}" for step in steps)


def test_emptying_a_cell_never_turns_into_a_pass_or_exempts():
    rows = [
        {**ASCE, **NO},
        {**ASCE, **ANCHORS},
        {**EN, **NO},
        {**EN, **ANCHORS, "anchor_design_tension_kn": 0.01},
        {**ASCE, "seismic_design_category": "C"},
        {**EN, "en_ground_acceleration_g": DOES_NOT_APPLY},
    ]
    for row in rows:
        for key in row:
            less = seismic({name: value for name, value in row.items() if name != key})
            full = seismic(row)
            if less.status in ("pass", "not applicable"):
                assert less.status == full.status, (key, row)
            if full.status in ("fail", "not assessed"):
                assert less.status in ("fail", "not assessed"), (key, row)
