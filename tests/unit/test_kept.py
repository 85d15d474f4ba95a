"""Worked out once, told apart by identity, gone with the object, never kept of an array that can be written to."""

import gc

import numpy as np

from edgecheck.base.kept import kept


class Thing:
    """Something that lives for a while."""


def counted():
    calls = []

    @kept
    def made(of, *more):
        calls.append(more)
        return len(calls)

    return made, calls


def test_once_an_object_and_further_arguments():
    made, calls = counted()
    one, other = Thing(), Thing()
    assert [made(one), made(one), made(other), made(one, "a"), made(one, "a"), made(one)] == [
        1,
        1,
        2,
        3,
        3,
        1,
    ]
    assert len(calls) == 3


def test_nothing_is_left_of_an_object_that_is_gone():
    made, calls = counted()
    for _ in range(5):  # a new object may well have the address of the last
        made(Thing())
        gc.collect()
    assert len(calls) == 5


def test_an_array_that_can_be_written_to_is_read_again():
    made, calls = counted()
    values = np.arange(3.0)
    made(values)
    made(values)
    assert len(calls) == 2
    values.flags.writeable = False
    assert made(values) == made(values)
    assert len(calls) == 3
