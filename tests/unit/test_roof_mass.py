"""Mass states of a made-up unit: sums by hand, centre of gravity by its stated rule."""

from pathlib import Path

import pytest

from edgecheck.inputs.unit import load_unit
from edgecheck.roof.mass import mass_states

EXAMPLE = Path(__file__).parent.parent / "data" / "examples" / "unit.toml"


def make_unit(**mass):
    unit = load_unit(EXAMPLE)
    return unit.model_copy(update={"mass": unit.mass.model_copy(update=mass)})


def test_states_by_hand():
    states = mass_states(make_unit(), 815.0)
    assert {name: state.mass for name, state in states.items()} == pytest.approx(
        {"drained without servers": 176.0, "drained": 214.0, "operating": 176.0 + 38.0 + 0.118 * 815.0}
    )
    assert states["operating"].centre_of_gravity == (0.62, 0.41, 0.47)
    assert states["drained"].centre_of_gravity == (0.62, 0.42, 0.52)
    for state in states.values():
        assert state.tolerance == 0.05
        assert all(line.source.startswith("unit: ") for line in state.lines)


def test_drained_centre_that_the_file_does_not_state(tmp_path):
    """The reader's rule, raised by 20 % of 1.15 m, and the state says that it is an engineering default."""
    lines = EXAMPLE.read_text(encoding="utf-8").splitlines()
    file = tmp_path / "unit.toml"
    file.write_text("\n".join(line for line in lines if "gravity_drained" not in line), encoding="utf-8")
    drained = mass_states(load_unit(file), 815.0)["drained"]
    assert drained.centre_of_gravity == pytest.approx((0.62, 0.41, 0.47 + 0.23))
    assert "engineering default" in drained.centre_source
    assert drained.tolerance_source == "unit: mass.cg_tolerance_m"


def test_rain_only_in_an_open_tray():
    """Leaked liquid adds no mass; rain water does, 1 kg a litre, and moves the centre towards the middle."""
    closed, opened = (mass_states(make_unit(tray=tray), 815.0) for tray in ("integral", "open"))
    assert opened["operating"].mass - closed["operating"].mass == pytest.approx(135.0)
    assert opened["drained"].mass == closed["drained"].mass
    dry, wet = closed["operating"], opened["operating"]
    tray = (0.6, 0.4, 0.08)
    moments = [dry.mass * own + 135.0 * rain for own, rain in zip(dry.centre_of_gravity, tray, strict=True)]
    assert [wet.mass * value for value in wet.centre_of_gravity] == pytest.approx(moments)


@pytest.mark.parametrize("density", [0.0, -1.0, float("nan"), float("inf")])
def test_impossible_density(density):
    with pytest.raises(ValueError, match="density"):
        mass_states(make_unit(), density)
