"""Small files beside a list that its rows name: each read once, a wrong one is a fault of the rows that name it."""

from collections.abc import Callable
from pathlib import Path
from typing import Generic, TypeVar

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.sites import Site

Content = TypeVar("Content")


class SideFiles(Generic[Content]):
    """Files of one kind beside a list.

    Parameters
    ----------
    list_path : Path
        The list; its rows name files relative to it.
    key : str
        Column that names them.
    read : callable
        Content of a file; raises `InputFaults`.
    """

    def __init__(self, list_path: Path, key: str, read: Callable[[Path], Content]) -> None:
        self.key = key
        self._folder = list_path.parent
        self._read_file = read
        self._read: dict[str, tuple[Content | None, tuple[str, ...]]] = {}

    def of(self, site: Site) -> tuple[Content | None, tuple[str, ...]]:
        """Content of a row's file, or what is wrong with it; neither for a row that names none."""
        name = site.text(self.key)
        if name is None:
            return None, ()
        if name not in self._read:
            self._read[name] = self._load(name)
        return self._read[name]

    def _load(self, name: str) -> tuple[Content | None, tuple[str, ...]]:
        path = self._folder / name
        if not path.is_file():
            return None, (f"there is no file {name!r} beside the list",)
        try:
            return self._read_file(path), ()
        except InputFaults as wrong:
            return None, tuple(fault.text() for fault in wrong.faults)
