"""What a unit's fans and compressor sound like, as A-weighted sound power levels.

In: levels at full speed, how many identical sections are in service, how the fan follows the load. Out: level
and running time at any share of the capacity.

Fan law: L_w2 = L_w1 + 50 lg(n2/n1). Sources are added by energy; N equal ones are 10 lg N above one.

A fan that follows the load runs at that share of full speed, never below a floor. Half the speed passes more
than half the heat, so the real fan is slower and quieter than that. The compressor sounds as at full load
whenever it runs. Below its least step a unit switches on and off and sounds, while it runs, as at that step.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.inputs.unit import DryCooler, Unit

FloatArray = NDArray[np.float64]

FAN_SPEED_FLOOR: Final = 0.30  # engineering default: slowest steady speed of a fan with variable speed
FAN_KEY: Final = "sound_power_fan_dba"
COMPRESSOR_KEY: Final = "sound_power_compressor_dba"


def fan_level(full: ArrayLike, speed: ArrayLike) -> FloatArray:
    """Sound power level of a fan at a share of its full speed.

    Parameters
    ----------
    full : array_like, shape (...)
        Level at full speed. [dB]
    speed : array_like, shape (...)
        Share of full speed, above 0. [-]

    Returns
    -------
    ndarray, shape (...)
        full + 50 lg(speed), the fan law of similar operating points. [dB]
    """
    return np.asarray(full, dtype=float) + 50.0 * np.log10(np.asarray(speed, dtype=float))


def energy_sum(*levels: ArrayLike) -> FloatArray:
    """Sum of incoherent sources: 10 lg sum 10^(L/10), each of shape (...). [dB]"""
    power = np.sum([10.0 ** (np.asarray(level, dtype=float) / 10.0) for level in levels], axis=0)
    with np.errstate(divide="ignore"):
        return np.asarray(10.0 * np.log10(power))


def level_of(power: float) -> float:
    """Level of a sound power over its reference: 10 lg of it, minus infinity for silence. [dB]"""
    return 10.0 * math.log10(power) if power > 0.0 else -math.inf


def identical(level: ArrayLike, number: int) -> FloatArray:
    """Level of `number` equal sources: level + 10 lg N. [dB]"""
    return np.asarray(level, dtype=float) + 10.0 * np.log10(number)


@dataclass(frozen=True)
class SoundSources:
    """Sources of sound of a unit.

    Parameters
    ----------
    fan : float
        Sound power level of the fans of one section at full speed. [dB(A)]
    compressor : float or None
        Of the compressor of one section; None for a kind without one. [dB(A)]
    sections : int
        Identical sections in service.
    follows_load : bool
        Whether the fan slows down with the load.
    least_share : float
        Share of the capacity below which the unit switches on and off; 1 for one that always does. [-]
    """

    fan: float
    compressor: float | None
    sections: int = 1
    follows_load: bool = False
    least_share: float = 1.0

    def at_speed(self, speed: ArrayLike) -> FloatArray:
        """Level of the running unit with its fans at a share of full speed, shape (...). [dB(A)]"""
        fan = fan_level(self.fan, speed)
        one = fan if self.compressor is None else energy_sum(fan, np.full(fan.shape, self.compressor))
        return identical(one, self.sections)

    def power(self, speed: FloatArray | float) -> FloatArray | float:
        """Sound power of the running unit over the reference of 1 pW, 10^(L/10), shape (...). [-]

        The fan law 50 lg n is the fifth power of n: there is nothing to take the logarithm of in every hour.
        """
        fan = 10.0 ** (self.fan / 10.0)
        compressor = 0.0 if self.compressor is None else 10.0 ** (self.compressor / 10.0)
        square = speed * speed
        return self.sections * (fan * (square * square * speed) + compressor)

    def speed(self, capacity_ratio: ArrayLike, top_speed: float = 1.0) -> FloatArray:
        """Fan speed while the unit runs.

        Parameters
        ----------
        capacity_ratio : array_like, shape (...)
            Cooling delivered over the capacity with the fan at `top_speed`. [-]
        top_speed : float
            Highest share of full speed that is allowed. [-]

        Returns
        -------
        ndarray, shape (...)
            Share of full speed. [-]
        """
        ratio = np.asarray(capacity_ratio, dtype=float)
        if not self.follows_load:
            return np.full(ratio.shape, top_speed)
        slowest = min(FAN_SPEED_FLOOR, top_speed)
        return np.clip(top_speed * np.maximum(ratio, self.least_share), slowest, top_speed)

    def duty(self, capacity_ratio: ArrayLike) -> FloatArray:
        """Share of the hour in which the unit runs, shape (...). [-]"""
        return np.clip(np.asarray(capacity_ratio, dtype=float) / self.least_share, 0.0, 1.0)


def missing_keys(unit: Unit) -> tuple[str, ...]:
    """Keys of [cooling] without which the unit's sound is not known."""
    needed = (FAN_KEY,) if isinstance(unit.cooling, DryCooler) else (FAN_KEY, COMPRESSOR_KEY)
    return tuple(key for key in needed if getattr(unit.cooling, key) is None)


def sources_of(unit: Unit) -> SoundSources | None:
    """Sources of a unit as its file describes it.

    Parameters
    ----------
    unit : Unit
        Its table [cooling] is read.

    Returns
    -------
    SoundSources or None
        None where `missing_keys` names something.
    """
    cooling = unit.cooling
    fan = cooling.sound_power_fan_dba
    standing_by = 1 if cooling.section_duty == "standby" and cooling.sections > 1 else 0
    sections = cooling.sections - standing_by
    variable = cooling.fan_control == "variable"
    if fan is None:
        return None
    if isinstance(cooling, DryCooler):
        return SoundSources(fan, None, sections, variable, FAN_SPEED_FLOOR if variable else 1.0)
    compressor = cooling.sound_power_compressor_dba
    if compressor is None:
        return None
    least = cooling.capacity_min_share if cooling.part_load == "variable-speed" else 1.0
    return SoundSources(fan, compressor, sections, variable, least)
