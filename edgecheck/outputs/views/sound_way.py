"""The worked example of sound: sources of the running unit, and every term on the way to the window, as text.

In: the record of sound at a site. Out: rows with formula, numbers and result, with so many decimals that a reader
can add them up by hand.
"""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from edgecheck.outputs.number_text import is_known, percent, quantity, step
from edgecheck.outputs.views.worst_hour import StepRow


def _decibel(value: Any, *, signed: bool = False) -> str:
    return step(value, "dB", decimals=2, signed=signed)


def _dba(value: Any) -> str:
    return step(value, "dBA", decimals=2)


def source_steps(sources: Mapping[str, Any]) -> tuple[StepRow, ...]:
    """Sound power level of the running unit at its loudest by night; empty where it does not run then.

    Parameters
    ----------
    sources : mapping
        `sources` of the record.
    """
    speed, number = sources["night_fan_speed"], sources["sections_in_service"]
    if speed is None:
        return ()
    rows = [
        StepRow(
            "Fans of a section at full speed", Markup("L<sub>W</sub>"), "unit file",
            _dba(sources["fan_full_dba"]),
        ),
        StepRow(
            "Fans at the night's greatest speed", Markup("L<sub>W</sub> + 50 lg n"),
            f"n {percent(speed)} of full speed", _dba(sources["night_fan_dba"]),
        ),
    ]  # fmt: skip
    if sources["compressor_dba"] is not None:
        rows.append(
            StepRow("Compressor, as at full load", Markup(""), "unit file", _dba(sources["compressor_dba"]))
        )
    if number > 1:
        rows.append(
            StepRow(
                "Identical sections in service", Markup("10 lg N"), f"N {number}",
                _decibel(sources["sections_db"], signed=True),
            )
        )  # fmt: skip
    formula = (
        Markup("10 lg &sum; 10<sup>L/10</sup>") if sources["compressor_dba"] is not None else Markup("sum")
    )
    rows.append(StepRow("Running unit by night", formula, "", _dba(sources["night_dba"]), total=True))
    return tuple(rows)


def way_steps(
    way: Mapping[str, Any], found: Mapping[str, Any], sources: Mapping[str, Any]
) -> tuple[StepRow, ...]:
    """From the running unit to the level at the window, term by term.

    Parameters
    ----------
    way, found, sources : mapping
        `path` of the record, the record, its `sources`.
    """
    d = quantity(way["distance_m"], "m")
    rows = [
        StepRow("Running unit by night", Markup("L<sub>W</sub>"), "", step(sources["night_dba"], "dBA")),
        StepRow(
            "Divergence", Markup("A<sub>div</sub> = 20 lg d + 11"), f"d {d}",
            _decibel(-way["divergence_db"], signed=True),
        ),
    ]  # fmt: skip
    if way["method"] == "half space":
        rows.append(
            StepRow(
                "Reflection off the roof",
                Markup("D<sub>c</sub>, half space"),
                "",
                _plus(way, "directivity_db"),
            )
        )
    else:
        rows.append(
            StepRow(
                "Reflection off the ground",
                Markup("D<sub>&Omega;</sub> = 10 lg(1 + (d<sub>p</sub>&sup2; + (h<sub>s</sub> − h<sub>r</sub>)&sup2;)"
                       "/(d<sub>p</sub>&sup2; + (h<sub>s</sub> + h<sub>r</sub>)&sup2;))"),
                f"hs {quantity(way['source_height_m'], 'm')}, hr {quantity(way['receiver_height_m'], 'm')}",
                _plus(way, "directivity_db"),
            )
        )  # fmt: skip
        rows.append(
            StepRow(
                "Porous ground",
                Markup("A<sub>gr</sub> = 4.8 − (2 h<sub>m</sub>/d)(17 + 300/d), not below 0"),
                f"hm {quantity(way['mean_height_m'], 'm')}",
                _minus(way, "ground_db"),
            )
        )
    rows.append(
        StepRow(
            "Absorption by the air", Markup("A<sub>atm</sub> = &alpha; d"),
            f"α {quantity(way['air_db_km'], 'dB/km')} at 500 Hz, "
            f"{quantity(way['air_temperature_c'], 'degC')}, {quantity(way['air_humidity_percent'], '%')}",
            _minus(way, "air_db"),
        )
    )  # fmt: skip
    if is_known(way["path_difference_m"]):
        formula = Markup("D<sub>z</sub> = 10 lg(3 + (20/&lambda;) z K<sub>met</sub>), at most 20")
        if way["method"] != "half space":
            formula += Markup("; A<sub>bar</sub> = D<sub>z</sub> − A<sub>gr</sub>")
        numbers = (
            f"z {step(way['path_difference_m'], 'm', decimals=3)}, λ {step(way['wavelength_m'], 'm')}, "
            f"Dz {_decibel(way['screen_alone_db'])}"
        )
        rows.append(StepRow("Edge in the line of sight", formula, numbers, _minus(way, "screen_db")))
    if way["facade_db"]:
        rows.append(StepRow("Facade behind the window", Markup("+3 dB"), "the list", _plus(way, "facade_db")))
    if found["tonal_db"]:
        rows.append(
            StepRow(
                "Supplement for a tone", Markup(""), "unit file", _decibel(found["tonal_db"], signed=True)
            )
        )
    night = found["periods"][0]["running_dba"]
    rows.append(
        StepRow("Running level at the window by night", Markup("sum"), "", step(night, "dBA"), total=True)
    )
    return tuple(rows)


def _plus(way: Mapping[str, Any], key: str) -> str:
    return _decibel(way[key], signed=True)


def _minus(way: Mapping[str, Any], key: str) -> str:
    return _decibel(-way[key])
