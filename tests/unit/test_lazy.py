"""Parts of a result that are made at the first look: once, and not before."""

import pickle
from dataclasses import FrozenInstanceError, dataclass, replace

import pytest
from result_factory import make_result
from site_cases import decide, example_values

from edgecheck import chain
from edgecheck.checks.lazy import Later, Lazy, Sections


class Maker:
    """Counts how often it is asked."""

    def __init__(self, value: object = 7) -> None:
        self.value, self.asked = value, 0

    def __call__(self) -> object:
        self.asked += 1
        return self.value


@dataclass(frozen=True)
class Record:
    name: str
    needed: Lazy[int] = Lazy()
    table: Lazy[int | None] = Lazy(None)


def test_a_value_is_made_once_at_the_first_call():
    make = Maker()
    later = Later(make)
    assert make.asked == 0
    assert (later(), later(), make.asked) == (7, 7, 1)


def test_a_field_reads_as_its_value():
    make = Maker()
    record = Record("a", Later(make))
    assert record.table is None
    assert make.asked == 0
    assert (record.needed, record.needed, make.asked) == (7, 7, 1)
    assert record == Record("a", 7, None)
    with pytest.raises(FrozenInstanceError):
        record.needed = 8
    with pytest.raises(TypeError):
        Record("a")


def test_sections_are_made_one_by_one():
    first, second = Maker(1), Maker(2)
    sections = Sections({"one": Later(first), "two": Later(second), "three": 3})
    more = Sections(sections).with_more({"four": 4})
    assert list(more) == ["one", "two", "three", "four"]
    assert more["two"] == 2
    assert (first.asked, second.asked) == (0, 1)
    assert sections["two"] == 2
    assert second.asked == 1
    assert dict(more) == {"one": 1, "two": 2, "three": 3, "four": 4}


def test_a_pickle_holds_the_values():
    make = Later(lambda: 7)
    assert pickle.loads(pickle.dumps({"later": make, "again": Record("a", 1).needed})) == {
        "later": 7,
        "again": 1,
    }
    assert dict(pickle.loads(pickle.dumps(Sections({"one": Later(lambda: 1)})))) == {"one": 1}


def test_changing_a_result_makes_nothing():
    make = Maker()
    result = make_result().changed(hourly=Later(make))
    assert result.changed(verdict="go").verdict == "go"
    assert result.listed().hourly is None
    assert make.asked == 0
    assert replace(result, verdict="go").hourly == 7


def test_lists_need_no_hourly_data_and_no_record(monkeypatch):
    def never(*args: object, **more: object) -> None:
        raise AssertionError("made for nobody")

    for name in ("_hourly", "_outage", "roof_detail", "failures_detail"):
        monkeypatch.setattr(chain, name, never)
    result = decide(example_values())
    listed = result.listed()
    assert {"weather", "extremes", "unit", "energy", "hours_short"} <= set(listed.detail)
    assert not {"roof", "monthly", "sound"} & set(listed.detail)
    assert result.to_stored() == listed.to_stored()
    assert (listed.worst_hours, listed.hourly, listed.outage) == ((), None, None)
    assert listed.figures == result.figures
    assert listed.checks == result.checks
    assert listed.to_dict()["figures"]["max_it_load_kw"] == result.figures["max_it_load_kw"]
    with pytest.raises(AssertionError, match="made for nobody"):
        assert result.hourly
