"""The report page and the terminal: totals, order, escaping, pictures, and what to do next."""

from __future__ import annotations

import base64
import io
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import report_builder as build
import report_pdfs as pdfs
from PIL import Image
from rich.console import Console

from cordpath.batch.order import Outcome
from cordpath.batch.work import Work
from cordpath.model import Conflict, Proposal, Scale, SheetResult, Step, Unexplained
from cordpath.report import (
    comparison_tables,
    console_tables,
    sheet_pictures,
    write_html,
    write_marked,
)
from cordpath.report.summary import counted, scale_remarks, scale_words, scales_told

SINK = (300.0, 150.0)
VOID = {"meta", "br", "img", "input", "link"}


class Reader(HTMLParser):
    """Checks that tags close in order; gathers elements, their attributes, and text outside script and style."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag, attributes):
        self.seen.append((tag, dict(attributes)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if not {"script", "style"} & set(self.open):
            self.text.append(data)


def read(path: Path) -> tuple[Reader, str]:
    reader = Reader()
    reader.feed(path.read_text(encoding="utf-8"))
    assert reader.open == []
    return reader, " ".join(" ".join(reader.text).split())


def two_sheets() -> tuple[SheetResult, ...]:
    room = build.kitchen()
    clean = build.result((build.free("E-100.1", (50.0, 50.0)),), number="E-100", page=1)
    bad = build.result(
        (build.missing("E-101.1", (60.0, 50.0), SINK, room), build.unresolved("E-101.2", (90.0, 50.0), SINK, room)),
        page=2,
        unexplained=(Unexplained("a shape drawn 2 times", ((1.0, 1.0), (2.0, 2.0))),),
    )
    return (clean, bad, build.failed(page=3))


def test_page_shows_everything_worst_sheet_first_and_loads_nothing(tmp_path: Path) -> None:
    write_html(tmp_path / "r.html", two_sheets(), build.RUN)
    reader, text = read(tmp_path / "r.html")
    for part in (
        "E-101.1", "KITCHEN 101", "210.8(A)(8)", "4.30 ft", "How far is it", "only a picture", "2023 edition",
        "city.yaml", "a shape drawn 2 times", "authority having jurisdiction", "one stroke was clipped",
    ):  # fmt: skip
        assert part in text, part
    assert text.index("p3 plans") < text.index("E-101 plans") < text.index("E-100 plans")
    outside = [
        v for _, a in reader.seen for k, v in a.items() if k in ("src", "href") and not str(v).startswith("#")
    ]
    assert outside == []
    assert "http:" not in (tmp_path / "r.html").read_text() and "https:" not in (tmp_path / "r.html").read_text()


def test_same_results_same_page(tmp_path: Path) -> None:
    for name in ("a.html", "b.html"):
        write_html(tmp_path / name, two_sheets(), build.RUN)
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()


def test_whatever_a_drawing_says_stays_text(tmp_path: Path) -> None:
    nasty = "<script>alert(1)</script><img src=x onerror=alert(2)>\"'&<!--body--><!--script-->"
    room = replace(build.kitchen(), name=nasty)
    finding = replace(build.missing(nasty, (60.0, 50.0), SINK, room), reasons=(nasty,))
    found = build.result(
        (finding,), file=nasty, number=nasty, title=nasty, unexplained=(Unexplained(nasty, ((1.0, 1.0),)),)
    )
    found = replace(found, assumptions=(nasty,))
    run = replace(build.RUN, symbols=nasty, amendments=(nasty,), version=nasty)
    write_html(tmp_path / "r.html", (found, build.failed(nasty, 2, nasty)), run, {(nasty, 1): b"\x89PNG"})
    reader, text = read(tmp_path / "r.html")
    assert sum(tag == "script" for tag, _ in reader.seen) == 1
    assert [tag for tag, a in reader.seen if tag == "img"] == ["img"]
    assert not any(key.startswith("on") for _, attributes in reader.seen for key in attributes)
    assert "<script>alert(1)</script>" in text


def test_pictures_of_marked_sheets_are_inline(tmp_path: Path) -> None:
    source = pdfs.simple_pdf(tmp_path / "plan.pdf", pages=2)
    results = tuple(replace(r, file="plan.pdf") for r in two_sheets())
    write_marked(source, tmp_path / "out.pdf", results[:2], build.RUN)
    pictures = sheet_pictures(tmp_path / "out.pdf", results)
    assert sorted(pictures) == [("plan.pdf", 1), ("plan.pdf", 2)]
    write_html(tmp_path / "r.html", results, build.RUN, pictures)
    reader, _ = read(tmp_path / "r.html")
    sources = [a["src"] for tag, a in reader.seen if tag == "img"]
    assert len(sources) == 2
    first = Image.open(io.BytesIO(base64.b64decode(sources[0].removeprefix("data:image/png;base64,"))))
    assert first.width == 2200
    red, green, blue = np.moveaxis(np.asarray(first.convert("RGB")), 2, 0)
    orange = (red > 150) & (green < 110) & (blue < 50)
    assert orange.sum() > 100  # the worst sheet comes first, with its cloud
    anchors = {a.get("id") for _, a in reader.seen}
    links = [a["href"][1:] for tag, a in reader.seen if tag == "a"]
    assert links and set(links) <= anchors


def shown(results: tuple[SheetResult, ...], width: int = 160) -> str:
    console = Console(width=width, file=io.StringIO(), record=True)
    console.print(*console_tables(results), sep="\n")
    return console.export_text()


def test_terminal_table_counts_and_reasons() -> None:
    text = shown(two_sheets())
    line = next(line for line in text.splitlines() if "E-101" in line)
    assert line.split() == ["E-101", "checked", '1/4"', "=", "1'-0\"", "2", "1", "0", "0", "1"]
    total = next(line for line in text.splitlines() if "total" in line)
    assert total.split() == ["total", "3", "1", "0", "1", "1"]
    assert "only a picture" in text and "licensed practice" in text


def test_terminal_of_80_columns_shows_every_count_and_file() -> None:
    results = tuple(replace(r, file=f"plans/{name}/set.pdf") for r, name in zip(two_sheets(), "aab", strict=True))
    text = shown(results, width=80)
    assert all(len(line) <= 80 for line in text.splitlines())
    assert "…" not in text
    ready = shown(
        tuple(replace(r, file=f"{n}.pdf") for r, n in zip(results, ("marlow-court", "b", "c"), strict=True)), 80
    )
    assert "marlow-court" in ready and '1/4" = 1\'-0"' in ready  # neither is broken in the middle
    for part in ("checked", "failed", "missing", "protected", "required", "unresolved", "outlets"):
        assert part in text


def test_terminal_never_reads_a_drawing_as_markup() -> None:
    text = shown((build.result((), number="[red]E[/red]"), build.failed("[b]x.pdf", 2, "[/b] broken")))
    assert "[red]E[/red]" in text and "[/b] broken" in text


@pytest.mark.parametrize(
    ("results", "part"),
    [
        (two_sheets(), "why sheets failed"),
        (two_sheets()[:2], "missing protection"),
        ((build.result((build.unresolved("1", (9.0, 9.0), SINK),)),), "questions"),
        ((build.result((build.free("1", (9.0, 9.0)),)),), "nothing is missing"),
        ((build.result(()),), "no outlet was found"),
        ((SheetResult("a.pdf", 1, "skipped", "no symbol on it"),), "no sheet was checked"),
    ],
)
def test_next_step_fits_what_was_found(results: tuple[SheetResult, ...], part: str) -> None:
    assert part in " ".join(shown(results).split())


def test_renderables_come_one_by_one_too() -> None:
    assert len(console_tables(two_sheets())) == 5


def test_what_hangs_on_no_outlet_is_said_on_the_terminal() -> None:
    """Verdicts alone are no sign that the mapping file lacks outlets."""
    remark = Conflict("panel A lists loads that no outlet of the sheets read carries: 6/8 DRYER", ())
    clean, bad, failed = two_sheets()
    said = " ".join(shown((clean, replace(bad, conflicts=(remark,)), failed)).split())
    assert "Also: 2 places that nothing accounts for and 1 contradiction about circuits; see report.html." in said
    assert "Also:" not in shown((clean,))


def test_an_outlet_that_only_the_legend_names_is_no_pass_for_programs() -> None:
    """A legend row was misspelt in the mapping file: 28 outlets were unexplained, and the exit status was 0."""
    clear, odd = (build.free("E1.1", (9.0, 9.0)),), Unexplained("a shape drawn 28 times", ((1.0, 1.0),))
    for left, status in (((), 0), ((odd,), 0), ((replace(odd, is_outlet=True),), 1)):
        assert Outcome((build.result(clear, unexplained=left),), (), (), {}).status == status


def test_the_text_that_no_legend_shows_is_told_with_its_entry() -> None:
    entries = [SimpleNamespace(name=name, legend=text) for name, text in
               (("duplex receptacle", "DUPLEX OUTLET"), ("Clock", "CLOCK"), ("switch", None))]  # fmt: skip
    batch = SimpleNamespace(
        examples=SimpleNamespace(legends=()), order=SimpleNamespace(mapping=SimpleNamespace(symbols=entries))
    )
    (told,) = Work.lost_symbols.fget(batch)
    assert told.startswith("no legend of these sheets shows: duplex receptacle (DUPLEX OUTLET), Clock;")


def test_hundreds_of_skipped_pages_are_one_row_and_one_reason() -> None:
    why = "no symbol of the mapping file is drawn on it"
    book = [SheetResult("book.pdf", page, "skipped", why) for page in range(1, 501) if page not in (250, 300)]
    failed = [SheetResult("book.pdf", 300, "failed", "the page is damaged")]
    plan = build.result([build.missing("E-101.1", (1.0, 1.0), (9.0, 9.0))], file="book.pdf", page=250)
    results = (*book, *failed, plan)
    console = Console(width=120, record=True, file=io.StringIO())
    for part in console_tables(results):
        console.print(part)
    lines = console.export_text().splitlines()
    assert len(lines) < 20
    assert f"book.pdf pages 1-249, 251-299, 301-500: skipped: {why}" in lines
    assert "book.pdf page 300: failed: the page is damaged" in lines
    assert any("498 pages" in line and "skipped" in line for line in lines)


def test_proposals_for_files_of_one_name_say_whose_they_are_and_none_is_left_out() -> None:
    step = Step("device", "E-101.1", ("E-101.1",), "it stands first on its circuit")
    proposals = tuple(Proposal((f"{house}/E-101.pdf",), (step,)) for house in "abcdefg")
    text = "\n".join(str(each) for each in console_tables(two_sheets(), proposals))
    assert "(a/E-101.pdf)" in text and "(d/E-101.pdf)" in text
    assert "Proposals for 3 more submittals" in text and "(e/E-101.pdf)" not in text


def test_a_proposal_says_of_how_many_outlets_it_protects_some() -> None:
    """Where nothing can be proposed for others, ``6 outlets`` beside 9 that are missing read as a mistake."""
    step = Step("device", "E-101.1", ("E-101.1", "E-101.2"), "it stands first on its circuit")
    left = (("E-101.3", "its circuit is not shown"),)
    text = " ".join(map(str, console_tables(two_sheets(), (Proposal(("E-101.pdf",), (step,), left),))))
    assert "1 GFCI device would protect 2 of 3 outlets" in text
    text = " ".join(map(str, console_tables(two_sheets(), (Proposal(("E-101.pdf",), (), left),))))
    assert (
        "Proposal: nothing can be proposed for 1 outlet (E-101.pdf)" in text
    )  # "no device would protect no outlet"


def test_one_sheet_is_no_sheets(tmp_path: Path) -> None:
    assert [counted("sheets", 1), counted("sheets", 2), counted("missing", 1)] == ["sheet", "sheets", "missing"]
    write_html(tmp_path / "r.html", (build.result((build.free("1", (9.0, 9.0)),)),), build.RUN)
    _, text = read(tmp_path / "r.html")
    assert "1 sheet " in text and "1 outlet " in text


def test_the_text_of_a_dimension_is_no_scale() -> None:
    measured = Scale("v1", 23.998, "dimension", "66'-0\"", "single")
    assert scale_words(measured) == "1:24, by dimensions (one kind of witness)"
    assert scale_words(Scale("v1", 48.0, "note", 'SCALE: 1/4" = 1\'-0"', "proved"), brief=True) == '1/4" = 1\'-0"'


def test_a_scale_that_is_not_there_is_told_in_one_word() -> None:
    assert scale_words(Scale("v1", None, "none", "", "unknown")) == "unknown"
    assert scale_words(Scale("v1", None, "note", "NOT TO SCALE", "not to scale"), brief=True) == "not to scale"
    assert scale_words(Scale("v1", None, "note", "N.T.S.", "not to scale")) == "N.T.S. (not to scale)"


def test_sheets_of_one_number_are_told_apart_by_their_files(tmp_path: Path) -> None:
    """Thirty submittals have thirty sheets E-101: a reviewer filters for one of them and reads its remarks."""
    odd = (Unexplained("a shape drawn 2 times", ((1.0, 1.0), (2.0, 2.0))),)
    one, two = (
        build.result((build.free(f"E-101.{k}", (9.0, 9.0)),), file=f"{house}/E-101.pdf", unexplained=odd)
        for k, house in ((1, "ash"), (2, "birch"))
    )
    other = build.result((build.free("E-102.1", (9.0, 9.0)),), file="ash/E-102.pdf", number="E-102")
    write_html(tmp_path / "r.html", (one, two, other), build.RUN)
    reader, text = read(tmp_path / "r.html")
    shown = [a["data-sheet"] for tag, a in reader.seen if tag == "tr" and a.get("data-sheet")]
    assert shown == ["E-101 (ash/E-101.pdf)", "E-101 (birch/E-101.pdf)", "E-102"]
    for house in ("ash", "birch"):
        assert f"E-101 ({house}/E-101.pdf): a shape drawn 2 times (2)" in text
        assert "<option>E-101 (" + house in (tmp_path / "r.html").read_text("utf-8")


def test_what_is_next_after_a_batch_was_stopped_is_the_rest_of_it() -> None:
    told = " ".join(str(part) for part in console_tables(two_sheets(), stopped=True))
    assert "Next: run the same command with --resume" in told and "why sheets failed" not in told


def test_every_scale_that_outlets_are_measured_in_is_told(tmp_path: Path) -> None:
    """A kitchen drawn larger on a sheet of a floor: its outlets are measured in its own scale."""
    whole = build.result((build.free("1", (9.0, 9.0)), build.free("2", (9.0, 40.0))))
    assert whole.reading is not None
    enlarged = replace(whole.reading.outlets[1], symbol=replace(whole.reading.outlets[1].symbol, view="v2"))
    larger = Scale("v2", 24.0, "note", '1/2" = 1\'-0"', "conflict", why="its dimensions say 1:48")
    unused = Scale("v3", 12.0, "note", '1" = 1\'-0"', "proved")
    scales = (*whole.reading.scales, larger, unused)
    both = replace(
        whole, reading=replace(whole.reading, outlets=(whole.reading.outlets[0], enlarged), scales=scales)
    )
    assert scales_told(both.reading, brief=True) == '1/4" = 1\'-0", 1/2" = 1\'-0" (conflict)'
    assert scale_remarks(both) == "its dimensions say 1:48"
    assert '1/2" = 1\'-0"' in shown((both,), 200)
    write_html(tmp_path / "r.html", (both,), build.RUN)
    _, text = read(tmp_path / "r.html")
    assert '1/2" = 1\'-0" (conflict)' in text and "its dimensions say 1:48" in text and '1" = 1' not in text


def test_a_figure_of_none_is_no_alarm(tmp_path: Path) -> None:
    write_html(tmp_path / "r.html", (build.result((build.free("1", (9.0, 9.0)),)),), build.RUN)
    page = (tmp_path / "r.html").read_text("utf-8")
    assert '<li class="none"><b>0</b>failed</li>' in page and '<li class="v-failed"><b>' not in page


def test_one_outlet_changes_and_several_change() -> None:
    free, asked = (build.result((make("1", (9.0, 9.0)),)) for make in (build.free, build.protected))
    told = " ".join(str(part) for part in comparison_tables({"2017": (free,), "2023": (asked,)}))
    assert "1 of 1 outlets changes its verdict between 2017 and 2023; 0 keep it" in told


def test_sections_stay_whole_beside_four_editions_on_80_columns() -> None:
    made = build.missing("E-101.33", (9.0, 9.0), SINK, replace(build.kitchen(), name="LAUNDRY / MUD ROOM"))
    cites = ("210.8(A)(8)", "210.8(A)(10)", "210.8(A)(11)")
    asked = replace(made, requirements=tuple(replace(made.requirements[0], cite=cite) for cite in cites))
    found = {year: (build.result((asked if year > "2014" else build.free("E-101.33", (9.0, 9.0)),)),)
             for year in ("2014", "2017", "2020", "2023")}  # fmt: skip
    console = Console(width=80, file=io.StringIO())
    for part in comparison_tables(found):
        console.print(part)
    lines = console.file.getvalue().splitlines()  # type: ignore[attr-defined]
    assert max(map(len, lines)) <= 80
    for cite in cites:
        assert sum(line.split().count(cite) for line in lines) == 3, cite
