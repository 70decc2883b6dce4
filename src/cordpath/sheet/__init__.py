"""Stage 1: a PDF page becomes a :class:`~cordpath.model.Sheet`."""

from cordpath.sheet.layout.views import ENLARGED
from cordpath.sheet.lettering import read_glyphs
from cordpath.sheet.read import needs_password, page_count, read_sheet
from cordpath.sheet.set_aside import without_layers
from cordpath.sheet.skim import may_say, pages_that_say
