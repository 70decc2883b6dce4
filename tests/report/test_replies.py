"""States and replies that a viewer put into a marked copy are read back; damaged ones do no harm."""

from __future__ import annotations

from pathlib import Path

import pikepdf
from pikepdf import Dictionary, Name, String
from report_builder import RUN, missing, result
from report_pdfs import simple_pdf

from cordpath.report import last_states, read_answers, write_marked

SINK = (300.0, 150.0)


def marked(folder: Path) -> Path:
    target = folder / "set.marked.pdf"
    found = result([missing("E-101.1", (100.0, 100.0), SINK), missing("E-101.2", (300.0, 200.0), SINK)])
    write_marked(simple_pdf(folder / "set.pdf"), target, (found,), RUN)
    return target


def answered(path: Path, entries: list[dict[str, object]]) -> Path:
    """Annotations added as a viewer does: each answers the one of that name, or the one added before it."""
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        page = pdf.pages[0]
        named = {str(a.NM): a for a in page.obj.Annots if "/NM" in a}
        for entry in entries:
            above = entry.pop("to")
            made = pdf.make_indirect(Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=[0, 0, 1, 1]))
            for key, value in entry.items():
                made["/" + key] = String(value) if isinstance(value, str) else value
            if above is not None:
                made.IRT = named[str(above)]
            named[str(entry.get("NM", ""))] = made
            page.obj.Annots.append(made)
        pdf.save(path)
    return path


def test_the_last_state_of_every_author_and_all_replies(tmp_path: Path) -> None:
    cloud = "cordpath-p1-E-101.1-cloud"
    path = answered(marked(tmp_path), [
        {"to": cloud, "NM": "a", "T": "reviewer", "StateModel": "Review", "State": "Rejected", "M": "D:20260102"},
        {"to": cloud, "NM": "b", "T": "reviewer", "StateModel": "Review", "State": "Accepted", "M": "D:20260103"},
        {"to": cloud, "NM": "c", "T": "owner", "Contents": "Shown on E-201.", "M": "D:20260104"},
        {"to": "c", "NM": "d", "T": "reviewer", "Contents": "Seen.", "M": "D:20260105"},
        {"to": "cordpath-p1-E-101.2-tag", "NM": "e", "T": "owner", "StateModel": "Marked", "State": "Marked"},
        {"to": None, "NM": "f", "T": "stranger", "Contents": "A note of its own."},
        {"to": cloud, "NM": "g", "T": "odd", "StateModel": "Mine", "State": "x", "Contents": "x", "M": "D:2027"},
    ])  # fmt: skip
    answers = read_answers(path)
    assert last_states(answers) == {
        ("set", 1, "E-101.1"): {"reviewer": "Accepted"}, ("set", 1, "E-101.2"): {"owner": "Marked"},
    }  # fmt: skip
    assert [(a.author, a.text) for a in answers if not a.state] == [
        ("owner", "Shown on E-201."), ("reviewer", "Seen."), ("odd", "x"),
    ]  # fmt: skip


def test_a_copy_without_answers_and_answers_in_a_circle(tmp_path: Path) -> None:
    path = marked(tmp_path)
    assert read_answers(path) == ()
    answered(path, [{"to": "cordpath-p1-E-101.1-cloud", "NM": "a", "T": "x", "Contents": "y"}])
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        last = pdf.pages[0].obj.Annots[-1]
        last.IRT = last
        pdf.save(path)
    assert read_answers(path) == ()
