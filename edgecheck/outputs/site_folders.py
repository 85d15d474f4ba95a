"""The folder of a site: its id where that is a safe name on every system, else a made-up name with a hash.

Ids come from other people's spreadsheets and may be anything; a folder made from one must stay inside the run,
must not meet a reserved device name of Windows, and must not fall together with another id on a file system
that ignores case.
"""

import hashlib
import re
from collections import Counter
from collections.abc import Iterable

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}")
_OTHER = re.compile(r"[^A-Za-z0-9._-]+")
# Device names that Windows keeps for itself with any extension: learn.microsoft.com, "Naming Files, Paths,
# and Namespaces".
_RESERVED = frozenset(
    ["CON", "PRN", "AUX", "NUL", *(f"{port}{number}" for port in ("COM", "LPT") for number in range(10))]
)
_LONGEST_STEM = 51


def site_folders(site_ids: Iterable[str]) -> dict[str, str]:
    """Folder name of every site of a list.

    Parameters
    ----------
    site_ids : iterable of str
        All ids of the list; repeated ids share a folder name (such rows are unusable and get no folder).

    Returns
    -------
    dict
        Folder name by id; names differ also when case is ignored.
    """
    ids = list(dict.fromkeys(site_ids))
    alike = Counter(site_id.casefold() for site_id in ids)
    folders = {
        site_id: site_id if is_plain(site_id) and alike[site_id.casefold()] == 1 else hashed_name(site_id)
        for site_id in ids
    }
    # An id may be, letter for letter, the made-up name of another one: then it takes a made-up name as well.
    while True:
        taken = Counter(name.casefold() for name in folders.values())
        clashing = [
            site_id for site_id, name in folders.items() if name == site_id and taken[name.casefold()] > 1
        ]
        if not clashing:
            return folders
        for site_id in clashing:
            folders[site_id] = hashed_name(site_id)


def is_plain(site_id: str) -> bool:
    """Whether an id may be a folder name as it stands."""
    return bool(_PLAIN.fullmatch(site_id)) and not site_id.endswith(".") and not _is_reserved(site_id)


def hashed_name(site_id: str) -> str:
    """A safe name: other characters become "-", cut to 51, then "-" and eight hex digits of the id's SHA-256."""
    stem = _OTHER.sub("-", site_id).strip("-._")[:_LONGEST_STEM].rstrip("-._")
    if _is_reserved(stem):
        stem = stem.replace(".", "-")
    digest = hashlib.sha256(site_id.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{stem or 'site'}-{digest}"


def _is_reserved(name: str) -> bool:
    """Whether Windows keeps the part before the first dot for a device."""
    return name.partition(".")[0].upper() in _RESERVED
