"""A resubmittal as it comes: the house revised by its author, drawn anew on another sheet, turned and shifted.

The first review's marked copy comes back with a state and a reply, as a PDF viewer writes them (ISO 32000-2:2020,
12.5.6.3: a text annotation with StateModel and State that answers the mark).
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pikepdf
import pymupdf
import pytest
from click.testing import CliRunner

import draw
from cordpath.cli import main
from drawing.house import Device
from houses import HOUSES

sys.path.insert(0, str(Path(__file__).parent / "report"))
from cordpath.report.pdf.cloud import cloud_curves

SYMBOLS = Path(__file__).parent.parent / "sample_plans" / "symbols.yaml"
HOUSE = next(house for house in HOUSES if house.stem == "marlow-court")
SHIFT = (100.0, 20.0)
CLOUD = (430.0, 720.0, 570.0, 820.0)  # around the hall bath, on the new sheet before it is turned


def revised(device: Device) -> Device | None:
    match device.room, device.circuit:
        case "KITCHEN", "A-5":
            return replace(device, labels=("DW", "GFI"))  # answered, and nobody drew a cloud
        case "HALL BATH", "A-18":
            return replace(device, labels=("GFI",))  # answered, in a cloud
        case "GARAGE", "A-27":
            return replace(device, near=(44, 10.2))  # 2.4 ft along its wall
        case "GARAGE", "A-14,16":
            return None  # gone
        case "POWDER", "A-15":
            return replace(device, circuit="A-17")  # its GFCI breaker is lost
        case "BEDROOM 2", "A-12" if device.near == (0.5, 21.9):
            return replace(device, circuit="A-10")  # nothing is asked for there; it changed all the same
    return device


def resubmittal(folder: Path) -> Path:
    view = HOUSE.views[0]
    added = Device("duplex receptacle", "GARAGE", (65.5, 25.0), "A-27")
    devices = (*filter(None, map(revised, view.floor.devices)), added)
    floor = replace(view.floor, devices=devices)
    house = replace(HOUSE, sheet="E-201", views=(replace(view, floor=floor), *HOUSE.views[1:]))
    with pymupdf.open(draw.draw_sheet(house, folder)) as drawn, pymupdf.open() as new:
        wide, tall = drawn[0].rect.width, drawn[0].rect.height
        page = new.new_page(width=wide + 144, height=tall + 72)
        page.show_pdf_page(pymupdf.Rect(*SHIFT, SHIFT[0] + wide, SHIFT[1] + tall), drawn, 0)
        shape = page.new_shape()
        at, curves = cloud_curves(CLOUD, 2.0)
        for one, two, end in curves:
            shape.draw_bezier(at, one, two, end)
            at = end
        shape.finish(width=2, color=(0, 0, 0))
        shape.commit()
        page.set_rotation(90)
        new.save(folder / "anew.pdf")
    return folder / "anew.pdf"


def answered(copy: Path, outlet: str, target: Path) -> None:
    """A reviewer sets a state, then another; the applicant replies to the mark, and somebody to the reply."""
    with pikepdf.open(copy) as pdf:
        page = pdf.pages[0]
        cloud = next(a for a in page.Annots if str(a.NM).endswith(f"-{outlet}-cloud"))

        def note(above: pikepdf.Object, author: str, text: str, day: int, **more: str) -> pikepdf.Object:
            made = pikepdf.Dictionary(
                Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=cloud.Rect, IRT=above, T=author,
                Contents=text, M=f"D:2026010{day}120000Z", F=30, **more,
            )  # fmt: skip
            page.Annots.append(pdf.make_indirect(made))
            return page.Annots[-1]

        note(cloud, "A. Reviewer", "Rejected set by A. Reviewer", 1, StateModel="Review", State="Rejected")
        note(cloud, "A. Reviewer", "Accepted set by A. Reviewer", 2, StateModel="Review", State="Accepted")
        reply = note(cloud, "An Applicant", "A GFCI device was added.", 3)
        note(reply, "A. Reviewer", "Seen.", 4)
        pdf.save(target)


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict, str, Path]:
    folder = tmp_path_factory.mktemp("revised")
    second = folder / "second"
    second.mkdir()
    sheet = SYMBOLS.with_name("marlow-court.pdf")  # as HOUSE is drawn

    def run(*words: object) -> str:
        found = CliRunner().invoke(main, [*map(str, words), "--symbols", str(SYMBOLS), "--jobs", "0"])
        assert found.exit_code == 1, found.output
        return found.output

    run("check", sheet, "--out", folder / "review")
    answered(folder / "review" / "marlow-court.marked.pdf", "E-101.5", folder / "answered.pdf")
    (folder / "answered.pdf").rename(folder / "marlow-court.marked.pdf")
    entries = (folder / "review" / "decisions.blank.yaml").read_text("utf-8").split("\n- ")
    garage = next(entry for entry in entries if "A-14,16" in entry)  # ruled on, and gone from the new sheet
    (folder / "d.yaml").write_text("\n- ".join((entries[0], entries[1], garage)) + "\n")
    said = run("recheck", folder / "review", resubmittal(second), "--out", folder / "again",
               "--marked", folder / "marlow-court.marked.pdf", "--decisions", folder / "d.yaml")  # fmt: skip
    return json.loads((folder / "again" / "recheck.json").read_text("utf-8")), said, folder


def by_circuit(document: dict) -> dict[tuple[str, str], dict]:
    found = {}
    for item in document["items"]:
        place = item["old"] or item["new"]
        found[place["room"], place["circuit"]] = item
    return found


def test_every_finding_is_followed(done) -> None:
    document, _, _ = done
    items = by_circuit(document)
    told = {key: item["status"] for key, item in items.items()}
    assert told["KITCHEN", "A-5"] == told["HALL BATH", "A-18"] == "resolved"
    assert told["GARAGE", "A-14,16"] == "gone" and told["POWDER", "A-15"] == "new"
    garage = [i for i in document["items"] if (i["old"] or i["new"])["circuit"] == "A-27"]
    assert sorted((i["status"], tuple(i["changes"])) for i in garage) == [
        ("moved", ("moved 2.4 ft",)), ("new", ("added",)),
    ]  # fmt: skip
    assert told["BEDROOM 2", "A-12"] is None and items["BEDROOM 2", "A-12"]["changes"] == ["circuit: A-12 to A-10"]
    counts = Counter(item["status"] for item in document["items"])
    assert counts["not checked"] == 0 and counts["unresolved"] == 9, "all the others are as they were"


def test_what_changed_outside_a_cloud_is_told(done) -> None:
    document, said, _ = done
    items = by_circuit(document)
    assert items["HALL BATH", "A-18"]["clouded"] is True
    assert items["KITCHEN", "A-5"]["clouded"] is items["POWDER", "A-15"]["clouded"] is False
    assert said.count("Changed without a revision cloud") == sum(i["clouded"] is False for i in document["items"])


def test_states_and_replies_of_a_viewer_are_read_back(done) -> None:
    document, _, folder = done
    assert by_circuit(document)["KITCHEN", "A-5"]["review"] == {"A. Reviewer": "Accepted"}, "the last state counts"
    assert [(a["author"], a["text"]) for a in document["answers"] if not a["state"]] == [
        ("An Applicant", "A GFCI device was added."), ("A. Reviewer", "Seen."),
    ]  # fmt: skip
    text = (folder / "again" / "recheck.md").read_text("utf-8")
    assert "A. Reviewer: Accepted" in text and "A GFCI device was added." in text


def test_numbers_agree_with_the_new_letter(done) -> None:
    document, _, folder = done
    letter = json.loads((folder / "again" / "comments.json").read_text("utf-8"))
    kept = {c["number"]: c["state"] for c in letter["comments"]}
    for comment in document["comments"]:
        still_open = comment["status"] in ("unresolved", "moved", "new", "not checked")
        assert (kept[comment["number"]] == "open") is still_open, comment


def test_a_ruling_on_an_outlet_that_is_gone_is_told_to_be_unused(done) -> None:
    _, said, _ = done
    told = [line for line in " ".join(said.split()).split("note: ") if "is not used" in line]
    assert len(told) == 1 and "(E-101, GARAGE, " in told[0], "in the words of the decisions file"


def test_a_ruling_is_carried_onto_the_new_sheet(done) -> None:
    """It has another number there, and lies sideways."""
    document, _, folder = done
    old = json.loads((folder / "review" / "results.json").read_text("utf-8"))["sheets"][0]
    ruled = next(o for o in old["outlets"] if o["verdict"] in ("missing", "unresolved"))  # the first of the blank
    (item,) = [item for item in document["items"] if item["old"] and item["old"]["outlet"] == ruled["id"]]
    new = json.loads((folder / "again" / "results.json").read_text("utf-8"))["sheets"][0]
    assert new["sheet"] == "E-201"
    assert {o["id"]: o["decision"] for o in new["outlets"] if o["decision"]} == {
        item["new"]["outlet"]: {"ruling": "ask", "reason": "to be looked at"}
    }
