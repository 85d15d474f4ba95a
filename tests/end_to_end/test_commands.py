"""Light commands stay light; what `weather` and `unit` print; the public names of the package."""

import importlib
import inspect
import os
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import EXAMPLES, SOURCES, edgecheck
from real_weather import PVLIB_FILES, pvlib_file

import edgecheck as package

HEAVY = ("pvlib", "pandas", "xarray", "matplotlib", "numba", "scipy")
PROBE = """
import sys
from edgecheck.cli import main
try:
    main()
finally:
    print("loaded:", *sorted({"%s"} & set(sys.modules)))
"""
UNIT = (EXAMPLES / "unit.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["screen", "--help"], ["demo", "--help"]])
def test_help_imports_nothing_heavy(words: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROBE % '", "'.join(HEAVY), *words],
        env={**os.environ, "PYTHONPATH": SOURCES},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "loaded:"


def test_import_of_the_package_costs_nothing() -> None:
    code = f'import edgecheck, sys; dir(edgecheck); print({{"numpy", *{HEAVY}}} & set(sys.modules))'
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": SOURCES},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "set()"


def test_help_names_every_command(tmp_path: Path) -> None:
    answer = edgecheck("--help", folder=tmp_path)
    assert answer.code == 0
    for command in ("demo", "screen", "site", "weather", "unit"):
        assert f"\n  {command} " in answer.out


def test_version(tmp_path: Path) -> None:
    assert edgecheck("--version", folder=tmp_path).out == f"edgecheck {package.__version__}\n"


@pytest.mark.parametrize(
    ("file", "place"), list(zip(PVLIB_FILES, ("25.8", "55.317", "36.100"), strict=True)), ids=PVLIB_FILES
)
def test_weather_prints_place_extremes_and_quality(tmp_path: Path, file: str, place: str) -> None:
    # Positions as in the files: Miami 25.8 N (TMY2), Sand Point 55.317 N, Greensboro 36.1 N (TMY3).
    answer = edgecheck("weather", pvlib_file(file), folder=tmp_path)
    assert answer.code == 0
    for part in (f"latitude {place}", "8760 hours", "hottest", "quality flags", "SHA-256"):
        assert part in answer.out


# The example's chiller with an outdoor-air coil before it; invented.
ECONOMISER = """
coil_air = "separate"
coil_conductance_kw_k = 0.6
coil_airflow_m3_s = 1.4
coil_fan_kw = 0.25
coil_air_side_share = 0.45
"""


def test_unit_prints_what_is_made_of_the_chiller(tmp_path: Path) -> None:
    answer = edgecheck("unit", EXAMPLES / "unit.toml", folder=tmp_path)
    assert answer.code == 0
    for part in (
        "Heron 6: chiller",
        "operating: 310 kg",
        "drained: 214 kg",
        "setpoint 40",
        "rating table: 4 liquid by 6",
    ):
        assert part in answer.out


def test_unit_prints_what_is_made_of_the_dry_cooler(tmp_path: Path) -> None:
    answer = edgecheck("unit", EXAMPLES / "unit-dry-cooler.toml", folder=tmp_path)
    assert answer.code == 0
    for part in ("Heron 6 dry: dry-cooler", "drained: 170 kg", "coil: 0.75 kW/K", "unit.toml: SHA-256"):
        assert part in answer.out


def test_unit_reads_a_chiller_with_economiser(tmp_path: Path) -> None:
    text = UNIT.replace('kind = "chiller"', 'kind = "chiller-with-economiser"' + ECONOMISER)
    (tmp_path / "coil.toml").write_text(text, encoding="utf-8")
    answer = edgecheck("unit", "coil.toml", folder=tmp_path)
    assert answer.code == 0, answer.err
    for part in (
        "Heron 6: chiller-with-economiser",
        "economiser: coil of 0.6 kW/K",
        "default: cooling.changeover_k = 5",
        "default: cooling.coil_air_min_c = -25",
    ):
        assert part in answer.out


def test_every_public_name_loads() -> None:
    assert {
        "load_unit",
        "load_criteria",
        "load_sites",
        "read_weather",
        "nearest_weather",
        "qualify",
        "screen",
    } <= set(package.__all__)
    assert {"write_run", "write_report", "load_run", "CHECKS"} <= set(package.__all__)
    for name in package.__all__:
        assert getattr(package, name) is not None
        assert name in dir(package)
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        package.nothing  # noqa: B018


def test_no_public_function_has_the_name_of_a_module_or_folder() -> None:
    # else `import edgecheck.x` would put the module where the function was
    root = Path(package.__file__).parent
    taken = {path.stem for path in root.glob("*.py")} | {
        path.name for path in root.iterdir() if path.is_dir()
    }
    public = {name for name in package.__all__ if inspect.isroutine(getattr(package, name))}
    assert public.isdisjoint(taken)
    importlib.import_module("edgecheck.cli")
    assert all(callable(getattr(package, name)) for name in public)
