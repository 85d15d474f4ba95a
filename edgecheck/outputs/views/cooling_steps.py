"""What the cooling section can do in one hour, as steps: coil, rating table, limits, headroom."""

from markupsafe import Markup

from edgecheck.outputs.number_text import count, is_known, percent, step
from edgecheck.outputs.views.steps import StepRow, Values, celsius, filled, kelvin, named, power


def derating(values: Values) -> tuple[StepRow, ...]:
    """From the inlet air to the temperature at which a rating table is read; nothing without one.

    Parameters
    ----------
    values : mapping
        Of the hour, SI under bare names.
    """
    if not is_known(values.get("split")):
        return ()
    rows = [
        StepRow(
            "Thin air and fouling",
            Markup("ΔT<sub>split</sub> · (X − 1), X = 1/(d<sup>0.6</sup> (1 − f))"),
            named(
                values,
                ("ΔT", "split", "K", 1.0, 2),
                ("X", "air_side_factor", "", 1.0, 4),
                ("p", "pressure", "kPa", 1000.0, 2),
                ("f", "fouling", "", 1.0, 2),
            ),
            kelvin(values.get("derate_rise")),
        )
    ]
    known = [values.get(name) for name in ("equivalent_inlet", "inlet_air", "derate_rise")]
    if all(is_known(value) for value in known):
        read, inlet, derate = (float(value or 0.0) for value in known)
        coil = read - inlet - derate
        if abs(coil) >= 0.005:
            rows.append(
                StepRow(
                    "Air warmed by the coil before the condenser",
                    Markup("Q<sub>coil</sub>/(ρ · c<sub>p</sub> · V)"),
                    named(values, ("Q", "free_cooling", "kW", 1000.0, 3)),
                    kelvin(coil),
                )
            )
    rows.append(
        StepRow(
            "Equivalent inlet air, at which the rating table is read",
            Markup("T<sub>eq</sub>, sum"),
            "",
            celsius(values.get("equivalent_inlet")),
            total=True,
        )
    )
    return tuple(rows)


def cooling(values: Values, required: float | None) -> tuple[StepRow, ...]:
    """Capacity, condensing temperature, headroom, share.

    Parameters
    ----------
    values : mapping
        Of the hour, SI under bare names: those of the coil or of the rating table are there where the kind of
        cooling section has one.
    required : float or None
        Least share of headroom. [-]
    """
    coil, table = is_known(values.get("coil_ntu")), is_known(values.get("split"))
    rows: list[StepRow] = []
    if coil:
        rows += _coil(values)
    if coil and table:
        rows += _coil_in_use(values)
    rows.append(_capacity(values, coil=coil, table=table))
    rows.append(
        StepRow(
            "Headroom at the setpoint",
            Markup("Q<sub>cap</sub> − Q<sub>load</sub>"),
            filled("{cap} − {load}", values, cap=("capacity", "", 1000.0, 3), load=("load", "", 1000.0, 3)),
            power(values.get("headroom")),
        )
    )
    if table:
        rows.append(_condensing(values))
    return (*rows, *_service(values, required))


def _coil(values: Values) -> list[StepRow]:
    """Capacity rates, conductance and effectiveness of a coil, liquid at the setpoint."""
    return [
        StepRow(
            "Capacity rate of the liquid, at the setpoint",
            Markup("C<sub>liquid</sub> = ṁ · c<sub>p</sub>"),
            "",
            step(values.get("coil_liquid_rate"), "kW/K", factor=1000.0, decimals=3),
        ),
        StepRow(
            "Capacity rate of the air",
            Markup("C<sub>air</sub> = ρ · c<sub>p</sub> · V"),
            named(values, ("ρ", "air_density", "kg/m³", 1.0, 3), ("V", "coil_airflow", "m³/s", 1.0, 2)),
            step(values.get("coil_air_rate"), "kW/K", factor=1000.0, decimals=3),
        ),
        StepRow(
            "Heat transfer of the coil in this air, fouled",
            Markup(
                "1/UA = s/(UA<sub>0</sub> (ρ/ρ<sub>0</sub>)<sup>n</sup> (1 − f)) + (1 − s)/UA<sub>0</sub>"
            ),
            named(
                values,
                ("UA₀", "coil_rated_conductance", "kW/K", 1000.0, 3),
                ("s", "coil_air_share", "", 1.0, 2),
                ("f", "fouling", "", 1.0, 2),
            ),
            step(values.get("coil_conductance"), "kW/K", factor=1000.0, decimals=3),
        ),
        StepRow(
            "Effectiveness, cross-flow with both sides unmixed",
            Markup("e(UA/C<sub>min</sub>, C<sub>min</sub>/C<sub>max</sub>)"),
            filled(
                "e({ntu}, {ratio})",
                values,
                ntu=("coil_ntu", "", 1.0, 4),
                ratio=("coil_rate_ratio", "", 1.0, 4),
            ),
            step(values.get("coil_effectiveness"), "", decimals=4),
        ),
    ]


def _coil_in_use(values: Values) -> list[StepRow]:
    """What the coil takes before the chiller, and what the chiller has left."""
    capacity, carried = values.get("capacity"), values.get("free_cooling")
    rest = (
        float(capacity or 0.0) - float(carried or 0.0) if is_known(capacity) and is_known(carried) else None
    )
    in_use = is_known(carried) and float(carried or 0.0) > 0.0
    return [
        StepRow(
            "Heat of the coil, which comes first",
            Markup("e · C<sub>min</sub> · (T<sub>set</sub> − T<sub>in</sub>)"),
            ""
            if in_use
            else "not in use: the air is too near the liquid, too cold, or the fan would cost more",
            power(carried),
        ),
        StepRow(
            "Chiller behind the coil, from the rating table",
            Markup("at T<sub>set</sub> − Q<sub>coil</sub>/(ṁ · c<sub>p</sub>), T<sub>eq</sub>"),
            f"at {celsius(values.get('setpoint'))} less the coil's drop, {celsius(values.get('equivalent_inlet'))}",
            power(rest),
        ),
    ]


def _capacity(values: Values, *, coil: bool, table: bool) -> StepRow:
    """Capacity at the setpoint."""
    setpoint, result = celsius(values.get("setpoint")), power(values.get("capacity"))
    sections = values.get("in_service")
    several = is_known(sections) and float(sections or 1.0) > 1.0
    times = f"; {count(sections)} sections" if several else ""
    if coil and table:
        what = "Capacity at the setpoint, coil and chiller"
        return StepRow(what, Markup("Q<sub>cap</sub>, sum"), times.removeprefix("; "), result, total=True)
    if coil:
        return StepRow(
            "Capacity at the setpoint, not below zero",
            Markup("Q<sub>cap</sub> = e · C<sub>min</sub> · (T<sub>set</sub> − T<sub>in</sub>)"),
            f"at {setpoint}, {celsius(values.get('inlet_air'))}{times}",
            result,
        )
    return StepRow(
        "Capacity at the setpoint and the equivalent inlet air, from the rating table",
        Markup("Q<sub>cap</sub>(T<sub>set</sub>, T<sub>eq</sub>)"),
        f"at {setpoint}, {celsius(values.get('equivalent_inlet'))}{times}",
        result,
    )


def _condensing(values: Values) -> StepRow:
    """Condensing temperature against its limit."""
    slows = float(values.get("least_share") or 1.0) < 1.0
    return StepRow(
        "Condensing temperature at the speed that the load asks for"
        if slows
        else "Condensing temperature at full capacity",
        Markup(
            "T<sub>in</sub> + ΔT<sub>split</sub> · X · q, q = (Q + P)/Q<sub>rated</sub> at that speed"
            if slows
            else "T<sub>in</sub> + ΔT<sub>split</sub> · X · q, q = (Q<sub>cap</sub> + P)/Q<sub>rated</sub>"
        ),
        filled(
            "the compressor slows rather than exceed {limit}" if slows else "must not exceed {limit}",
            values,
            limit=("condensing_limit", "degC", 1.0, 2),
        ),
        celsius(values.get("condensing")),
    )


def _service(values: Values, required: float | None) -> list[StepRow]:
    """Service headroom and its share."""
    return [
        StepRow(
            "Service headroom: the best between setpoint and highest service temperature",
            Markup("max of Q<sub>cap</sub>(T) − Q<sub>load</sub>(T)"),
            filled(
                "{cap} − {load} at {at}",
                values,
                cap=("service_capacity", "", 1000.0, 3),
                load=("service_load", "", 1000.0, 3),
                at=("service_liquid", "degC", 1.0, 2),
            )
            or filled("at {at}", values, at=("service_liquid", "degC", 1.0, 2)),
            power(values.get("service_headroom")),
            total=True,
        ),
        StepRow(
            "Share of the heat to reject at that temperature",
            Markup("service headroom / Q<sub>load</sub>(T)"),
            "" if required is None else f"asked for: at least {percent(required)}",
            percent(values.get("share")),
            total=True,
        ),
    ]
