"""Fixtures that several files of this folder share."""

from collections.abc import Iterator

import pytest
from command_line import bare_reports
from unit_files import change, folder
from workbook_lists import save

__all__ = ["change", "folder", "save"]


@pytest.fixture
def bare_pages() -> Iterator[None]:
    """For tests that read the words and tables of a page: it is made without its figures, which take long to draw."""
    with bare_reports():
        yield
