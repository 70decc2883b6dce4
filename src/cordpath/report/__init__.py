"""Stage 8: results.json, the marked PDF, schedules and pictures, all drawn from the same findings."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from cordpath.report.atomic import PART_NAME, write_bytes_whole, write_text_whole, write_whole
from cordpath.report.comments import REGISTER, Register, load_register, write_register
from cordpath.report.document import results_document, results_schema, write_results
from cordpath.report.document_sheet import sheet_of
from cordpath.report.page.page import write_html
from cordpath.report.page.pictures import finding_pictures, sheet_pictures
from cordpath.report.page.samples import Tile, contact_sheet
from cordpath.report.page.show import show
from cordpath.report.pdf.marked import write_marked
from cordpath.report.pdf.replies import Answer, last_states, marked_stem, read_answers
from cordpath.report.pdf.schedule_file import schedule_beside
from cordpath.report.pdf.seals import Seal, read_seals
from cordpath.report.pdf.xfdf import write_xfdf
from cordpath.report.rows import CAUTIONS
from cordpath.report.summary import unexplained_of

if TYPE_CHECKING:
    from cordpath.report.comparison import comparison_lines, comparison_tables, write_comparison
    from cordpath.report.console import console_tables
    from cordpath.report.letter import plain_markdown, write_letters
    from cordpath.report.tables import write_schedule_csv, write_schedule_xlsx

# Loaded when first asked for: Word's and Excel's libraries take half a second, and no worker writes such files.
LATE = {
    "comparison_lines": "comparison",
    "comparison_tables": "comparison",
    "write_comparison": "comparison",
    "console_tables": "console",
    "plain_markdown": "letter",
    "write_letters": "letter",
    "write_schedule_csv": "tables",
    "write_schedule_xlsx": "tables",
}


def __getattr__(name: str) -> Any:
    if name not in LATE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{LATE[name]}"), name)
