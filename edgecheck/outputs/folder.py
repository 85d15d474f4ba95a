"""The run folder: whose it is, and how files come into it.

The only module of this room that writes. A folder is ours when it holds a run-log.json of ours; it is opened
absent, empty or ours. Every file is written beside its name and put in place in one step, so that a reader never
meets half a file. Nothing outside the folder is touched: links inside it are refused.
"""

import codecs
import errno
import os
import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self

from edgecheck.base.errors import FolderRefused
from edgecheck.outputs.records import is_run_log, run_log_json

RUN_LOG = "run-log.json"
RUN_MARK = "run.json"
SITES = "sites"
TOP_FILES = (
    "index.html",
    "verdicts.csv",
    "verdicts.xlsx",
    "survey.csv",
    "sites.geojson",
    RUN_MARK,
    RUN_LOG,
    "results.jsonl",
)
SITE_FILES = ("site.json", "checks.csv", "worst-hour.html", "hourly.csv", "hourly.nc", "hot-spell.csv")
_PART = re.compile(r"\.(?P<name>.+)\.\d+\.part")
_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EROFS: "the file system is read-only",
    errno.EACCES: "no permission to write here",
    errno.EPERM: "no permission to write here",
    errno.ENAMETOOLONG: "the name is too long for this file system",
    errno.ENOTDIR: "a part of the path is a file, not a folder",
}


@dataclass(frozen=True)
class RunFolder:
    """A folder that is ours to write into.

    Parameters
    ----------
    path : Path
        The folder; made with `RunFolder.open`.
    """

    path: Path

    @classmethod
    def open(
        cls,
        path: str | os.PathLike[str],
        overwrite: bool = False,
        *,
        resume: bool = False,
        log: Mapping[str, Any] | None = None,
    ) -> Self:
        """Take a folder for a run, and mark it as ours.

        Parameters
        ----------
        path : str or path
            Absent, empty, or ours.
        overwrite : bool, default False
            Remove the files of an earlier run of ours; files that are not of this layout stay.
        resume : bool, default False
            Continue in a folder of ours.
        log : mapping, optional
            What run-log.json says from the start (time, machine, jobs).

        Returns
        -------
        RunFolder
            With run-log.json written.

        Raises
        ------
        FolderRefused
            If the folder is someone else's, holds a run and neither choice was made, or cannot be written.
        """
        folder = cls(Path(path))
        target = folder.path
        try:
            if target.exists() and not target.is_dir():
                raise FolderRefused(str(target), "is a file; give a folder that is absent, empty or a run's")
            names = sorted(entry.name for entry in target.iterdir()) if target.exists() else []
            if names:
                folder._claim(overwrite=overwrite, resume=resume)
            target.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _refused(target, error) from error
        folder.write_text(RUN_LOG, run_log_json(log or {}))
        return folder

    def _claim(self, *, overwrite: bool, resume: bool) -> None:
        """Check that a folder with something in it is ours, and empty it of our files where asked."""
        if not self._is_ours():
            raise FolderRefused(
                str(self.path),
                f"holds files and no {RUN_LOG} of this program, so it is left alone; give another folder",
            )
        if overwrite:
            self._remove_run()
        elif not resume:
            raise FolderRefused(
                str(self.path),
                "holds an earlier run; use --overwrite to replace it, or give another folder",
            )

    def _is_ours(self) -> bool:
        """Whether the folder holds a run-log.json of ours."""
        mark = self.path / RUN_LOG
        if mark.is_symlink() or not mark.is_file():
            return False
        return is_run_log(mark.read_text(encoding="utf-8", errors="replace"))

    def _remove_run(self) -> None:
        """Remove the files of this layout, run.json first and run-log.json last, and folders left empty."""
        _remove_files(self.path, (RUN_MARK, *(name for name in TOP_FILES if name not in (RUN_MARK, RUN_LOG))))
        sites = self.path / SITES
        if sites.is_dir() and not sites.is_symlink():
            for site in sorted(sites.iterdir()):
                if site.is_dir() and not site.is_symlink():
                    _remove_files(site, SITE_FILES)
                    with suppress(OSError):
                        site.rmdir()
            with suppress(OSError):
                sites.rmdir()

    def write_text(self, name: str, text: str, *, site: str | None = None) -> Path:
        """Write a text file in one step; CSV gets a byte order mark, line ends stay as they are.

        Parameters
        ----------
        name : str
            One of the files of the layout.
        text : str
            Its content.
        site : str, optional
            Site folder (from `site_folders`) for the files of a site.

        Returns
        -------
        Path
            The file.

        Raises
        ------
        FolderRefused
            If it cannot be written: full disk, read-only, no permission, a link in its place.
        """
        encoding = "utf-8-sig" if name.endswith(".csv") else "utf-8"
        return self.write_bytes(name, text.encode(encoding, errors="replace"), site=site)

    def write_lines(self, name: str, lines: Iterable[str], *, site: str | None = None) -> Path:
        """Write a text file in one step from lines that are made one by one; the rest as `write_text`."""

        def fill(part: Path) -> None:
            with part.open("wb") as out:
                if name.endswith(".csv"):
                    out.write(codecs.BOM_UTF8)
                out.writelines(line.encode("utf-8", errors="replace") for line in lines)

        return self._write(name, fill, site)

    def write_bytes(self, name: str, data: bytes, *, site: str | None = None) -> Path:
        """Write a file in one step; parameters and errors as `write_text`."""
        return self._write(name, lambda part: part.write_bytes(data), site)

    def _write(self, name: str, fill: Callable[[Path], Any], site: str | None) -> Path:
        """Have a file filled beside its name, then put it in place."""
        place = self._place(name, site)
        write_whole(place, fill)
        return place

    def _place(self, name: str, site: str | None) -> Path:
        """Where a file of the layout goes; refuses names that are not of it and links that lead elsewhere."""
        if name not in (TOP_FILES if site is None else SITE_FILES):
            raise ValueError(f"{name!r} is no file of a {'run' if site is None else 'site'} folder")
        if site is None:
            return self.path / name
        if site in ("", ".", "..") or "/" in site or "\\" in site:
            raise ValueError(f"{site!r} is no name of a site folder")
        sites = self.path / SITES
        for step in (sites, sites / site):
            if step.is_symlink():
                raise FolderRefused(str(step), "is a link that leads out of the run folder; remove it first")
        return sites / site / name


def write_whole(place: Path, fill: Callable[[Path], Any]) -> None:
    """Write a file beside its name and put it in place in one step.

    Parameters
    ----------
    place : Path
        The file; folders above it are made.
    fill : callable
        Writes the content to the path it is given.

    Raises
    ------
    FolderRefused
        If it cannot be written: full disk, read-only, no permission.
    """
    part = place.with_name(f".{place.name}.{os.getpid()}.part")
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        try:
            fill(part)
            os.replace(part, place)
        except BaseException:
            with suppress(OSError):
                part.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise _refused(place, error) from error


def _remove_files(folder: Path, names: tuple[str, ...]) -> None:
    """Remove these files of a folder, and parts of them that a killed run left behind."""
    for name in names:
        with suppress(FileNotFoundError, IsADirectoryError):
            (folder / name).unlink()
    for entry in sorted(folder.iterdir()):
        found = _PART.fullmatch(entry.name)
        if found and found["name"] in names:
            entry.unlink(missing_ok=True)


def _refused(place: Path, error: OSError) -> FolderRefused:
    """The error as one clear message."""
    if isinstance(error, FolderRefused):
        return error
    reason = _REASONS.get(error.errno or 0, error.strerror or str(error))
    return FolderRefused(str(place), f"cannot be written: {reason}")
