"""Lines on which the keys of a TOML file stand, for error messages.

Works on text that Python's tomllib has already accepted; tomllib itself keeps no lines.
"""

from edgecheck.inputs.key_path import KeyPath


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line of every table and key.

    Parameters
    ----------
    text : str
        A valid TOML document.

    Returns
    -------
    lines : dict
        Path of keys, with the position in arrays of tables ("assume", 0, "key"), -> line, counted from 1.
        Keys of inline tables are not listed; they stand where their table does.
    """
    lines: dict[KeyPath, int] = {}
    table: KeyPath = ()
    positions: dict[KeyPath, int] = {}
    at = 0
    line = 1
    while at < len(text):
        letter = text[at]
        if letter in " \t\r":
            at += 1
        elif letter == "\n":
            line += 1
            at += 1
        elif letter == "#":
            at = _line_end(text, at)
        elif letter == "[":
            double = text.startswith("[[", at)
            path, at = _dotted(text, at + (2 if double else 1), "]")
            table = _in_arrays(path, positions)
            if double:
                positions[table] = positions.get(table, -1) + 1
                table = (*table, positions[table])
            lines.setdefault(table, line)
            at = _line_end(text, at)
        else:
            path, at = _dotted(text, at, "=")
            for depth in range(1, len(path) + 1):
                lines.setdefault((*table, *path[:depth]), line)
            end = _value_end(text, at + 1)
            line += text.count("\n", at, end)
            at = end
    return lines


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _in_arrays(path: KeyPath, positions: dict[KeyPath, int]) -> KeyPath:
    """Path of a table header with the positions of the arrays of tables that it lies in."""
    table: KeyPath = ()
    for depth, key in enumerate(path):
        table = (*table, key)
        if depth < len(path) - 1 and table in positions:
            table = (*table, positions[table])
    return table


def _dotted(text: str, at: int, end: str) -> tuple[KeyPath, int]:
    """Keys up to the sign that ends them, and the position of that sign."""
    path: KeyPath = ()
    word = ""
    while text[at] != end:
        letter = text[at]
        if letter in "\"'":
            close = _string_end(text, at)
            word = text[at + 1 : close - 1]
            at = close
            continue
        if letter == ".":
            path, word = (*path, word), ""
        elif letter not in " \t":
            word += letter
        at += 1
    return (*path, word), at


def _string_end(text: str, at: int) -> int:
    """Position after a string that begins at `at`."""
    quote = text[at]
    marks = quote * 3 if text.startswith(quote * 3, at) else quote
    at += len(marks)
    while not text.startswith(marks, at):
        at += 2 if quote == '"' and text[at] == "\\" else 1
    at += len(marks)
    while len(marks) == 3 and at < len(text) and text[at] == quote:
        at += 1
    return at


def _value_end(text: str, at: int) -> int:
    """Position of the end of the line on which a value ends."""
    depth = 0
    while at < len(text):
        letter = text[at]
        if letter in "\"'":
            at = _string_end(text, at)
            continue
        if letter == "#":
            at = _line_end(text, at)
            continue
        if letter in "[{":
            depth += 1
        elif letter in "]}":
            depth -= 1
        elif letter == "\n" and depth == 0:
            return at
        at += 1
    return at
