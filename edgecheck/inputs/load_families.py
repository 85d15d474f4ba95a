"""Families of load standards: which columns of a row belong together."""

from collections.abc import Iterable

from edgecheck.inputs.columns import columns

LOAD_STANDARD = "load_standard"
FAMILY_TITLES = {"asce": "ASCE 7", "en": "EN"}
_FAMILIES = {"asce7-16": "asce", "asce7-22": "asce", "en": "en"}


def family_of(standard: object) -> str:
    """Family of a value of load_standard: "asce" or "en".

    Raises
    ------
    KeyError
        There is no such standard.
    """
    return _FAMILIES[str(standard)]


def families_of(keys: Iterable[str]) -> set[str]:
    """Families that some columns belong to.

    Parameters
    ----------
    keys : iterable of str
        Columns.

    Returns
    -------
    families : set of str
    """
    return {columns()[key].standard for key in keys} - {""}
