"""Bytes of a weather file to lines of text.

The only place of the weather rooms that opens files. UTF-8 (with or without mark) first, then the western
code page that older files were written in; what has zero bytes is no text.
"""

from dataclasses import dataclass
from pathlib import Path

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note

HEAD_BYTES = 8192


@dataclass(frozen=True)
class FileText:
    """A text file.

    Parameters
    ----------
    name : str
        Without folders.
    lines : list of str
        Without line ends; lines[i] is line i + 1 of the file. Blank lines at the end are dropped.
    notes : tuple of Note
        What had to be assumed to decode it.
    ended : bool
        Whether the last line has a line end; where it has none the file may be cut inside its last value.
    """

    name: str
    lines: list[str]
    notes: tuple[Note, ...] = ()
    ended: bool = True


def read_bytes(path: str | Path, most: int = -1) -> bytes:
    """Read the file's bytes, at most `most` of them.

    Raises
    ------
    WeatherRefused
        If the file cannot be opened.
    """
    path = Path(path)
    try:
        with path.open("rb") as file:
            return file.read(most)
    except OSError as error:
        reason = "there is no such file" if isinstance(error, FileNotFoundError) else "cannot be read"
        raise WeatherRefused(path.name, reason) from error


def decode(name: str, data: bytes) -> FileText:
    """Text of the bytes.

    Parameters
    ----------
    name : str
        File name for messages.
    data : bytes
        Content of the file.

    Returns
    -------
    FileText

    Raises
    ------
    WeatherRefused
        If the file is empty, or is no 8-bit text.
    """
    if not data.strip(b" \t\r\n\x1a"):
        raise WeatherRefused(name, "the file is empty")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise WeatherRefused(name, "the file is UTF-16 text; save it as UTF-8 or plain text")
    if data[:2] == b"\x1f\x8b" or data[:4] == b"PK\x03\x04":
        raise WeatherRefused(name, "the file is an archive; unpack it first")
    if b"\x00" in data:
        raise WeatherRefused(name, "the file has zero bytes: it is no text file, or UTF-16 text")
    notes: tuple[Note, ...] = ()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            text = data.decode("latin-1")
        notes = (Note("not-utf-8", "info", "The file is not UTF-8; it is read as western 8-bit text."),)
    ended = text.endswith(("\n", "\r", "\x1a"))
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    return FileText(name, text.rstrip(" \t\n\x1a").split("\n"), notes, ended)
