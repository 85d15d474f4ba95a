"""The unit as the heat room sees it: SI numbers made once from the unit record.

In: the unit record, its liquid, the IT load, delays from the criteria. Out: `Machine`.
"""

from dataclasses import dataclass, replace

import numpy as np

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.liquids import Liquid
from edgecheck.heat.balance import Bath
from edgecheck.heat.chiller import Chiller
from edgecheck.heat.electricity import CYCLING_OFFSET
from edgecheck.heat.envelope import Shell
from edgecheck.inputs.unit import Unit

LITRE = 1e-3  # m3
KILO = 1e3
MINUTE = 60.0
HOUR = 3600.0


@dataclass(frozen=True)
class Machine:
    """Everything the heat balance needs of a unit at a given IT load.

    Parameters
    ----------
    shell : Shell
        Faces of the box.
    cooling : Chiller
        Cooling section.
    bath : Bath
        Liquid and control.
    restart_delay : float
        From a stop of the cooling section to its return. [s]
    it : float
        Heat of the servers at the setpoint, at the box's terminals. [W]
    distribution_share : float
        Further heat of power distribution in the box, as a share of `it`. [-]
    leakage : float
        Growth of IT power with liquid temperature, as a share. [1/K]
    pump_power, pump_heat, pump_load : float
        Electrical; the part that ends in the liquid; the part that the rating does not already hold. [W]
    service_max, alarm, start_min : float
        Highest temperature in continuous service; alarm; coldest start of the pumps. [degC]
    limit_shift : float
        By how much limits stated on the supply were raised to the bulk. [K]
    band : float
        Control band, 0 for a machine without one. [K]
    liquid_heat_capacity, hardware_heat_capacity : float
        Of the liquid; of servers and tank. [J/K]
    natural_share : float
        Share of the liquid that takes part when the pump has stopped. [-]
    airflow : float
        [m3/s]
    rejected : float
        Heat given to the air, for recirculation. [W]
    fouling : float
        [-]
    standby : float
        [W]
    part_load_offset : float
        [-]
    starts_max, run_min : float
        Allowed starts; shortest run. [1/h], [s]
    fan_speed : float
        Share of full speed that the fan is held at; `airflow` and `cooling` are at that speed. [-]
    """

    shell: Shell
    cooling: Chiller
    bath: Bath
    restart_delay: float
    it: float
    distribution_share: float
    leakage: float
    pump_power: float
    pump_heat: float
    pump_load: float
    service_max: float
    alarm: float
    start_min: float
    limit_shift: float
    band: float
    liquid_heat_capacity: float
    hardware_heat_capacity: float
    natural_share: float
    airflow: float
    rejected: float
    fouling: float
    standby: float
    part_load_offset: float
    starts_max: float
    run_min: float
    fan_speed: float = 1.0

    @property
    def it_heat(self) -> float:
        """Heat of servers and distribution at the setpoint. [W]"""
        return self.it * (1.0 + self.distribution_share)

    @property
    def setpoint(self) -> float:
        """Bulk temperature the control holds. [degC]"""
        return self.bath.setpoint

    def slowed(self, fan_speed: float) -> "Machine":
        """Hold the fan at a share of full speed: airflow goes with it, its power with its cube.

        Parameters
        ----------
        fan_speed : float
            Share of full speed, above 0. [-]

        Returns
        -------
        Machine
            The same machine otherwise; heat given to the air stays that of the rating point.
        """
        return replace(
            self,
            cooling=self.cooling.slowed(fan_speed),
            airflow=self.airflow * fan_speed / self.fan_speed,
            fan_speed=fan_speed,
        )


def shell_of(unit: Unit) -> Shell:
    """Faces of the box: areas without the feet, conductance from the liquid to the outer surface."""
    body = unit.body
    side = body.height_m - body.foot_height_m
    plan = body.length_m * body.depth_m
    front, flank = body.length_m * side, body.depth_m * side
    film = 1.0 / body.inner_film_w_m2k
    walls = [1.0 / (film + body.wall_resistance_m2k_w)] * 4
    return Shell(
        area=np.array([plan, front, flank, front, flank, plan]),
        conductance=np.array(
            [
                1.0 / (film + body.lid_resistance_m2k_w),
                *walls,
                1.0 / (film + body.floor_resistance_m2k_w),
            ]
        ),
        absorptance=body.solar_absorptance,
        emissivity=body.emissivity,
    )


def kind_fault(unit: Unit) -> Fault:
    """Why a unit whose cooling section is no chiller cannot be run."""
    file = unit.source_files[0].name if unit.source_files else unit.name
    text = 'cooling sections of this kind are read and checked, but not computed yet; allowed now: "chiller"'
    return Fault(file, "", "cooling.kind", unit.cooling.kind, text)


def machine(unit: Unit, liquid: Liquid, it_load: float, site_visit_hours: float) -> Machine:
    """Machine for one IT load.

    Parameters
    ----------
    unit : Unit
        The unit record; its cooling section must be a chiller.
    liquid : Liquid
        What the tank is filled with.
    it_load : float
        [W]
    site_visit_hours : float
        Until somebody resets a pressure switch by hand. [h]

    Returns
    -------
    Machine

    Raises
    ------
    InputFaults
        For a cooling section of another kind than `chiller`.
    """
    cooling = unit.cooling
    if cooling.kind != "chiller":
        raise InputFaults((kind_fault(unit),))
    limits = unit.liquid
    nominal = limits.setpoint_c
    heat_rate = cooling.liquid_flow_kg_s * liquid.heat_capacity(nominal)
    pump_power = cooling.pump_kw * KILO
    pump_heat = pump_power * cooling.pump_heat_to_liquid
    it_heat = it_load * (1.0 + unit.servers.distribution_loss_share)
    shift = (it_heat + pump_heat) / heat_rate if limits.limit_basis == "supply" else 0.0
    restart_delay = cooling.restart_delay_min * MINUTE
    by_hand = cooling.high_pressure_reset != "automatic"
    liquid_capacity = limits.volume_litre * LITRE * liquid.density(nominal) * liquid.heat_capacity(nominal)
    hardware = unit.servers.heat_capacity_kj_k * KILO
    on_off = cooling.part_load == "on-off"
    return Machine(
        shell=shell_of(unit),
        cooling=Chiller(
            liquid_rows=np.array(cooling.liquid_c, dtype=float),
            inlet_columns=np.array(cooling.inlet_air_c, dtype=float),
            capacity=np.array(cooling.capacity_kw, dtype=float) * KILO,
            power=np.array(cooling.power_kw, dtype=float) * KILO,
            leaving_basis=cooling.liquid_basis == "leaving",
            liquid_heat_rate=heat_rate,
            rated_heat_rejection=cooling.rated_heat_rejection_kw * KILO,
            split=cooling.condenser_split_k,
            inlet_max=cooling.inlet_air_max_c,
            inlet_min=cooling.inlet_air_min_c,
            condensing_limit=cooling.condensing_max_c - cooling.condensing_margin_k,
            fan_power=cooling.condenser_fan_kw * KILO,
        ),
        bath=Bath(
            heat_capacity=liquid_capacity + hardware,
            setpoint=nominal + shift,
            shutdown=limits.shutdown_c + shift,
            restart=limits.restart_c + shift,
            trip_delay=max(restart_delay, site_visit_hours * HOUR) if by_hand else restart_delay,
        ),
        restart_delay=restart_delay,
        it=it_load,
        distribution_share=unit.servers.distribution_loss_share,
        leakage=unit.servers.leakage_share_per_k,
        pump_power=pump_power,
        pump_heat=pump_heat,
        pump_load=0.0 if cooling.capacity_basis == "net-of-pump" else pump_heat,
        service_max=limits.service_max_c + shift,
        alarm=limits.alarm_c + shift,
        start_min=limits.start_min_c,
        limit_shift=shift,
        band=cooling.control_band_k if on_off else 0.0,
        liquid_heat_capacity=liquid_capacity,
        hardware_heat_capacity=hardware,
        natural_share=limits.natural_circulation_share,
        airflow=cooling.airflow_m3_s,
        rejected=cooling.rated_heat_rejection_kw * KILO,
        fouling=cooling.fouling,
        standby=cooling.standby_kw * KILO,
        part_load_offset=CYCLING_OFFSET,
        starts_max=cooling.starts_max_per_h,
        run_min=cooling.minimum_run_s,
    )
