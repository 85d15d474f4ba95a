"""From the unit on the roof to the neighbour's window: ISO 9613-2:1996, point source, downwind.

    L = L_w + D_c - A_div - A_atm - A_gr - A_bar (+ facade)
    A_div = 20 lg d + 11 dB                       A_atm at 500 Hz, 10 degC, 70 % where there are no octave bands

EITHER half space: D_c = 3 dB for the roof under the unit, A_gr = 0. OR 7.3.2 for A-weighted levels over mostly
porous ground: D_c = D_Omega, A_gr = 4.8 - (2 h_m/d)(17 + 300/d), not below 0. Never both. Half space wherever a
height is unknown or the window is nearer than 100 m (engineering default: nearer than that A_gr of a source on
a roof is small, and the roof, not the ground, reflects). Half space is never the quieter of the two.

The top of a parapet or the roof's edge screens only where it cuts the line of sight: D_z of 7.4 with C2 = 20,
single diffraction, at most 20 dB, at 500 Hz; over porous ground A_bar = D_z - A_gr, not below 0. The standard's
own accuracy is 3 dB up to 1000 m.
"""

import math
from dataclasses import dataclass
from typing import Final, Literal

from edgecheck.services.air_absorption import MID_BANDS, absorption_coefficient

FREQUENCY: Final = MID_BANDS[500]  # Hz, ISO 9613-2 note 1: where only A-weighted levels are known
AIR_TEMPERATURE: Final = 10.0  # degC
AIR_HUMIDITY: Final = 70.0  # %
AIR_ABSORPTION: Final = float(absorption_coefficient(FREQUENCY, AIR_TEMPERATURE, AIR_HUMIDITY))  # dB/m
SPEED_OF_SOUND: Final = 340.0  # m/s
GROUND_FROM: Final = 100.0  # m, engineering default
SCREEN_MOST: Final = 20.0  # dB, single diffraction
FACADE: Final = 3.0  # dB, in front of a reflecting facade

Method = Literal["half space", "porous ground"]


def divergence(distance: float) -> float:
    """Geometrical divergence A_div = 20 lg(d / 1 m) + 11, ISO 9613-2 equation (7). [dB]"""
    return 20.0 * math.log10(distance) + 11.0


def solid_angle_index(planes: int) -> float:
    """3 dB for each reflecting plane beside the source: none free space, one half space, two a quarter. [dB]"""
    return 3.0 * planes


def ground_index(distance: float, source_height: float, receiver_height: float) -> float:
    """Reflection off the ground near the source, D_Omega, ISO 9613-2 equation (11).

    Parameters
    ----------
    distance : float
        Straight from source to receiver. [m]
    source_height, receiver_height : float
        Above ground. [m]

    Returns
    -------
    float
        10 lg(1 + (dp^2 + (hs-hr)^2)/(dp^2 + (hs+hr)^2)), dp along the ground; 0 to 3 dB. [dB]
    """
    along = distance**2 - (source_height - receiver_height) ** 2
    reflected = along + (source_height + receiver_height) ** 2
    return 10.0 * math.log10(1.0 + distance**2 / reflected)


def ground_attenuation(distance: float, mean_height: float) -> float:
    """Attenuation of the A-weighted level over porous ground, ISO 9613-2 equation (10).

    Parameters
    ----------
    distance : float
        [m]
    mean_height : float
        Of the path above ground. [m]

    Returns
    -------
    float
        4.8 - (2 h_m/d)(17 + 300/d), not below 0. [dB]
    """
    return max(0.0, 4.8 - 2.0 * mean_height / distance * (17.0 + 300.0 / distance))


def screen_attenuation(
    path_difference: float, to_edge: float, from_edge: float, distance: float, frequency: float = FREQUENCY
) -> float:
    """Attenuation D_z over an edge that cuts the line of sight, ISO 9613-2 equations (14), (18).

    Parameters
    ----------
    path_difference : float
        Way over the edge minus straight way, not negative. [m]
    to_edge, from_edge, distance : float
        Source to edge, edge to receiver, straight way. [m]
    frequency : float
        [Hz]

    Returns
    -------
    float
        10 lg(3 + (C2/lambda) C3 z K_met), C2 = 20, C3 = 1, at most 20. [dB]
    """
    if path_difference <= 0.0:
        return 10.0 * math.log10(3.0)
    meteorology = math.exp(-math.sqrt(to_edge * from_edge * distance / (2.0 * path_difference)) / 2000.0)
    wavelength = SPEED_OF_SOUND / frequency
    return min(SCREEN_MOST, 10.0 * math.log10(3.0 + 20.0 / wavelength * path_difference * meteorology))


@dataclass(frozen=True)
class Surveyed:
    """What is known of the way from unit to window; None where nobody has said it.

    Parameters
    ----------
    distance : float
        Straight to the window. [m]
    source_height, receiver_height : float or None
        Above the ground. [m]
    edge_height, edge_distance : float or None
        Top of parapet or roof edge above the ground; from the unit to it, level. [m]
    """

    distance: float
    source_height: float | None = None
    receiver_height: float | None = None
    edge_height: float | None = None
    edge_distance: float | None = None

    @property
    def along(self) -> float | None:
        """Distance measured level; None where a height is unknown or the heights do not fit the distance. [m]"""
        if self.source_height is None or self.receiver_height is None:
            return None
        squared = self.distance**2 - (self.source_height - self.receiver_height) ** 2
        return math.sqrt(squared) if squared > 0.0 else None


@dataclass(frozen=True)
class Screen:
    """An edge in the line of sight: path difference and the two parts of the way over it [m], D_z [dB]."""

    path_difference: float
    to_edge: float
    from_edge: float
    attenuation: float


@dataclass(frozen=True)
class Path:
    """Every term between the unit's sound power level and the level at the window.

    Parameters
    ----------
    known : Surveyed
        Distance, heights and edge.
    method : {"half space", "porous ground"}
        Which of the two treatments of reflection is used.
    why : str
        And why.
    divergence, directivity, air, ground, screen : float
        A_div, D_c (which raises the level), A_atm, A_gr, A_bar. [dB]
    facade : float
        Reflection off the wall behind the receiver. [dB]
    mean_height : float or None
        Of the path above ground, where it is used. [m]
    edge : Screen or None
        The edge that cuts the line of sight.
    screen_why : str
        Why there is a screen, or why there is none.
    """

    known: Surveyed
    method: Method
    why: str
    divergence: float
    directivity: float
    air: float
    ground: float
    screen: float
    facade: float
    mean_height: float | None
    edge: Screen | None
    screen_why: str

    @property
    def attenuation(self) -> float:
        """Sound power level minus level at the window. [dB]"""
        lost = self.divergence + self.air + self.ground + self.screen
        return lost - self.directivity - self.facade


def open_path(distance: float, *, facade: bool) -> Path:
    """Half space, no ground attenuation, no screen: what holds whatever else is unknown.

    Parameters
    ----------
    distance : float
        Straight to the window. [m]
    facade : bool
        Whether the limit holds in front of a reflecting facade.
    """
    return path(Surveyed(distance), facade=facade)


def path(known: Surveyed, *, facade: bool) -> Path:
    """Terms of the way from unit to window, with credit only for what is known.

    Parameters
    ----------
    known : Surveyed
        Distance, and heights and edge as far as they are known.
    facade : bool
        Whether the limit holds in front of a reflecting facade.

    Returns
    -------
    Path
    """
    d = known.distance
    hs, hr, along = known.source_height, known.receiver_height, known.along
    edge, screen_why = _screen(known)
    screen = 0.0 if edge is None else edge.attenuation
    method: Method = "half space"
    directivity, ground, mean_height = solid_angle_index(1), 0.0, None
    if hs is None or hr is None:
        why = "the height of the roof or of the window above ground is not known"
    elif along is None:
        why = "the heights differ by more than the distance, so it is no straight distance"
    elif d < GROUND_FROM:
        why = f"the window is nearer than {GROUND_FROM:g} m"
    else:
        method, mean_height = "porous ground", (hs + hr) / 2.0
        why = f"both heights are known and the window is {GROUND_FROM:g} m away or more"
        directivity, ground = ground_index(d, hs, hr), ground_attenuation(d, mean_height)
        screen = max(0.0, screen - ground)
    return Path(
        known=known,
        method=method,
        why=why,
        divergence=divergence(d),
        directivity=directivity,
        air=AIR_ABSORPTION * d,
        ground=ground,
        screen=screen,
        facade=FACADE if facade else 0.0,
        mean_height=mean_height,
        edge=edge,
        screen_why=screen_why,
    )


def _screen(known: Surveyed) -> tuple[Screen | None, str]:
    """The edge in the line of sight; why there is one or none."""
    hs, hr, along = known.source_height, known.receiver_height, known.along
    top, away = known.edge_height, known.edge_distance
    if hs is None or hr is None or top is None or away is None:
        return None, "roof level, parapet, height of the window or distance from the edge is not known"
    if along is None:
        return None, "the heights differ by more than the distance, so it is no straight distance"
    if not 0.0 < away < along:
        return None, "the roof's edge does not lie between unit and window"
    sight = hs + (hr - hs) * away / along
    if top <= sight:
        return None, f"the window is seen over the edge, by {sight - top:.2f} m"
    to_edge, from_edge = math.hypot(away, top - hs), math.hypot(along - away, top - hr)
    difference = max(0.0, to_edge + from_edge - known.distance)
    found = screen_attenuation(difference, to_edge, from_edge, known.distance)
    why = f"the edge stands {top - sight:.2f} m into the line of sight"
    return Screen(difference, to_edge, from_edge, found), why


def distance_for(attenuation: float, *, facade: bool) -> float:
    """Distance from which the open half space takes enough off.

    Parameters
    ----------
    attenuation : float
        Sound power level minus the level that is allowed. [dB]
    facade : bool
        Whether the limit holds in front of a reflecting facade.

    Returns
    -------
    float
        Not below 0.5 m. [m]
    """
    near, far = 0.5, 1.0e5
    off = solid_angle_index(1) + (FACADE if facade else 0.0)

    def open_attenuation(distance: float) -> float:
        return divergence(distance) + AIR_ABSORPTION * distance - off

    if open_attenuation(near) >= attenuation:
        return near
    while far / near > 1.0 + 1e-9:  # halving the ratio: the attenuation rises with the distance throughout
        middle = math.sqrt(near * far)
        if open_attenuation(middle) < attenuation:
            near = middle
        else:
            far = middle
    return far
