"""Fixtures that several files of this folder share."""

from unit_files import change, folder
from workbook_lists import save

__all__ = ["change", "folder", "save"]
