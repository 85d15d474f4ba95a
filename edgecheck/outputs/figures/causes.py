"""Classes of hours: how much service headroom, and which limit is open where there is none.

Each class has a colour and a pattern of its own; the patterns, and the order from light to dark, keep a grey
print readable. Patterns are part of the picture's pixels, so that a map of 8760 hours stays small.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Pattern = Callable[[NDArray[np.int_], NDArray[np.int_]], NDArray[np.bool_]]


@dataclass(frozen=True)
class HourClass:
    """One class of hours.

    Parameters
    ----------
    key, label : str
        Name and words.
    colour, mark : tuple of int
        Ground and pattern colour, red green blue of 255.
    pattern : callable
        Where the pattern colour stands, from row and column of a pixel.
    """

    key: str
    label: str
    colour: tuple[int, int, int]
    mark: tuple[int, int, int]
    pattern: Pattern


def _plain(row: NDArray[np.int_], column: NDArray[np.int_]) -> NDArray[np.bool_]:
    return np.zeros(np.broadcast_shapes(row.shape, column.shape), dtype=bool)


def _slanted(row: NDArray[np.int_], column: NDArray[np.int_]) -> NDArray[np.bool_]:
    return (row + column) % 6 < 2


def _crossed(row: NDArray[np.int_], column: NDArray[np.int_]) -> NDArray[np.bool_]:
    return ((row + column) % 8 < 2) | ((row - column) % 8 < 2)


def _level(row: NDArray[np.int_], column: NDArray[np.int_]) -> NDArray[np.bool_]:
    return (row % 5 < 2) & (column >= 0)


def _dotted(row: NDArray[np.int_], column: NDArray[np.int_]) -> NDArray[np.bool_]:
    return (row % 5 < 2) & (column % 5 < 2)


WHITE = (255, 255, 255)
CLASSES = (
    HourClass("ample", "headroom over 50 %", (238, 243, 244), WHITE, _plain),
    HourClass("good", "25 to 50 %", (205, 221, 226), WHITE, _plain),
    HourClass("some", "10 to 25 %", (154, 186, 197), WHITE, _plain),
    HourClass("tight", "0 to 10 %", (97, 139, 154), WHITE, _plain),
    HourClass("capacity", "capacity short", (140, 45, 4), WHITE, _plain),
    HourClass("condensing", "condensing limit", (70, 32, 92), WHITE, _slanted),
    HourClass("inlet-high", "inlet air too hot", (24, 24, 24), (255, 196, 120), _dotted),
    HourClass("inlet-low", "air too cold", (20, 60, 120), (190, 214, 245), _level),
    HourClass("beyond-table", "past the table", WHITE, (60, 60, 60), _crossed),
    HourClass("unknown", "not known", WHITE, (120, 120, 120), _dotted),
)
BOUNDS = (0.50, 0.25, 0.10)
KEYS = tuple(item.key for item in CLASSES)


def class_of_hours(share: NDArray[np.float64], binding: NDArray[np.str_]) -> NDArray[np.int_]:
    """Class of every hour.

    Parameters
    ----------
    share : ndarray, shape (n,)
        Service headroom over the heat to reject; NaN where unknown. [1]
    binding : ndarray of str, shape (n,)
        Binding limit of the hour.

    Returns
    -------
    ndarray of int, shape (n,)
        Index into CLASSES: an open limit first, else the headroom, else "unknown".
    """
    out = np.full(share.shape, KEYS.index("unknown"))
    known = ~np.isnan(share)
    out[known & (share < 0)] = KEYS.index("capacity")
    lower = 0.0
    for bound, key in zip((*reversed(BOUNDS), np.inf), ("tight", "some", "good", "ample"), strict=True):
        out[known & (share >= lower) & ((share < bound) | (bound == np.inf))] = KEYS.index(key)
        lower = bound
    for key in ("capacity", "condensing", "inlet-high", "inlet-low", "beyond-table"):
        out[binding == key] = KEYS.index(key)
    return out


def picture(
    classes: NDArray[np.int_], *, wide: int, high: int, row_start: int = 0, column_start: int = 0
) -> NDArray[np.uint8]:
    """Pixels of a map of classes, patterns running through from cell to cell.

    Parameters
    ----------
    classes : ndarray of int, shape (rows, columns)
        Index into CLASSES.
    wide, high : int
        Pixels of one cell.
    row_start, column_start : int, default 0
        Where the pattern begins.

    Returns
    -------
    ndarray of uint8, shape (rows * high, columns * wide, 3)
        Red, green, blue.
    """
    big = np.repeat(np.repeat(classes, high, axis=0), wide, axis=1)
    row = np.arange(row_start, row_start + big.shape[0])[:, None]
    column = np.arange(column_start, column_start + big.shape[1])[None, :]
    out = np.empty((*big.shape, 3), dtype=np.uint8)
    for index in np.unique(big):
        found = CLASSES[int(index)]
        here = big == index
        out[here] = found.colour
        out[here & found.pattern(row, column)] = found.mark
    return out
