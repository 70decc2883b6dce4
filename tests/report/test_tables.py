"""Schedules for spreadsheets: columns, rows, and that no cell of a drawing is ever computed."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
import report_builder as build
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Answer, Companion, Conflict, Decision, Unexplained
from cordpath.report import CAUTIONS, write_schedule_csv, write_schedule_xlsx
from cordpath.report.groups import _natural
from cordpath.report.tables import harmless

SINK = (300.0, 150.0)
COLUMNS = (  # what programs of others rely on, in this order
    "sheet", "number", "room", "kind", "circuit", "required by", "protected by", "verdict", "distance",
)  # fmt: skip


def results():
    room = build.kitchen()
    sheet = build.result(
        (
            build.missing("E-101.1", (60.0, 50.0), SINK, room),
            build.unresolved("E-101.2", (90.0, 50.0), SINK, room),
            build.protected("E-101.3", (120.0, 50.0)),
            build.free("E-101.4", (150.0, 50.0)),
        )
    )
    return (sheet, build.failed(page=2))


def rows(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))


def test_csv_holds_one_row_an_outlet_and_one_for_a_failed_sheet(tmp_path: Path) -> None:
    write_schedule_csv(tmp_path / "s.csv", results())
    found = rows(tmp_path / "s.csv")
    assert tuple(found[0])[: len(COLUMNS)] == COLUMNS
    assert [row["verdict"] for row in found] == [
        "missing", "unresolved", "protected", "not required", "sheet not checked",
    ]  # fmt: skip
    first = found[0]
    assert (first["sheet"], first["number"], first["room"]) == ("E-101", "E-101.1", "KITCHEN 101")
    assert (first["kind"], first["symbol"]) == ("receptacle", "duplex receptacle")
    assert (first["circuit"], first["distance"]) == ("A-12", "4.30")
    assert first["required by"] == "210.8(A)(8), 210.8(A)(6)" and "4.3 ft" in first["reason"]
    assert found[1]["required by"] == "210.8(A)(8) ?" and "How far is it" in found[1]["reason"]
    assert found[2]["protected by"] == "device"
    assert found[4]["reason"] == "the page holds only a picture"


def test_every_row_of_the_csv_has_the_cautions_and_as_many_cells_as_the_header(tmp_path: Path) -> None:
    write_schedule_csv(tmp_path / "s.csv", results())
    head, *found = csv.reader(io.StringIO((tmp_path / "s.csv").read_text(encoding="utf-8"), newline=""))
    assert head[-1] == "cautions" and len(found) == 5
    assert all(len(cells) == len(head) and cells[-1] == " ".join(CAUTIONS) for cells in found)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "=cmd|' /C calc'!A0"])
def test_cells_that_would_be_computed_are_led_by_an_apostrophe(tmp_path: Path, text: str) -> None:
    room = replace(build.kitchen(), name=text, number=None)
    finding = build.missing(text, (60.0, 50.0), SINK, room)
    found = build.result((finding,), number=text, file=text)
    write_schedule_csv(tmp_path / "s.csv", (found,))
    for cells in csv.reader(io.StringIO((tmp_path / "s.csv").read_text(encoding="utf-8"), newline="")):
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in cells)
    write_schedule_xlsx(tmp_path / "s.xlsx", (found,), build.RUN)
    for sheet in openpyxl.load_workbook(tmp_path / "s.xlsx"):
        for line in sheet.iter_rows():
            for cell in line:
                assert cell.data_type != "f"
                assert not str(cell.value or "").startswith(("=", "@"))


@given(st.text(max_size=50))
def test_harmless_text_keeps_its_words(text: str) -> None:
    cell = harmless(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert len(cell) - len(text) in (0, 1)
    cell.encode("utf-8")


def test_any_text_can_be_written(tmp_path: Path) -> None:
    nasty = "a\x00b\x0b\ud800\uffff" + "x" * 40_000
    finding = replace(build.free("E-101.1", (60.0, 50.0)), reasons=(nasty,))
    write_schedule_csv(tmp_path / "s.csv", (build.result((finding,)),))
    write_schedule_xlsx(tmp_path / "s.xlsx", (build.result((finding,)),), build.RUN)
    assert len(rows(tmp_path / "s.csv")) == 1
    assert len(openpyxl.load_workbook(tmp_path / "s.xlsx")["all outlets"]["L2"].value) <= 32_767


def test_workbook_sheets_head_filters_and_same_bytes(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        write_schedule_xlsx(tmp_path / name, results(), build.RUN)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
    book = openpyxl.load_workbook(tmp_path / "a.xlsx")
    assert book.sheetnames == [
        "all outlets", "missing", "unresolved", "unexplained", "by room", "by circuit", "totals", "sheets", "about",
    ]  # fmt: skip

    everything = book["all outlets"]
    assert everything.freeze_panes == "A2" and everything.auto_filter.ref == "A1:T6"
    assert everything["I2"].value == 4.3 and everything["I2"].data_type == "n"
    assert everything["I2"].number_format == '0.00 "ft"'
    for name in ("all outlets", "missing", "unresolved"):
        assert tuple(cell.value for cell in book[name][1])[: len(COLUMNS)] == COLUMNS
    assert [row[1] for row in book["missing"].iter_rows(min_row=2, values_only=True)] == ["E-101.1"]
    assert [row[2] for row in book["sheets"].iter_rows(min_row=2, values_only=True)] == ["checked", "failed"]
    assert [row[3] for row in book["sheets"].iter_rows(min_row=2, values_only=True)] == [
        '1/4" = 1\'-0" (proved)',
        None,
    ]
    about = dict(book["about"].iter_rows(values_only=True))
    assert about["distance"].startswith("feet") and "2023" in about["code edition"]


def test_a_batch_of_nothing(tmp_path: Path) -> None:
    write_schedule_csv(tmp_path / "s.csv", ())
    write_schedule_xlsx(tmp_path / "s.xlsx", (), build.RUN)
    assert rows(tmp_path / "s.csv") == []


def test_a_ruling_stands_beside_the_verdict_and_never_in_its_place(tmp_path: Path) -> None:
    ruled = replace(
        build.missing("E-101.1", (60.0, 50.0), SINK),
        decision=Decision("E-101", "", "duplex receptacle", (0.1, 0.1), "accept", "=seen on site", None, None, 1),
    )
    found = build.result((ruled, build.missing("E-101.2", (90.0, 50.0), SINK)))
    write_schedule_csv(tmp_path / "s.csv", (found,))
    first, second = rows(tmp_path / "s.csv")
    assert (first["verdict"], first["decision"]) == ("missing", "Accept: =seen on site.")
    assert (second["verdict"], second["decision"]) == ("missing", "")
    write_schedule_xlsx(tmp_path / "s.xlsx", (found,), build.RUN)
    sheet = openpyxl.load_workbook(tmp_path / "s.xlsx")["missing"]
    assert [cell.value for cell in sheet["K"]] == ["decision", "Accept: =seen on site.", None]


def table(path: Path, name: str) -> list[dict[str, object]]:
    head, *lines = openpyxl.load_workbook(path)[name].iter_rows(values_only=True)
    return [dict(zip(head, line, strict=True)) for line in lines]


def test_counts_by_room_circuit_and_symbol_add_up(tmp_path: Path) -> None:
    kitchen, bath = build.kitchen(), replace(build.kitchen(), id="r2", name="BATH", number=None)

    def on(finding, circuit: str | None):
        return replace(finding, protection=replace(finding.protection, circuit=circuit))

    asked = (
        Companion("afci", Answer.YES, "210.12", "it is in a kitchen"),
        Companion("weather-resistant", Answer.UNKNOWN, "", ""),
    )
    findings = (
        replace(on(build.missing("1", (60.0, 50.0), SINK, kitchen), "A-10"), companions=asked),
        on(build.unresolved("2", (90.0, 50.0), SINK, bath), "A-2"),
        on(build.protected("3", (120.0, 50.0), kitchen), "A-10"),
        on(build.free("4", (150.0, 50.0)), None),
    )
    write_schedule_xlsx(tmp_path / "s.xlsx", (build.result(findings), build.failed(page=2)), build.RUN)
    rooms = table(tmp_path / "s.xlsx", "by room")
    assert [(r["room"], r["outlets"], r["missing or unresolved"]) for r in rooms] == [
        ("KITCHEN 101", 2, "1"), ("BATH", 1, "2 ?"), ("no room settled", 1, None),
    ]  # fmt: skip
    circuits = table(tmp_path / "s.xlsx", "by circuit")
    assert [r["circuit"] for r in circuits] == ["A-2", "A-10", "no circuit shown"]
    assert circuits[1]["missing"] == circuits[1]["protected"] == 1 and circuits[1]["rooms"] == "KITCHEN 101"
    *symbols, everything = table(tmp_path / "s.xlsx", "totals")
    assert everything["symbol"] == "all symbols" and everything["outlets"] == 4
    assert [(row["symbol"], row["kind"]) for row in symbols] == [("duplex receptacle", "receptacle")]
    assert (everything["AFCI asked"], everything["weather-resistant unknown"]) == (1, 1)
    for group in (rooms, circuits, symbols):
        for column in ("outlets", "missing", "unresolved", "protected", "not required"):
            assert sum(row[column] for row in group) == everything[column]


@given(st.lists(st.text(alphabet="AB-,0123456789", max_size=8)))
def test_any_circuit_names_can_be_put_in_order(names: list[str]) -> None:
    assert sorted(sorted(names, key=_natural)) == sorted(names)
    assert sorted(["A-10", "A-2", "B-1"], key=_natural) == ["A-2", "A-10", "B-1"]


def test_rows_are_tall_enough_for_their_text_and_print_on_tabloid_paper(tmp_path: Path) -> None:
    long = replace(build.missing("E-101.1", (60.0, 50.0), SINK), reasons=("It is required here. " * 30,))
    endless = replace(long, outlet=replace(long.outlet, id="E-101.2"), reasons=("word " * 9000,))
    found = build.result((long, endless, build.free("E-101.3", (9.0, 9.0))))
    write_schedule_xlsx(tmp_path / "s.xlsx", (found,), build.RUN)
    sheet = openpyxl.load_workbook(tmp_path / "s.xlsx")["all outlets"]
    heights = [sheet.row_dimensions[k].height for k in (2, 3, 4)]
    wide = sheet.column_dimensions["L"].width
    assert heights[0] >= 15 * len(sheet["L2"].value) / wide and heights[1] == 409 and heights[2] == 15 * 2
    assert sheet["L2"].alignment.wrap_text and sheet.page_setup.paperSize == 3


def test_the_workbook_tells_what_hangs_on_no_outlet(tmp_path: Path) -> None:
    """A sheet of which 28 outlets were unexplained had none missing, none to settle, and nothing told of them."""
    odd = Unexplained(
        "a symbol that the legend calls 'DUPLEX RECEPTACLE'", tuple((9.0, float(y)) for y in range(28))
    )
    against = Conflict("panel A lists a dryer that no outlet carries", ("E1.1",))
    sheet = replace(build.result((build.free("E1.1", (9.0, 9.0)),), unexplained=(odd,)), conflicts=(against,))
    write_schedule_xlsx(tmp_path / "s.xlsx", (sheet,), build.RUN)
    book = openpyxl.load_workbook(tmp_path / "s.xlsx")
    told = [row[1:4] for row in book["unexplained"].iter_rows(min_row=2, values_only=True)]
    assert told == [(odd.what, 28, None), (against.what, None, "E1.1")]
    head, row = book["sheets"].iter_rows(values_only=True)
    assert row[head.index("unexplained")] == 28


def test_a_drafter_finds_what_is_drawn_at_each_device(tmp_path: Path) -> None:
    write_schedule_csv(tmp_path / "s.csv", results())
    first, *_, failed = rows(tmp_path / "s.csv")
    assert (first["labels"], first["volts"], first["height"]) == ("WP", "125", "42 in")
    assert (failed["labels"], failed["volts"], failed["height"]) == ("", "", "")
    write_schedule_xlsx(tmp_path / "s.xlsx", results(), build.RUN)
    head, row, *_ = openpyxl.load_workbook(tmp_path / "s.xlsx")["all outlets"].iter_rows(values_only=True)
    told = dict(zip(head, row, strict=True))
    assert (told["labels"], told["volts"], told["height"]) == ("WP", 125, "42 in")
    cells = dict(zip(head, openpyxl.load_workbook(tmp_path / "s.xlsx")["all outlets"][2], strict=True))
    assert cells["volts"].alignment.horizontal == "center", "at the right it would run into the height"
