"""Stage 1: a PDF page becomes a :class:`~cordpath.model.Sheet`."""

from cordpath.sheet.read import page_count, read_sheet

__all__ = ["page_count", "read_sheet"]
