"""The data, counts and texts of the list page, without a browser."""

import json
import math
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from page_parts import Page
from portfolio_cases import KINDS, OWN, case

import edgecheck
from edgecheck.checks.declarations import CHECKS
from edgecheck.outputs.figures.site_loads import site_loads, steps
from edgecheck.outputs.number_text import readable
from edgecheck.outputs.result_columns import RESULT_COLUMNS
from edgecheck.outputs.views.listing import listing
from edgecheck.outputs.views.portfolio_columns import TITLES, our_columns, printed_number
from edgecheck.outputs.views.portfolio_loads import Loads, round_loads

HOSTILE = "</script><script>window.bad=1</script><!--\u2028&amp;\"'{{ 7*7 }}\u202e\U0001f9ca"
OUTPUTS = Path(edgecheck.__file__).parent / "outputs"
ROW_HEAD = 6


def data_of(html):
    return json.loads(
        re.search(r'<script type="application/json" id="data">(.*?)</script>', html, re.DOTALL)[1]
    )


def listed(one):
    return listing(iter(one.results), one.ranks, one.folders, "roofs", one.run, one.site_list)


@pytest.fixture(scope="module")
def one(tmp_path_factory):
    return case(tmp_path_factory.mktemp("list"), 22)


@pytest.fixture(scope="module")
def html(one):
    return one.page()


def test_every_cell_of_the_page_is_that_of_the_table_with_the_digits_of_the_workbook(one, html):
    data = data_of(html)
    by_rank = sorted(one.table(), key=lambda row: int(row["rank"]))
    assert [row[0] for row in data["rows"]] == [row["site_id"] for row in by_rank]
    numbers = 0
    for row, written in zip(data["rows"], by_rank, strict=True):
        for column, value in zip(data["columns"], row[ROW_HEAD:], strict=True):
            text = written[column["key"]]
            if column["kind"] == "number":
                numbers += 1
                factor = 100.0 if column["unit"] == "%" else 1.0
                if value is None or isinstance(value, str):
                    assert {None: "", "inf": "inf"}[value] == text
                    continue
                # Half a unit of the last digit that is printed.
                assert value == pytest.approx(
                    float(text) * factor, abs=0.5 * 10 ** -column["decimals"] + 1e-9
                )
            elif column["kind"] == "list":
                assert "; ".join(data["texts"][entry] for entry in value) == readable(text)
            else:
                found = data["texts"][value]
                assert found == (readable(text) if column["key"] == "reason" else text)
    assert numbers > 22 * 8


def test_page_and_workbook_show_the_same_digits():
    for column in our_columns():
        form = RESULT_COLUMNS[column.key].number_format
        if form == "General":
            assert column.kind != "number"
        else:
            assert column.kind == "number"
            assert column.decimals == len(form.rstrip("%").partition(".")[2])
    assert set(TITLES) <= set(RESULT_COLUMNS)
    assert printed_number(math.nan, our_columns()[0]) is None


def test_eight_own_columns_come_along_and_the_rest_is_named(one, html):
    keys = [column["key"] for column in data_of(html)["columns"]]
    assert keys[-8:] == list(OWN[:8])
    assert "Remark" not in keys
    assert "Empty" not in keys
    assert "in the table files only: Remark." in Page(html).text()


def test_columns_in_which_no_site_has_anything_are_left_out(html):
    keys = {column["key"] for column in data_of(html)["columns"]}
    assert "sound_dba" not in keys
    assert "services" not in keys
    assert "environment" not in keys
    assert {"heat", "roof", "asks_mass_kg", "conditions", "to_survey"} <= keys


def test_reasons_count_all_sites_and_those_a_check_stands_alone_at(one):
    page = listed(one)
    judged = [KINDS[n % len(KINDS)] for n in range(21)]
    for row in page.reasons:
        check_id = CHECKS[row.place].id
        stopped = [failing for verdict, failing, _ in judged if verdict == "no-go" and check_id in failing]
        waiting = [open_ for verdict, _, open_ in judged if verdict == "undecided" and check_id in open_]
        assert (row.stops, row.stops_alone) == (len(stopped), sum(len(found) == 1 for found in stopped))
        assert (row.leaves_open, row.leaves_open_alone) == (
            len(waiting),
            sum(len(found) == 1 for found in waiting),
        )
    by_id = {CHECKS[row.place].id: row for row in page.reasons}
    # By hand: 21 judged sites are three times the seven kinds.
    assert (by_id["roof.load"].stops, by_id["roof.load"].stops_alone) == (6, 3)
    assert (by_id["heat.headroom"].stops, by_id["heat.headroom"].stops_alone) == (6, 3)
    assert (by_id["roof.load"].leaves_open, by_id["roof.load"].leaves_open_alone) == (6, 3)
    assert by_id["heat.hot-spell"].holds == 3
    assert page.open_checks == "12"
    assert page.sites_with_open_checks == "9"


def test_a_check_that_is_off_stops_nobody(one):
    off = replace(
        one, run={**one.run, "criteria": {"need": {**one.run["criteria"]["need"], "roof.load": "off"}}}
    )
    by_id = {CHECKS[row.place].id: row for row in listed(off).reasons}
    assert "roof.load" not in by_id or by_id["roof.load"].stops == 0
    assert by_id["heat.headroom"].stops_alone == 6


def test_loads_are_those_of_the_table(one):
    written = [row for row in one.table() if row["verdict"] in ("go", "conditional")]
    rows = listed(one).loads
    assert 4 < len(rows) <= 12
    for row in rows:
        load = float(row.load.removesuffix(" kW"))
        carried = [
            site for site in written if site["max_it_load_kw"] and float(site["max_it_load_kw"]) >= load
        ]
        assert row.go_or_conditional == str(len(carried))
        assert row.go == str(sum(site["verdict"] == "go" for site in carried))
        assert row.above_checked == (row.go_or_conditional if load > 6.0 else "0")
    assert int(rows[0].go_or_conditional) == sum(bool(row["max_it_load_kw"]) for row in written)


def test_an_unknown_largest_load_is_said_and_counts_nowhere():
    loads = Loads()
    for verdict, largest in (("go", None), ("go", math.nan), ("no-go", 9.0), ("conditional", 6.0)):
        loads.add(verdict, largest, 5.0)
    assert loads.unknown == 2
    assert loads.largest("go", "conditional") == [6.0]
    assert [row.go_or_conditional for row in loads.rows()] == ["1"]


@pytest.mark.parametrize(
    "largest, expected",
    [
        ([], ()),
        ([6.0], (6.0,)),
        ([0.0, 0.0], (0.0,)),
        ([5.93, 8.08], (5.5, 6.0, 6.5, 7.0, 7.5, 8.0, 8.5)),
        ([0.0, 100.0], (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0)),
    ],
)
def test_round_loads(largest, expected):
    assert round_loads(largest) == expected


def test_the_curve_falls_by_one_where_a_site_can_no_more():
    import numpy as np

    load, sites = steps(np.array([5.0, 6.0, 6.0, 7.5]), (4.0, 8.0))
    assert load == pytest.approx([4.0, 5.0, 6.0, 7.5, 8.0])
    assert sites.tolist() == [4, 3, 1, 0, 0]
    drawing = site_loads([6.0], [5.0, 6.0])
    assert (
        "Of 2 go or conditional sites the least carries 5.00 kW, the most 6.00 kW; 1 of them is go."
        in drawing.alt
    )


def test_counts_and_kinds_of_unknown_are_on_the_page(one, html):
    text = Page(html).text()
    for verdict, number in Counter(result.verdict for result in one.results).items():
        assert f"{number} {verdict}" in text
    for wanted in (
        "12 checks, at 9 of 22 sites",
        "6 of 22 sites; what to ask",
        "1 of 22 rows; the reason",
        "never taken for a pass",
    ):
        assert wanted in text


def test_only_the_best_five_thousand_stand_on_the_page(tmp_path, monkeypatch):
    monkeypatch.setattr("edgecheck.outputs.views.listing.MOST_SITES", 10)
    one = case(tmp_path, 22)
    html = one.page()
    best = sorted(one.table(), key=lambda row: int(row["rank"]))[:10]
    assert [row[0] for row in data_of(html)["rows"]] == [row["site_id"] for row in best]
    text = Page(html).text()
    assert "the best 10 of 22 sites. The other 12 stand in verdicts.csv" in text
    assert "9 no-go" in text


def test_results_pass_by_once(one):
    seen = []

    def stream():
        for result in one.results:
            seen.append(result.row)
            yield result

    listing(stream(), one.ranks, one.folders, "roofs", one.run, one.site_list)
    assert seen == [result.row for result in one.results]


def test_the_same_run_gives_the_same_bytes(one, html, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "0")
    assert one.page() == html
    assert not re.search(r"20(2[4-9]|[3-9]\d)-\d\d-\d\d", html)


def test_text_from_files_cannot_leave_the_data(tmp_path):
    own = {"Landlord": [HOSTILE, "x" * 5000], HOSTILE: [HOSTILE]}
    one = case(tmp_path, 3, own=own)
    first = replace(one.results[0], site_id=HOSTILE, name=HOSTILE, reason=HOSTILE, conditions=(HOSTILE,))
    one = replace(one, results=[first, *one.results[1:]], folders={2: HOSTILE})
    html = one.page(HOSTILE)
    assert html.count("<script") == 2
    assert html.count("</script>") == 2
    data = data_of(html)
    assert data["rows"][0][:3] == [HOSTILE, HOSTILE, HOSTILE]
    assert HOSTILE in data["texts"]
    assert f"{'x' * 299}…" in data["texts"]
    assert not any(
        "window.bad" in line
        for line in re.sub(r"<script.*?</script>", "", html, flags=re.S).split("<")
        if line.startswith("script")
    )


def test_the_page_names_the_only_script_it_runs(html):
    import base64
    import hashlib

    text = re.search(r"<script>(.*?)</script>", html, re.DOTALL)[1]
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in html
    assert "default-src 'none'" in html


@pytest.mark.parametrize("name", ["portfolio.js", "portfolio-map.js"])
def test_the_program_never_makes_markup_of_text(name):
    text = (OUTPUTS / name).read_text(encoding="utf-8")
    forbidden = ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function")
    for word in (*forbidden, "fetch(", "XMLHttp", "localStorage"):
        assert word not in text
    assert text.startswith("/**")
    assert len(text.splitlines()) < 400


def test_a_site_costs_less_than_a_kilobyte(tmp_path):
    one = case(tmp_path, 400, own={"Landlord": [""]})
    assert len(one.page().encode()) < 300_000 + 400 * 1_000
    few = case(tmp_path, 50, own={"Landlord": [""]})
    assert (len(one.page().encode()) - len(few.page().encode())) / 350 < 1_000


def test_without_positions_there_is_no_map_and_without_rows_no_program(one):
    page = listing(iter(one.results), one.ranks, one.folders, "roofs", one.run)
    assert page.mapped == 0
    assert listed(one).mapped == 21
    from edgecheck.outputs.pages import list_page

    empty = list_page([], {}, {}, "roofs", {})
    assert "<script" not in empty
    assert "The list has no row." in empty
