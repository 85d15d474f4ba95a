"""The commands. Each reads what people gave, calls the library, writes what was asked for.

Exit codes: 0 ran; 1 an error in the program; 2 command line, a fault in a file, or the folder, nothing written;
3 with --strict, some site is not go; 4 some rows unusable (wins over 3); 130 interrupted.
"""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from edgecheck import __version__

if TYPE_CHECKING:
    from collections.abc import Sequence

    from edgecheck.inputs.criteria import Criteria
    from edgecheck.inputs.sites import SiteList
    from edgecheck.screening.plan import Plan
    from edgecheck.screening.run import Run

INTERRUPTED = 130

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Decide whether a sealed outdoor computing unit may go on a given roof.",
)

SitesArgument = Annotated[
    Path, typer.Argument(metavar="SITES", help="Site list (CSV), one row a site.", show_default=False)
]
UnitOption = Annotated[
    Path | None, typer.Option("--unit", help="Unit file (TOML) for rows that name none.", show_default=False)
]
WeatherOption = Annotated[
    Path | None,
    typer.Option(
        "--weather",
        help="Weather file for rows that name none, or a folder: the nearest station serves.",
        show_default=False,
    ),
]
CriteriaOption = Annotated[
    str, typer.Option("--criteria", help="full, first-pass, or a criteria file (TOML).")
]
OutOption = Annotated[
    Path | None,
    typer.Option("--out", help="Run folder; ./reports/<list name> if not given.", show_default=False),
]
ReportOption = Annotated[
    str | None,
    typer.Option(
        "--report", help="all, none, or verdicts joined by commas; all up to 200 rows.", show_default=False
    ),
]
HourlyOption = Annotated[bool, typer.Option("--hourly", help="Write hourly data of every site too.")]
OverwriteOption = Annotated[bool, typer.Option("--overwrite", help="Replace an earlier run in the folder.")]


@app.callback(invoke_without_command=True)
def _root(
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    if version:
        typer.echo(f"edgecheck {__version__}")
        raise typer.Exit


@app.command()
def demo(
    out: Annotated[Path, typer.Option("--out", help="Folder of the demo run.")] = Path("edgecheck-demo"),
) -> None:
    """Screen invented roofs in five synthetic climates and write every page."""
    from edgecheck.demo.files import demo_inputs
    from edgecheck.inputs.criteria import load_criteria
    from edgecheck.inputs.sites import load_sites
    from edgecheck.inputs.unit import load_unit
    from edgecheck.screening.plan import plan_run

    files = demo_inputs()
    plan = plan_run(load_sites(files.sites), load_unit(files.unit), files.weather, load_criteria())
    typer.echo("Invented roofs, units and weather: synthetic data, for looking around only.", err=True)
    run = _screen(plan, out, report="all", hourly=False, overwrite=True, command=["demo"])
    _summary(run, out)


@app.command()
def screen(
    sites: SitesArgument,
    unit: UnitOption = None,
    weather: WeatherOption = None,
    criteria: CriteriaOption = "full",
    out: OutOption = None,
    report: ReportOption = None,
    hourly: HourlyOption = False,
    overwrite: OverwriteOption = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit 3 unless every site is go.")] = False,
    strict_list: Annotated[
        bool, typer.Option("--strict-list", help="Refuse a list with any faulty row.")
    ] = False,
) -> None:
    """Screen a list of roofs and write verdicts, reports and tables."""
    chosen, site_list = _read(sites, criteria)
    plan = _plan(site_list, unit, weather, chosen, strict_list=strict_list)
    folder = out or Path("reports") / sites.stem
    run = _screen(
        plan, folder, report=report, hourly=hourly, overwrite=overwrite, command=["screen", *sys.argv[2:]]
    )
    _summary(run, folder)
    _leave(run, strict=strict)


@app.command()
def site(
    sites: SitesArgument,
    site_id: Annotated[str, typer.Argument(metavar="SITE_ID", help="Id of the site.", show_default=False)],
    unit: UnitOption = None,
    weather: WeatherOption = None,
    criteria: CriteriaOption = "full",
    out: OutOption = None,
    hourly: HourlyOption = False,
    overwrite: OverwriteOption = False,
) -> None:
    """Decide one site of a list and write its worst-hour report."""
    from edgecheck.base.errors import Fault, InputFaults

    chosen, site_list = _read(sites, criteria)
    if site_list.site(site_id) is None:
        raise InputFaults((Fault(sites.name, "", "site_id", site_id, "no row of the list has this id"),))
    plan = _plan(site_list.only(site_id), unit, weather, chosen)
    folder = out or Path("reports") / sites.stem
    command = ["site", *sys.argv[2:]]
    ids = [row.site_id for row in site_list.sites]
    run = _screen(
        plan, folder, report="all", hourly=hourly, overwrite=overwrite, command=command, list_ids=ids
    )
    for result in run.results:
        typer.echo(f"{result.site_id}: {result.verdict}. {result.reason}")
    _where(folder)
    _leave(run, strict=False)


@app.command(name="weather")
def weather_command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Weather file.", show_default=False)],
) -> None:
    """Print place, span, extremes and quality of a weather file."""
    from edgecheck.outputs.weather_text import weather_text
    from edgecheck.weather.read import read_weather

    typer.echo(weather_text(read_weather(file)))


@app.command(name="unit")
def unit_command(
    file: Annotated[Path, typer.Argument(metavar="UNIT", help="Unit file (TOML).", show_default=False)],
) -> None:
    """Check a unit file and print what the program makes of it."""
    from edgecheck.inputs.unit import load_unit
    from edgecheck.outputs.unit_text import unit_text

    typer.echo(unit_text(load_unit(file)))


def _read(sites: Path, criteria: str) -> tuple["Criteria", "SiteList"]:
    from edgecheck.inputs.criteria import load_criteria
    from edgecheck.inputs.sites import load_sites

    chosen = load_criteria(criteria)
    return chosen, load_sites(sites, chosen)


def _plan(
    site_list: "SiteList",
    unit: Path | None,
    weather: Path | None,
    criteria: "Criteria",
    *,
    strict_list: bool = False,
) -> "Plan":
    from edgecheck.inputs.unit import load_unit
    from edgecheck.screening.plan import plan_run

    record = None if unit is None else load_unit(unit)
    return plan_run(site_list, record, weather, criteria, strict_list=strict_list)


def _screen(
    plan: "Plan",
    folder: Path,
    *,
    report: str | None,
    hourly: bool,
    overwrite: bool,
    command: list[str],
    list_ids: "Sequence[str] | None" = None,
) -> "Run":
    from edgecheck.outputs.folder import RunFolder
    from edgecheck.outputs.run_log import started_log
    from edgecheck.outputs.run_writer import ReportChoice, RunWriter
    from edgecheck.screening.run import screen as screen_plan

    try:
        choice = ReportChoice.parse(report, len(plan.site_list.sites))
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--report") from error
    log = started_log()
    run_folder = RunFolder.open(folder, overwrite=overwrite, log=log)
    writer = RunWriter(run_folder, plan, choice, hourly=hourly, list_ids=list_ids)
    shown = sys.stderr.isatty()

    def progress(done: int, of: int) -> None:
        typer.echo(f"\r{done} of {of} sites", err=True, nl=done == of)

    run = screen_plan(plan, on_site=writer.site, on_progress=progress if shown else None)
    writer.finish(run, command, log)
    return run


def _summary(run: "Run", folder: Path) -> None:
    from collections import Counter

    counts: Counter[str] = Counter(result.verdict for result in run.results)
    order = ("go", "conditional", "undecided", "no-go", "unusable")
    typer.echo(", ".join(f"{counts[word]} {word}" for word in order if counts[word]))
    for result in run.results:
        for fault in result.faults:
            typer.echo(f"unusable: {fault}", err=True)
    cautioned = sum(len(row.cautions) for row in run.plan.site_list.sites)
    typer.echo(
        f"rows: {len(run.results) - counts['unusable']} usable, {counts['unusable']} unusable; "
        f"cells with a caution: {cautioned}",
        err=True,
    )
    for note in run.plan.notes:
        typer.echo(f"note: {note.text}", err=True)
    _where(folder)


def _where(folder: Path) -> None:
    typer.echo(f"pages: {folder / 'index.html'}")
    typer.echo(
        "Screening only: licensed people confirm structure, electrics, fire, lifting and refrigerant work."
    )


def _leave(run: "Run", *, strict: bool) -> None:
    if run.failed:
        raise typer.Exit(4)
    if strict and any(result.verdict != "go" for result in run.results):
        raise typer.Exit(3)


def main() -> None:
    """Run the command line; faults of the user's files end in one message and exit 2, never a traceback."""
    from edgecheck.base.errors import EdgecheckError

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        app()
    except EdgecheckError as error:
        typer.echo(f"edgecheck: {error}", err=True)
        sys.exit(error.exit_code)
    except SystemExit as leaving:
        if leaving.code == INTERRUPTED:
            text = "edgecheck: interrupted; a run folder without run.json is not finished, --overwrite starts it again"
            typer.echo(text, err=True)
        raise
