"""Stage of a switched compressor and what it must carry, against plain numpy over whole arrays."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.heat.curve import BEYOND_TABLE, BINDING_NAMES, NONE
from edgecheck.heat.stage_kernel import stage_and_rest

heat = st.floats(-5e3, 2e4)
hour = st.tuples(st.floats(0.0, 2e4), st.floats(0.0, 2e4), heat, st.integers(0, NONE), st.booleans())


@given(st.lists(hour, min_size=1, max_size=40), st.floats(0.05, 1.0))
def test_stage_and_rest_are_those_of_plain_arrays(hours, least):
    full, coil, load, binding, known = (np.array(values) for values in zip(*hours, strict=True))
    assert len(BINDING_NAMES) == NONE + 1
    capacity = np.where(known, full, np.nan)
    stage, rest = stage_and_rest(full, coil, load, binding.astype(np.int8), capacity, least)
    barred = (binding < BEYOND_TABLE) | np.isnan(capacity)
    np.testing.assert_array_equal(stage, least * np.maximum(0.0, np.where(barred, 0.0, full) - coil))
    np.testing.assert_array_equal(rest, np.maximum(0.0, load - coil))


def test_what_is_not_a_number_stays_so():
    one = np.array([np.nan])
    stage, rest = stage_and_rest(one, np.zeros(1), one, np.array([NONE], dtype=np.int8), np.zeros(1), 1.0)
    assert np.isnan(stage[0])
    assert np.isnan(rest[0])
