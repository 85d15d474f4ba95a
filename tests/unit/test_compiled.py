"""Compiled kernels: the digits of numpy, and a kept one that is cut short or cannot be written costs no run."""

import ast
import builtins
import importlib.util
import itertools
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

import edgecheck

SOURCE = '''"""One kernel."""
from edgecheck.base.compiled import kernel


@kernel
def halves(values, out):
    for i in range(values.shape[0]):
        out[i] = values[i] / 2.0 if values[i] != 0.0 else 1.0 / values[i]
'''
_names = (f"kernel_under_test_{number}" for number in itertools.count())


@pytest.fixture
def source(tmp_path: Path) -> Path:
    path = tmp_path / "one.py"
    path.write_text(SOURCE, encoding="utf-8")
    return path


def loaded(source: Path) -> ModuleType:
    """A module of its own each time, as in a new process."""
    spec = importlib.util.spec_from_file_location(next(_names), source)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def halved(module: ModuleType) -> list[float]:
    values = np.array([4.0, 1.0, 0.0, np.nan])
    out = np.empty(4)
    module.halves(values, out)
    return out.tolist()


def kept(source: Path) -> list[Path]:
    return sorted(source.parent.glob("__pycache__/*.nb?"))


def test_elements_are_those_of_numpy_and_a_division_by_zero_is_infinite(source: Path) -> None:
    np.testing.assert_equal(halved(loaded(source)), [2.0, 0.5, np.inf, np.nan])


def test_a_kernel_is_kept_on_disk(source: Path) -> None:
    halved(loaded(source))
    before = {path: path.stat().st_mtime_ns for path in kept(source)}
    assert len(before) == 2
    again = loaded(source)
    halved(again)
    assert sum(again.halves.stats.cache_hits.values()) == 1
    assert {path: path.stat().st_mtime_ns for path in kept(source)} == before


@pytest.mark.parametrize("suffix", ["nbi", "nbc"])
@pytest.mark.parametrize("left", [0, 20])
def test_a_kept_kernel_that_was_cut_short_is_compiled_again(source: Path, suffix: str, left: int) -> None:
    halved(loaded(source))
    for path in kept(source):
        if path.suffix == f".{suffix}":
            path.write_bytes(path.read_bytes()[:left])
    np.testing.assert_equal(halved(loaded(source)), [2.0, 0.5, np.inf, np.nan])
    mended = loaded(source)
    halved(mended)
    assert sum(mended.halves.stats.cache_hits.values()) == 1


def test_a_disk_that_takes_nothing_costs_no_run(source: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module = loaded(source)

    def full(*what: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module.halves._cache._cache_file, "_save_index", full)
    np.testing.assert_equal(halved(module), [2.0, 0.5, np.inf, np.nan])
    assert not [path for path in kept(source) if path.suffix == ".nbc"]


def test_without_a_folder_to_keep_it_in_it_goes_to_the_temporary_one(source: Path) -> None:
    text = (
        "import numba.core.caching as caching\n"
        "for name, kind in vars(caching).items():\n"
        "    if name.strip('_').startswith(('InTree', 'UserWide')):\n"
        "        kind.from_function = classmethod(lambda *where: None)\n"
        "import one\n"
        "print(one.halves.stats.cache_path)\n"
    )
    answer = subprocess.run(
        [sys.executable, "-c", text], cwd=source.parent, capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0, answer.stderr
    assert "edgecheck-compiled" in answer.stdout


KERNELS = [
    (path, node)
    for path in sorted(Path(edgecheck.__file__).parent.rglob("*.py"))
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    if isinstance(node, ast.FunctionDef)
    and any(isinstance(mark, ast.Name) and mark.id == "kernel" for mark in node.decorator_list)
]


@pytest.mark.parametrize("path, kernel", KERNELS, ids=lambda one: getattr(one, "name", ""))
def test_a_kernel_calls_only_what_stands_in_its_own_file(path: Path, kernel: ast.FunctionDef) -> None:
    """A kept kernel is made anew when its own file changes; a change of what it calls elsewhere goes unnoticed."""
    module = ast.parse(path.read_text(encoding="utf-8"))
    here = {node.name for node in module.body if isinstance(node, ast.FunctionDef)}
    called = {
        node.func.id
        for node in ast.walk(kernel)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        if not node.func.id[0].isupper()  # a record of arrays, which belongs to the signature
    }
    assert called - here <= set(dir(builtins))


def test_there_are_kernels() -> None:
    assert len(KERNELS) > 10
