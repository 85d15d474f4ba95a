"""All checks, in the order of the check table.

To add one: write a pure function, declare a `Check` beside it, put the declaration into `_DECLARED`. A
test holds this tuple, the identifiers of the inputs and the shipped criteria together.
"""

from edgecheck.checks.delivery import DELIVERY_CHECKS
from edgecheck.checks.environment import ENVIRONMENT_CHECKS
from edgecheck.checks.failures import FAILURE_CHECKS
from edgecheck.checks.heat import HEAT_CHECKS
from edgecheck.checks.model import Check
from edgecheck.checks.outage import OUTAGE_CHECKS
from edgecheck.checks.roof import ROOF_CHECKS
from edgecheck.checks.services import SERVICES_CHECKS
from edgecheck.checks.stability import STABILITY_CHECKS
from edgecheck.inputs.check_ids import CHECK_IDS

_DECLARED = (
    *HEAT_CHECKS,
    *OUTAGE_CHECKS,
    *FAILURE_CHECKS,
    *ENVIRONMENT_CHECKS,
    *ROOF_CHECKS,
    *STABILITY_CHECKS,
    *DELIVERY_CHECKS,
    *SERVICES_CHECKS,
)

_BY_ID = {check.id: check for check in _DECLARED}

CHECKS: tuple[Check, ...] = tuple(_BY_ID[check_id] for check_id in CHECK_IDS)


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
