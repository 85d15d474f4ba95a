"""What insulation and roof covering of a site carry under a foot.

In: a row of the site list. Out: limits in Pa for pressure that lasts and pressure that passes, and the keys of
those that are not known.

For years: the data sheet's long-term value, else a usual value of the type of insulation, which decides nothing.
For a while: 1.5 times that; a limit of the roof covering holds for both. Usual values and the factor are
engineering defaults without a source.
"""

from dataclasses import dataclass

from edgecheck.inputs.sites import Site
from edgecheck.roof.reserve import KILO

INSULATION_TYPE = "insulation_type"
INSULATION_LIMIT = "insulation_longterm_kpa"
MEMBRANE_LIMIT = "membrane_pressure_limit_kpa"

SHORT_TERM = 1.5  # times the long-term limit of insulation for passing loads, engineering default
# Long-term pressure where the data sheet is not known: engineering default, no source [kPa]
INSULATION_DEFAULTS = {"mineral-wool": 10.0, "eps": 30.0, "pir": 30.0, "xps": 100.0, "foam-glass": 200.0}


@dataclass(frozen=True)
class BearingLimit:
    """One limit: of what, lasting and passing value [Pa], whether it is stated for this roof."""

    name: str
    lasting: float
    passing: float
    stated: bool


def bearing_limits(site: Site) -> tuple[tuple[BearingLimit, ...], tuple[str, ...]]:
    """Limits of the roof's build-up.

    Parameters
    ----------
    site : Site
        A row of the site list.

    Returns
    -------
    limits : tuple of BearingLimit
        Of insulation and roof covering, where known; none for a roof that is declared to have no insulation.
    missing : tuple of str
        Keys of what is not known.
    """
    limits: list[BearingLimit] = []
    missing: list[str] = []
    kind, long = site.text(INSULATION_TYPE), site.number(INSULATION_LIMIT)
    if kind != "none" and long is not None:
        name = f"insulation, {long:g} kPa for years"
        limits.append(BearingLimit(name, long * KILO, SHORT_TERM * long * KILO, True))
    elif kind is None:
        missing += [INSULATION_TYPE, INSULATION_LIMIT]
    elif kind != "none":
        usual = INSULATION_DEFAULTS[kind]
        name = f"long-term limit of {usual:g} kPa taken for {kind} insulation (engineering default)"
        limits.append(BearingLimit(name, usual * KILO, SHORT_TERM * usual * KILO, False))
    membrane = site.number(MEMBRANE_LIMIT)
    if membrane is None:
        missing.append(MEMBRANE_LIMIT)
    else:
        limits.append(
            BearingLimit(f"roof covering, {membrane:g} kPa", membrane * KILO, membrane * KILO, True)
        )
    return tuple(limits), tuple(missing)
