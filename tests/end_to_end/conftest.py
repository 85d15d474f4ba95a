"""Folders to run the command line in."""

import contextlib
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from command_line import EXAMPLES, Answer, bare_reports, furnish
from shared_runs import run_once


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """Somebody's folder, furnished, without a list."""
    return furnish(tmp_path / "desk")


def _furnish_examples(folder: Path) -> None:
    furnish(folder)
    shutil.copyfile(EXAMPLES / "sites.csv", folder / "sites.csv")


@pytest.fixture(scope="session")
def example_run() -> tuple[Path, Answer]:
    """The shipped examples, screened once with hourly data; to be read only."""
    return run_once("examples", _furnish_examples, "screen", "sites.csv", "--unit", "unit.toml", "--hourly")


@pytest.fixture(params=[False, pytest.param(True, marks=pytest.mark.slow)], ids=["bare", "drawn"])
def figures(request: pytest.FixtureRequest) -> Iterator[bool]:
    """For tests that read no figures: reports are written without them by default, with them in the slow tests."""
    with contextlib.nullcontext() if request.param else bare_reports():
        yield request.param
