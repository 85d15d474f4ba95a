"""Changed copies of the example unit files, and the faults that reading them finds."""

import shutil
from pathlib import Path

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.unit import load_unit

EXAMPLES = Path(__file__).parent / "data" / "examples"


@pytest.fixture
def folder(tmp_path):
    for file in ("unit.toml", "unit-dry-cooler.toml"):
        shutil.copy(EXAMPLES / file, tmp_path / file)
    return tmp_path


@pytest.fixture
def change(folder):
    """Write a changed copy of an example and return its path."""

    def change(*pairs, file="unit.toml"):
        text = (folder / file).read_text()
        for old, new in pairs:
            assert old in text, old
            text = text.replace(old, new, 1)
        (folder / file).write_text(text)
        return folder / file

    return change


def line_of(path, start):
    """Line on which a file's line begins with `start`."""
    return next(at for at, line in enumerate(path.read_text().splitlines(), 1) if line.startswith(start))


def faults(path):
    with pytest.raises(InputFaults) as caught:
        load_unit(path)
    assert caught.value.exit_code == 2
    return caught.value.faults


def only_fault(path):
    found = faults(path)
    assert len(found) == 1, [fault.text() for fault in found]
    return found[0]
