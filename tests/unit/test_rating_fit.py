"""Fitted rating tables: range, form, refusals, the points file, the new unit file."""

import tomllib

import numpy as np
import pytest
from scipy.optimize import minimize

from edgecheck.base.errors import FolderRefused, InputFaults
from edgecheck.inputs.covered_range import REACH_K, Range, box_of, covered, outside
from edgecheck.inputs.monotone_surface import FORMS, fitted, spread
from edgecheck.inputs.rating_fit import MOST_SHARE, fit_rating
from edgecheck.inputs.rating_points import RatingPoints, load_rating_points
from edgecheck.inputs.toml_source import SourceFile
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.fitted_unit import cooling_table, fit_text, write_fitted_unit


def points_of(liquid, air, capacity, power):
    columns = [np.asarray(values, dtype=float) for values in (liquid, air, capacity, power)]
    lines = tuple(range(2, 2 + len(columns[0])))
    return RatingPoints(*columns, lines, SourceFile("points.csv", "0" * 64))


def grid(rows, columns):
    liquid, air = np.meshgrid(rows, columns, indexing="ij")
    return liquid.ravel().astype(float), air.ravel().astype(float)


def capacity_at(liquid, air):
    """An invented machine, bilinear."""
    return 9.0 + 0.2 * (liquid - 35.0) - 0.08 * (air - 30.0) - 0.002 * (liquid - 35.0) * (air - 30.0)


def power_at(liquid, air):
    """Its power, curved in both temperatures."""
    return 1.8 + 0.01 * (liquid - 35.0) + 0.03 * (air - 30.0) + 0.0004 * (air - 30.0) ** 2


def machine_at(liquid, air):
    return points_of(liquid, air, capacity_at(liquid, air), power_at(liquid, air))


def refusal(points):
    with pytest.raises(InputFaults) as caught:
        fit_rating(points)
    assert caught.value.exit_code == 2
    (fault,) = caught.value.faults
    assert fault.file == "points.csv"
    return fault.allowed


# ------------------------------------------------------------------------------------------------ surfaces


@pytest.mark.parametrize("seed", range(8))
def test_the_constrained_fit_against_a_general_solver(seed):
    """scipy's SLSQP on the same problem, with the inequalities on a fine grid instead of at the corners."""
    random = np.random.default_rng(seed)
    liquid, air = random.uniform(20, 50, 10), random.uniform(0, 50, 10)
    values = capacity_at(liquid, air) * (1.0 + 0.25 * random.standard_normal(10)).clip(0.3)
    box = box_of(liquid, air)
    ours = fitted("biquadratic", box, liquid, air, values, liquid_sign=1, air_sign=-1)

    def scaled(x, bounds):
        return (x - sum(bounds) / 2.0) / ((bounds[1] - bounds[0]) / 2.0)

    def surface(c, x, y):
        u, v = scaled(x, box.liquid), scaled(y, box.air)
        return c[0] + c[1] * u + c[2] * v + c[3] * u * v + c[4] * v * v + c[5] * u * u

    x, y = np.meshgrid(np.linspace(*box.liquid, 15), np.linspace(*box.air, 15), indexing="ij")
    eps = 1e-3

    def conditions(c):
        return np.concatenate(
            [
                (surface(c, x + eps, y) - surface(c, x - eps, y)).ravel(),
                (surface(c, x, y - eps) - surface(c, x, y + eps)).ravel(),
            ]
        )

    theirs = minimize(
        lambda c: np.sum((surface(c, liquid, air) / values - 1.0) ** 2),
        [values.mean(), 0.1, -0.1, 0.0, 0.0, 0.0],
        constraints={"type": "ineq", "fun": conditions},
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 500},
    )
    assert theirs.success
    assert np.sum((ours.at(liquid, air) / values - 1.0) ** 2) == pytest.approx(theirs.fun, rel=1e-5)
    assert ours.at(x, y) == pytest.approx(surface(theirs.x, x, y), rel=1e-3, abs=1e-3)


def test_three_by_three_points_tell_every_form_apart_and_a_cross_none():
    liquid, air = grid([20, 35, 50], [10, 30, 50])
    box = box_of(liquid, air)
    assert all(spread(form, box, liquid, air) < 5.0 for form in FORMS)
    liquid, air = (
        np.array([20.0, 35.0, 50.0, 35.0, 35.0, 35.0]),
        np.array([30.0, 30.0, 30.0, 10.0, 20.0, 50.0]),
    )
    assert all(spread(form, box_of(liquid, air), liquid, air) > 1e3 for form in FORMS)


# --------------------------------------------------------------------------------------------------- range


def test_points_on_a_grid_cover_their_box():
    liquid, air = grid([20, 35, 50], [10, 30, 50])
    assert covered(liquid, air) == Range((20.0, 50.0), (10.0, 50.0))


def test_distance_outside_a_triangle():
    liquid, air = np.array([0.0, 4.0, 0.0]), np.array([0.0, 0.0, 3.0])
    places = np.array([[1.0, 1.0], [0.0, 0.0], [4.0, 3.0], [-3.0, -4.0], [5.0, 0.0]])
    # By hand: inside, a corner, 12/5 from the hypotenuse, 5 from the right angle, 1 from the far corner.
    assert outside(liquid, air, places) == pytest.approx([0.0, 0.0, 2.4, 5.0, 1.0])


def test_the_rectangle_is_cut_where_corners_are_bare():
    """Cold liquid was rated in cool air only, as in many data sheets."""
    liquid, air = grid([20, 30, 40], [10, 20, 30])
    liquid, air = np.append(liquid, [30.0, 40.0]), np.append(air, [42.0, 50.0])
    found = covered(liquid, air)
    assert found is not None
    assert np.all(outside(liquid, air, found.corners()) <= REACH_K)
    assert found.liquid[1] == 40.0
    assert found.air[0] == 10.0
    assert 30.0 < found.air[1] < 50.0
    wider = Range(found.liquid, (found.air[0], found.air[1] + 1.0))
    assert np.any(outside(liquid, air, wider.corners()) > REACH_K)
    fit = fit_rating(machine_at(liquid, air))
    assert (fit.liquid_c[0], fit.liquid_c[-1]) == found.liquid
    assert (fit.inlet_air_c[0], fit.inlet_air_c[-1]) == found.air
    (note,) = fit.notes
    assert note.code == "rating-fit-cut"
    assert "a point near liquid 20, inlet air 50 degC would widen it" in note.text


def test_rows_and_columns_are_round_between_the_ends():
    liquid, air = grid([21.3, 34, 45.8], [-3.5, 20, 49])
    fit = fit_rating(machine_at(liquid, air))
    assert fit.liquid_c == (21.3, 25.0, 30.0, 35.0, 40.0, 45.8)
    assert fit.inlet_air_c == (-3.5, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 49.0)


# ------------------------------------------------------------------------------------------- a known machine


@pytest.mark.parametrize("rows, columns", [([20, 35, 50], [5, 30, 50]), ([25, 30, 45], [10, 20, 35, 48])])
def test_a_known_machine_comes_back(rows, columns):
    """Exact points of a bilinear capacity and a power curved in air: the table is the machine, to its last digit."""
    fit = fit_rating(machine_at(*grid(rows, columns)))
    liquid, air = np.array(fit.liquid_c)[:, None], np.array(fit.inlet_air_c)
    assert np.array(fit.capacity_kw) == pytest.approx(capacity_at(liquid, air), abs=6e-4)
    assert np.array(fit.power_kw) == pytest.approx(power_at(liquid, air), abs=6e-4)
    assert fit.capacity.rms < 1e-9
    assert fit.capacity.left_out < 1e-9
    assert fit.notes == ()


def test_six_points_do_and_say_how_little_they_are():
    liquid, air = (
        np.array([20.0, 20.0, 35.0, 35.0, 50.0, 50.0]),
        np.array([10.0, 50.0, 20.0, 40.0, 10.0, 50.0]),
    )
    fit = fit_rating(machine_at(liquid, air))
    assert fit.capacity.rms < 1e-9
    noisy = points_of(
        liquid, air, capacity_at(liquid, air), power_at(liquid, air) * [1.0, 0.97, 1.06, 0.95, 1, 1.02]
    )
    assert {note.code for note in fit_rating(noisy).notes} <= {"rating-fit-few", "rating-fit-poor"}
    assert fit_rating(noisy).notes


def test_noise_within_the_bound_is_a_caution_with_the_worst_point():
    liquid, air = grid([20, 35, 50], [10, 30, 50])
    capacity = capacity_at(liquid, air) * (1.0 + 0.03 * np.array([1, -1, 1, -1, 1, -1, 1, -1, 1]))
    capacity[4] *= 1.04
    fit = fit_rating(points_of(liquid, air, capacity, power_at(liquid, air)))
    assert 0.02 < fit.capacity.rms <= MOST_SHARE
    caution = next(note for note in fit.notes if note.code == "rating-fit-poor")
    assert caution.text.startswith("capacity meets the points within")
    assert f"line {fit.points.lines[fit.capacity.worst]} (liquid" in caution.text


# ------------------------------------------------------------------------------------------------- refusals


def test_too_few_points():
    liquid, air = grid([20, 35, 50], [10, 50])
    assert refusal(machine_at(liquid[:5], air[:5])).startswith(
        "5 points at different temperatures; at least 6"
    )
    twice = machine_at(np.append(liquid[:5], liquid[:3]), np.append(air[:5], air[:3]))
    assert refusal(twice).startswith("5 points at different temperatures")


def test_too_few_temperatures():
    assert refusal(machine_at(*grid([20, 50], [10, 20, 30, 50]))) == (
        "at least 3 different liquid temperatures are needed"
    )
    assert refusal(machine_at(*grid([20, 30, 50], [10, 50]))) == (
        "at least 3 different inlet air temperatures are needed"
    )


def test_too_narrow_a_span():
    assert refusal(machine_at(*grid([30, 32, 34], [10, 30, 50]))) == (
        "the liquid temperatures span 4 K; at least 5 K are needed"
    )
    assert refusal(machine_at(*grid([20, 30, 50], [30, 34, 38]))) == (
        "the inlet air temperatures span 8 K; at least 10 K are needed"
    )


def test_points_on_a_line():
    liquid = np.linspace(20.0, 50.0, 9)
    assert refusal(machine_at(liquid, liquid - 10.0)).startswith("the points lie on a line")


def test_points_on_a_cross_do_not_tell_how_the_temperatures_act_together():
    liquid = np.array([20.0, 28.0, 42.0, 50.0, 35.0, 35.0, 35.0, 35.0, 35.0])
    air = np.array([30.0, 30.0, 30.0, 30.0, 5.0, 15.0, 30.0, 40.0, 50.0])
    text = refusal(machine_at(liquid, air))
    assert text.startswith("the points do not tell how liquid and inlet air temperature act together;")
    assert "liquid 50, inlet air 50 degC" in text


def test_a_wrong_number_is_named():
    liquid, air = grid([20, 35, 50], [10, 30, 50])
    capacity = capacity_at(liquid, air)
    capacity[4] *= 1.4
    text = refusal(points_of(liquid, air, capacity, power_at(liquid, air)))
    assert text.startswith("no smooth capacity meets the points: they lie ")
    assert "the worst is line 6 (liquid 35, inlet air 30 degC)" in text


def test_a_machine_that_turns_the_wrong_way_is_refused():
    """Columns swapped: capacity that rises with air temperature."""
    liquid, air = grid([20, 35, 50], [10, 30, 50])
    text = refusal(points_of(liquid, air, capacity_at(liquid, 60.0 - air), power_at(liquid, air)))
    assert text.startswith("no smooth capacity meets the points")


# --------------------------------------------------------------------------------------------- points files


def write(path, rows, head="liquid_c,inlet_air_c,capacity_kw,power_kw"):
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return path


def file_faults(path):
    with pytest.raises(InputFaults) as caught:
        load_rating_points(path)
    return [(fault.where, fault.key, fault.allowed) for fault in caught.value.faults]


def test_a_points_file(tmp_path):
    path = write(tmp_path / "p.csv", ["20,35,6.1,1.9", "30,35,7.4,2.0"])
    points = load_rating_points(path)
    assert points.liquid.tolist() == [20.0, 30.0]
    assert points.power.tolist() == [1.9, 2.0]
    assert points.lines == (2, 3)
    assert points.source.name == "p.csv"
    assert len(points.source.sha256) == 64


def test_decimal_commas_other_columns_and_fahrenheit(tmp_path):
    head = "model;liquid_f;inlet_air_f;capacity_kw;power_kw"
    path = write(tmp_path / "p.csv", ["a;68;95,0;6,1;1,9", "b;86;41;7,45;0,9"], head)
    points = load_rating_points(path)
    assert points.liquid == pytest.approx([20.0, 30.0])
    assert points.inlet_air == pytest.approx([35.0, 5.0])
    assert points.capacity.tolist() == [6.1, 7.45]


def test_faults_of_a_points_file(tmp_path):
    path = tmp_path / "p.csv"
    write(path, ["20,35,6.1,1.9"], "liquid_c,inlet_air_c,capacity_kW,power_kw")
    assert file_faults(path) == [
        ("line 1", "capacity_kw", "the required column is missing; did you mean capacity_kW?")
    ]
    write(path, ["20,68,35,6.1,1.9"], "liquid_c,liquid_f,inlet_air_c,capacity_kw,power_kw")
    assert file_faults(path) == [("line 1", "liquid_f", "liquid_c is there too; keep one")]
    write(path, ["20,35,,1.9", "x,35,6.1,1.9", "20,99,6.1,0"])
    assert file_faults(path) == [
        ("line 3", "liquid_c", "a number in degC is needed, -60 to 150 degC"),
        ("line 4", "inlet_air_c", "-60 to 70 degC is possible; f? that would be 37.2 degC"),
        ("line 2", "capacity_kw", "a point needs a number: greater than 0 kW"),
        ("line 4", "power_kw", "greater than 0 kW is possible"),
    ]
    assert file_faults(tmp_path / "none.csv")[0][2].startswith("cannot be read")
    write(path, [f"{20 + at / 10},35,6,2" for at in range(201)])
    assert "at most 200 are fitted" in file_faults(path)[0][2]


# ---------------------------------------------------------------------------------------------- a new unit


@pytest.fixture
def fit_of(folder):
    """Fit to every other value of a unit's own table."""

    def fit_of(unit):
        table = unit.cooling
        liquid, air = grid(table.liquid_c, table.inlet_air_c)
        chosen = np.arange(len(liquid)) % 2 == 0
        columns = (liquid, air, np.ravel(table.capacity_kw), np.ravel(table.power_kw))
        return fit_rating(points_of(*(np.asarray(values)[chosen] for values in columns)))

    return fit_of


def test_a_new_unit_takes_all_but_the_table_from_its_parent(folder, fit_of):
    parent = load_unit(folder / "unit.toml")
    fit = fit_of(parent)
    path = write_fitted_unit(fit, folder / "unit.toml", folder / "new.toml")
    unit = load_unit(path)
    assert unit.cooling.liquid_c == fit.liquid_c
    assert unit.cooling.capacity_kw == fit.capacity_kw
    assert unit.cooling.power_kw == fit.power_kw
    assert unit.cooling.model_copy(
        update={
            name: getattr(parent.cooling, name)
            for name in ("liquid_c", "inlet_air_c", "capacity_kw", "power_kw", "fit")
        }
    ) == (parent.cooling)
    assert unit.cooling.fit.points == len(fit.points)
    assert unit.cooling.fit.points_sha256 == "0" * 64
    assert unit.cooling.fit.capacity_worst_share == pytest.approx(
        np.abs(fit.capacity.differences).max(), abs=5e-5
    )
    assert [note.code for note in unit.notes] == ["unit-head-space", "unit-table-fitted"]
    assert [source.name for source in unit.source_files] == ["new.toml", "unit.toml"]
    assert sorted(one.name for one in folder.iterdir()) == ["new.toml", "unit-dry-cooler.toml", "unit.toml"]


def test_the_text_and_the_file_hold_every_point(folder, fit_of):
    fit = fit_of(load_unit(folder / "unit.toml"))
    text, table = fit_text(fit), cooling_table(fit)
    assert len(text.splitlines()) == 4 + len(fit.points) + len(fit.notes)
    document = tomllib.loads(table)
    assert document["cooling"]["fit"]["points_file"] == "points.csv"
    for at, line in enumerate(fit.points.lines):
        row = next(one for one in table.splitlines() if one.startswith(f"# {line:4d}  "))
        assert f"{fit.points.capacity[at]:.3f}" in row
        assert f"{fit.power.values[at]:.3f}" in row
        assert f"  {row[2:]}" in text.splitlines()


def test_an_unfinished_unit_becomes_whole(folder, fit_of):
    """The usual case: everything of the unit is known but its table."""
    fit = fit_of(load_unit(folder / "unit.toml"))
    text = (folder / "unit.toml").read_text()
    start, end = text.index("liquid_c = ["), text.index("condenser_fan_kw")
    (folder / "unit.toml").write_text(text[:start] + text[end:])
    with pytest.raises(InputFaults):
        load_unit(folder / "unit.toml")
    path = write_fitted_unit(fit, folder / "unit.toml", folder)
    assert path.name == "unit-fitted.toml"
    assert load_unit(path).cooling.capacity_kw == fit.capacity_kw


def test_a_table_that_contradicts_the_unit_is_not_written(folder, fit_of, change):
    fit = fit_of(load_unit(folder / "unit.toml"))
    change(("rated_heat_rejection_kw = 10.9", "rated_heat_rejection_kw = 13.0"))
    with pytest.raises(InputFaults) as caught:
        write_fitted_unit(fit, folder / "unit.toml", folder / "new.toml")
    (fault,) = caught.value.faults
    assert fault.file == "unit.toml"
    assert "they must agree within 3%" in fault.allowed
    assert not (folder / "new.toml").exists()
    assert len(list(folder.iterdir())) == 2


def test_a_unit_of_another_kind_or_based_on_another_is_refused(folder, fit_of):
    fit = fit_of(load_unit(folder / "unit.toml"))
    with pytest.raises(InputFaults, match="one level is allowed") as caught:
        write_fitted_unit(fit, folder / "unit-dry-cooler.toml", folder / "new.toml")
    assert caught.value.faults[0].file == "new.toml"
    whole, dry = ((folder / name).read_text() for name in ("unit.toml", "unit-dry-cooler.toml"))
    cooling = dry[dry.index("\n[cooling]") : dry.index("[electrical]")]
    text = whole[: whole.index("\n[cooling]")] + "\n" + cooling + whole[whole.index("[electrical]") :]
    (folder / "dry.toml").write_text(text)
    assert load_unit(folder / "dry.toml").cooling.kind == "dry-cooler"
    with pytest.raises(InputFaults, match="a dry-cooler does not use this key"):
        write_fitted_unit(fit, folder / "dry.toml", folder / "new.toml")
    assert not (folder / "new.toml").exists()


def test_nothing_is_overwritten_and_the_parent_must_be_near(folder, fit_of, tmp_path):
    fit = fit_of(load_unit(folder / "unit.toml"))
    before = (folder / "unit.toml").read_bytes()
    with pytest.raises(FolderRefused, match="exists already"):
        write_fitted_unit(fit, folder / "unit.toml", folder / "unit.toml")
    assert (folder / "unit.toml").read_bytes() == before
    away = tmp_path / "away"
    away.mkdir()
    with pytest.raises(InputFaults, match=r"must lie in the folder of unit\.toml or above it"):
        write_fitted_unit(fit, folder / "unit.toml", away / "new.toml")
    assert list(away.iterdir()) == []
