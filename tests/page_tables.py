"""Tables and labelled values of a page as a reader sees them, and printed numbers taken back into values."""

import math
import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = {"meta", "link", "img", "br", "hr", "input"}
_NUMBER = re.compile(r"[+−-]?\d[\d\u202f]*(?:\.\d+)?")


@dataclass
class Table:
    """One table: section, heading above it, cells of its head, cells of its rows."""

    section: str
    heading: str
    head: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)

    def column(self, title):
        """Cells of one column."""
        place = self.head.index(title)
        return [row[place] for row in self.rows]


class Tables(HTMLParser):
    """All tables of a page, and all pairs of dt and the first dd after it.

    Parameters
    ----------
    html : str
        The page.
    """

    def __init__(self, html):
        super().__init__(convert_charrefs=True)
        self.tables: list[Table] = []
        self.pairs: dict[str, tuple[str, str]] = {}
        self._section = self._heading = ""
        self._open: list[str] = []
        self._text: list[str] | None = None
        self._term = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        if tag in _VOID:
            return
        self._open.append(tag)
        if tag == "section":
            self._section, self._heading = dict(attrs).get("id") or "", ""
        elif tag == "table":
            self.tables.append(Table(self._section, self._heading))
        elif tag == "tr" and "tbody" in self._open:
            self.tables[-1].rows.append([])
        if tag in ("td", "th", "h2", "h3", "h4", "dt", "dd"):
            self._text = []

    def handle_endtag(self, tag):
        self._open.pop()
        if self._text is None or tag not in ("td", "th", "h2", "h3", "h4", "dt", "dd"):
            return
        text = " ".join("".join(self._text).replace("\u202f", "\x00").split()).replace("\x00", "\u202f")
        self._text = None
        if tag in ("h2", "h3", "h4"):
            self._heading = text
        elif tag == "dt":
            self._term = text
        elif tag == "dd":
            self.pairs.setdefault(self._term, (text, self._section))
        elif "thead" in self._open:
            self.tables[-1].head.append(text)
        else:
            self.tables[-1].rows[-1].append(text)

    def handle_data(self, data):
        if self._text is not None:
            self._text.append(data)

    def under(self, section, heading=None):
        """Tables of a section, or of one of its headings."""
        return [
            table
            for table in self.tables
            if table.section == section and (heading is None or table.heading == heading)
        ]

    def facts(self, section, heading=None):
        """Label -> value of all tables without a head."""
        return {
            row[0]: row[1] for table in self.under(section, heading) if not table.head for row in table.rows
        }


def printed(text):
    """First number of a text, and half a unit of its last printed digit.

    From 1000 on without decimals the last digit is the third: three significant figures are printed, and the
    zeros after them fill up.
    """
    found = _NUMBER.search(text)
    assert found, text
    number = found[0].replace("\u202f", "").replace("−", "-")
    value = float(number)
    decimals = len(number.partition(".")[2])
    if decimals or abs(value) < 1000:
        return value, 0.5 * 10.0**-decimals
    return value, 0.5 * 10.0 ** (math.floor(math.log10(abs(value))) - 2)


def agrees(text, value, factor=1.0):
    """Whether a printed number is a value, within half a unit of the printed digit; no value is "not known"."""
    if value is None:
        return text in ("not known", "")
    if value in ("infinite", math.inf):
        return text.startswith("unlimited")
    shown, half = printed(text)
    return abs(shown - value * factor) <= half * (1.0 + 1e-9) + 1e-12 * abs(value)
