"""Where the demo's files lie: the site list, the units, the synthetic weather years.

In: nothing. Out: paths. The list and the units are package data beside this file. The weather years lie in
``edgecheck/climates`` in an installed copy and in ``climates`` beside the package in a source checkout.
"""

from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True)
class DemoInputs:
    """What the demo screens.

    Parameters
    ----------
    sites : Path
        Site list (CSV) of invented roofs.
    unit : Path
        Unit file of every row without a ``unit`` of its own; units that rows name lie beside the list.
    weather : Path
        Folder of the synthetic hourly years (EPW); the nearest station serves each row.
    """

    sites: Path
    unit: Path
    weather: Path


def climate_files() -> Path:
    """Folder with the synthetic hourly years.

    Returns
    -------
    Path
        A folder that holds at least one EPW file.

    Raises
    ------
    FileNotFoundError
        If neither place holds one; the message names both.
    """
    package = HERE.parent
    places = (package / "climates", package.parent / "climates")
    for folder in places:
        if any(folder.glob("*.epw")):
            return folder
    looked = " nor ".join(str(folder) for folder in places)
    raise FileNotFoundError(f"the demo's weather years are neither in {looked}")


def demo_inputs() -> DemoInputs:
    """Site list, unit and weather folder of the demo.

    Raises
    ------
    FileNotFoundError
        If the package was installed without its demo data.
    """
    sites, unit = HERE / "sites.csv", HERE / "lapwing-6.toml"
    for path in (sites, unit):
        if not path.is_file():
            raise FileNotFoundError(f"{path}: missing; the package was installed without its demo data")
    return DemoInputs(sites=sites, unit=unit, weather=climate_files())
