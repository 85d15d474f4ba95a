"""The commands. Each reads what people gave, calls the library, writes what was asked for.

Exit codes: 0 ran; 1 an error in the program; 2 command line, a fault in a file, or the folder, nothing written;
3 with --strict, some site is not go; 4 some rows unusable (wins over 3); 130 interrupted, --resume continues.
"""

import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from edgecheck import __version__
from edgecheck.cli_options import (
    AssumeOption,
    ClusterOption,
    ColumnsOption,
    CriteriaOption,
    HourlyOption,
    JobsOption,
    OutOption,
    OverwriteOption,
    ReportOption,
    ResumeOption,
    SheetOption,
    SitesArgument,
    SurveyOption,
    UnitOption,
    WeatherOption,
)

if TYPE_CHECKING:
    from edgecheck.inputs.criteria import Criteria
    from edgecheck.inputs.sites import SiteList
    from edgecheck.screening.plan import Plan
    from edgecheck.screening.run import Progress, Run

INTERRUPTED = 130

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Decide whether a sealed outdoor computing unit may go on a given roof.",
)


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
    run = _screen(plan, out, report="all", overwrite=True, command=["demo"])
    _summary(run, out)


class Starter(StrEnum):
    """Files that `new` can start."""

    SITES = "sites"
    UNIT = "unit"
    CRITERIA = "criteria"
    ASSUME = "assume"


@app.command()
def new(
    kind: Annotated[Starter, typer.Argument(help="What to start.", show_default=False)],
    path: Annotated[Path | None, typer.Argument(help="File to write.", show_default=False)] = None,
    their_list: Annotated[
        Path | None,
        typer.Option("--from", help="Your own list: writes a mapping file with guesses.", show_default=False),
    ] = None,
    sheet: SheetOption = None,
) -> None:
    """Write a commented starter file, or a mapping file for a list of your own; never overwrites."""
    from edgecheck.outputs.starters import write_new, write_starter

    if their_list is None:
        written = write_starter(kind.value, path)
    elif kind is Starter.SITES:
        from edgecheck.inputs.mapping_guess import propose_mapping

        name = f"{their_list.stem}-columns.toml"
        written = write_new(path or name, propose_mapping(their_list, sheet), name)
    else:
        raise typer.BadParameter("goes with `new sites` only", param_hint="--from")
    typer.echo(f"written: {written}")


@app.command()
def screen(
    sites: SitesArgument,
    unit: UnitOption = None,
    weather: WeatherOption = None,
    columns: ColumnsOption = None,
    sheet: SheetOption = None,
    criteria: CriteriaOption = "full",
    assume: AssumeOption = None,
    survey: SurveyOption = None,
    out: OutOption = None,
    report: ReportOption = None,
    hourly: HourlyOption = False,
    jobs: JobsOption = None,
    cluster: ClusterOption = None,
    resume: ResumeOption = False,
    overwrite: OverwriteOption = False,
    strict: Annotated[bool, typer.Option("--strict", help="Exit 3 unless every site is go.")] = False,
    strict_list: Annotated[
        bool, typer.Option("--strict-list", help="Refuse a list with any faulty row.")
    ] = False,
) -> None:
    """Screen a list of roofs and write verdicts, reports and tables."""
    if resume and overwrite:
        raise typer.BadParameter("does not go with --overwrite", param_hint="--resume")
    if jobs is not None and cluster is not None:
        raise typer.BadParameter("does not go with --cluster", param_hint="--jobs")
    chosen, site_list = _read(sites, criteria, columns, sheet, survey)
    plan = _plan(site_list, unit, weather, chosen, assume, strict_list=strict_list)
    folder = out or Path("reports") / sites.stem
    run = _screen(
        plan,
        folder,
        report=report,
        hourly=hourly,
        resume=resume,
        overwrite=overwrite,
        command=["screen", *sys.argv[2:]],
        jobs=jobs,
        cluster_address=cluster,
    )
    _summary(run, folder)
    _leave(run, strict=strict)


@app.command()
def site(
    sites: SitesArgument,
    site_id: Annotated[str, typer.Argument(metavar="SITE_ID", help="Id of the site.", show_default=False)],
    unit: UnitOption = None,
    weather: WeatherOption = None,
    columns: ColumnsOption = None,
    sheet: SheetOption = None,
    criteria: CriteriaOption = "full",
    assume: AssumeOption = None,
    survey: SurveyOption = None,
    out: OutOption = None,
    hourly: HourlyOption = False,
    overwrite: OverwriteOption = False,
) -> None:
    """Decide one site of a list and write its worst-hour report."""
    from edgecheck.base.errors import Fault, InputFaults

    chosen, site_list = _read(sites, criteria, columns, sheet, survey)
    if site_list.site(site_id) is None:
        raise InputFaults((Fault(sites.name, "", "site_id", site_id, "no row of the list has this id"),))
    plan = _plan(site_list.only(site_id), unit, weather, chosen, assume)
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
    out: Annotated[
        Path | None, typer.Option("--out", help="Page (HTML) with the year drawn.", show_default=False)
    ] = None,
) -> None:
    """Print place, span, extremes and quality of a weather file; draw its year."""
    from edgecheck.outputs.weather_text import weather_text
    from edgecheck.weather.read import read_weather

    weather = read_weather(file)
    typer.echo(weather_text(weather))
    if out is not None:
        from edgecheck.outputs.starters import write_new
        from edgecheck.outputs.weather_page import weather_page

        typer.echo(f"written: {write_new(out, weather_page(weather), f'{file.stem}.html')}")


@app.command(name="unit")
def unit_command(
    file: Annotated[
        Path | None, typer.Argument(metavar="UNIT", help="Unit file (TOML).", show_default=False)
    ] = None,
    fit: Annotated[
        Path | None,
        typer.Option(
            "--fit",
            metavar="POINTS",
            help="Single points of a data sheet (CSV: liquid_c, inlet_air_c, capacity_kw, power_kw): "
            "makes a rating table of them.",
            show_default=False,
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            help="With --fit: new unit file, UNIT with the fitted table; never overwrites.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Check a unit file and print what the program makes of it, or fit its rating table to points."""
    if fit is None:
        if out is not None:
            raise typer.BadParameter("goes with --fit only", param_hint="--out")
        if file is None:
            raise typer.BadParameter("a unit file is needed, or points with --fit", param_hint="UNIT")
        _show_unit(file)
        return
    if out is not None and file is None:
        raise typer.BadParameter("needs UNIT, the unit file whose table is replaced", param_hint="--out")
    from edgecheck.inputs.rating_fit import fit_rating
    from edgecheck.inputs.rating_points import load_rating_points
    from edgecheck.outputs.fitted_unit import cooling_table, fit_text, write_fitted_unit

    made = fit_rating(load_rating_points(fit))
    typer.echo(fit_text(made))
    if out is None or file is None:
        typer.echo(f"\n{cooling_table(made)}", nl=False)
        return
    written = write_fitted_unit(made, file, out)
    _show_unit(written)
    typer.echo(f"written: {written}")


def _show_unit(file: Path) -> None:
    from edgecheck.inputs.unit import load_unit
    from edgecheck.outputs.unit_text import unit_text

    typer.echo(unit_text(load_unit(file)))


def _read(
    sites: Path, criteria: str, columns: Path | None, sheet: str | None, survey: Path | None
) -> tuple["Criteria", "SiteList"]:
    from edgecheck.inputs.answers import load_answers
    from edgecheck.inputs.column_map import load_mapping
    from edgecheck.inputs.criteria import load_criteria
    from edgecheck.inputs.sites import load_sites

    chosen = load_criteria(criteria)
    mapping = None if columns is None else load_mapping(columns)
    answers = None if survey is None else load_answers(survey)
    return chosen, load_sites(sites, chosen, mapping=mapping, sheet=sheet, answers=answers)


def _plan(
    site_list: "SiteList",
    unit: Path | None,
    weather: Path | None,
    criteria: "Criteria",
    assume: Path | None,
    *,
    strict_list: bool = False,
) -> "Plan":
    from edgecheck.inputs.assumptions import load_assumptions
    from edgecheck.inputs.unit import load_unit
    from edgecheck.screening.plan import plan_run

    record = None if unit is None else load_unit(unit)
    assumptions = None if assume is None else load_assumptions(assume)
    return plan_run(site_list, record, weather, criteria, strict_list=strict_list, assumptions=assumptions)


def _screen(
    plan: "Plan",
    folder: Path,
    *,
    report: str | None,
    **how: Any,
) -> "Run":
    from edgecheck.outputs.run_to_folder import run_to_folder
    from edgecheck.outputs.run_writer import ReportChoice

    try:
        choice = ReportChoice.parse(report, len(plan.site_list.sites))
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--report") from error
    return run_to_folder(plan, folder, choice, on_progress=_progress(), **how)


def _progress() -> "Callable[[Progress], None] | None":
    """What draws the progress; None unless standard error is a terminal."""
    if not sys.stderr.isatty():
        return None
    from shutil import get_terminal_size

    from edgecheck.screening.progress import ProgressLine

    shown = ProgressLine(get_terminal_size().columns)

    def draw(progress: "Progress") -> None:
        text = shown.text(progress)
        if text is not None:
            typer.echo(f"\r{text}", err=True, nl=progress.done == progress.of)

    return draw


def _summary(run: "Run", folder: Path) -> None:
    from edgecheck.outputs.run_summary import counts_line, remarks

    typer.echo(counts_line(run))
    for text in remarks(run):
        typer.echo(text, err=True)
    _where(folder)


def _where(folder: Path) -> None:
    typer.echo(f"pages: {folder / 'index.html'}")
    typer.echo(
        "Screening only: licensed people confirm structure, electrics, fire, lifting and refrigerant work."
    )


def _leave(run: "Run", *, strict: bool) -> None:
    if run.failed:
        raise typer.Exit(4)
    if strict and run.verdicts.get("go", 0) < len(run.results):
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
            typer.echo("edgecheck: interrupted; what is finished is kept, --resume continues", err=True)
        raise
