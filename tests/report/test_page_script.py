"""The report page's filter is run by a JavaScript engine over the page as it was written, clicked and typed at.

The whole page is tried in a browser by ``test_page_in_chromium.py``.  A browser cannot be taken for granted where
tests run, so here the page's own script runs in V8 (mini-racer) against a small stand-in for the document, filled
from the page by lxml.  Structure and accessibility are checked by lxml.
"""

from __future__ import annotations

import io
import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import report_builder as build
from lxml import html
from PIL import Image
from py_mini_racer import MiniRacer
from report_pdfs import simple_pdf

from cordpath.model import SheetResult
from cordpath.report import finding_pictures, write_html, write_marked

SINK = (300.0, 150.0)
NAMED = ("find", "sheet", "room", "rule", "fold", "unfold", "shown")
STAND_IN = """
var fired = {};
function Thing(data) {
  for (var key in data) { this[key] = data[key]; }
  this.heard = {};
  this.classes = {};
  var classes = this.classes;
  this.classList = { toggle: function (name, on) { classes[name] = on; } };
}
Thing.prototype.setAttribute = function (name, value) { this[name] = value; };
Thing.prototype.querySelector = function (s) { return this.parts[s]; };
Thing.prototype.addEventListener = function (name, f) { (this.heard[name] = this.heard[name] || []).push(f); };
Thing.prototype.fire = function (name) {
  var stopped = false;
  (this.heard[name] || []).forEach(function (f) { f({ preventDefault: function () { stopped = true; } }); });
  return stopped;
};
var things = {}, lists = {};
Object.keys(PAGE.named).forEach(function (id) { things[id] = new Thing(PAGE.named[id]); });
Object.keys(PAGE.lists).forEach(function (s) {
  lists[s] = PAGE.lists[s].map(function (d) { return new Thing(d); });
});
lists["#outlets tbody"].forEach(function (body) {
  body.parts = { button: new Thing({}), ".fits": new Thing({ textContent: "" }) };
});
lists["#outlets tbody tr[id]"].forEach(function (row) { row.parentNode = lists["#outlets tbody"][row.body]; });
var form = new Thing({ offsetHeight: 50 }), window = new Thing({
  location: { hash: "" }, setTimeout: function (f) { f(); },
  getComputedStyle: function () { return { position: "sticky" }; }
});
var document = {
  documentElement: { style: { setProperty: function () {} } },
  getElementById: function (id) { return things[id]; },
  querySelectorAll: function (s) { if (!(s in lists)) { throw "unknown selector " + s; } return lists[s]; },
  querySelector: function (s) { if (s !== "form.filters") { throw "unknown selector " + s; } return form; }
};
function visible() {
  var rows = lists["#outlets tbody tr[id]"];
  return rows.filter(function (r) { return !r.hidden; }).map(function (r) { return r.number; });
}
"""


class Page:
    """The page with its script running."""

    def __init__(self, path: Path) -> None:
        self.root = html.fromstring(path.read_text("utf-8"))
        rows = [
            {
                "number": row.findtext("th"),
                "hidden": False,
                "textContent": row.text_content(),
                "dataset": data_of(row),
                "body": k,
            }
            for k, body in enumerate(self.root.xpath("//table[@id='outlets']/tbody"))
            for row in body.xpath("./tr[@id]")
        ]
        boxes = [{"checked": True, "dataset": data_of(box)} for box in self.root.xpath("//input[@data-verdict]")]
        details = [{"open": False} for _ in self.root.xpath("//table[@id='outlets']//details")]
        named = {name: {"value": "", "textContent": ""} for name in NAMED}
        assert all(self.root.xpath(f"//*[@id='{name}']") for name in named)
        bodies: list[dict[str, str]] = [{} for _ in self.root.xpath("//table[@id='outlets']/tbody")]
        lists = {
            "#outlets tbody tr[id]": rows, "input[data-verdict]": boxes, "#outlets details": details,
            "#outlets tbody": bodies, "section.sheet details": [],
        }  # fmt: skip
        self.engine = MiniRacer()
        self.engine.eval(f"var PAGE = {json.dumps({'named': named, 'lists': lists})};{STAND_IN}")
        (script,) = self.root.xpath("//script/text()")
        self.engine.eval(script)

    def choose(self, name: str, value: str, event: str = "change") -> list[str]:
        self.engine.eval(f"things[{json.dumps(name)}].value = {json.dumps(value)}")
        self.engine.eval(f"things[{json.dumps(name)}].fire({json.dumps(event)})")
        return self.visible

    def click(self, verdict: str) -> list[str]:
        self.engine.eval(
            f"lists['input[data-verdict]'].filter(b => b.dataset.verdict === {json.dumps(verdict)})"
            ".forEach(b => { b.checked = !b.checked; b.fire('change'); })"
        )
        return self.visible

    @property
    def visible(self) -> list[str]:
        return json.loads(str(self.engine.eval("JSON.stringify(visible())")))

    @property
    def said(self) -> str:
        return str(self.engine.eval("things.shown.textContent"))


def data_of(element: Any) -> dict[str, str]:
    return {key[5:]: value for key, value in element.attrib.items() if key.startswith("data-")}


def sheet() -> SheetResult:
    room = build.kitchen()
    return build.result([
        build.missing("E-101.1", (100.0, 100.0), SINK, room),
        build.unresolved("E-101.2", (300.0, 200.0), SINK, None),
        build.protected("E-101.3", (200.0, 300.0), room), build.free("E-101.4", (220.0, 300.0), None),
    ], file="set.pdf")  # fmt: skip


def shows_its_mark(picture: bytes) -> bool:
    """The green square of the plan and the colour of a mark are in it, and there is white around them."""
    image = Image.open(io.BytesIO(picture)).convert("RGB")
    near = [(r, g, b) for _, (r, g, b) in image.getcolors(1_000_000) or []]
    green = any(r < 60 and g > 180 and b < 60 for r, g, b in near)
    mark = any(r - b > 120 and g < 110 for r, g, b in near) or any(b - r > 120 and g < 130 for r, g, b in near)
    return green and mark and (255, 255, 255) in near and max(image.size) > 150


@pytest.fixture
def written(tmp_path: Path) -> Path:
    found = (sheet(),)
    marked = tmp_path / "m.pdf"
    write_marked(simple_pdf(tmp_path / "set.pdf"), marked, found, build.RUN)
    crops = finding_pictures(marked, found)
    assert set(crops) == {("set.pdf", 1, "E-101.1"), ("set.pdf", 1, "E-101.2")}
    assert all(shows_its_mark(picture) for picture in crops.values())
    write_html(tmp_path / "r.html", found, build.RUN, crops=crops)
    return tmp_path / "r.html"


def test_clicks_and_typing_filter_the_outlets(written: Path) -> None:
    page = Page(written)
    assert page.visible == ["E-101.1", "E-101.2", "E-101.3", "E-101.4"] and page.said == "4 of 4 shown"
    assert page.click("missing") == ["E-101.2", "E-101.3", "E-101.4"] and page.said == "3 of 4 shown"
    assert page.choose("room", "KITCHEN 101") == ["E-101.3"]
    assert page.click("missing") == ["E-101.1", "E-101.3"]
    assert page.choose("rule", "210.8(A)(1)") == ["E-101.3"], "210.8(A)(1) and not 210.8(A)(10)"
    assert page.choose("rule", "210.8(A)(8)") == ["E-101.1"]
    assert page.choose("room", "") == ["E-101.1", "E-101.2"]
    assert page.choose("find", "HOW FAR", "input") == ["E-101.2"]
    assert page.choose("find", "nothing of the kind", "input") == [] and page.said == "0 of 4 shown"


def test_enter_in_a_field_does_not_reload_and_printing_opens_the_pictures(written: Path) -> None:
    page = Page(written)
    assert page.engine.eval("form.fire('submit')") is True
    page.engine.eval("window.fire('beforeprint')")
    assert page.engine.eval("lists['#outlets details'].every(d => d.open)") is True
    page.engine.eval("window.fire('afterprint')")
    assert page.engine.eval("lists['#outlets details'].some(d => d.open)") is False


def test_everything_can_be_reached_and_is_named(written: Path) -> None:
    root = html.fromstring(written.read_text("utf-8"))
    assert root.get("lang") == "en" and root.xpath("string(//title)")
    ids = root.xpath("//@id")
    assert len(ids) == len(set(ids))
    assert all(link[1:] in ids for link in root.xpath("//a/@href"))
    for control in root.xpath("//input | //select"):
        assert control.xpath("ancestor::label") and control.xpath("string(ancestor::label)").strip()
    assert all(image.get("alt") for image in root.xpath("//img"))
    assert root.xpath("//table[@id='outlets']/caption") and root.xpath("//fieldset/legend")
    assert root.xpath("//*[@id='shown'][@aria-live='polite']")
    for table in root.xpath("//table"):
        assert table.xpath("./thead/tr/th[@scope='col']")
        assert all(row.xpath("./th[@scope='row']") for row in table.xpath("./tbody/tr[not(@class='group')]"))
        assert all(row.xpath("./th[@scope='rowgroup']") for row in table.xpath("./tbody/tr[@class='group']"))
    scrolled = root.xpath("//div[@tabindex='0'][@role='region'][@aria-label]//table[@id='outlets']")
    assert scrolled, "what scrolls sideways can be scrolled by keyboard"
    assert not root.xpath("//*[@onclick or @onchange]") and not root.xpath("//*[@tabindex > 0]")
    levels = [int(h.tag[1]) for h in root.xpath("//h1 | //h2 | //h3")]
    assert levels[0] == 1 and levels.count(1) == 1 and all(b - a <= 1 for a, b in pairwise(levels))
    assert "@media print" in root.xpath("string(//style)")


def test_a_room_name_is_no_markup(tmp_path: Path) -> None:
    from dataclasses import replace

    odd = replace(build.kitchen(), name='"><script>x</script>|', number=None)
    write_html(
        tmp_path / "r.html", (build.result([build.missing("E-101.1", (100.0, 100.0), SINK, odd)]),), build.RUN
    )
    page = Page(tmp_path / "r.html")
    assert page.choose("room", '"><script>x</script>|') == ["E-101.1"]
    assert page.choose("room", "other") == []
