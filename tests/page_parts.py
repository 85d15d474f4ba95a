"""Reading a page the way a test wants it: tags with attributes, ids, the text of a part; what holds for every page."""

import re
from html.parser import HTMLParser

_VOID = {"meta", "link", "img", "br", "hr", "input"}
TABLES = ("verdicts.csv", "verdicts.xlsx", "survey.csv", "sites.geojson")


class Page(HTMLParser):
    """A page taken apart.

    Parameters
    ----------
    html : str
        The page.
    """

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.unbalanced: list[str] = []
        self._open: list[tuple[str, dict[str, str]]] = []
        self._texts: list[tuple[tuple[str, ...], str]] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        attributes = {name: value or "" for name, value in attrs}
        self.tags.append((tag, attributes))
        if tag not in _VOID:
            self._open.append((tag, attributes))

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag):
        if not self._open or self._open[-1][0] != tag:
            self.unbalanced.append(tag)
            return
        self._open.pop()

    def handle_data(self, data):
        ids = tuple(attributes["id"] for _, attributes in self._open if "id" in attributes)
        if not any(tag == "style" for tag, _ in self._open):
            self._texts.append((ids, data))

    @property
    def still_open(self) -> list[str]:
        """Elements that were never closed."""
        return [tag for tag, _ in self._open]

    @property
    def ids(self) -> list[str]:
        """Every id in the page."""
        return [attributes["id"] for _, attributes in self.tags if "id" in attributes]

    def text(self, part: str | None = None) -> str:
        """Text of the page, or of the element with an id, white space collapsed."""
        return " ".join(" ".join(data for ids, data in self._texts if part is None or part in ids).split())

    def named(self, tag: str) -> list[dict[str, str]]:
        """Attributes of every element of a kind."""
        return [attributes for name, attributes in self.tags if name == tag]


def assert_document(html, own_program=False):
    """Check what holds for every page; a list page may carry its program and its data, which are cut out first."""
    if own_program:
        html, scripts = re.subn(
            r"<script(?: type=\"application/json\" id=\"data\")?>.*?</script>", "", html, flags=re.S
        )
        assert scripts == 2
    page = Page(html)
    assert html.lstrip().startswith("<!DOCTYPE html>")
    assert page.unbalanced == []
    assert page.still_open == []
    assert len(page.ids) == len(set(page.ids))
    for name, attributes in page.tags:
        assert name not in ("script", "link", "iframe", "object", "embed", "base")
        assert name != "form" or (own_program and "form-action 'none'" in html and "action" not in attributes)
        assert not [key for key in attributes if key.startswith("on")]
        for key in ("src", "href"):
            target = attributes.get(key, "#")
            local = target.startswith(("#", "data:image/png;base64,")) or re.fullmatch(r"sites/[^:]+", target)
            local = local or target in TABLES
            assert local, (name, target)
            if target.startswith("#") and target != "#":
                assert target[1:] in page.ids
    assert "http://" not in html
    assert "https://" not in html
    assert "@import" not in html
    return page
