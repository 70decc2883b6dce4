"""The report page of a batch in headless Chromium: sheets that close and open, filters that stay in view."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
import report_builder as build
from chromium import Chromium, find_chromium

from cordpath.report import write_html

SINK = (300.0, 150.0)
SHEETS, EACH = 20, 8
PROGRAM = find_chromium()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine (chromium or google-chrome)")
ROWS = "[...document.querySelectorAll('#outlets tbody tr[id]')].filter(r => r.getBoundingClientRect().height > 0)"
OPEN = (
    "[...document.querySelectorAll('#outlets .group button')].filter(b => b.getBoundingClientRect().height > 0)"
    ".map(b => b.getAttribute('aria-expanded') === 'true')"
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    with Chromium(str(PROGRAM), tmp_path_factory.mktemp("profile")) as program:
        yield program


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Twenty sheets; the last has the most that is missing and comes first."""
    room = build.kitchen()
    results = []
    for k in range(SHEETS):
        number = f"E-{101 + k}"
        findings = [
            build.missing(f"{number}.{j}", (100.0, 100.0), SINK, room) if j <= k % 3 or k == SHEETS - 1
            else build.free(f"{number}.{j}", (220.0, 300.0), room)
            for j in range(1, EACH + 1)
        ]  # fmt: skip
        results.append(build.result(findings, file=f"house-{k}.pdf", number=number))
    target = tmp_path_factory.mktemp("page") / "r.html"
    write_html(target, tuple(results), build.RUN)
    return target


@pytest.fixture
def page(browser: Chromium, written: Path) -> Chromium:
    browser.screen(1300, 900)
    browser.media()
    browser.open(written)
    return browser


def test_of_many_sheets_the_worst_alone_is_open(page: Chromium) -> None:
    assert page.run(OPEN) == [True] + [False] * (SHEETS - 1)
    assert page.run(f"{ROWS}.map(r => r.cells[0].textContent)") == [f"E-120.{j}" for j in range(1, EACH + 1)]
    heads = page.run("[...document.querySelectorAll('#outlets .group')].map(r => r.textContent)")
    assert "E-120" in heads[0] and "8 missing" in heads[0] and "house-19.pdf" in heads[0]
    assert "2 missing, 6 not required" in heads[1]


def test_a_sheet_opens_and_closes_by_keyboard(page: Chromium) -> None:
    page.run("document.querySelectorAll('#outlets .group button')[1].focus()")
    page.press("Enter")
    assert page.run(OPEN)[:3] == [True, True, False] and page.run(f"{ROWS}.length") == 2 * EACH
    page.press("Enter")
    assert page.run(OPEN)[:3] == [True, False, False] and page.run(f"{ROWS}.length") == EACH
    page.click("#fold")
    assert page.run(OPEN) == [False] * SHEETS
    page.click("#fold")
    assert page.run(OPEN) == [True] * SHEETS and page.run(f"{ROWS}.length") == SHEETS * EACH


def test_a_filter_opens_what_fits_and_hides_sheets_where_nothing_does(page: Chromium) -> None:
    page.click("input[data-verdict='not required']")
    shown = page.run(OPEN)
    assert all(shown) and len(shown) < SHEETS, "sheets without a missing outlet are gone"
    assert page.run("[...document.querySelectorAll('#outlets .fits')].map(e => e.textContent)")[1] == "2 shown"
    page.click("button[type=reset]")
    assert page.run(OPEN) == [True] + [False] * (SHEETS - 1), "as it was before"


def test_the_filters_and_the_head_of_the_table_stay_in_view(page: Chromium) -> None:
    page.click("#fold")
    page.click("#fold")
    page.run("window.scrollTo(0, document.body.scrollHeight / 2)")
    page.settle()
    form, head = (
        page.run(f"(b => [b.top, b.bottom])(document.querySelector({what!r}).getBoundingClientRect())")
        for what in ("form.filters", "#outlets thead th")
    )
    assert form[0] == pytest.approx(0, abs=1) and head[0] == pytest.approx(form[1], abs=2)
    # A row that has the focus by a link is not under them.
    page.run("document.querySelectorAll('#outlets .group button')[3].scrollIntoView()")
    page.settle()
    top = page.run("document.querySelectorAll('#outlets .group button')[3].getBoundingClientRect().top")
    assert top >= head[1] - 1


def test_a_link_into_a_closed_sheet_opens_it(page: Chromium) -> None:
    page.run("window.location.hash = '#o100'")
    page.settle()
    row = page.run("(r => [r.id, r.getBoundingClientRect().height > 0])(document.querySelector('tr:target'))")
    assert row == ["o100", True]


def test_closed_sheets_are_printed_all_the_same(page: Chromium) -> None:
    page.media(kind="")
    printed = pymupdf.open(stream=io.BytesIO(page.printed()), filetype="pdf")
    text = " ".join(leaf.get_text() for leaf in printed)
    assert all(f"E-{101 + k}.{EACH}" in text for k in range(SHEETS))


@pytest.mark.parametrize("width", [360, 800])
def test_a_narrow_window_keeps_its_room_for_the_outlets(page: Chromium, width: int) -> None:
    """There the filters are as high as half the window: they do not stay."""
    page.screen(width, 800)
    page.settle()
    assert page.run("document.documentElement.scrollWidth") <= width
    assert page.run("getComputedStyle(document.querySelector('form.filters')).position") == "static"
