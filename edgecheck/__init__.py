"""Decide whether a sealed outdoor computing unit may go on a given roof.

    sites = load_sites("sites.csv")
    plan = plan_run(sites, load_unit("unit.toml"), "weather/")
    run = screen(plan, keep_hourly=True)
    write_run(run, "reports/first")

Names are loaded on first use, so that `import edgecheck` costs nothing.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_WHERE = {
    "CHECKS": "edgecheck.checks.declarations",
    "load_answers": "edgecheck.inputs.answers",
    "load_assumptions": "edgecheck.inputs.assumptions",
    "load_criteria": "edgecheck.inputs.criteria",
    "load_mapping": "edgecheck.inputs.column_map",
    "load_run": "edgecheck.outputs.run_reader",
    "load_sites": "edgecheck.inputs.sites",
    "load_unit": "edgecheck.inputs.unit",
    "nearest_weather": "edgecheck.weather.station",
    "plan_run": "edgecheck.screening.plan",
    "qualify": "edgecheck.chain",
    "read_load_profile": "edgecheck.inputs.load_profile",
    "read_weather": "edgecheck.weather.read",
    "screen": "edgecheck.screening.run",
    "write_report": "edgecheck.outputs.run_writer",
    "write_run": "edgecheck.outputs.run_writer",
}

__all__ = [*sorted(_WHERE), "__version__"]


def __getattr__(name: str) -> Any:
    if name in _WHERE:
        return getattr(import_module(_WHERE[name]), name)
    raise AttributeError(f"module 'edgecheck' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_WHERE])
