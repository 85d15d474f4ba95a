"""The options that several commands share, each with its help."""

from pathlib import Path
from typing import Annotated

import typer

SitesArgument = Annotated[
    Path, typer.Argument(metavar="SITES", help="Site list (CSV or XLSX), one row a site.", show_default=False)
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
ColumnsOption = Annotated[
    Path | None,
    typer.Option("--columns", help="Mapping file (TOML) of the list's own column names.", show_default=False),
]
SheetOption = Annotated[
    str | None,
    typer.Option("--sheet", help="Sheet of a workbook; the first if not given.", show_default=False),
]
CriteriaOption = Annotated[
    str, typer.Option("--criteria", help="full, first-pass, or a criteria file (TOML).")
]
AssumeOption = Annotated[
    Path | None,
    typer.Option("--assume", help="Assumptions file (TOML): values for empty cells.", show_default=False),
]
SurveyOption = Annotated[
    Path | None,
    typer.Option("--survey", help="Filled-in survey sheet (CSV or XLSX) to merge.", show_default=False),
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
ResumeOption = Annotated[
    bool,
    typer.Option(
        "--resume", help="Continue a run that was cut short; what is finished and still fits stays."
    ),
]
JobsOption = Annotated[
    int | None,
    typer.Option(
        "--jobs",
        min=1,
        help="Processes that compute; as many as there are cores, fewer for a short list.",
        show_default=False,
    ),
]
ClusterOption = Annotated[
    str | None,
    typer.Option(
        "--cluster",
        metavar="ADDRESS",
        help="Scheduler of a Dask cluster that computes instead, such as tcp://10.0.0.5:8786.",
        show_default=False,
    ),
]
