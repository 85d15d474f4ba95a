"""What our columns of the verdict table mean: unit, words, and how a spreadsheet shows them."""

from dataclasses import dataclass

from edgecheck.checks.model import GROUPS
from edgecheck.outputs.words import GROUP_TITLES


@dataclass(frozen=True)
class ResultColumn:
    """One of our columns.

    Parameters
    ----------
    name : str
        Heading.
    meaning : str
        What stands in it.
    unit : str
        Unit of a number, empty for text.
    number_format : str
        How a spreadsheet shows the number; "General" for text.
    width : float
        In characters.
    """

    name: str
    meaning: str
    unit: str = ""
    number_format: str = "General"
    width: float = 14.0


_ONE, _TWO = "0.0", "0.00"

_LISTED = (
    ResultColumn(
        "verdict",
        "go, conditional (it works if the conditions are met), undecided (a fact that decides is missing), no-go, "
        "unusable (the row could not be read or computed)",
    ),
    ResultColumn("rank", "order of the list, 1 the best, no ties", "", "0", 8.0),
    *(
        ResultColumn(group, f"verdict of this group of checks alone: {GROUP_TITLES[group].lower()}")
        for group in GROUPS
    ),
    ResultColumn("governing_check", "check that decides the verdict", width=20.0),
    ResultColumn("reason", "why, in one sentence", width=62.0),
    ResultColumn("conditions", "what must be done or confirmed", width=44.0),
    ResultColumn("to_survey", "what must be found out, and who usually knows it", width=44.0),
    ResultColumn(
        "headroom_share",
        "cooling capacity to spare in the worst hour of the year, as a share of the heat to reject",
        "share",
        "0.0%",
    ),
    ResultColumn(
        "headroom_kw",
        "cooling capacity to spare in the worst hour, at the best liquid temperature",
        "kW",
        _TWO,
    ),
    ResultColumn(
        "worst_time", "worst hour, local standard time; typical years are numbered 2001", width=17.0
    ),
    ResultColumn("liquid_peak_c", "highest liquid temperature in the hot spell, servers on", "degC", _ONE),
    ResultColumn(
        "ride_through_minutes", "minutes to shutdown without cooling, pump running, worst hour", "min", _ONE
    ),
    ResultColumn("pump_lost_minutes", "minutes to shutdown with the pump stopped, worst hour", "min", _ONE),
    ResultColumn("max_it_load_kw", "largest server load that keeps the required headroom", "kW", _TWO),
    ResultColumn("asks_mass_kg", "mass in operation that the roof must carry, with spreader", "kg", "0"),
    ResultColumn("asks_area_m2", "free area that the unit needs, clearances included", "m2", _TWO),
    ResultColumn("asks_kpa", "pressure under the base", "kPa", _TWO),
    ResultColumn("asks_point_kn", "greatest load on one foot", "kN", _TWO),
    ResultColumn("asks_ampere", "running current in the hot hour", "A", _ONE),
    ResultColumn("sound_dba", "sound level at the neighbour", "dB(A)", _ONE),
    ResultColumn("weather_file", "weather file that served", width=24.0),
    ResultColumn("weather_distance_km", "distance to its station", "km", _ONE),
    ResultColumn("defaults_used", "columns whose empty cell took the program's default", width=24.0),
    ResultColumn("assumed", "columns whose value was assumed for an empty cell", width=24.0),
    ResultColumn("folder", "folder of the site's pages under sites/, where one was written", width=20.0),
)

RESULT_COLUMNS = {column.name: column for column in _LISTED}
