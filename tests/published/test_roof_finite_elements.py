"""Reactions and member load against finite elements: PyNite, a general frame program.

A box is a star of very stiff members from its centre of gravity to its feet; every foot stands on a spring that
resists only downward movement. Members a million times stiffer than the springs leave the box rigid to about 1e-5
and the equations well conditioned.
"""

import numpy as np
import pytest
from Pynite import FEModel3D

from edgecheck.roof.footing import elastic_reactions
from edgecheck.roof.load import member_equivalent

SPRING = 1e4  # N/m
DOWN = "-"  # resists negative displacements


def frame_reactions(feet, weight, centre):
    model = FEModel3D()
    model.add_material("stiff", 1e10, 4e9, 0.3, 0.0)
    model.add_section("beam", 1.0, 1.0, 1.0, 1.0)
    model.add_node("mass", *centre, 0.0)
    # the plan is held in itself at the mass; nothing else resists
    model.def_support("mass", True, True, False, False, False, True)
    for number, (x, y) in enumerate(feet):
        model.add_node(f"foot {number}", float(x), float(y), 0.0)
        model.add_member(f"arm {number}", "mass", f"foot {number}", "stiff", "beam")
        model.def_support_spring(f"foot {number}", "DZ", SPRING, DOWN)
    model.add_node_load("mass", "FZ", -weight)
    model.analyze(check_stability=False, max_iter=50)
    return np.array([model.nodes[f"foot {number}"].RxnFZ["Combo 1"] for number in range(len(feet))])


def layouts():
    """Ten layouts of four to six feet with the mass inside, drawn once; in some the linear solution would pull."""
    random = np.random.default_rng(20_240_917)
    drawn = []
    while len(drawn) < 10:
        count = int(random.integers(4, 7))
        angles = np.sort(random.uniform(0.0, 2 * np.pi, count))
        if np.diff(angles, append=angles[0] + 2 * np.pi).max() > 0.9 * np.pi:
            continue  # all feet on one side
        radii = random.uniform(0.4, 1.2, count)
        feet = np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])
        parts = random.dirichlet(np.full(count, 0.6))
        drawn.append((feet, float(random.uniform(1e3, 2e4)), parts @ feet))
    return drawn


@pytest.mark.parametrize("layout", layouts(), ids=[f"layout {number}" for number in range(10)])
def test_reactions_of_random_layouts(layout):
    feet, weight, centre = layout
    expected = frame_reactions(feet, weight, centre)
    np.testing.assert_allclose(elastic_reactions(feet, weight, centre), expected, atol=1e-4 * weight)


def test_the_layouts_include_feet_that_lift():
    lifted = [
        number
        for number, (feet, weight, centre) in enumerate(layouts())
        if elastic_reactions(feet, weight, centre).min() < 1e-9 * weight
    ]
    assert 2 <= len(lifted) <= 8


@pytest.mark.parametrize("along", [0.4, 1.6, 3.0])
def test_member_equivalent_on_a_finite_element_beam(along):
    """Equal mid-span moment of a simply supported beam under the patch and under the uniform equivalent."""
    weight, span, spacing = 3040.0, 6.0, 2.4

    def mid_span(load, start, end):
        model = FEModel3D()
        model.add_material("steel", 2.1e11, 8e10, 0.3, 0.0)
        model.add_section("beam", 1e-2, 1e-4, 1e-4, 1e-4)
        for name, x in (("left", 0.0), ("middle", span / 2), ("right", span)):
            model.add_node(name, x, 0.0, 0.0)
        model.add_member("one", "left", "middle", "steel", "beam")
        model.add_member("two", "middle", "right", "steel", "beam")
        model.def_support("left", True, True, True, True, False, False)
        model.def_support("right", False, True, True, False, False, False)
        half = span / 2
        model.add_member_dist_load("one", "Fy", -load, -load, start, half)
        model.add_member_dist_load("two", "Fy", -load, -load, 0.0, end - half)
        model.analyze()
        return abs(model.members["one"].moment("Mz", half))

    patch = mid_span(weight / along, (span - along) / 2, (span + along) / 2)
    uniform = mid_span(member_equivalent(weight, span, spacing, along) * spacing, 0.0, span)
    assert uniform == pytest.approx(patch, rel=1e-6)
