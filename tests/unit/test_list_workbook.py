"""XLSX files: typed cells, formulas, merged cells, dates, sheets; openpyxl is the oracle for the cells."""

import datetime as dt
import re
import zipfile

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.styles import NamedStyle
from workbook_lists import GOOD, HEAD, codes, edited

from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.sheet_text import cell_place, cell_text, column_letters
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.workbook_rows import workbook_rows

# ------------------------------------------------------------------------------------------- cells


MESSY = [
    ["Roofs of the north", None, None, None, dt.date(2024, 5, 3)],
    [],
    ["site_id", "latitude_deg", "longitude_deg", "Rich", "When"],
    ["A", 36.1, -79.95, True, dt.datetime(2024, 5, 3, 10, 30)],
    ["B", 1, 2, False, dt.time(7, 5)],
    [1001, 1e-7, 123456789012, "=1+1 as text", dt.timedelta(hours=30)],
    ["two\nlines", 0.1 + 0.2, -0.0, "x < y & z", dt.date(1999, 12, 31)],
    [None, None, " blanks ", "\u00fcml\u00e4ut", None],
    ["#N/A", "'quoted", "@home", "-dash", "+plus"],
]


def values_by_openpyxl(path):
    sheet = load_workbook(path, data_only=True).worksheets[0]
    rows = {}
    for row in sheet.iter_rows():
        values = [cell.value for cell in row]
        while values and values[-1] is None:
            values.pop()
        if values:
            rows[row[0].row] = values
    return rows


def values_by_us(path):
    source = workbook_rows(path.name, path.read_bytes(), "")
    return dict(zip(source.lines, source.rows, strict=True))


def as_text(sheet):
    sheet["D6"].data_type = "s"


def test_cells_are_those_that_openpyxl_reads(save):
    path = save(MESSY, as_text)
    ours, theirs = values_by_us(path), values_by_openpyxl(path)
    assert ours == theirs
    kinds = {line: [type(value) for value in row] for line, row in ours.items()}
    assert kinds == {line: [type(value) for value in row] for line, row in theirs.items()}
    assert len(ours) == 8


@pytest.mark.parametrize(
    "change",
    [
        # element names with a prefix
        lambda xml: re.sub(r"<(/?)([a-zA-Z])", r"<\1x:\2", xml.replace("xmlns=", "xmlns:x=")),
        # no references on cells and rows (sheets without gaps only)
        lambda xml: re.sub(r' r="[A-Z]*[0-9]+"', "", xml),
        # indented
        lambda xml: xml.replace("<c ", "\n   <c ").replace("<v>", "\n    <v>").replace("</c>", "\n  </c>"),
    ],
)
def test_other_ways_to_write_the_same_cells(save, change):
    path = save([HEAD, GOOD, ["B", 36.2, "text"], ["C", True, -7]])
    before = values_by_us(path)
    assert values_by_us(edited(path, change)) == before == values_by_openpyxl(path)


def test_rich_text_and_reading_aids(save):
    path = save([HEAD, ["A", 1, 2]])
    rich = (
        '<c r="A2" t="inlineStr"><is><r><t>two </t></r><r><t xml:space="preserve"> runs_x000D_</t></r>'
        "<rPh sb='0' eb='1'><t>reading</t></rPh></is></c>"
    )
    edited(path, lambda xml: re.sub(r'<c r="A2".*?</c>', rich, xml))
    assert values_by_us(path)[2] == ["two  runs\r", 1, 2]


def shared(path, table):
    """Keep the texts of a workbook in its table of shared texts, as spreadsheet programs do."""
    texts = list(table)
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    edited(
        path,
        lambda xml: re.sub(
            r't="inlineStr"><is><t>(.*?)</t></is>',
            lambda found: f't="s"><v>{texts.index(found[1])}</v>',
            xml,
        ),
    )
    edited(
        path,
        lambda xml: xml.replace(
            "</Relationships>",
            f'<Relationship Id="rId99" Type="{relation}" Target="sharedStrings.xml"/></Relationships>',
        ),
        part="xl/_rels/workbook.xml.rels",
    )
    edited(
        path,
        lambda xml: xml.replace(
            "</Types>", f'<Override PartName="/xl/sharedStrings.xml" ContentType="{kind}"/></Types>'
        ),
        part="[Content_Types].xml",
    )
    with zipfile.ZipFile(path, "a") as archive:
        items = "".join(f"<si>{item}</si>" for item in table.values())
        archive.writestr("xl/sharedStrings.xml", f'<sst xmlns="{main}">{items}</sst>')
    return path


def test_shared_texts_with_runs_and_reading_aids(save):
    table = {text: f"<t>{text}</t>" for text in HEAD}
    table["A-1"] = "<r><t>two </t></r><r><t>runs</t></r><rPh sb='0' eb='1'><t>reading</t></rPh>"
    path = shared(save([HEAD, GOOD]), table)
    assert values_by_us(path) == values_by_openpyxl(path) == {1: HEAD, 2: ["two runs", 36.1, -79.95]}


def test_dates_of_old_mac_workbooks(tmp_path):
    book = Workbook()
    book.epoch = dt.datetime(1904, 1, 1)
    book.active.append([*HEAD, "survey_date"])
    book.active.append([*GOOD, dt.date(2024, 5, 3)])
    path = tmp_path / "list.xlsx"
    book.save(path)
    assert load_sites(path).sites[0].get("survey_date") == "2024-05-03"
    assert values_by_us(path) == values_by_openpyxl(path)


# ------------------------------------------------------------------------------------------- the list


def test_a_workbook_is_read_like_the_same_csv_file(save, tmp_path):
    rows = [
        [*HEAD, "roof_surface", "neighbour_distance_m", "Owner", "survey_date"],
        ["A", 36.1, -79.95, "Gravel", "none", "Fern", dt.date(2024, 5, 3)],
        ["B", "36.2", "-79.9", None, 40, "M\u00fcller", None],
        [17, 36, -79, "dark", "-", 12, dt.datetime(2024, 1, 2, 3, 4)],
    ]
    book = load_sites(save(rows))
    text = "\n".join(",".join(cell_text(cell) for cell in row) for row in rows)
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    flat = load_sites(path)
    assert [(site.row, site.site_id, site.values) for site in book.sites] == [
        (site.row, site.site_id, site.values) for site in flat.sites
    ]
    assert book.cells.equals(flat.cells)
    assert book.values[0][-1] == dt.datetime(2024, 5, 3)
    assert flat.values is None
    assert book.sites[0].get("neighbour_distance_m") is DOES_NOT_APPLY


def test_values_keep_their_type(save):
    when = dt.datetime(2024, 5, 3, 10, 30)
    sites = load_sites(
        save([[*HEAD, "Owner", "When", "Count"], [*GOOD, "007", when, 3], ["B", 1, 2, None, None, 2.5]])
    )
    assert sites.values == (("A-1", 36.1, -79.95, "007", when, 3), ("B", 1, 2, None, None, 2.5))
    assert sites.cells.to_numpy().tolist() == [
        ["A-1", "36.1", "-79.95", "007", "2024-05-03 10:30", "3"],
        ["B", "1", "2", "", "", "2.5"],
    ]
    assert sites.only("B").values == (("B", 1, 2, None, None, 2.5),)


def test_numbers_of_a_workbook_are_never_in_doubt(save):
    sites = load_sites(
        save([[*HEAD, "elevation_m", "free_length_m"], [*GOOD, 1.234, "7,5"], ["B", 1, 2, "1.234", "8,5"]])
    )
    assert [site.number("elevation_m") for site in sites.sites] == [1.234, 1234.0]
    assert [len(site.cautions) for site in sites.sites] == [0, 1]


def test_leading_zeros_that_a_sheet_shows(save):
    style = NamedStyle("padded", number_format="00000")

    def prepare(sheet):
        for cell in ("A2", "A3"):
            sheet[cell].style = style

    sites = load_sites(save([HEAD, [42, 1, 2], [123456, 1, 2]], prepare))
    assert [site.site_id for site in sites.sites] == ["00042", "123456"]
    assert sites.values[0][0] == 42


def test_title_rows_empty_rows_and_lines(save):
    rows = [["Roofs"], [], HEAD, GOOD, [], [], ["B", 1, 2], [" "]]
    sites = load_sites(save(rows))
    assert sites.header_line == 3
    assert [site.row for site in sites.sites] == [4, 7]
    assert sites.blank_rows == 2
    assert codes(sites) == ["list-title-lines", "list-blank-rows"]


def test_columns_without_a_heading_keep_their_letters(save):
    sites = load_sites(save([[*HEAD, None, "Owner"], [*GOOD, "stray", "Fern", None, "far"]]))
    assert sites.own_columns == ("column D", "Owner", "column G")
    assert sites.cells["column G"].tolist() == ["far"]
    assert codes(sites) == ["list-nameless-columns"]


def test_a_date_where_a_number_belongs_is_asked_about(save):
    site = load_sites(save([[*HEAD, "free_length_m"], [*GOOD, 3], ["B", 1, 2, dt.date(2024, 5, 3)]])).sites[1]
    assert site.faults[0].value == "2024-05-03"
    assert site.faults[0].allowed.endswith("a sheet makes a date of 3.5 or 5.3: was that meant?")


def test_true_and_false(save):
    sites = load_sites(
        save([[*HEAD, "penetrations_allowed", "it_load_kw"], [*GOOD, True, 5], ["B", 1, 2, False, True]])
    )
    assert sites.sites[0].get("penetrations_allowed") == "yes"
    assert sites.sites[1].get("penetrations_allowed") == "no"
    assert sites.cells["penetrations_allowed"].tolist() == ["TRUE", "FALSE"]
    assert [fault.key for fault in sites.faults] == ["it_load_kw"]


# ------------------------------------------------------------------------------------------- names and texts


@pytest.mark.parametrize(
    "at, letters",
    [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (701, "ZZ"), (702, "AAA"), (16383, "XFD")],
)
def test_letters_of_columns(at, letters):
    # Source: the last column of a sheet is XFD, the 16 384th (ISO/IEC 29500-1, 18.3.1.73).
    assert column_letters(at) == letters
    assert cell_place(f"{letters}12") == (12, at)


@pytest.mark.parametrize(
    "value, text",
    [
        (None, ""),
        ("x", "x"),
        (True, "TRUE"),
        (5, "5"),
        (5.0, "5"),
        (-0.25, "-0.25"),
        (0.1 + 0.2, "0.3"),
        (1e20, "1e+20"),
        (dt.datetime(2024, 5, 3), "2024-05-03"),
        (dt.datetime(2024, 5, 3, 1, 2, 3), "2024-05-03 01:02:03"),
        (dt.date(2024, 5, 3), "2024-05-03"),
        (dt.time(7, 5), "07:05"),
        (dt.timedelta(hours=30), "1 day, 6:00:00"),
    ],
)
def test_text_of_a_value(value, text):
    assert cell_text(value) == text
