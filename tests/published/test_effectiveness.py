"""Cross-flow effectiveness against the package `ht`, against the integral it stands for, and in its limits."""

import ht
import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from scipy.special import i0

from edgecheck.heat.effectiveness import LARGEST_NTU, crossflow_effectiveness


def test_the_value_of_the_exact_form_not_of_the_usual_fit() -> None:
    # ht 1.2.0, effectiveness_from_NTU(2, .5): 'crossflow' 0.732409, 'crossflow approximate' 0.738758
    assert float(crossflow_effectiveness(2.0, 0.5)) == pytest.approx(0.732409, abs=5e-7)
    assert ht.effectiveness_from_NTU(2.0, 0.5, "crossflow") == pytest.approx(0.732409, abs=5e-7)


@pytest.mark.parametrize("ntu", [0.02, 0.3, 0.7455, 2.0, 5.0, 20.0, 100.0])
@pytest.mark.parametrize("ratio", [0.01, 0.25, 0.5, 0.958, 1.0])
def test_against_ht(ntu: float, ratio: float) -> None:
    """Twelve digits, but for what ht's numerical integral leaves where N is small."""
    expected = ht.effectiveness_from_NTU(ntu, ratio, "crossflow")
    assert float(crossflow_effectiveness(ntu, ratio)) == pytest.approx(expected, abs=1e-10)


def test_against_the_temperatures_in_the_two_streams() -> None:
    """The local balances integrated by hand: Riemann's function of the pair of equations is exp(-x-y) I0(2 sqrt(xy)).

    The hot side (lesser rate) enters at 1, the cold at 0; along the hot stream x 0..N, along the cold y 0..CN.
    """
    n, ratio = 1.7, 0.6

    def cold_leaving_share(x: float, y: float) -> float:
        return float(np.exp(-x - y) * i0(2.0 * np.sqrt(x * y)))

    # heat = mean over the face of (T_hot - T_cold), which is exactly that function for inlet temperatures 1 and 0
    heat, _ = dblquad(cold_leaving_share, 0.0, ratio * n, 0.0, n)
    assert float(crossflow_effectiveness(n, ratio)) == pytest.approx(heat / (ratio * n), abs=1e-8)


def test_limits() -> None:
    n = np.array([0.0, 1e-9, 0.1, 1.0, 3.0, 30.0])
    # one stream of constant temperature: 1 - exp(-NTU), as in any arrangement
    np.testing.assert_allclose(crossflow_effectiveness(n, 0.0), -np.expm1(-n), atol=1e-14)
    np.testing.assert_allclose(crossflow_effectiveness(n, 1e-12), -np.expm1(-n), atol=1e-11)
    assert float(crossflow_effectiveness(0.0, 0.7)) == 0.0
    assert float(crossflow_effectiveness(1e-8, 0.7)) == pytest.approx(1e-8, rel=1e-7)
    # a large exchanger reaches the inlet temperature of the other stream; with equal rates only slowly
    assert float(crossflow_effectiveness(200.0, 0.7)) == pytest.approx(1.0, abs=5e-5)
    equal = float(crossflow_effectiveness(LARGEST_NTU, 1.0))
    assert 0.974 < equal < 1.0
    assert float(crossflow_effectiveness(1e9, 1.0)) == equal
    assert equal == pytest.approx(1.0 - 1.0 / np.sqrt(np.pi * LARGEST_NTU), abs=1e-4)
    assert np.isnan(crossflow_effectiveness(np.nan, 0.5))
    assert np.isnan(crossflow_effectiveness(1.0, np.nan))


def test_it_rises_with_size_and_falls_with_the_ratio_of_rates() -> None:
    ntu, ratio = np.linspace(0.0, 12.0, 200)[:, None], np.linspace(0.0, 1.0, 60)
    found = crossflow_effectiveness(ntu, ratio)
    assert np.all(np.diff(found, axis=0) > 0.0)
    assert np.all(np.diff(found[1:], axis=1) < 0.0)
    counterflow = (1.0 - np.exp(-ntu * (1.0 - 0.5))) / (1.0 - 0.5 * np.exp(-ntu * (1.0 - 0.5)))
    assert np.all(crossflow_effectiveness(ntu, 0.5) <= counterflow + 1e-12)


def test_the_integral_of_the_textbooks() -> None:
    """The single integral with I0 that textbooks print for both streams unmixed (from memory), by quadrature."""
    for n, c in ((0.5, 0.9), (2.0, 0.5), (6.0, 0.75)):
        top = 2.0 * n * np.sqrt(c)

        def inner(v: float, n: float = n, c: float = c) -> float:
            return float((1.0 + n - v * v / (4.0 * c * n)) * np.exp(-v * v / (4.0 * c * n)) * v * i0(v))

        integral, _ = quad(inner, 0.0, top)
        expected = 1.0 / c - np.exp(-c * n) / (2.0 * (c * n) ** 2) * integral
        assert float(crossflow_effectiveness(n, c)) == pytest.approx(expected, abs=1e-9)
