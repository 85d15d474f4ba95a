"""Warming files of a list: each read once, a wrong one is a fault of the rows that name it."""

from pathlib import Path

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.sites import Site
from edgecheck.inputs.warming_file import MonthlyWarming, load_warming


class WarmingFiles:
    """Warming files beside a list.

    Parameters
    ----------
    list_path : Path
        The list; its rows name files relative to it.
    """

    def __init__(self, list_path: Path) -> None:
        self._folder = list_path.parent
        self._read: dict[str, tuple[MonthlyWarming | None, tuple[str, ...]]] = {}

    def of(self, site: Site) -> tuple[MonthlyWarming | None, tuple[str, ...]]:
        """Monthly warming of a row, or what is wrong with its file; neither for a row that names none."""
        name = site.text("warming_file")
        if name is None:
            return None, ()
        if name not in self._read:
            self._read[name] = self._load(name)
        return self._read[name]

    def _load(self, name: str) -> tuple[MonthlyWarming | None, tuple[str, ...]]:
        path = self._folder / name
        if not path.is_file():
            return None, (f"there is no file {name!r} beside the list",)
        try:
            return load_warming(path), ()
        except InputFaults as wrong:
            return None, tuple(fault.text() for fault in wrong.faults)
