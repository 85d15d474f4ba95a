"""Seismic force on equipment fixed to a roof: ASCE 7-16 and 7-22 chapter 13, EN 1998-1 4.3.5.

In: ground motion, height in the building, the component's factors. Out: force over weight, or the clause by
which no check is asked for. Friction and ballast never resist it (ASCE 7 13.4: attachment "without
consideration of frictional resistance"); anchors do.

    7-16   F_p = 0.4 a_p S_DS W_p/(R_p/I_p) (1 + 2 z/h)                             (13.3-1)
    7-22   F_p = 0.4 S_DS I_p W_p (H_f/R_mu)(C_AR/R_po)                             (13.3-1)
    both   0.3 S_DS I_p W_p <= F_p <= 1.6 S_DS I_p W_p,  E_v = 0.2 S_DS W_p,  z/h not above 1
    EN     F_a = S_a W_a gamma_a/q_a,  S_a = alpha S (3 (1 + z/H)/(1 + (1 - T_a/T_1)^2) - 0.5) >= alpha S

The forms of 7-16 and 7-22 are as published calculations use them; EN 1998-1 (4.24), (4.25) are from memory.
"""

import math


def asce716_force(sds: float, ap: float, rp: float, importance: float, height_share: float) -> float:
    """Horizontal force over weight by ASCE 7-16 13.3.1.

    Parameters
    ----------
    sds : float
        Design acceleration S_DS, not negative. [g]
    ap, rp, importance : float
        a_p, R_p, I_p of Table 13.6-1 and 13.1.3, positive.
    height_share : float
        z/h of the attachment; counted from 0 to 1.

    Returns
    -------
    share : float
        F_p/W_p.
    """
    share = min(max(height_share, 0.0), 1.0)
    return _bounded(0.4 * ap * sds / (rp / importance) * (1.0 + 2.0 * share), sds, importance)


def asce722_force(
    sds: float, car: float, rpo: float, importance: float, height_factor: float, ductility: float
) -> float:
    """Horizontal force over weight by ASCE 7-22 13.3.1.

    Parameters
    ----------
    sds : float
        Design acceleration S_DS, not negative. [g]
    car, rpo, importance : float
        C_AR, R_po, I_p, positive.
    height_factor, ductility : float
        H_f, R_mu.

    Returns
    -------
    share : float
        F_p/W_p.
    """
    force = 0.4 * sds * importance * (height_factor / ductility) * (car / rpo)
    return _bounded(force, sds, importance)


def height_factor(height_share: float, period: float | None = None) -> float:
    """Amplification with height H_f of ASCE 7-22 13.3.1.1.

    1 + a_1 (z/h) + a_2 (z/h)^10, a_1 = min(1/T_a, 2.5), a_2 = max(1 - (0.4/T_a)^2, 0); 1 + 2.5 z/h where the
    building's period is unknown.

    Parameters
    ----------
    height_share : float
        z/h; counted from 0 to 1.
    period : float, optional
        Of the building, T_a. [s]

    Returns
    -------
    factor : float
    """
    share = min(max(height_share, 0.0), 1.0)
    if period is None:
        return 1.0 + 2.5 * share
    first, second = min(1.0 / period, 2.5), max(1.0 - (0.4 / period) ** 2, 0.0)
    return 1.0 + first * share + second * share**10


def ductility_factor(response: float, overstrength: float, importance: float = 1.0) -> float:
    """Reduction for the building's ductility R_mu of ASCE 7-22 13.3.1.2.

    Parameters
    ----------
    response, overstrength, importance : float
        R, Omega_0 and I_e of the building's lateral system.

    Returns
    -------
    factor : float
        sqrt(1.1 R/(I_e Omega_0)), not below 1.3.
    """
    return max(math.sqrt(1.1 * response / (importance * overstrength)), 1.3)


def asce_exempt(category: str, importance: float | None) -> str:
    """Clause by which ASCE 7 asks nothing of a mechanical or electrical component.

    Parameters
    ----------
    category : str
        Seismic design category A to F.
    importance : float, optional
        I_p; None where unknown.

    Returns
    -------
    clause : str
        Empty where the component is not exempt, or where an unknown I_p leaves it open.
    """
    if category in ("A", "B"):
        return f"seismic design category {category}, 13.1.4"
    if category == "C" and importance == 1.0:
        return "seismic design category C with Ip 1.0, 13.1.4"
    return ""


def en_force(
    acceleration: float,
    soil: float,
    height_share: float,
    period_ratio: float,
    importance: float,
    behaviour: float,
) -> float:
    """Horizontal force over weight by EN 1998-1 4.3.5.2.

    Parameters
    ----------
    acceleration : float
        Design ground acceleration on type A ground, a_g = gamma_I a_gR, not negative. [g]
    soil : float
        S.
    height_share : float
        z/H above the base; counted from 0 to 1.
    period_ratio : float
        T_a/T_1; 1 is the greatest response.
    importance, behaviour : float
        gamma_a, q_a of the element.

    Returns
    -------
    share : float
        F_a/W_a.
    """
    share = min(max(height_share, 0.0), 1.0)
    amplification = 3.0 * (1.0 + share) / (1.0 + (1.0 - period_ratio) ** 2) - 0.5
    return acceleration * soil * max(amplification, 1.0) * importance / behaviour


def _bounded(force: float, sds: float, importance: float) -> float:
    return min(max(force, 0.3 * sds * importance), 1.6 * sds * importance)
