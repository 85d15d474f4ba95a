"""The unit as the heat room sees it: SI numbers made once from the unit record.

In: the unit record, its liquid, the IT load, delays from the criteria. Out: `Machine`.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.liquids import Liquid
from edgecheck.heat.balance import Bath
from edgecheck.heat.envelope import Shell
from edgecheck.heat.section import CoolingSection, LiquidSpan
from edgecheck.heat.section_of_unit import section_of
from edgecheck.heat.server_power import ServerPower
from edgecheck.inputs.cooling import Cooling, DryCooler, RatingTable
from edgecheck.inputs.unit import Unit

FloatArray = NDArray[np.float64]

LITRE = 1e-3  # m3
KILO = 1e3
MINUTE = 60.0
HOUR = 3600.0


@dataclass(frozen=True)
class Cycling:
    """How a compressor is switched.

    Parameters
    ----------
    least_share : float
        Least share of full capacity that it can run at, below which it is switched; 1 for on-off. [-]
    band : float
        Control band. [K]
    starts_max, run_min : float
        Allowed starts; shortest run. [1/h], [s]
    """

    least_share: float
    band: float
    starts_max: float
    run_min: float


@dataclass(frozen=True)
class Machine:
    """Everything the heat balance needs of a unit at a given IT load.

    Parameters
    ----------
    shell : Shell
        Faces of the box.
    cooling : CoolingSection
        One of the unit's identical cooling sections.
    sections, in_service : int
        How many there are; how many of them share the heat.
    stands_by : bool
        Whether another takes over where one in service fails.
    bath : Bath
        Liquid and control.
    restart_delay : float
        From a stop of the cooling section to its return. [s]
    it : float
        Heat of the servers at the setpoint and full load, at the box's terminals; an hour may have a share of it. [W]
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
    cycling : Cycling or None
        How the compressor is switched; None without one.
    liquid_heat_capacity, hardware_heat_capacity : float
        Of the liquid; of servers and tank. [J/K]
    natural_share : float
        Share of the liquid that takes part when the pump has stopped. [-]
    airflow : float
        Of the sections in service, at `fan_speed`. [m3/s]
    rejected : float
        Heat that they give to the air, for recirculation. [W]
    rejects_load : bool
        Whether that heat goes with the IT load; else it is as rated.
    fouling : float
        [-]
    idle_power : float
        Standby of the sections that are not in service. [W]
    fan_speed : float
        Share of full speed that the fans are held at. [-]
    throttle_share : float
        Share of the servers' power that is left at shutdown, throttled evenly from the alarm on; 1 where they draw
        it all until they stop. [-]
    """

    shell: Shell
    cooling: CoolingSection
    sections: int
    in_service: int
    stands_by: bool
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
    cycling: Cycling | None
    liquid_heat_capacity: float
    hardware_heat_capacity: float
    natural_share: float
    airflow: float
    rejected: float
    rejects_load: bool
    fouling: float
    idle_power: float
    fan_speed: float = 1.0
    throttle_share: float = 1.0

    def uncooled(self) -> "Machine":
        """The machine as its limits hold while nothing cools: supply and bulk are then one temperature.

        Limits stated on the supply were raised by the rise across the servers; without a cooling section that takes
        heat out there is none. The setpoint stays: it is where the bulk stood before.
        """
        if self.limit_shift == 0.0:
            return self
        bath = replace(self.bath, shutdown=self.bath.shutdown - self.limit_shift)
        return replace(self, bath=bath, alarm=self.alarm - self.limit_shift, limit_shift=0.0)

    @property
    def it_heat(self) -> float:
        """Heat of servers and distribution at the setpoint and full load. [W]"""
        return self.it * (1.0 + self.distribution_share)

    @property
    def servers(self) -> ServerPower:
        """How the servers' power goes with the liquid."""
        return ServerPower(self.setpoint, self.alarm, self.bath.shutdown, self.leakage, self.throttle_share)

    @property
    def setpoint(self) -> float:
        """Bulk temperature the control holds. [degC]"""
        return self.bath.setpoint

    @property
    def discharge_heat(self) -> float:
        """Heat to the air for each cubic metre at full load. [J/m3]"""
        return self.rejected / self.airflow

    def rejected_at(self, load_share: FloatArray | float) -> FloatArray | float:
        """Heat to the air with the servers at a share of their load; shape of the share. [W]"""
        return self.rejected - self.it_heat * (1.0 - load_share) if self.rejects_load else self.rejected

    @property
    def span(self) -> LiquidSpan:
        """Liquid temperatures that matter to the cooling section."""
        return LiquidSpan(self.setpoint, self.service_max, self.bath.shutdown)

    @property
    def least_share(self) -> float:
        """Least share of full capacity that the compressor can run at; 1 for on-off, or without one. [-]"""
        return 1.0 if self.cycling is None else self.cycling.least_share

    @property
    def band(self) -> float:
        """Control band of a machine that is switched on and off at any load, else 0. [K]"""
        return self.cycling.band if self.cycling is not None and self.least_share == 1.0 else 0.0

    def slowed(self, fan_speed: float) -> "Machine":
        """Hold the fans at a share of full speed: airflow goes with it, their power with its cube.

        Parameters
        ----------
        fan_speed : float
            Share of full speed, above 0. [-]

        Returns
        -------
        Machine
            The same machine otherwise; the heat given to the air is kept.
        """
        return replace(self, airflow=self.airflow * fan_speed / self.fan_speed, fan_speed=fan_speed)

    def with_one_failed(self) -> "Machine":
        """The machine with one section failed; a standby takes its place.

        The failed section's share of the liquid passes uncooled, so that the others work as before, each with its
        own air; dry coolers share the heat that they are given.
        """
        if self.stands_by:
            return self
        left = self.in_service - 1
        share = left / self.in_service if left else 1.0
        return replace(
            self,
            in_service=left,
            airflow=share * self.airflow,
            rejected=self.rejected if self.rejects_load else share * self.rejected,
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


def machine(unit: Unit, liquid: Liquid, it_load: float, site_visit_hours: float) -> Machine:
    """Machine for one IT load.

    Parameters
    ----------
    unit : Unit
        The unit record.
    liquid : Liquid
        What the tank is filled with.
    it_load : float
        [W]
    site_visit_hours : float
        Until somebody resets a pressure switch by hand. [h]

    Returns
    -------
    Machine
    """
    empty, heat_rate = _without_load(unit, liquid, site_visit_hours)
    it_heat = it_load * (1.0 + empty.distribution_share)
    rejected = empty.rejected + it_heat if empty.rejects_load else empty.rejected
    if unit.liquid.limit_basis != "supply":
        return replace(empty, it=it_load, rejected=rejected)
    shift, bath = (it_heat + empty.pump_heat) / heat_rate, empty.bath
    return replace(
        empty,
        it=it_load,
        rejected=rejected,
        bath=replace(
            bath,
            setpoint=bath.setpoint + shift,
            shutdown=bath.shutdown + shift,
            restart=bath.restart + shift,
        ),
        service_max=empty.service_max + shift,
        alarm=empty.alarm + shift,
        limit_shift=shift,
    )


_Empty = tuple[Machine, float]
_known: dict[tuple[int, int, float], tuple[Unit, Liquid, _Empty]] = {}
_MOST_KNOWN = 16


def _without_load(unit: Unit, liquid: Liquid, site_visit_hours: float) -> _Empty:
    """Machine without servers' load, limits as stated, and the capacity rate of its whole liquid flow [W/K].

    Kept for the units of a run: a unit serves many sites, and a site looks at many loads. Records do not change, so
    that the same object is the same unit.
    """
    key = (id(unit), id(liquid), site_visit_hours)
    known = _known.get(key)
    if known is None:
        if len(_known) >= _MOST_KNOWN:
            _known.clear()
        # the records are kept with it, so that no other can come to have their ids
        known = _known[key] = (unit, liquid, _made_without_load(unit, liquid, site_visit_hours))
    return known[2]


def _made_without_load(unit: Unit, liquid: Liquid, site_visit_hours: float) -> _Empty:
    cooling, limits = unit.cooling, unit.liquid
    serving = cooling.sections - 1 if cooling.section_duty == "standby" else cooling.sections
    nominal = limits.setpoint_c
    pump_power = cooling.pump_kw * KILO
    pump_heat = pump_power * cooling.pump_heat_to_liquid
    restart_delay = cooling.restart_delay_min * MINUTE
    compressor = None if isinstance(cooling, DryCooler) else cooling
    by_hand = compressor is not None and compressor.high_pressure_reset != "automatic"
    net_of_pump = compressor is not None and compressor.capacity_basis == "net-of-pump"
    liquid_capacity = limits.volume_litre * LITRE * liquid.density(nominal) * liquid.heat_capacity(nominal)
    hardware = unit.servers.heat_capacity_kj_k * KILO
    empty = Machine(
        shell=shell_of(unit),
        cooling=section_of(unit, liquid, serving),
        sections=cooling.sections,
        in_service=serving,
        stands_by=cooling.section_duty == "standby",
        bath=Bath(
            heat_capacity=liquid_capacity + hardware,
            setpoint=nominal,
            shutdown=limits.shutdown_c,
            restart=limits.restart_c,
            trip_delay=max(restart_delay, site_visit_hours * HOUR) if by_hand else restart_delay,
        ),
        restart_delay=restart_delay,
        it=0.0,
        distribution_share=unit.servers.distribution_loss_share,
        leakage=unit.servers.leakage_share_per_k,
        pump_power=pump_power,
        pump_heat=pump_heat,
        pump_load=0.0 if net_of_pump else pump_heat,
        service_max=limits.service_max_c,
        alarm=limits.alarm_c,
        start_min=limits.start_min_c,
        limit_shift=0.0,
        cycling=None if compressor is None else cycling_of(compressor),
        liquid_heat_capacity=liquid_capacity,
        hardware_heat_capacity=hardware,
        natural_share=limits.natural_circulation_share,
        airflow=serving * cooling.airflow_m3_s,
        rejected=_rejected(cooling, serving, pump_heat),
        rejects_load=compressor is None,
        fouling=cooling.fouling,
        idle_power=(cooling.sections - serving) * cooling.standby_kw * KILO,
        throttle_share=1.0 if unit.servers.throttle_share is None else unit.servers.throttle_share,
    )
    return empty, cooling.liquid_flow_kg_s * liquid.heat_capacity(nominal)


def _rejected(cooling: Cooling, serving: int, heat: float) -> float:
    """Heat to the air for the recirculation: as rated with a compressor, else what the machine takes in. [W]"""
    if isinstance(cooling, DryCooler):
        return heat + serving * cooling.fan_kw * KILO
    return serving * cooling.rated_heat_rejection_kw * KILO


def cycling_of(cooling: RatingTable) -> Cycling:
    """How the compressor of a kind with one is switched."""
    on_off = cooling.part_load == "on-off"
    return Cycling(
        least_share=1.0 if on_off else cooling.capacity_min_share,
        band=cooling.control_band_k,
        starts_max=cooling.starts_max_per_h,
        run_min=cooling.minimum_run_s,
    )
