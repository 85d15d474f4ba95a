"""Writing starter files. A file that is there already is never touched."""

from contextlib import suppress
from pathlib import Path

from edgecheck.base.errors import FolderRefused
from edgecheck.inputs.starters import STARTERS, starter


def write_starter(kind: str, path: str | Path | None = None) -> Path:
    """Write a starter file.

    Parameters
    ----------
    kind : {"sites", "unit", "criteria", "assume"}
        What is to be started.
    path : str or Path, optional
        File to write, or a folder for a file with the usual name of its kind; that name in the current folder
        if not given.

    Returns
    -------
    path : Path
        The file.

    Raises
    ------
    FolderRefused
        The file exists, or cannot be written.
    KeyError
        There is no such kind.
    """
    return write_new(STARTERS[kind] if path is None else path, starter(kind), STARTERS[kind])


def write_new(path: str | Path, text: str, name: str) -> Path:
    """Write a text file that does not exist yet; CSV gets a byte order mark.

    Parameters
    ----------
    path : str or Path
        File to write, or a folder.
    text : str
        Its content.
    name : str
        Name of the file in a folder.

    Returns
    -------
    path : Path
        The file.

    Raises
    ------
    FolderRefused
        The file exists, or cannot be written.
    """
    place = Path(path)
    if place.is_dir():
        place = place / name
    encoding = "utf-8-sig" if place.suffix.lower() == ".csv" else "utf-8"
    data = text.encode(encoding)
    made = False
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FolderRefused(str(place.parent), f"cannot be made: {error.strerror or error}") from error
    try:
        with place.open("xb") as file:
            made = True
            file.write(data)
    except FileExistsError as error:
        raise FolderRefused(str(place), "exists already and is left as it is; give another name") from error
    except OSError as error:
        if made:
            with suppress(OSError):
                place.unlink()
        raise FolderRefused(str(place), f"cannot be written: {error.strerror or error}") from error
    return place
