"""Clouds do not strike through the words beside them; leaders end on clouds; markup keeps off that of others."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pikepdf
import pytest
import report_builder as build
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name
from report_pdfs import simple_pdf

from cordpath.model import Box, Label, Region, Word
from cordpath.report import write_marked
from cordpath.report.pdf.cloud import WORD_REACH, around_words, cloud_box, outer_box
from cordpath.report.pdf.mark_drawings import leader

PEN = 1.6
at = st.floats(0, 200)
boxes = st.tuples(at, at, st.floats(2, 60), st.floats(2, 20)).map(lambda v: (v[0], v[1], v[0] + v[2], v[1] + v[3]))


def struck(cloud: Box, word: Box) -> bool:
    """The arcs run through the word: it reaches into their band, and not only inside or outside."""
    outer = outer_box(cloud, PEN)
    met = word[0] < outer[2] and word[2] > outer[0] and word[1] < outer[3] and word[3] > outer[1]
    return met and not (word[0] >= cloud[0] and word[2] <= cloud[2] and word[1] >= cloud[1] and word[3] <= cloud[3])


def meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and a[2] > b[0] and a[1] < b[3] and a[3] > b[1]


@settings(max_examples=200, deadline=None)
@given(boxes, st.lists(boxes, max_size=8), st.lists(boxes, max_size=5))
def test_a_cloud_grows_only_to_strike_fewer_words_and_never_onto_others(symbol, words, others) -> None:
    base = cloud_box(symbol, 4.0)
    grown = around_words(base, np.array(words).reshape(-1, 4), np.array(others).reshape(-1, 4), PEN)
    assert grown[0] <= base[0] and grown[1] <= base[1] and grown[2] >= base[2] and grown[3] >= base[3]
    assert max(abs(a - b) for a, b in zip(grown, base, strict=True)) <= WORD_REACH + 2.0
    before, after = (sum(struck(cloud, word) for word in words) for cloud in (base, grown))
    assert after <= before and (after < before or grown == base)
    for other in others:
        assert meet(outer_box(base, PEN), other) or not meet(outer_box(grown, PEN), other)


def test_a_label_below_its_symbol_is_taken_in(tmp_path: Path) -> None:
    word = (92.0, 112.0, 108.0, 119.0)
    cloud = around_words(cloud_box((94.0, 94.0, 106.0, 106.0), 4.0), np.array([word]), np.zeros((0, 4)), PEN)
    assert not struck(cloud, word) and cloud[3] > word[3]


def test_a_cloud_does_not_strike_another_word_for_its_label() -> None:
    base, label = cloud_box((94.0, 94.0, 106.0, 106.0), 4.0), np.array([(92.0, 112.0, 108.0, 119.0)])
    room = np.array([(90.0, 119.0, 110.0, 130.0)])
    assert around_words(base, label, np.zeros((0, 4)), PEN) != base
    assert around_words(base, label, np.zeros((0, 4)), PEN, 1.0, room) == base


def marked(tmp_path: Path, result, spoil=None) -> dict[str, Box]:
    """Boxes of our annotations, points from the top left corner of a page of 612 x 396 pt."""
    source, target = tmp_path / "plan.pdf", tmp_path / "marked.pdf"
    simple_pdf(tmp_path / "bare.pdf")
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        if spoil:
            spoil(pdf)
        pdf.save(source)
    write_marked(source, target, (result,), build.RUN)
    with pikepdf.open(target) as pdf:
        found = {}
        for annotation in pdf.pages[0].Annots:
            if str(annotation.get("/NM", "")).startswith("cordpath"):
                x0, y0, x1, y1 = (float(v) for v in annotation.Rect)
                found[str(annotation.NM).removeprefix("cordpath-p1-")] = (x0, 396 - y1, x1, 396 - y0)
        return found


def with_words(result, *words: Box):
    made = tuple(Word("A-1", box, 0.0, 7.0, k) for k, box in enumerate(words))
    return replace(result, reading=replace(result.reading, sheet=replace(result.reading.sheet, words=made)))


def test_a_label_is_taken_in_by_its_own_outlet_only(tmp_path: Path) -> None:
    label = (92.0, 112.0, 108.0, 119.0)

    def labelled(finding):
        symbol = replace(finding.outlet.symbol, labels=(Label("A-1", (100.0, 115.5)),))
        return replace(finding, outlet=replace(finding.outlet, symbol=symbol))

    mine, other = build.missing("1", (100.0, 100.0), (300.0, 150.0)), build.protected("2", (140.0, 130.0))
    bottoms = [
        marked(tmp_path, with_words(build.result(found), label))["1-cloud"][3]
        for found in ([labelled(mine), other], [mine, labelled(other)], [mine, other])
    ]
    assert bottoms[0] > 119.0 and bottoms[1] == bottoms[2] < 119.0


def test_tags_keep_off_the_title_block_and_marks_of_others(tmp_path: Path) -> None:
    result = build.result([build.missing("E-101.1", (100.0, 100.0), (300.0, 150.0))])
    first = marked(tmp_path, result)["E-101.1-tag"]
    sheet = replace(result.reading.sheet, regions=(Region("title block", first),))
    titled = replace(result, reading=replace(result.reading, sheet=sheet))
    assert not meet(marked(tmp_path, titled)["E-101.1-tag"], first)

    def stamp(pdf: pikepdf.Pdf) -> None:
        x0, y0, x1, y1 = first
        rect = Array([x0, 396 - y1, x1, 396 - y0])  # nothing is drawn in it: only its box tells
        note = Dictionary(Type=Name.Annot, Subtype=Name.Stamp, Rect=rect, NM="mine")
        pdf.pages[0].Annots = Array([pdf.make_indirect(note)])

    assert not meet(marked(tmp_path, result, stamp)["E-101.1-tag"], first)


def test_marks_of_an_earlier_run_are_no_ink_to_keep_off(tmp_path: Path) -> None:
    result = build.result([build.missing("E-101.1", (100.0, 100.0), (300.0, 150.0))])
    first = marked(tmp_path, result)
    write_marked(tmp_path / "marked.pdf", tmp_path / "again.pdf", (result,), build.RUN)
    with pikepdf.open(tmp_path / "again.pdf") as pdf:
        rects = {str(a.NM): [float(v) for v in a.Rect] for a in pdf.pages[0].Annots}
    for name, (x0, y0, x1, y1) in first.items():
        assert rects[f"cordpath-p1-{name}"] == pytest.approx([x0, 396 - y1, x1, 396 - y0], abs=0.01)


@settings(max_examples=100, deadline=None)
@given(boxes, boxes)
def test_a_leader_ends_on_both_boxes(tag, cloud) -> None:
    (x0, y0), (x1, y1) = leader(tag, cloud)
    assert tag[0] <= x0 <= tag[2] and tag[1] <= y0 <= tag[3]
    assert cloud[0] <= x1 <= cloud[2] and cloud[1] <= y1 <= cloud[3]
