"""The run folder: whose it is, and how files come into it.

The only module of this room that writes. A folder is ours when it holds a run-log.json of ours; it is opened
absent, empty or ours, by one run at a time. Every file is written beside its name and put in place in one step, so
that a reader never meets half a file. Nothing outside the folder is touched: links inside it are refused.
"""

import codecs
import os
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Self

from edgecheck.base.errors import FolderRefused
from edgecheck.outputs.folder_lock import LOCK, FolderLock
from edgecheck.outputs.records import is_run_log, run_log_json
from edgecheck.screening.whole_files import cannot_write, write_whole

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


@dataclass(frozen=True)
class RunFolder:
    """A folder that is ours to write into.

    Parameters
    ----------
    path : Path
        The folder; made with `RunFolder.open`.
    lock : FolderLock, optional
        Keeps other runs out until the folder is closed or this process ends.
    """

    path: Path
    lock: FolderLock | None = field(default=None, compare=False, repr=False)

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
            Continue in a folder of ours: run.json and parts of files that a killed run left behind go, the
            rest stays.
        log : mapping, optional
            What run-log.json says from the start (time, machine, jobs).

        Returns
        -------
        RunFolder
            With run-log.json written.

        Raises
        ------
        FolderRefused
            If the folder is someone else's, holds a run and neither choice was made, is being written by another
            run, or cannot be written.
        """
        target = Path(path)
        try:
            cls(target)._check(chosen=overwrite or resume)
            target.mkdir(parents=True, exist_ok=True)
            folder = cls(target, FolderLock.take(target))
        except OSError as error:
            raise cannot_write(target, error) from error
        try:
            if overwrite:
                folder._remove_run()
            elif resume:
                folder._remove_mark()
            folder.write_text(RUN_LOG, run_log_json(log or {}))
        except OSError as error:
            folder.close()
            raise cannot_write(target, error) from error
        return folder

    def close(self) -> None:
        """Let other runs in."""
        if self.lock is not None:
            self.lock.release()

    def _check(self, *, chosen: bool) -> None:
        """Refuse a folder with something in it that is not ours, or holds a run and no choice was made."""
        if self.path.exists() and not self.path.is_dir():
            raise FolderRefused(str(self.path), "is a file; give a folder that is absent, empty or a run's")
        if not self.path.exists() or all(entry.name == LOCK for entry in self.path.iterdir()):
            return
        if not self._is_ours():
            raise FolderRefused(
                str(self.path),
                f"holds files and no {RUN_LOG} of this program, so it is left alone; give another folder",
            )
        if not chosen:
            raise FolderRefused(
                str(self.path),
                "holds an earlier run; use --resume to continue it, --overwrite to replace it, "
                "or give another folder",
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
        _remove_parts(self.path, TOP_FILES)
        self.remove_sites(())

    def _remove_mark(self) -> None:
        """Remove the mark of a finished run, and parts of files that a killed one left behind."""
        _remove_files(self.path, (RUN_MARK,))
        _remove_parts(self.path, TOP_FILES)
        for site in self._site_folders():
            _remove_parts(site, SITE_FILES)

    def _site_folders(self) -> list[Path]:
        sites = self.path / SITES
        if not sites.is_dir() or sites.is_symlink():
            return []
        return [site for site in sorted(sites.iterdir()) if site.is_dir() and not site.is_symlink()]

    def remove_sites(self, keep: Collection[str]) -> None:
        """Remove our files from site folders that are not of this run, and folders left empty.

        Parameters
        ----------
        keep : collection of str
            Site folders of this run.
        """
        for site in self._site_folders():
            if site.name not in keep:
                _remove_files(site, SITE_FILES)
                _remove_parts(site, SITE_FILES)
                with suppress(OSError):
                    site.rmdir()
        with suppress(OSError):
            (self.path / SITES).rmdir()

    def keep_only(self, names: Collection[str], site: str) -> None:
        """Remove our files from a site folder but for these."""
        folder = self._place(SITE_FILES[0], site).parent
        if folder.is_dir():
            _remove_files(folder, tuple(name for name in SITE_FILES if name not in names))

    def has(self, names: Iterable[str], site: str) -> bool:
        """Whether a site folder holds these files."""
        return all(self._place(name, site).is_file() for name in names)

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
        return self.write_bytes(name, encoded(name, text), site=site)

    def write_together(self, names: Sequence[str], fill: Callable[[Mapping[str, Path]], Any]) -> None:
        """Write several files of the run, each in one step when all of them are filled.

        Parameters
        ----------
        names : sequence of str
            They are put in place in this order.
        fill : callable
            Gets the path at which to make each file, by name.

        Raises
        ------
        FolderRefused
            As `write_text`; none of the files is then put in place.
        """
        *before, last = names
        if before:
            self._write(
                last,
                lambda part: self.write_together(before, lambda parts: fill({**parts, last: part})),
                None,
            )
        else:
            self._write(last, lambda part: fill({last: part}), None)

    def write_bytes(self, name: str, data: bytes, *, site: str | None = None) -> Path:
        """Write a file in one step; parameters and errors as `write_text`."""
        return self._write(name, lambda part: part.write_bytes(data), site)

    def write_filled(self, name: str, fill: Callable[[Path], Any]) -> Path:
        """Write a file in one step that `fill` makes at the path it is given; errors as `write_text`."""
        return self._write(name, fill, None)

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


class LineFile:
    """A text file in the making, written piece by piece; CSV gets a byte order mark.

    Parameters
    ----------
    place : Path
        What it will be called, which errors name.
    part : Path
        Where it is made.

    Raises
    ------
    FolderRefused
        If it cannot be written; so too from its methods.
    """

    def __init__(self, place: Path, part: Path) -> None:
        self._place = place
        with self._named():
            self._file = part.open("wb", buffering=1 << 20)
            if place.name.endswith(".csv"):
                self._file.write(codecs.BOM_UTF8)

    def write(self, text: str) -> None:
        """Add text; line ends stay as they are."""
        with self._named():
            self._file.write(text.encode("utf-8", errors="replace"))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        with self._named():
            self._file.close()

    @contextmanager
    def _named(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise cannot_write(self._place, error) from error


def encoded(name: str, text: str) -> bytes:
    """Bytes of a text file: UTF-8, a CSV file with byte order mark.

    Parameters
    ----------
    name : str
        Of the file.
    text : str
        Its content; line ends stay as they are.
    """
    return text.encode("utf-8-sig" if name.endswith(".csv") else "utf-8", errors="replace")


def _remove_files(folder: Path, names: tuple[str, ...]) -> None:
    """Remove these files of a folder."""
    for name in names:
        with suppress(FileNotFoundError, IsADirectoryError):
            (folder / name).unlink()


def _remove_parts(folder: Path, names: tuple[str, ...]) -> None:
    """Remove parts of these files that a killed run left behind."""
    for entry in sorted(folder.iterdir()):
        found = _PART.fullmatch(entry.name)
        if found and found["name"] in names:
            entry.unlink(missing_ok=True)
