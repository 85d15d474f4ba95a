"""Folders to run the command line in."""

import shutil
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from command_line import EXAMPLES, Answer, edgecheck, furnish


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
