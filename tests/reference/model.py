"""A second, slow model of the steady hour: one site, one hour, plain floats.

It exists to disagree with the program. Nothing here imports the package: every nonlinear balance is left to
`scipy.optimize.brentq`, the service headroom is found by walking a fine grid, and no formula is rearranged.
`liquid_march` (liquid temperature through the hours) and `sun_faces` (irradiance) stand beside it.

Temperatures degC (differences K), heat W, pressure Pa, flow kg/s and m3/s, volume m3. Every heat is positive
into the liquid.

Conventions, where a sentence leaves more than one reading
----------------------------------------------------------
1. Air density is that of dry air, p / (287.042 T).
2. `right` faces front + 90 degrees, `back` + 180, `left` + 270 (clockwise seen from above).
3. `height_m` is the height of the unit's top over its feet, so the walls are lower by `foot_height_m`.
   The inner film applies to all six faces. Box faces use wind_share * wind without a lower bound.
4. Leakage: the IT load is load * (1 + leakage * (T - reference)), the reference being `load_reference_c`
   or, absent that, the setpoint. The distribution loss follows the leaking load.
5. A rating net of the pump leaves the pump heat out of the load everywhere but after loss of cooling, where a
   running pump heats the liquid whatever the rating says. The floor of the share holds the same pump heat
   as the load and no distribution loss.
6. Leaving basis: the table is read at T - Q/(m cp) with the specific heat handed in. For the condensing
   temperature above the last row the fixed point is solved on the extended table.
7. Power is read at the same table point as capacity.
8. Past the last column the capacity is unknown: `service_headroom` says so and gives the last column's
   value as an upper bound. Binding is then beyond-table, even where that bound is negative.
9. Service headroom is the maximum over T of capacity minus load, with capacity 0 wherever a limit is open;
   an hour that is dead throughout therefore gets - load at the service temperature.
10. Binding is judged at the temperature where the service headroom is found: condensing binds only if the
    limit is open over the whole range. Ties take the lowest temperature.
11. Supply-side limits, dry coolers and economisers are outside this model and are refused.
"""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from scipy.optimize import brentq

SIGMA = 5.670374419e-8
KELVIN = 273.15
R_AIR = 287.042
CP_AIR = 1006.0
SEA_LEVEL = 101325.0
FACES = ("lid", "front", "right", "back", "left", "floor")
WALLS = ("front", "right", "back", "left")
ROOFS = {  # solar absorptance, emissivity; engineering defaults
    "dark": (0.90, 0.90),
    "gravel": (0.75, 0.90),
    "light": (0.35, 0.90),
    "green": (0.70, 0.95),
    "metal": (0.60, 0.30),
}


@dataclass(frozen=True)
class Hour:
    """Air, sky and sun of one hour at the site; irradiance on the five sunlit faces of the box."""

    temp_air: float
    temp_dew: float
    pressure: float
    longwave_down: float
    wind_speed: float
    ghi: float
    irradiance: dict[str, float]


@dataclass(frozen=True)
class Site:
    """What the roof adds."""

    roof: tuple[float, float] = ROOFS["dark"]
    wind_share: float = 0.5
    recirculation: float = 0.05
    mixing: float = 0.04
    it_load: float | None = None  # W; the unit's own when None


@dataclass(frozen=True)
class Unit:
    """The unit's parameters in SI."""

    areas: dict[str, float]
    resistances: dict[str, float]
    absorptance: float
    emissivity: float
    inner_film: float
    setpoint: float
    service_max: float
    alarm: float
    shutdown: float
    restart: float
    volume: float
    natural_share: float
    servers_capacity: float
    it_load: float
    loss: float
    leakage: float
    leakage_reference: float
    leaving: bool
    net_of_pump: bool
    flow: float
    rows: list[float]
    columns: list[float]
    capacities: list[list[float]]
    powers: list[list[float]]
    rejection: float
    split: float
    fouling: float
    airflow: float
    inlet_max: float
    inlet_min: float
    condensing_limit: float
    pump_heat: float
    band: float
    restart_delay: float
    rating_point: tuple[float, float] = field(default=(40.0, 35.0))


def read_unit(path: Path | str) -> Unit:
    """Read a chiller unit that stands on its own (no `based_on`)."""
    raw = tomllib.loads(Path(path).read_text(encoding="utf-8"))
    body, liquid, servers, cooling = (raw[name] for name in ("body", "liquid", "servers", "cooling"))
    if cooling["kind"] != "chiller" or liquid.get("limit_basis", "return") != "return":
        raise ValueError("the reference model covers chillers with limits on the return side")
    length, depth, height = body["length_m"], body["depth_m"], body["height_m"] - body["foot_height_m"]
    areas = {"lid": length * depth, "floor": length * depth}
    areas |= {
        "front": length * height,
        "back": length * height,
        "right": depth * height,
        "left": depth * height,
    }
    resistances = {name: body["wall_resistance_m2k_w"] for name in WALLS}
    resistances |= {"lid": body["lid_resistance_m2k_w"], "floor": body["floor_resistance_m2k_w"]}
    return Unit(
        areas=areas,
        resistances=resistances,
        absorptance=body["solar_absorptance"],
        emissivity=body["emissivity"],
        inner_film=body["inner_film_w_m2k"],
        setpoint=liquid["setpoint_c"],
        service_max=liquid.get("service_max_c", liquid["setpoint_c"]),
        alarm=liquid["alarm_c"],
        shutdown=liquid["shutdown_c"],
        restart=liquid["restart_c"],
        volume=liquid["volume_litre"] / 1000.0,
        natural_share=liquid.get("natural_circulation_share", 0.4),
        servers_capacity=servers["heat_capacity_kj_k"] * 1000.0,
        it_load=servers["load_kw"] * 1000.0,
        loss=servers["distribution_loss_share"],
        leakage=servers["leakage_share_per_k"],
        leakage_reference=servers.get("load_reference_c", liquid["setpoint_c"]),
        leaving=cooling["liquid_basis"] == "leaving",
        net_of_pump=cooling["capacity_basis"] == "net-of-pump",
        flow=cooling["liquid_flow_kg_s"],
        rows=list(cooling["liquid_c"]),
        columns=list(cooling["inlet_air_c"]),
        capacities=[[1000.0 * value for value in row] for row in cooling["capacity_kw"]],
        powers=[[1000.0 * value for value in row] for row in cooling["power_kw"]],
        rejection=cooling["rated_heat_rejection_kw"] * 1000.0,
        split=cooling["condenser_split_k"],
        fouling=cooling["fouling"],
        airflow=cooling["airflow_m3_s"],
        inlet_max=cooling["inlet_air_max_c"],
        inlet_min=cooling["inlet_air_min_c"],
        condensing_limit=cooling["condensing_max_c"] - cooling.get("condensing_margin_k", 3.0),
        pump_heat=1000.0 * cooling["pump_kw"] * cooling["pump_heat_to_liquid"],
        band=cooling["control_band_k"],
        restart_delay=60.0 * cooling["restart_delay_min"],
        rating_point=tuple(cooling["rating_point"]),
    )


# --- surfaces -----------------------------------------------------------------------------------------


def black_body(temperature: float) -> float:
    """Emission of a black body at a temperature in degC."""
    return SIGMA * (temperature + KELVIN) ** 4


def solve_balance(residual: Callable[[float], float], middle: float) -> float:
    """Root of a residual that falls with temperature; the bracket is widened until it holds one."""
    low, high = middle - 5.0, middle + 5.0
    while residual(low) < 0.0:
        low -= 10.0
    while residual(high) > 0.0:
        high += 10.0
    return float(brentq(residual, low, high, xtol=1e-12, rtol=1e-14))


def deck_temperature(hour: Hour, roof: tuple[float, float], share: float) -> float:
    """Temperature of the open roof surface around the box, dry and insulated below."""
    absorptance, emissivity = roof
    film = 4.0 + 4.0 * max(1.0, share * hour.wind_speed)

    def residual(t: float) -> float:
        radiation = emissivity * (hour.longwave_down - black_body(t))
        return absorptance * hour.ghi + radiation + film * (hour.temp_air - t)

    return solve_balance(residual, hour.temp_air)


def surroundings(hour: Hour, site: Site, deck: float, face: str, black: bool) -> float:
    """Longwave that arrives at a face; `black` puts everything around at air temperature."""
    if black:
        return black_body(hour.temp_air)
    emissivity = site.roof[1]
    radiosity = emissivity * black_body(deck) + (1.0 - emissivity) * hour.longwave_down
    if face == "lid":
        return hour.longwave_down
    if face == "floor":
        return radiosity
    return (hour.longwave_down + radiosity) / 2.0


def face_temperature(
    hour: Hour,
    unit: Unit,
    site: Site,
    deck: float,
    face: str,
    t_liquid: float,
    sun: bool = True,
    black: bool = False,
) -> float:
    """Temperature of the outer surface of one face."""
    irradiance = hour.irradiance[face] if sun and face != "floor" else 0.0
    incoming = surroundings(hour, site, deck, face, black)
    film = 4.0 + 4.0 * site.wind_share * hour.wind_speed
    inside = 1.0 / unit.inner_film + unit.resistances[face]

    def residual(t: float) -> float:
        radiation = unit.emissivity * (incoming - black_body(t))
        convection = film * (hour.temp_air - t)
        return unit.absorptance * irradiance + radiation + convection + (t_liquid - t) / inside

    return solve_balance(residual, hour.temp_air)


def envelope_heat(
    hour: Hour, unit: Unit, site: Site, deck: float, t_liquid: float, sun: bool = True, black: bool = False
) -> float:
    """Heat through all six faces into the liquid, nonlinear in everything."""
    total = 0.0
    for face in FACES:
        outer = face_temperature(hour, unit, site, deck, face, t_liquid, sun, black)
        total += unit.areas[face] * (outer - t_liquid) / (1.0 / unit.inner_film + unit.resistances[face])
    return total


def envelope_slope(hour: Hour, unit: Unit, site: Site, deck: float) -> float:
    """UA at the setpoint: minus the derivative of the envelope heat, by the implicit function theorem."""
    film = 4.0 + 4.0 * site.wind_share * hour.wind_speed
    total = 0.0
    for face in FACES:
        inside = 1.0 / unit.inner_film + unit.resistances[face]
        outer = face_temperature(hour, unit, site, deck, face, unit.setpoint)
        outward = film + 4.0 * unit.emissivity * SIGMA * (outer + KELVIN) ** 3
        follows = (1.0 / inside) / (1.0 / inside + outward)  # d T_surface / d T_liquid
        total += unit.areas[face] / inside * (1.0 - follows)
    return total


def envelope_split(hour: Hour, unit: Unit, site: Site, deck: float) -> dict[str, float]:
    """Solar, longwave and air part at the setpoint, one after the other, with the deck held."""
    everything = envelope_heat(hour, unit, site, deck, unit.setpoint)
    no_sun = envelope_heat(hour, unit, site, deck, unit.setpoint, sun=False)
    no_sky = envelope_heat(hour, unit, site, deck, unit.setpoint, sun=False, black=True)
    return {"solar": everything - no_sun, "longwave": no_sun - no_sky, "envelope": no_sky}


# --- the cooling section ------------------------------------------------------------------------------


def altitude_fouling_factor(pressure: float, fouling: float) -> float:
    """Heat per kelvin of condensing minus inlet air: sea level and clean over here and fouled."""
    return 1.0 / ((pressure / SEA_LEVEL) ** 0.6 * (1.0 - fouling))


def inlet(hour: Hour, unit: Unit, site: Site, deck: float) -> tuple[float, float, float]:
    """Inlet air, equivalent inlet air for the rating table, and the factor X."""
    density = hour.pressure / (R_AIR * (hour.temp_air + KELVIN))
    own_air = site.recirculation / (1.0 - site.recirculation) * unit.rejection
    own_air /= density * CP_AIR * unit.airflow
    t_in = hour.temp_air + site.mixing * max(0.0, deck - hour.temp_air) + own_air
    factor = altitude_fouling_factor(hour.pressure, unit.fouling)
    return t_in, t_in + unit.split * (factor - 1.0), factor


def bracket(axis: list[float], value: float) -> int:
    """Index of the cell of an axis that holds the value; the end cells serve what lies outside."""
    cell = 0
    while cell < len(axis) - 2 and value >= axis[cell + 1]:
        cell += 1
    return cell


def read_table(unit: Unit, table: list[list[float]], t_read: float, t_eq: float, extended: bool) -> float:
    """Bilinear in liquid and air; edges outside, but with `extended` the slope goes on above the last row."""
    x = min(max(t_eq, unit.columns[0]), unit.columns[-1])
    y = max(t_read, unit.rows[0])
    if not extended:
        y = min(y, unit.rows[-1])
    i, j = bracket(unit.rows, y), bracket(unit.columns, x)
    u = (y - unit.rows[i]) / (unit.rows[i + 1] - unit.rows[i])
    v = (x - unit.columns[j]) / (unit.columns[j + 1] - unit.columns[j])
    warm = (1.0 - v) * table[i + 1][j] + v * table[i + 1][j + 1]
    cool = (1.0 - v) * table[i][j] + v * table[i][j + 1]
    return (1.0 - u) * cool + u * warm


def table_temperature(unit: Unit, t_liquid: float, t_eq: float, cp: float, extended: bool = False) -> float:
    """The liquid temperature at which the rating table is read."""
    if not unit.leaving:
        return t_liquid
    heat = read_table(unit, unit.capacities, t_liquid, t_eq, extended)
    for _ in range(500):
        before = heat
        heat = read_table(unit, unit.capacities, t_liquid - before / (unit.flow * cp), t_eq, extended)
        if abs(heat - before) < 1e-9:
            return t_liquid - heat / (unit.flow * cp)
    raise ArithmeticError("leaving temperature did not settle")


def capacity(unit: Unit, t_liquid: float, t_eq: float, cp: float, extended: bool = False) -> float:
    """Heat that the cooling section can take out at full capacity, limits set aside."""
    t_read = table_temperature(unit, t_liquid, t_eq, cp, extended)
    return read_table(unit, unit.capacities, t_read, t_eq, extended)


def power(unit: Unit, t_liquid: float, t_eq: float, cp: float, extended: bool = False) -> float:
    """Electrical power of compressor and condenser fan at full capacity."""
    t_read = table_temperature(unit, t_liquid, t_eq, cp, extended)
    return read_table(unit, unit.powers, t_read, t_eq, extended)


def condensing(unit: Unit, t_liquid: float, t_in: float, t_eq: float, factor: float, cp: float) -> float:
    """Condensing temperature at full capacity, with the slope of the last two rows above the last row."""
    heat = capacity(unit, t_liquid, t_eq, cp, True) + power(unit, t_liquid, t_eq, cp, True)
    return t_in + unit.split * factor * heat / unit.rejection


# --- one hour -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Conditions:
    """Everything about an hour that does not change while the liquid warms or cools."""

    temp_air: float
    deck: float
    envelope_set: float
    slope: float
    t_in: float
    t_eq: float
    factor: float
    it_load: float


def conditions(hour: Hour, unit: Unit, site: Site) -> Conditions:
    """Deck, linearised envelope and inlet air of one hour."""
    deck = deck_temperature(hour, site.roof, site.wind_share)
    t_in, t_eq, factor = inlet(hour, unit, site, deck)
    return Conditions(
        temp_air=hour.temp_air,
        deck=deck,
        envelope_set=envelope_heat(hour, unit, site, deck, unit.setpoint),
        slope=envelope_slope(hour, unit, site, deck),
        t_in=t_in,
        t_eq=t_eq,
        factor=factor,
        it_load=unit.it_load if site.it_load is None else site.it_load,
    )
