"""Reading a page the way a test wants it: tags with attributes, ids, the text of a part."""

from html.parser import HTMLParser

_VOID = {"meta", "link", "img", "br", "hr", "input"}


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
