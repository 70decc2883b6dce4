"""Stage 8: results.json, the marked PDF, schedules and pictures, all drawn from the same findings."""

from cordpath.report.atomic import write_text_whole, write_whole
from cordpath.report.comments import REGISTER, Register, load_register, write_register
from cordpath.report.comparison import comparison_lines, comparison_tables, write_comparison
from cordpath.report.console import console_table, console_tables
from cordpath.report.document import results_document, results_schema, write_results
from cordpath.report.letter import write_letter
from cordpath.report.marked import write_marked
from cordpath.report.page import write_html
from cordpath.report.pictures import sheet_pictures
from cordpath.report.samples import Tile, contact_sheet
from cordpath.report.show import show
from cordpath.report.tables import write_schedule_csv, write_schedule_xlsx

__all__ = [
    "comparison_lines",
    "comparison_tables",
    "write_comparison",
    "REGISTER",
    "Register",
    "Tile",
    "console_table",
    "console_tables",
    "contact_sheet",
    "load_register",
    "results_document",
    "results_schema",
    "sheet_pictures",
    "show",
    "write_html",
    "write_letter",
    "write_marked",
    "write_register",
    "write_results",
    "write_schedule_csv",
    "write_schedule_xlsx",
    "write_text_whole",
    "write_whole",
]
