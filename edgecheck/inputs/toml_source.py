"""A TOML file that people write: its document, the line of every key, its checksum, faults that name them."""

import hashlib
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.key_lines import key_lines
from edgecheck.inputs.key_path import KeyPath, did_you_mean, shown

_AT_LINE = re.compile(r" \(at line (\d+), column (\d+)\)| \(at end of document\)")
_SHOWN_LENGTH = 60


@dataclass(frozen=True)
class SourceFile:
    """A file that was read: its name without folders, and the SHA-256 of its bytes in hex."""

    name: str
    sha256: str


@dataclass(frozen=True)
class TomlSource:
    """A TOML file as read.

    Parameters
    ----------
    file : str
        Name without folders.
    document : mapping
        Plain tables, lists and values.
    lines : mapping
        Path of keys -> line, counted from 1.
    sha256 : str
        Of the file's bytes, in hex.
    """

    file: str
    document: Mapping[str, Any]
    lines: Mapping[KeyPath, int]
    sha256: str

    def line(self, path: KeyPath) -> int | None:
        """Line of a key, or of the nearest table around it; None for the whole file."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None

    def has(self, path: KeyPath) -> bool:
        """Whether the file itself has this key."""
        return path in self.lines

    def fault(self, path: KeyPath, value: object, allowed: str) -> Fault:
        """Make a fault at a key of this file."""
        line = self.line(path)
        return Fault(self.file, f"line {line}" if line else "", shown(path), value_text(value), allowed)


def value_text(value: object) -> str:
    """Show a value as it would stand in the file, cut to a readable length; empty for None and for tables."""
    if value is None or isinstance(value, Mapping):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    text = value if isinstance(value, str) else str(value)
    return text if len(text) <= _SHOWN_LENGTH else f"{text[:_SHOWN_LENGTH]}..."


def read_toml(path: Path) -> TomlSource:
    """Read a TOML file.

    Raises
    ------
    InputFaults
        The file cannot be read, is not UTF-8 or is not valid TOML; names the line.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        why = f"cannot be read: {error.strerror or error}"
        raise InputFaults((Fault(path.name, "", "", "", why),)) from error
    return parse_toml(path.name, data)


def parse_toml(file: str, data: bytes) -> TomlSource:
    """Read the bytes of a TOML file; see `read_toml`."""
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputFaults((Fault(file, f"line {line}", "", "", "the text is not UTF-8"),)) from error
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = _AT_LINE.search(str(error))
        where = f"line {found.group(1)}" if found and found.group(1) else "last line"
        why = _AT_LINE.sub("", str(error))
        raise InputFaults((Fault(file, where, "", "", f"this is not valid TOML: {why}"),)) from error
    return TomlSource(file, document, key_lines(text), hashlib.sha256(data).hexdigest())


def unknown_keys(
    source: TomlSource, path: KeyPath, table: Mapping[str, Any], known: Iterable[str]
) -> list[Fault]:
    """Faults for keys of a table that are not known, each with the nearest known one."""
    words = list(known)
    return [
        source.fault((*path, key), value, f"unknown key{did_you_mean(key, words)}")
        for key, value in table.items()
        if key not in words
    ]


def model_faults(
    error: ValidationError, model: type[BaseModel], path: KeyPath
) -> list[tuple[KeyPath, object, str]]:
    """Faults of a table in plain words.

    Parameters
    ----------
    error : pydantic.ValidationError
        Raised by `model`.
    model : type
        The table's record.
    path : tuple
        Path of the table.

    Returns
    -------
    faults : list of (path, value, text)
    """
    return [_plain(details, model, path) for details in error.errors()]


def _plain(details: ErrorDetails, model: type[BaseModel], path: KeyPath) -> tuple[KeyPath, object, str]:
    location = details["loc"]
    kind = details["type"]
    where = (*path, *location)
    model = _nested(model, location)
    field = next((model.model_fields[key] for key in reversed(location) if key in model.model_fields), None)
    meaning = (field.description or "").rstrip(".") if field else ""
    context = details.get("ctx", {})
    if kind == "missing":
        return where, None, f"is missing: {meaning}" if meaning else "is missing"
    if kind == "extra_forbidden":
        return where, details["input"], f"unknown key{did_you_mean(str(location[-1]), model.model_fields)}"
    return (
        where,
        details["input"],
        f"{_wanted(kind, context, details['msg'])}{f' ({meaning})' if meaning else ''}",
    )


def _nested(model: type[BaseModel], location: KeyPath) -> type[BaseModel]:
    """Find the record of the innermost table on a path."""
    for key in location[:-1]:
        field = model.model_fields.get(str(key))
        parts = (field.annotation, *get_args(field.annotation)) if field else ()
        inner = [part for part in parts if isinstance(part, type) and issubclass(part, BaseModel)]
        if not inner:
            break
        model = inner[0]
    return model


def _wanted(kind: str, context: Mapping[str, Any], message: str) -> str:
    wanted = {
        "greater_than": "must be greater than {gt:g}",
        "greater_than_equal": "must be {ge:g} or more",
        "less_than": "must be less than {lt:g}",
        "less_than_equal": "must be {le:g} or less",
        "literal_error": "{expected} is allowed",
        "float_type": "a number is needed",
        "float_parsing": "a number is needed",
        "int_type": "a whole number is needed",
        "string_type": "text in quotes is needed",
        "string_too_short": "text in quotes is needed, not an empty one",
        "bool_type": "true or false is needed",
        "finite_number": "a finite number is needed",
        "tuple_type": "a list is needed",
        "list_type": "a list is needed",
        "too_short": "a list of at least {min_length} is needed",
        "too_long": "a list of at most {max_length} is needed",
        "model_type": "a table is needed",
    }.get(kind)
    return wanted.format(**context) if wanted else message
