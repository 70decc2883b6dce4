"""Stage 1: a PDF page becomes a :class:`~cordpath.model.Sheet`."""

from cordpath.sheet.read import page_count, read_sheet
from cordpath.sheet.skim import may_say

__all__ = ["may_say", "page_count", "read_sheet"]
