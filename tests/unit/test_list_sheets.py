"""Sheets of XLSX files: formulas, merged and hidden cells, which sheet is read, files that are broken."""

import re
import zipfile

import pytest
from openpyxl import Workbook
from workbook_lists import GOOD, HEAD, codes, edited

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.sites import load_sites

# ------------------------------------------------------------------------------------------- formulas


def with_results(results):
    """Put results beside formulas, as a spreadsheet program does when it saves."""

    def change(xml):
        for cell, (kind, value) in results.items():
            found = re.search(rf'<c r="{cell}"[^>]*><f>(.*?)</f><v ?/?>(</v>)?</c>', xml)
            assert found, cell
            typed = f' t="{kind}"' if kind else ""
            xml = xml.replace(found[0], f'<c r="{cell}"{typed}><f>{found[1]}</f><v>{value}</v></c>')
        return xml

    return change


def test_a_formula_counts_with_its_result(save):
    path = save([[*HEAD, "it_load_kw", "Owner"], [*GOOD, "=2*3", '="Fern "&A2'], ["B", 1, 2, 4, '=""']])
    edited(path, with_results({"D2": ("", "6"), "E2": ("str", "Fern A-1"), "E3": ("str", "")}))
    sites = load_sites(path)
    assert sites.sites[0].number("it_load_kw") == 6.0
    assert sites.values == (("A-1", 36.1, -79.95, 6, "Fern A-1"), ("B", 1, 2, 4, None))
    (note,) = [note for note in sites.notes if note.code.startswith("list-formulas")]
    assert (note.code, note.count) == ("list-formulas", 3)
    assert note.text.endswith("the result that the sheet holds (D2, E2, E3)")
    assert sites.findings == ()


def test_a_formula_without_a_result_is_empty_with_a_caution(save):
    sites = load_sites(
        save([[*HEAD, "roof_reserve_kpa", "Owner"], [*GOOD, "=2*3", "=A2"], ["B", 1, 2, 2, "x"]])
    )
    site = sites.sites[0]
    assert site.usable
    assert not site.known("roof_reserve_kpa")
    (caution,) = site.cautions
    assert (caution.column, caution.value) == ("roof_reserve_kpa", "")
    assert "a formula without a result" in caution.text
    assert caution.checks == ("roof.load",)
    (note,) = [note for note in sites.notes if note.code == "list-formulas-empty"]
    assert (note.level, note.count) == ("caution", 2)
    assert "(D2, E2)" in note.text


def test_the_result_of_a_wrong_formula_is_a_fault(save):
    path = edited(
        save([[*HEAD, "it_load_kw"], [*GOOD, 5], ["B", 1, 2, "=1/0"]]), with_results({"D3": ("e", "#DIV/0!")})
    )
    assert "the sheet shows an error here" in load_sites(path).sites[1].faults[0].allowed


# ------------------------------------------------------------------------------------------- merged, hidden


def test_merged_cells_count_once(save):
    def prepare(sheet):
        sheet.merge_cells("A1:D1")
        sheet.merge_cells("D3:D5")

    rows = [
        ["Title", None, None, None],
        [*HEAD, "Owner"],
        [*GOOD, "Fern"],
        ["B", 1, 2, None],
        ["C", 1, 2, None],
    ]
    sites = load_sites(save(rows, prepare))
    assert sites.cells["Owner"].tolist() == ["Fern", "", ""]
    (note,) = [note for note in sites.notes if note.code == "list-merged-cells"]
    assert (note.level, note.count) == ("caution", 1)
    assert note.text.endswith("counts for the first of them only (D3:D5)")


def test_values_left_behind_merged_cells_are_dropped(save):
    def prepare(sheet):
        sheet.merge_cells("C2:D3")

    path = save([[*HEAD, "Owner"], [*GOOD, None], ["B", 1, 2, None]], prepare)
    hidden = '<c r="C3"><v>5</v></c><c r="D3" t="inlineStr"><is><t>old</t></is></c>'
    edited(path, lambda xml: re.sub(r'<c r="C3".*?(?=</row>)', hidden, xml))
    sites = load_sites(path)
    assert sites.values[1] == ("B", 1, None, None)
    assert [fault.key for fault in sites.faults] == ["longitude_deg"]


def test_hidden_rows_are_read_and_said(save):
    def prepare(sheet):
        sheet.row_dimensions[3].hidden = True

    sites = load_sites(save([HEAD, GOOD, ["B", 1, 2]], prepare))
    assert len(sites.sites) == 2
    assert [(note.code, note.count) for note in sites.notes] == [("list-hidden-rows", 1)]


# ------------------------------------------------------------------------------------------- sheets, broken files


@pytest.fixture
def several(tmp_path):
    book = Workbook()
    book.active.title = "Hidden"
    book.active.sheet_state = "hidden"
    book.active.append(["nothing"])
    for title, name in (("Roofs", "A"), ("More roofs", "B")):
        sheet = book.create_sheet(title)
        sheet.append(HEAD)
        sheet.append([name, 1, 2])
    book.create_chartsheet("Chart")
    book.active = 1
    path = tmp_path / "list.xlsx"
    book.save(path)
    return path


def test_the_first_visible_sheet_or_the_named_one(several):
    first = load_sites(several)
    assert (first.sheet, first.sites[0].site_id) == ("Roofs", "A")
    assert codes(first) == ["list-sheet"]
    assert first.notes[0].text == "list.xlsx: the sheet 'Roofs' was read, one of 3; --sheet names another"
    named = load_sites(several, sheet="More roofs")
    assert (named.sheet, named.sites[0].site_id) == ("More roofs", "B")
    assert codes(named) == []


def test_a_sheet_that_is_not_there(several):
    with pytest.raises(InputFaults) as caught:
        load_sites(several, sheet="more roof")
    assert str(caught.value) == (
        "list.xlsx, --sheet: 'more roof': there is no such sheet; the workbook has Hidden, Roofs, More roofs; "
        "did you mean More roofs?"
    )


def test_an_empty_sheet(save):
    with pytest.raises(InputFaults, match=r"list\.xlsx: 'Roofs': the sheet is empty"):
        load_sites(save([]))


@pytest.mark.parametrize(
    "data, why",
    [
        (b"PK\x03\x04rest", "this workbook cannot be opened"),
        (b"\xd0\xcf\x11\xe0" + b"\x00" * 40, "an old or locked workbook; save it as XLSX"),
    ],
)
def test_files_that_are_no_workbook(tmp_path, data, why):
    path = tmp_path / "list.xlsx"
    path.write_bytes(data)
    with pytest.raises(InputFaults, match=why):
        load_sites(path)


def test_another_kind_of_archive(tmp_path):
    path = tmp_path / "list.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/zip")
    with pytest.raises(InputFaults, match="this workbook cannot be opened"):
        load_sites(path)


def test_a_sheet_cut_short(save):
    path = edited(save([HEAD, GOOD]), lambda xml: xml[: len(xml) // 2])
    with pytest.raises(InputFaults, match="save it again as XLSX, or save the sheet as CSV"):
        load_sites(path)
