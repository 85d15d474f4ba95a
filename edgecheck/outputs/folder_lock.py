"""One run at a time in a folder: a lock that the system lets go when its process ends, however it ends."""

import os
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO, Self

from edgecheck.base.errors import FolderRefused

try:
    import fcntl
except ImportError:  # Windows: an open file cannot be removed there, which serves as well
    fcntl = None  # type: ignore[assignment]

LOCK = ".run-lock"
_BUSY = "is being written by another run; wait for it to end, or give another folder"


class FolderLock:
    """The right to write into a folder; made with `take`.

    Parameters
    ----------
    place : Path
        The lock's file.
    file : binary file
        Open as long as the lock holds.
    """

    def __init__(self, place: Path, file: BinaryIO) -> None:
        self._place = place
        self._file = file

    @classmethod
    def take(cls, folder: Path) -> Self:
        """Lock a folder.

        Raises
        ------
        FolderRefused
            If another run writes there.
        OSError
            If no file can be made there.
        """
        place = folder / LOCK
        if fcntl is None:
            try:
                place.unlink(missing_ok=True)
                return cls(place, place.open("xb"))
            except (PermissionError, FileExistsError) as error:
                raise FolderRefused(str(folder), _BUSY) from error
        descriptor = os.open(place, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o666)
        file = os.fdopen(descriptor, "r+b")
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            file.close()
            raise FolderRefused(str(folder), _BUSY) from error
        except OSError:  # a file system without locks: nothing can be said about other runs
            return cls(place, file)
        # Whoever held the lock may have removed its file meanwhile: then this one keeps nobody out.
        try:
            same = os.path.samestat(os.fstat(descriptor), place.stat())
        except FileNotFoundError:
            same = False
        if not same:
            file.close()
            raise FolderRefused(str(folder), _BUSY)
        return cls(place, file)

    def release(self) -> None:
        """Let it go and remove its file."""
        if self._file.closed:
            return
        if fcntl is None:
            self._file.close()
        with suppress(OSError):
            self._place.unlink(missing_ok=True)
        self._file.close()
