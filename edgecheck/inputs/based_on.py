"""A unit file together with the one it is based on.

Tables merge key by key, one level: a key given here replaces the parent's, whole. A table whose `kind`
differs from the parent's replaces the parent's table whole. The parent lies in the file's folder or below
it, and is based on nothing itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.key_path import KeyPath
from edgecheck.inputs.toml_source import TomlSource, read_toml


@dataclass(frozen=True)
class Merged:
    """Document of a file and its parent.

    Parameters
    ----------
    document : mapping
        The merged tables, without `based_on`.
    sources : tuple of TomlSource
        The file, then its parent if it has one.
    replaced : tuple of str
        Tables that the file replaces whole.
    """

    document: Mapping[str, Any]
    sources: tuple[TomlSource, ...]
    replaced: tuple[str, ...]

    def source(self, path: KeyPath) -> TomlSource:
        """Find the file that a key comes from; for a key that is missing, the file that has its table."""
        for depth in range(min(len(path), 2), 0, -1):
            for source in self.sources:
                from_child = source is self.sources[0]
                if source.has(path[:depth]) and (from_child or path[0] not in self.replaced):
                    return source
        return self.sources[0]

    def fault(self, path: KeyPath, value: object, allowed: str) -> Fault:
        """Make a fault at a key, with the file and line that it comes from."""
        return self.source(path).fault(path, value, allowed)


def read_merged(path: Path) -> Merged:
    """Read a file and the one it is based on.

    Raises
    ------
    InputFaults
        A file cannot be read, `based_on` is no text, leaves the folder, names no file, the file itself, or a
        file that is itself based on another.
    """
    child = read_toml(path)
    document = dict(child.document)
    if "based_on" not in document:
        return Merged(document, (child,), ())
    named = document.pop("based_on")
    parent = read_toml(_parent_path(path, child, named))
    if "based_on" in parent.document:
        text = f"{parent.file} is itself based on {parent.document['based_on']!r}; one level is allowed"
        raise InputFaults((child.fault(("based_on",), named, text),))
    merged = dict(parent.document)
    replaced = []
    for key, value in document.items():
        base = merged.get(key)
        if isinstance(value, Mapping) and isinstance(base, Mapping):
            if "kind" in value and value["kind"] != base.get("kind"):
                merged[key] = value
                replaced.append(key)
            else:
                merged[key] = {**base, **value}
        else:
            merged[key] = value
    return Merged(merged, (child, parent), tuple(replaced))


def _parent_path(path: Path, child: TomlSource, named: object) -> Path:
    def refused(text: str) -> InputFaults:
        return InputFaults((child.fault(("based_on",), named, text),))

    if not isinstance(named, str) or not named:
        raise refused("the name of a unit file in the same folder is needed")
    folder = path.parent.resolve()
    if Path(named).is_absolute() or not (folder / named).resolve().is_relative_to(folder):
        raise refused("the file must lie in this file's folder or below it")
    parent = folder / named
    if parent.resolve() == path.resolve():
        raise refused("a file cannot be based on itself")
    if not parent.is_file():
        raise refused("there is no such file in this file's folder")
    return parent
