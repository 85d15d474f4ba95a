"""How a unit of a given voltage sits on a feed of another one.

In: rated voltage and phases of the unit, voltage and phases of the board as far as they are known. Out: between
which conductors the unit lies, whether a transformer is needed, and what is missing to say so.

A voltage fits where it lies within 10 % of the unit's (the tolerance of supply voltages, EN 50160; from memory).
The voltage of a board with three phases is understood phase to phase. Where it fits only as something else that
people write (phase to neutral; one leg of a split-phase board), that reading is kept beside the first one.
"""

import math
from dataclasses import dataclass

TOLERANCE = 0.10
# Phase to phase, of three-phase boards whose voltage is often written phase to neutral: IEC 60038, 380 to 415 V
_COMMON_BOARD = (370.0, 440.0)
_SQRT3 = math.sqrt(3.0)


@dataclass(frozen=True)
class Connection:
    """One way in which the unit lies on the board.

    Parameters
    ----------
    volt : float
        Between the conductors that feed the unit; phase to phase for a unit with three phases. [V]
    board_volt : float
        Of the board in this reading, phase to phase where it has three. [V]
    text : str
        In words.
    transformer : bool
        Whether the unit needs one.
    """

    volt: float
    board_volt: float
    text: str
    transformer: bool = False


@dataclass(frozen=True)
class Connections:
    """What is known of the unit's connection.

    Parameters
    ----------
    readings : tuple of Connection
        What the list says comes first, what it may have meant after it; empty where nothing can be said.
    missing : tuple of str
        Columns that leave it open.
    fault : str
        Why the unit cannot be connected at all; empty where it can.
    """

    readings: tuple[Connection, ...]
    missing: tuple[str, ...] = ()
    fault: str = ""

    @property
    def first(self) -> Connection | None:
        """What the list says; None where it does not say enough."""
        return self.readings[0] if self.readings else None


def connections(
    unit_volt: float, unit_phases: int, feed_volt: float | None, feed_phases: float | None
) -> Connections:
    """Find out how a unit lies on a board.

    Parameters
    ----------
    unit_volt : float
        Rated voltage of the unit, phase to phase for three phases. [V]
    unit_phases : int
        1 or 3.
    feed_volt : float or None
        Of the board, phase to phase where it has three; None where it is not known. [V]
    feed_phases : float or None
        1, 3 or not known.

    Returns
    -------
    Connections
    """
    if unit_phases == 3:
        return _three_phase(unit_volt, feed_volt, feed_phases)
    if feed_volt is None:
        return Connections((), ("feed_volt",))
    if _fits(feed_volt, unit_volt):
        between = f"between two phases of {feed_volt:g} V" if feed_phases == 3 else f"on {feed_volt:g} V"
        readings = [Connection(feed_volt, feed_volt, between)]
        board = feed_volt * _SQRT3
        if feed_phases == 3 and _COMMON_BOARD[0] <= board <= _COMMON_BOARD[1]:
            text = f"between one phase and neutral of {board:.0f} V"
            readings.append(Connection(feed_volt, board, text))
        return Connections(tuple(readings))
    if _fits(feed_volt / _SQRT3, unit_volt):
        if feed_phases is None:
            return Connections((), ("feed_phases",))
        if feed_phases == 3:
            text = f"between one phase and neutral of {feed_volt:g} V"
            return Connections((Connection(feed_volt / _SQRT3, feed_volt, text),))
    readings = [_transformed(feed_volt, unit_volt)]
    if feed_phases != 3 and _fits(2.0 * feed_volt, unit_volt):
        text = f"between both legs of a split-phase board, {2.0 * feed_volt:g} V"
        readings.append(Connection(2.0 * feed_volt, 2.0 * feed_volt, text))
    return Connections(tuple(readings))


def _three_phase(unit_volt: float, feed_volt: float | None, feed_phases: float | None) -> Connections:
    if feed_phases == 1:
        return Connections((), fault="A unit with three phases cannot be fed from one phase.")
    missing = tuple(
        key for key, cell in (("feed_volt", feed_volt), ("feed_phases", feed_phases)) if cell is None
    )
    if feed_volt is None:
        return Connections((), missing)
    if _fits(feed_volt, unit_volt):
        found = Connection(feed_volt, feed_volt, f"on three phases of {feed_volt:g} V")
        return Connections((found,), missing)
    readings = [_transformed(feed_volt, unit_volt)]
    if _fits(_SQRT3 * feed_volt, unit_volt):
        text = f"on three phases, the {feed_volt:g} V being phase to neutral"
        readings.append(Connection(_SQRT3 * feed_volt, _SQRT3 * feed_volt, text))
    return Connections(tuple(readings), missing)


def _transformed(feed_volt: float, unit_volt: float) -> Connection:
    text = f"over a transformer from {feed_volt:g} to {unit_volt:g} V"
    return Connection(feed_volt, feed_volt, text, transformer=True)


def _fits(volt: float, rated: float) -> bool:
    return abs(volt - rated) <= TOLERANCE * rated + 1e-9
