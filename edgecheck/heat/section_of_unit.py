"""One cooling section of a unit in SI, whatever its kind.

Every key of [cooling] is of one of the identical sections, with these exceptions: liquid flow, pump and heater are
the unit's. The sections in service share the flow alike.
"""

import math

import numpy as np

from edgecheck.base.liquids import Liquid
from edgecheck.heat.chiller import Chiller
from edgecheck.heat.coil import Coil
from edgecheck.heat.dry_cooler import DryCooler
from edgecheck.heat.economiser import Economiser
from edgecheck.heat.electricity import CYCLING_OFFSET, FAN_EXPONENT, PartLoad
from edgecheck.heat.section import CoolingSection, LiquidRate
from edgecheck.inputs import cooling as keys
from edgecheck.inputs.unit import Unit

KILO = 1e3


def section_of(unit: Unit, liquid: Liquid, serving: int) -> CoolingSection:
    """One cooling section of a unit.

    Parameters
    ----------
    unit : Unit
        The unit record.
    liquid : Liquid
        What the tank is filled with.
    serving : int
        How many sections share the liquid's flow.

    Returns
    -------
    CoolingSection
        Chiller, DryCooler or Economiser.
    """
    cooling = unit.cooling
    rate = liquid_rate(unit, liquid, serving)
    if isinstance(cooling, keys.DryCooler):
        return _dry_cooler(cooling, rate)
    made = _chiller(cooling, rate)
    if isinstance(cooling, keys.ChillerWithEconomiser):
        return _economiser(cooling, made, rate)
    return made


def liquid_rate(unit: Unit, liquid: Liquid, serving: int) -> LiquidRate:
    """Capacity rate of the liquid through one section, straight from setpoint to shutdown.

    The slope is left out where the liquid's specific heat at shutdown is not known.
    """
    low, high = unit.liquid.setpoint_c, unit.liquid.shutdown_c
    flow = unit.cooling.liquid_flow_kg_s / serving
    cold, warm = (flow * float(liquid.heat_capacity(temperature)) for temperature in (low, high))
    slope = 0.0 if math.isnan(warm) else (warm - cold) / (high - low)
    return LiquidRate(cold, slope, low)


def _chiller(cooling: keys.RatingTable, rate: LiquidRate) -> Chiller:
    on_off = cooling.part_load == "on-off"
    return Chiller(
        liquid_rows=np.array(cooling.liquid_c, dtype=float),
        inlet_columns=np.array(cooling.inlet_air_c, dtype=float),
        capacity=np.array(cooling.capacity_kw, dtype=float) * KILO,
        power=np.array(cooling.power_kw, dtype=float) * KILO,
        leaving_basis=cooling.liquid_basis == "leaving",
        liquid_heat_rate=rate.at_reference,
        rated_heat_rejection=cooling.rated_heat_rejection_kw * KILO,
        split=cooling.condenser_split_k,
        inlet_max=cooling.inlet_air_max_c,
        inlet_min=cooling.inlet_air_min_c,
        condensing_limit=cooling.condensing_max_c - cooling.condensing_margin_k,
        fan_power=cooling.condenser_fan_kw * KILO,
        standby=cooling.standby_kw * KILO,
        part_load=PartLoad(
            least_share=1.0 if on_off else cooling.capacity_min_share,
            offset=CYCLING_OFFSET if on_off else cooling.part_load_offset,
            # the form of EN 14825 for on-off machines holds for compressor and fan together
            fan_exponent=1.0 if on_off else FAN_EXPONENT[cooling.fan_control],
        ),
    )


def _dry_cooler(cooling: keys.DryCooler, rate: LiquidRate) -> DryCooler:
    return DryCooler(
        coil=Coil(
            conductance=cooling.conductance_kw_k * KILO,
            air_share=cooling.air_side_share,
            air_exponent=cooling.air_exponent,
            rating_density=cooling.rating_air_density_kg_m3,
            fouling=cooling.fouling,
            airflow=cooling.airflow_m3_s,
            liquid=rate,
        ),
        fan_power=cooling.fan_kw * KILO,
        fan_exponent=FAN_EXPONENT[cooling.fan_control],
        still_share=0.0 if cooling.coil_bypass else cooling.still_air_share,
        inlet_max=cooling.inlet_air_max_c,
        inlet_min=cooling.inlet_air_min_c,
        standby=cooling.standby_kw * KILO,
    )


def _economiser(cooling: keys.ChillerWithEconomiser, chiller: Chiller, rate: LiquidRate) -> Economiser:
    coldest = cooling.coil_air_min_c
    return Economiser(
        chiller=chiller,
        coil=Coil(
            conductance=cooling.coil_conductance_kw_k * KILO,
            air_share=cooling.coil_air_side_share,
            air_exponent=cooling.coil_air_exponent,
            rating_density=cooling.coil_rating_air_density_kg_m3,
            fouling=cooling.fouling,
            airflow=cooling.coil_airflow_m3_s,
            liquid=rate,
        ),
        coil_fan_power=cooling.coil_fan_kw * KILO,
        before_condenser=cooling.coil_air == "before-condenser",
        condenser_airflow=cooling.airflow_m3_s,
        coil_air_min=cooling.inlet_air_min_c if coldest is None else coldest,
        changeover=cooling.changeover_k,
    )
