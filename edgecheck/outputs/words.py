"""The words of the pages: what a verdict, a group, a binding limit and an asked quantity is called.

No number is made here. Everything a reader could take for a code name gets its plain words in one place.
"""

VERDICT_ORDER = ("go", "conditional", "undecided", "no-go", "unusable")

VERDICT_MEANING = {
    "go": "everything that is checked here is met",
    "conditional": "it works if the listed conditions are met or confirmed",
    "undecided": "a fact that decides is missing",
    "no-go": "at least one required limit is not met",
    "unusable": "the row could not be read or computed",
}

GROUP_TITLES = {
    "heat": "Heat",
    "outage": "Loss of cooling",
    "environment": "Environment",
    "roof": "Roof",
    "stability": "Wind and earthquake",
    "delivery": "Delivery",
    "services": "Feed, sound, containment",
}

BINDING_WORDS = {
    "inlet-low": "air colder than the cooling section may run in",
    "inlet-high": "air into the cooling section above its limit",
    "condensing": "condensing temperature at its limit",
    "beyond-table": "air past the rating table: capacity not known",
    "capacity": "capacity below the heat to reject",
    "none": "no limit open",
}

STATUS_ORDER = ("fail", "not assessed", "caution", "pass", "not applicable")

ASK_TITLES = {
    "mass_kg": ("Mass in operation, with spreader", "kg"),
    "dry_mass_kg": ("Mass drained", "kg"),
    "area_m2": ("Free area with clearances", "m2"),
    "kpa": ("Pressure under the base", "kPa"),
    "point_kn": ("Load on one foot", "kN"),
    "wind_kn": ("Wind force on the unit, without load factors", "kN"),
    "ballast_kg": ("Ballast instead of anchors", "kg"),
    "anchor_tension_kn": ("Tension of one anchor, with load factors", "kN"),
    "anchor_shear_kn": ("Shear of one anchor, with load factors", "kN"),
    "wind_at": ("Wind figures hold for", ""),
    "ampere": ("Running current in the hot hour", "A"),
    "starting_ampere": ("Starting current", "A"),
    "sound_dba": ("Sound at the neighbour", "dBA"),
    "sound_power_dba": ("Sound power", "dBA"),
    "spreader_at_1_kpa_m": ("Side of a square rigid frame, 1 kPa to spare", "m"),
    "spreader_at_2_kpa_m": ("Side of a square rigid frame, 2 kPa to spare", "m"),
    "spreader_at_3_kpa_m": ("Side of a square rigid frame, 3 kPa to spare", "m"),
}

SUFFIX_UNITS = (
    ("_kg", "kg"),
    ("_m2", "m2"),
    ("_kpa", "kPa"),
    ("_kn", "kN"),
    ("_kva", "kVA"),
    ("_kw", "kW"),
    ("_ampere", "A"),
    ("_dba", "dBA"),
    ("_minutes", "min"),
    ("_litre", "litre"),
    ("_mm", "mm"),
    ("_m", "m"),
    ("_c", "degC"),
    ("_k", "K"),
)


def group_title(group: str) -> str:
    """What a group of checks is called."""
    return GROUP_TITLES.get(group, group)


def binding_words(binding: str) -> str:
    """What a binding limit means."""
    return BINDING_WORDS.get(binding, binding)


def ask_title(key: str) -> tuple[str, str]:
    """Title and unit of an asked quantity, from its name where the name is not listed."""
    bare = key.removeprefix("asks_")
    if bare in ASK_TITLES:
        return ASK_TITLES[bare]
    for suffix, unit in SUFFIX_UNITS:
        if bare.endswith(suffix):
            return bare.removesuffix(suffix).replace("_", " ").capitalize(), unit
    return bare.replace("_", " ").capitalize(), ""


def joined(parts: list[str] | tuple[str, ...]) -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"
