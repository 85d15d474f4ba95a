"""Names of the columns that a run adds to the planner's list, in order.

The reader must know them: a list that is an earlier verdicts.csv loses them, and a planner's own column that
bears one of these names comes back under another.
"""

from collections.abc import Iterable

from edgecheck.inputs.check_ids import GROUP_NAMES

VERDICT_COLUMNS: tuple[str, ...] = (
    "verdict",
    "rank",
    *GROUP_NAMES,
    "governing_check",
    "reason",
    "conditions",
    "to_survey",
    "headroom_share",
    "headroom_kw",
    "worst_time",
    "liquid_peak_c",
    "ride_through_minutes",
    "pump_lost_minutes",
    "max_it_load_kw",
    "asks_mass_kg",
    "asks_area_m2",
    "asks_kpa",
    "asks_point_kn",
    "asks_ampere",
    "sound_dba",
    "weather_file",
    "weather_distance_km",
    "defaults_used",
    "assumed",
    "folder",
)


def is_earlier_output(headings: Iterable[str]) -> bool:
    """Whether a heading row is that of an earlier verdicts.csv: every one of our columns is there."""
    return set(VERDICT_COLUMNS) <= set(headings)


def returned_names(headings: Iterable[str]) -> dict[str, str]:
    """Name under which each column of the list comes back.

    Parameters
    ----------
    headings : iterable of str
        Headings of the list, without the columns of an earlier run.

    Returns
    -------
    names : dict
        Heading -> the same heading, or `own_<name>` where it is one of ours. Where the list already has a
        column of that name, `own_` is put in front until the name is free.
    """
    taken = set(headings := list(headings)) | set(VERDICT_COLUMNS)
    names = {}
    for heading in headings:
        name = heading
        if heading in VERDICT_COLUMNS:
            while name in taken:
                name = f"own_{name}"
            taken.add(name)
        names[heading] = name
    return names
