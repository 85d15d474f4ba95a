"""results.jsonl: one checksummed line a finished site, appended while a run goes, in list order at its end.

In: results. Out: lines, and results read back one at a time: nothing here holds all of them. A line that was cut
or changed is known by its checksum and counts as absent.
"""

import hashlib
import json
import os
import time
from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, overload

from edgecheck.checks.result import Result
from edgecheck.screening.whole_files import cannot_write, write_whole

NAME = "results.jsonl"
# A power cut loses what was written since; a killed program loses nothing that it has written.
_SYNC_EVERY_S = 5.0
_HEAD = b'{"sha256":"'
_DIGEST = slice(len(_HEAD), len(_HEAD) + 64)
_BODY = len(_HEAD) + 64 + len(b'",')


@dataclass(frozen=True)
class Entry:
    """One whole line.

    Parameters
    ----------
    key : str
        Of the row, see `Keys`; empty for a row that could not be decided.
    made_from : str
        Of what its pages name beside that: the list file and the versions.
    record : mapping
        The result as `Result.to_stored`.
    offset, length : int
        Where the line stands in the file. [bytes]
    """

    key: str
    made_from: str
    record: Mapping[str, Any]
    offset: int = 0
    length: int = 0


def store_line(result: Result, key: str = "", made_from: str = "") -> bytes:
    """One line of results.jsonl.

    Parameters
    ----------
    result : Result
        A finished site.
    key, made_from : str
        See `Entry`.

    Returns
    -------
    bytes
        JSON of {"sha256", "key", "made_from", "result"} with a line feed at the end; the checksum is that of
        the bytes from "key" to the closing brace.
    """
    record = {"key": key, "made_from": made_from, "result": result.to_stored()}
    body = json.dumps(record, ensure_ascii=True, allow_nan=False, separators=(",", ":"))[1:].encode("ascii")
    return b"".join((_HEAD, hashlib.sha256(body).hexdigest().encode("ascii"), b'",', body, b"\n"))


def entry_of(line: bytes, offset: int = 0) -> Entry | None:
    """What a line says, None where it was cut or changed."""
    body = line[_BODY:-1]
    whole = line.startswith(_HEAD) and line.endswith(b"\n")
    if not whole or hashlib.sha256(body).hexdigest().encode("ascii") != line[_DIGEST]:
        return None
    try:
        found = json.loads(line)
        return Entry(found["key"], found["made_from"], found["result"], offset, len(line))
    except (ValueError, KeyError, TypeError):
        return None


def entries(path: Path) -> Iterator[Entry | None]:
    """Lines of a file one after the other, None for those that were cut or changed."""
    offset = 0
    with path.open("rb") as file:
        for line in file:
            yield entry_of(line, offset)
            offset += len(line)


class StoredResults(Sequence[Result]):
    """Results in a file, each read when it is asked for.

    Parameters
    ----------
    path : Path
        results.jsonl.
    offsets, lengths : sequence of int
        Where each result's line stands. [bytes]
    """

    def __init__(self, path: Path, offsets: Iterable[int], lengths: Iterable[int]) -> None:
        self.path = path
        self._offsets = array("q", offsets)
        self._lengths = array("q", lengths)

    def __len__(self) -> int:
        return len(self._offsets)

    @overload
    def __getitem__(self, place: int) -> Result: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[Result, ...]: ...
    def __getitem__(self, place: int | slice) -> Result | tuple[Result, ...]:
        with self.path.open("rb") as file:
            if isinstance(place, slice):
                return tuple(self._read(file, at) for at in range(*place.indices(len(self))))
            return self._read(file, range(len(self))[place])

    def __iter__(self) -> Iterator[Result]:
        with self.path.open("rb") as file:
            for place in range(len(self)):
                yield self._read(file, place)

    def _read(self, file: BinaryIO, place: int) -> Result:
        file.seek(self._offsets[place])
        return Result.from_dict(json.loads(file.read(self._lengths[place]))["result"])


class Store:
    """results.jsonl while a run goes; only where each line stands is kept in memory.

    Parameters
    ----------
    path : Path
        The file; lines that are there stay until `settle`, a cut end is taken off.
    rows : int
        Rows of the list.

    Raises
    ------
    FolderRefused
        If it cannot be opened, or is a link that leads elsewhere.
    """

    def __init__(self, path: Path, rows: int) -> None:
        self.path = path
        self._offsets = array("q", [-1]) * rows
        self._lengths = array("q", [0]) * rows
        self._synced = time.monotonic()
        try:
            if path.is_symlink():
                raise OSError("it is a link that leads elsewhere; remove it first")
            self._file = path.open("ab", buffering=0)
            self._size = self._cut_end_off()
        except OSError as error:
            raise cannot_write(path, error) from error

    def _cut_end_off(self) -> int:
        """Take off what stands after the last line feed; the size then."""
        size = self.path.stat().st_size
        with self.path.open("rb") as file:
            end = size
            while end > 0:
                begin = max(0, end - 65536)
                file.seek(begin)
                found = file.read(end - begin).rfind(b"\n")
                if found >= 0:
                    end = begin + found + 1
                    break
                end = begin
        if end < size:
            self._file.truncate(end)
        return end

    def entries(self) -> Iterator[Entry | None]:
        """Lines of an earlier run, None for those that were cut or changed."""
        return entries(self.path)

    def keep(self, place: int, entry: Entry) -> None:
        """Let a line of an earlier run stand for a row."""
        self._offsets[place], self._lengths[place] = entry.offset, entry.length

    def append(self, place: int, line: bytes) -> None:
        """Write the line of a row whole.

        Raises
        ------
        FolderRefused
            If it cannot be written; half a line is taken off again.
        """
        try:
            self._write(line)
            if time.monotonic() - self._synced > _SYNC_EVERY_S:
                os.fsync(self._file.fileno())
                self._synced = time.monotonic()
        except OSError as error:
            with suppress(OSError):
                self._file.truncate(self._size)
            raise cannot_write(self.path, error) from error
        self._offsets[place], self._lengths[place] = self._size, len(line)
        self._size += len(line)

    def _write(self, line: bytes) -> None:
        rest = memoryview(line)
        while rest:
            rest = rest[self._file.write(rest) or 0 :]

    def settle(self, absent: Mapping[int, bytes]) -> StoredResults:
        """Put the file into list order, one line a row, and close it.

        Parameters
        ----------
        absent : mapping
            Index of a row -> its line, for rows that were not appended.

        Returns
        -------
        StoredResults
            In list order.

        Raises
        ------
        FolderRefused
            If it cannot be written; the lines then stand as before.
        """
        self.close()
        lengths = array("q")

        def fill(part: Path) -> None:
            with self.path.open("rb") as source, part.open("wb") as out:
                for place, (offset, length) in enumerate(zip(self._offsets, self._lengths, strict=True)):
                    line = absent.get(place)
                    if line is None:
                        source.seek(offset)
                        line = source.read(length)
                    out.write(line)
                    lengths.append(len(line))
                out.flush()
                os.fsync(out.fileno())

        write_whole(self.path, fill)
        return StoredResults(self.path, _starts(lengths), lengths)

    def close(self) -> None:
        """Close the file; the lines stay."""
        self._file.close()


def _starts(lengths: Iterable[int]) -> Iterator[int]:
    offset = 0
    for length in lengths:
        yield offset
        offset += length
