"""What a check asks for, in one text."""

from edgecheck.checks.model import BETWEEN, CheckResult


def asked(result: CheckResult) -> str:
    """Conditions of a check's outcome."""
    return BETWEEN.join(result.conditions)
