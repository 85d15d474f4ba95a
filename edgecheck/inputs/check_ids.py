"""Identifiers of all checks, in the order of the check table.

Inputs need them before any check exists: the site list says which checks a column feeds and a criteria file
says how much each check is needed. What a check computes is declared in `edgecheck.checks`.
"""

CHECK_IDS: tuple[str, ...] = (
    "heat.weather",
    "heat.station",
    "heat.headroom",
    "heat.hot-spell",
    "heat.operating-range",
    "heat.cold-spell",
    "heat.cycling",
    "outage.cooling-lost",
    "outage.pump-lost",
    "outage.restart",
    "outage.winter-start",
    "outage.condensation",
    "environment.class",
    "environment.corrosion",
    "roof.space",
    "roof.load",
    "roof.point-load",
    "roof.bearing",
    "roof.member-share",
    "stability.wind",
    "stability.seismic",
    "delivery.route",
    "delivery.lifting",
    "services.feed",
    "services.starting",
    "services.voltage-drop",
    "services.sound-night",
    "services.sound-evening",
    "services.sound-day",
    "services.containment",
    "services.clearance",
)

GROUP_NAMES: tuple[str, ...] = tuple(dict.fromkeys(check.split(".", 1)[0] for check in CHECK_IDS))


def expand(pattern: str) -> tuple[str, ...]:
    """Check ids that a pattern names, in table order.

    Parameters
    ----------
    pattern : str
        A full id ("heat.headroom"), an id that ends in a star ("heat.*", "services.sound-*") or "*".

    Returns
    -------
    ids : tuple of str

    Raises
    ------
    KeyError
        The pattern names no check.
    """
    if pattern.endswith("*"):
        found = tuple(check for check in CHECK_IDS if check.startswith(pattern[:-1]))
    else:
        found = tuple(check for check in CHECK_IDS if check == pattern)
    if not found:
        raise KeyError(pattern)
    return found
