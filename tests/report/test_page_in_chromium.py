"""The report page in headless Chromium: clicked, typed at, used by keyboard alone, read aloud, and printed.

Contrast: WCAG 2.2, 1.4.3 (4.5 to 1 for text) and its definition of relative luminance.  Skipped where there is no
Chromium; ``.ci/run`` installs one.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pymupdf
import pytest
import report_builder as build
from chromium import Chromium, find_chromium
from report_pdfs import simple_pdf

from cordpath.report import finding_pictures, sheet_pictures, write_html, write_marked

SINK = (300.0, 150.0)
NASTY = '"><script>window.hurt=1</script><img src=x onerror="window.hurt=1">'
VISIBLE = (
    "[...document.querySelectorAll('#outlets tbody tr[id]')].filter(r => r.getBoundingClientRect().height > 0)"
    ".map(r => r.cells[0].textContent)"
)
SAID = "document.getElementById('shown').textContent"
RING = """(s => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2)(
  getComputedStyle(document.activeElement))"""
CONTRASTS = """(() => {
  const part = v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
  const light = c => 0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2]);
  const rgb = text => text.match(/[\\d.]+/g).map(Number);
  const found = [];
  for (const e of document.querySelectorAll('body *')) {
    const text = [...e.childNodes].filter(n => n.nodeType === 3).map(n => n.textContent.trim()).join('');
    if (!text || ['SCRIPT', 'STYLE', 'OPTION'].includes(e.tagName) || !e.checkVisibility()) { continue; }
    let behind = e, paper = [0, 0, 0, 0];
    while (behind && (paper.length === 4 && paper[3] === 0)) {
      paper = rgb(getComputedStyle(behind).backgroundColor); behind = behind.parentElement;
    }
    const a = light(rgb(getComputedStyle(e).color)), b = light(paper);
    found.push([(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), text.slice(0, 40)]);
  }
  return found;
})()"""

PROGRAM = find_chromium()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine (chromium or google-chrome)")


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    with Chromium(str(PROGRAM), tmp_path_factory.mktemp("profile")) as program:
        yield program


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("page")
    kitchen = build.kitchen()
    findings = [
        build.missing("E-101.1", (100.0, 100.0), SINK, kitchen),
        build.unresolved("E-101.2", (300.0, 200.0), SINK, None),
        build.protected("E-101.3", (200.0, 300.0), kitchen),
        build.free("E-101.4", (220.0, 300.0), replace(kitchen, name=NASTY)),
    ]
    source = simple_pdf(folder / "set.pdf", pages=2)
    results = (
        build.result([build.free("E-100.1", (100.0, 100.0))], file="set.pdf", page=1, number="E-100"),
        build.result(findings, file="set.pdf", page=2),
        build.failed("other.pdf"),
    )
    write_marked(source, folder / "m.pdf", results[:2], build.RUN)
    pictures = sheet_pictures(folder / "m.pdf", results[:2])
    write_html(
        folder / "r.html", results, build.RUN, pictures, crops=finding_pictures(folder / "m.pdf", results[:2])
    )
    return folder / "r.html"


@pytest.fixture
def page(browser: Chromium, written: Path) -> Chromium:
    browser.requests.clear()
    browser.complaints.clear()
    browser.screen(1300, 1000)
    browser.media()
    browser.open(written)
    return browser


def test_it_loads_by_itself_and_complains_of_nothing(page: Chromium, written: Path) -> None:
    outside = [
        url for url in page.requests if not url.startswith(("data:image/png", "about:blank", written.as_uri()))
    ]
    assert outside == [] and page.complaints == []
    assert page.run(SAID) == "5 of 5 shown"
    drawn = page.run(  # on a machine at work pictures may come after the page itself
        "Promise.all([...document.querySelectorAll('.plan img')].map(async i => {"
        " i.loading = 'eager'; await i.decode(); return [i.complete, i.naturalWidth > 100]; }))"
    )
    assert len(drawn) == 2 and all(map(all, drawn)), "both sheets have their picture"


def test_no_section_is_broken_at_the_end_of_a_line(page: Chromium) -> None:
    """210.8(A)(10) was 210.8(A) and, on the next line, (10); on a narrow page a line began with its comma."""
    page.run("document.querySelector('#outlets').style.fontSize = '3rem'")  # no column is wide enough
    rows = page.run(
        "[...document.querySelectorAll('#outlets tbody')].flatMap(body => {"
        " const found = [], walk = document.createTreeWalker(body, NodeFilter.SHOW_TEXT);"
        " for (let n; (n = walk.nextNode());) for (const m of n.data.matchAll(/\\d{3}\\.\\d+(\\(\\w+\\))+/g)) {"
        "  const r = document.createRange(); r.setStart(n, m.index); r.setEnd(n, m.index + m[0].length);"
        "  found.push([m[0], new Set([...r.getClientRects()].map(b => Math.round(b.top))).size]); }"
        " return found; })"
    )
    assert rows and all(lines == 1 for _, lines in rows)
    after = page.run("[...document.querySelectorAll('.section')].map(s => s.nextSibling?.data ?? '')")
    assert not any(text.startswith((",", ";", "]")) for text in after), "these stay on the line of their section"


def test_clicks_and_typing_show_and_hide_outlets(page: Chromium) -> None:
    everything = ["E-101.1", "E-101.2", "E-101.3", "E-101.4", "E-100.1"]
    assert page.run(VISIBLE) == everything
    page.click("input[data-verdict=missing]")
    assert page.run(VISIBLE) == everything[1:] and page.run(SAID) == "4 of 5 shown"
    page.click("input[data-verdict='not required']")
    assert page.run(VISIBLE) == ["E-101.2", "E-101.3"]
    page.click("#find")
    page.type("HOW far")
    assert page.run(VISIBLE) == ["E-101.2"]
    page.type(" nowhere")
    assert page.run(VISIBLE) == [] and page.run(SAID) == "0 of 5 shown"
    page.press("Enter")
    assert page.run(SAID) == "0 of 5 shown", "Enter does not send the form away"
    page.click("button[type=reset]")
    assert page.run(VISIBLE) == everything and page.run("document.getElementById('find').value") == ""


def test_the_keyboard_alone_reaches_and_works_everything(page: Chromium) -> None:
    reached: list[str] = []

    def go_to(wanted: str) -> None:
        for _ in range(60):
            page.press("Tab")
            reached.append(
                page.run("(e => e.id || e.dataset.verdict || e.className || e.tagName)(document.activeElement)")
            )
            assert page.run(RING), f"the focus on {reached[-1]} can be seen"
            if page.run(f"document.activeElement.matches({wanted!r})"):
                return
        raise AssertionError((wanted, reached))

    go_to(".skip")
    assert reached == ["skip"], "the first stop skips to the outlets"
    go_to("#room")
    page.press("ArrowDown")
    assert page.run("document.getElementById('room').selectedIndex") == 1
    room = page.run("document.getElementById('room').value")
    assert room and page.run(VISIBLE) and page.run(SAID) != "5 of 5 shown"
    go_to("button[type=reset]")
    page.press("Enter")
    assert page.run(SAID) == "5 of 5 shown"
    go_to("summary")
    page.press("Enter")
    assert page.run("document.activeElement.parentElement.open && document.querySelector('.crop').complete")
    go_to(".found a")
    page.press("Enter")
    assert page.run("document.querySelector('tr:target').cells[0].textContent") == "E-101.1"
    assert {"find", "sheet", "room", "rule", "missing", "unresolved", "protected", "not required"} <= set(reached)
    assert "spot" not in reached, "spots are for the mouse; the list says the same"


def test_a_place_of_the_picture_leads_to_its_outlet_even_if_it_is_filtered_out(page: Chromium) -> None:
    page.click("input[data-verdict=missing]")
    assert "E-101.1" not in page.run(VISIBLE)
    page.click("section.sheet .spot[title^='E-101.1 ']")
    row = "document.querySelector('tr:target')"
    assert page.run(f"{row}.cells[0].textContent") == "E-101.1" and "E-101.1" in page.run(VISIBLE)
    box = page.run(f"(b => [b.top, b.bottom])({row}.getBoundingClientRect())")
    assert 0 <= box[0] < box[1] <= 1000, "the row is on the screen"
    assert page.run(f"{row}.querySelector('details').open && {row}.querySelector('img').naturalWidth > 100")
    # The spot lies where the symbol is drawn: its share of the picture is that of the page (612 x 396 pt).
    share = page.run(
        "(() => { const s = document.querySelector('.spot'), p = s.parentElement.querySelector('img'),"
        "b = s.getBoundingClientRect(), q = p.getBoundingClientRect();"
        "return [(b.x + b.width / 2 - q.x) / q.width, (b.y + b.height / 2 - q.y) / q.height]; })()"
    )
    assert share == pytest.approx([100 / 612, 100 / 396], abs=0.004)


def test_all_pictures_open_and_close(page: Chromium) -> None:
    count = "[...document.querySelectorAll('#outlets details')].map(d => d.open)"
    page.click("#unfold")
    assert page.run(count) == [True, True]
    page.click("#unfold")
    assert page.run(count) == [False, False]


def test_a_screen_reader_finds_names_for_everything(page: Chromium) -> None:
    page.click("#unfold")
    heard = page.read_aloud()
    names: dict[str, list[str]] = {}
    for role, name in heard:
        names.setdefault(role, []).append(name)
    for role in ("link", "button", "checkbox", "combobox", "searchbox", "image", "heading", "region"):
        assert names[role] and all(names[role]), (role, names[role])
    assert {"missing", "unresolved", "protected", "not required"} <= set(names["checkbox"])
    assert {"Sheet", "Room", "Rule"} == set(names["combobox"]) and names["searchbox"] == ["Find"]
    assert {"Every outlet by sheet, worst first", "Every sheet, worst first"} <= set(names["table"])
    assert "E-101.1" in names["rowheader"] and "Verdict" in names["columnheader"]
    assert names["main"] and names["search"] == ["Filter the outlets"] and names["status"]
    assert any("E-101.1 in KITCHEN 101, missing" in name for name in names["image"])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_stands_out_from_its_paper(page: Chromium, scheme: str) -> None:
    page.media(scheme)
    page.settle()
    paper = page.run("getComputedStyle(document.body).backgroundColor")
    assert (paper == "rgb(255, 255, 255)") is (scheme == "light")
    found = page.run(CONTRASTS)
    assert len(found) > 60
    assert [pair for pair in found if pair[0] < 4.5] == []


@pytest.mark.parametrize("width", [360, 800])
def test_a_narrow_window_scrolls_its_tables_and_not_the_page(page: Chromium, width: int) -> None:
    page.screen(width, 800)
    page.settle()
    assert page.run("document.documentElement.scrollWidth") <= width
    assert page.run("(w => w.scrollWidth > w.clientWidth)(document.querySelector('.wide'))") or width > 360
    page.click("input[data-verdict=missing]")
    assert page.run(SAID) == "4 of 5 shown"


@pytest.mark.parametrize("width", [360, 400, 700, 800, 1120, 1200, 1600])
def test_the_reasons_are_read_without_scrolling_sideways(page: Chromium, width: int) -> None:
    """On a half screen they stood out of sight, right of all other columns: there they go under these."""
    page.screen(width, 800)
    page.settle()
    boxes = ("html", "#outlets", ".outlets .wide", *((".wide", "#sheets") if width > 1000 else ()))
    for box in boxes:
        assert page.run(f"(w => w.scrollWidth - w.clientWidth)(document.querySelector('{box}'))") == 0, box
    right = page.run("document.querySelector('#outlets .c-reason').getBoundingClientRect().right")
    assert right <= width
    shown = page.run("getComputedStyle(document.querySelector('#outlets .c-on')).display")
    assert (shown == "none") is (width < 1500), "the sheet has a column where there is room for it"
    assert page.run("document.querySelector('#outlets .group small a').textContent") == "set.pdf, page 2"


def test_it_prints_every_outlet_with_its_picture_on_paper(page: Chromium) -> None:
    page.media("dark", "")  # ink on white paper whatever the screen likes
    page.click("input[data-verdict=protected]")
    printed = pymupdf.open(stream=io.BytesIO(page.printed()), filetype="pdf")
    text = " ".join(" ".join(leaf.get_text() for leaf in printed).split())
    for part in ("GFCI review of 3 sheets", "E-101.1", "E-101.2", "authority having jurisdiction", "KITCHEN 101"):
        assert part in text, part
    assert "E-101.3 " not in text, "what is filtered out is not printed"
    assert "Show all" not in text and "Picture of" not in text
    assert sum(len(leaf.get_images()) for leaf in printed) >= 4, "two sheets, two findings"
    assert all(leaf.rect.width > leaf.rect.height for leaf in printed)
    corner = printed[0].get_pixmap().pixel(3, 3)
    assert corner == (255, 255, 255)
    assert page.run("[...document.querySelectorAll('#outlets details')].map(d => d.open)") == [False, False]


def test_what_a_drawing_says_runs_nothing(page: Chromium) -> None:
    assert NASTY in page.run("document.querySelector('#outlets').textContent")
    assert page.run("typeof window.hurt") == "undefined"
    # Even a script that got into the page would not be run: the policy names the one that belongs there.
    page.run(
        "(s => { s.textContent = 'window.hurt = 2'; document.body.append(s); })(document.createElement('script'))"
    )
    assert page.run("typeof window.hurt") == "undefined"
    assert any("Content Security Policy" in told for told in page.complaints)
