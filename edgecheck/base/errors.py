"""Errors that end a command or a row, each with what was found, where, and what is allowed."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong in something a person wrote.

    Parameters
    ----------
    file : str
        File name without folders.
    where : str
        "line 7", "row R-003 (line 4)", or empty where the whole file is meant.
    key : str
        Key or column, empty where none is meant.
    value : str
        What was found, as text.
    allowed : str
        What is wrong and what is allowed.
    """

    file: str
    where: str
    key: str
    value: str
    allowed: str

    def text(self) -> str:
        """One line: file, place, key, value, what is allowed."""
        parts = [self.file]
        if self.where:
            parts.append(self.where)
        if self.key:
            parts.append(self.key)
        head = ", ".join(parts)
        found = f" {self.value!r}:" if self.value else ""
        return f"{head}:{found} {self.allowed}"


class EdgecheckError(Exception):
    """Base of the errors that a user can act on."""

    exit_code = 1


class InputFaults(EdgecheckError, ValueError):
    """A file that people write cannot be used; carries every fault found in it."""

    exit_code = 2

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(fault.text() for fault in self.faults)


class WeatherRefused(EdgecheckError, ValueError):
    """A weather file cannot carry a verdict; the message says why and where in the file."""

    exit_code = 2

    def __init__(self, file: str, reason: str, where: str = "") -> None:
        self.file = file
        self.reason = reason
        self.where = where
        super().__init__(file, reason, where)

    def __str__(self) -> str:
        place = f", {self.where}" if self.where else ""
        return f"{self.file}{place}: {self.reason}"


class FolderRefused(EdgecheckError, OSError):
    """The folder to write into is not empty and not ours, or cannot be written."""

    exit_code = 2

    def __init__(self, folder: str, reason: str) -> None:
        self.folder = folder
        self.reason = reason
        super().__init__(folder, reason)

    def __str__(self) -> str:
        return f"{self.folder}: {self.reason}"
