"""Folders to run the command line in."""

import shutil
import sys
from pathlib import Path

import pytest
from real_weather import pvlib_file

sys.path.insert(0, str(Path(__file__).parent))

from command_line import EXAMPLES, Answer, edgecheck


def furnish(folder: Path) -> Path:
    """Units and pvlib's TMY3 sample (Greensboro, 36.10 N, 79.95 W) at weather/example.csv; no list."""
    (folder / "weather").mkdir(parents=True)
    shutil.copyfile(pvlib_file("723170TYA.CSV"), folder / "weather" / "example.csv")
    for name in ("unit.toml", "unit-dry-cooler.toml"):
        shutil.copyfile(EXAMPLES / name, folder / name)
    return folder


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """Somebody's folder, furnished, without a list."""
    return furnish(tmp_path / "desk")


@pytest.fixture(scope="session")
def example_run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    """The shipped examples, screened once with hourly data; to be read only."""
    folder = furnish(tmp_path_factory.mktemp("examples") / "desk")
    shutil.copyfile(EXAMPLES / "sites.csv", folder / "sites.csv")
    return folder, edgecheck("screen", "sites.csv", "--unit", "unit.toml", "--hourly", folder=folder)
