"""All checks, in the order of the check table.

To add one: write a pure function, declare a `Check` beside it, put the declaration into `_BUILT` and take the id
out of `_LATER`. A test holds this tuple, the identifiers of the inputs and the shipped criteria together.
"""

from edgecheck.checks.delivery import DELIVERY_CHECKS
from edgecheck.checks.environment import ENVIRONMENT_CHECKS
from edgecheck.checks.heat import HEAT_CHECKS
from edgecheck.checks.model import Check
from edgecheck.checks.outage import OUTAGE_CHECKS
from edgecheck.checks.roof import ROOF_CHECKS
from edgecheck.checks.stability import STABILITY_CHECKS
from edgecheck.inputs.check_ids import CHECK_IDS

_BUILT = (
    *HEAT_CHECKS,
    *OUTAGE_CHECKS,
    *ENVIRONMENT_CHECKS,
    *ROOF_CHECKS,
    *STABILITY_CHECKS,
    *DELIVERY_CHECKS,
)

_LATER = (
    Check("outage.restart", "Liquid peak after a short power cut", "at most", "degC", built=False),
    Check(
        "outage.winter-start", "Hours from return of power to servers on", "at most", "h", built=False,
        at_worst="caution",
    ),
    Check(
        "outage.condensation", "Hours with wet surfaces", "at most", "h", built=False, at_worst="caution"
    ),
    Check("services.feed", "Running current of the hot hour", "at most", "A", built=False),
    Check("services.starting", "Starting current and dip", "at most", "A", built=False),
    Check("services.voltage-drop", "Drop over the cable", "at most", "share", built=False),
    Check("services.sound-night", "Level at the neighbour, night", "at most", "dB(A)", built=False),
    Check("services.sound-evening", "Level at the neighbour, evening", "at most", "dB(A)", built=False),
    Check("services.sound-day", "Level at the neighbour, day", "at most", "dB(A)", built=False),
    Check("services.containment", "Liquid against the tray", "at most", "l", built=False),
    Check("services.clearance", "Distances to walls", "at least", "m", built=False),
)  # fmt: skip

_BY_ID = {check.id: check for check in (*_BUILT, *_LATER)}

CHECKS: tuple[Check, ...] = tuple(_BY_ID[check_id] for check_id in CHECK_IDS)
BUILT: tuple[Check, ...] = tuple(check for check in CHECKS if check.built)


def check_of(check_id: str) -> Check:
    """Declaration of a check.

    Parameters
    ----------
    check_id : str
        "group.name".

    Raises
    ------
    KeyError
        If there is no such check.
    """
    return _BY_ID[check_id]
