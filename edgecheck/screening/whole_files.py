"""Writing a file whole, and the one clear message where that fails.

In: a path and what fills it. Out: the file, put in place in one step, or `FolderRefused` with the reason.
"""

import errno
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from edgecheck.base.errors import FolderRefused

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EFBIG: "the file is larger than may be written here",
    errno.EROFS: "the file system is read-only",
    errno.EACCES: "no permission to write here",
    errno.EPERM: "no permission to write here",
    errno.EIO: "the disk reports an error",
    errno.ENAMETOOLONG: "the name is too long for this file system",
    errno.ENOTDIR: "a part of the path is a file, not a folder",
}


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
        raise cannot_write(place, error) from error


def cannot_write(place: Path, error: OSError) -> FolderRefused:
    """The error as one clear message.

    Parameters
    ----------
    place : Path
        What was to be written.
    error : OSError
        What the system said.

    Returns
    -------
    FolderRefused
        The same error where it is one already.
    """
    if isinstance(error, FolderRefused):
        return error
    reason = _REASONS.get(error.errno or 0, error.strerror or str(error))
    return FolderRefused(str(place), f"cannot be written: {reason}")
