"""results.jsonl: lines that say when they were cut or changed, results read back one at a time."""

import errno
import json
import math
import os
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from result_factory import make_result, make_unusable

from edgecheck.base.errors import FolderRefused
from edgecheck.checks.result import Result
from edgecheck.screening.store import Store, StoredResults, entries, entry_of, store_line

# A run of 50 000 rows must fit on a laptop's disk.
LONGEST_LINE = 16_000


@pytest.fixture(scope="module")
def result():
    whole = make_result()
    endless = {**whole.figures, "ride_through_minutes": math.inf}
    return replace(whole, figures=endless, hourly=None, hot_spell=None, cold_spell=None, outage=None)


@pytest.fixture(scope="module")
def line(result):
    return store_line(result, "ab" * 32, "cd")


def rows(path):
    return [entry.record["row"] if entry else None for entry in entries(path)]


def test_a_result_survives_its_record(result):
    back = Result.from_dict(json.loads(json.dumps(result.to_dict())))
    assert back.to_dict() == result.to_dict()
    assert back.figures["ride_through_minutes"] == math.inf
    assert (back.checks, back.notes, back.worst_hours) == (result.checks, result.notes, result.worst_hours)


def test_conditions_stand_in_one_text_and_unknown_numbers_are_left_out(result):
    check = replace(result.checks[0], demand=math.nan, conditions=("ask the landlord", "confirm the load"))
    noted = replace(result, checks=(check,))
    assert noted.to_dict()["checks"][0]["condition"] == "ask the landlord; confirm the load"
    assert noted.to_dict()["checks"][0]["demand"] is None
    (kept,) = noted.to_stored()["checks"]
    assert kept["condition"] == "ask the landlord; confirm the load"
    assert "demand" not in kept
    (back,) = Result.from_dict(noted.to_stored()).checks
    assert back == replace(check, demand=None)


def test_a_stored_result_lacks_only_what_a_report_shows(result):
    back = Result.from_dict(json.loads(json.dumps(result.to_stored())))
    kept, whole = back.to_dict(), result.to_dict()
    for name in whole.keys() - {"worst_hours", "detail"}:
        assert kept[name] == whole[name], name
    assert not kept["worst_hours"]
    assert "roof" not in kept["detail"]
    assert kept["detail"]["weather"]["file"] == whole["detail"]["weather"]["file"]
    assert back.to_stored() == result.to_stored()


def test_an_unusable_row_survives_its_record():
    unusable = make_unusable()
    assert Result.from_dict(unusable.to_stored()) == unusable


def test_keys_that_a_later_version_adds_are_passed_over(result):
    record = result.to_stored()
    record["later"] = 1
    record["checks"] = [{**entry, "later": 1} for entry in record["checks"]]
    assert Result.from_dict(record).checks == result.checks


def test_a_line_is_lean_and_whole(line, result):
    assert len(line) < LONGEST_LINE
    assert line.count(b"\n") == 1
    entry = entry_of(line, 7)
    assert (entry.key, entry.made_from, entry.offset, entry.length) == ("ab" * 32, "cd", 7, len(line))
    assert entry.record == json.loads(json.dumps(result.to_stored()))


@given(st.data())
def test_a_line_that_was_changed_anywhere_is_dropped(line, data):
    at = data.draw(st.integers(0, len(line) - 1))
    changed = bytearray(line)
    changed[at] ^= data.draw(st.integers(1, 255))
    assert entry_of(bytes(changed)) is None


@given(st.data())
def test_a_line_that_was_cut_anywhere_is_dropped(line, data):
    assert entry_of(line[: data.draw(st.integers(0, len(line) - 1))]) is None


def test_lines_come_into_list_order_and_are_read_one_at_a_time(tmp_path, result):
    path = tmp_path / "results.jsonl"
    store = Store(path, 4)
    for place in (2, 0, 3):
        store.append(place, store_line(replace(result, row=place + 2), str(place)))
    assert rows(path) == [4, 2, 5]
    results = store.settle({1: store_line(make_unusable(row=3))})
    assert rows(path) == [2, 3, 4, 5]
    assert [one.row for one in results] == [2, 3, 4, 5]
    assert len(results) == 4
    assert (results[-1].row, results[1].verdict) == (5, "unusable")
    assert [one.row for one in results[1:3]] == [3, 4]
    with pytest.raises(IndexError):
        results[4]
    assert [one.name for one in tmp_path.iterdir()] == ["results.jsonl"]


def test_a_cut_end_is_taken_off_and_the_rest_kept(tmp_path, line):
    path = tmp_path / "results.jsonl"
    path.write_bytes(line + line[:-100])
    store = Store(path, 2)
    assert path.read_bytes() == line
    (entry,) = store.entries()
    store.keep(1, entry)
    store.append(0, line)
    assert len(store.settle({})) == 2
    path.write_bytes(b"x" * 200_000)
    Store(path, 1).close()
    assert path.read_bytes() == b""


def test_a_full_disk_is_one_clear_message_and_leaves_whole_lines(tmp_path, line, monkeypatch):
    path = tmp_path / "results.jsonl"
    store = Store(path, 3)
    store.append(0, line)
    write = store._file.write
    given_up = []

    class Full:
        """A disk with room for some hundred bytes more."""

        def write(self, data):
            if given_up:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            given_up.append(True)
            return write(data[:100])

        def __getattr__(self, name):
            return getattr(file, name)

    file, store._file = store._file, Full()
    with pytest.raises(FolderRefused, match=r"results\.jsonl: cannot be written: the disk is full") as caught:
        store.append(1, line)
    assert caught.value.exit_code == 2
    assert path.read_bytes() == line
    given_up.clear()
    store._file = file
    store.append(1, line)
    store.close()
    assert path.read_bytes() == line + line


def test_a_link_in_its_place_is_refused(tmp_path, line):
    outside = tmp_path / "mine.txt"
    outside.write_text("mine")
    (tmp_path / "results.jsonl").symlink_to(outside)
    with pytest.raises(FolderRefused, match="a link that leads elsewhere"):
        Store(tmp_path / "results.jsonl", 1)
    assert outside.read_text() == "mine"


def test_an_order_that_cannot_be_written_keeps_the_lines(tmp_path, line, monkeypatch):
    path = tmp_path / "results.jsonl"
    store = Store(path, 2)
    store.append(1, line)
    store.append(0, line)

    def full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FolderRefused, match="the disk is full"):
        store.settle({})
    assert path.read_bytes() == line + line


def test_stored_results_hold_places_only(tmp_path, line):
    path = tmp_path / "results.jsonl"
    path.write_bytes(line)
    results = StoredResults(path, [0], [len(line)])
    assert results[0] == results[-1]
    assert results[0] is not results[0]
