"""Nationally determined values and choices of a component's row for wind and seismic action.

The standards leave these to a national annex, to the engineer or to nobody. The shipped set holds the
recommended value, or an engineering default with its reason; a criteria file may give another.
"""

from edgecheck.inputs.quantities import NotNegative, Positive, Record, key


class StabilityCriteria(Record):
    """Values behind the checks of wind and seismic action."""

    en_gamma_g_inf: Positive = key("factor on a favourable weight in equilibrium, EN 1990 Table A1.2(A)")
    en_gamma_q: Positive = key("factor on wind, EN 1990 Table A1.2(A)")
    en_air_density_kg_m3: Positive = key("density of air, EN 1991-1-4 4.5(1), kg/m3")
    en_edge_factor: Positive = key("factor on the wind force within e/4 of the roof's edge")
    en_uplift_coefficient: NotNegative = key(
        "uplift of the wind on the unit's plan over peak velocity pressure"
    )
    en_very_low_seismicity_g: NotNegative = key("ag S up to which EN 1998 need not be observed, 3.2.1(5), g")
    en_component_behaviour: Positive = key("behaviour factor qa of the unit, EN 1998-1 Table 4.4")
    en_component_importance: Positive = key("importance factor gamma_a of the unit, EN 1998-1 4.3.5.3")
    en_period_ratio: NotNegative = key("period of the unit over that of the building, EN 1998-1 4.3.5.2")
    asce_directionality: Positive = key("wind directionality factor Kd, ASCE 7 Table 26.6-1")
    asce7_16_ap: Positive = key("amplification ap of the unit, ASCE 7-16 Table 13.6-1")
    asce7_16_rp: Positive = key("response Rp of a unit that stands rigidly, ASCE 7-16 Table 13.6-1")
    asce7_16_rp_rubber: Positive = key("response Rp of a unit on rubber, ASCE 7-16 Table 13.6-1")
    asce7_16_rp_spring: Positive = key("response Rp of a unit on springs, ASCE 7-16 Table 13.6-1")
    asce7_22_car: Positive = key("resonance CAR of a unit that stands rigidly, ASCE 7-22 Table 13.6-1")
    asce7_22_rpo: Positive = key("strength Rpo of a unit that stands rigidly, ASCE 7-22 Table 13.6-1")
    asce7_22_car_isolated: Positive = key(
        "resonance CAR of a unit on rubber or springs, ASCE 7-22 Table 13.6-1"
    )
    asce7_22_rpo_isolated: Positive = key(
        "strength Rpo of a unit on rubber or springs, ASCE 7-22 Table 13.6-1"
    )
    asce7_22_rmu: Positive = key("reduction Rmu for the building's ductility, ASCE 7-22 13.3.1.2")
    asce_anchor_overstrength: Positive = key(
        "factor on the horizontal seismic force of anchors, ASCE 7 13.4.2"
    )
    asce_isolated_force_factor: Positive = key("factor on the seismic force of a unit on rubber or springs")
    anchor_interaction: Positive = key("most that tension and shear shares of an anchor may add up to")
    friction_without_test: NotNegative = key("most friction that counts without a test")
    friction_reference: Positive = key("friction of the reference figures for ballast")
