"""What ``cordpath learn`` proposed and nobody has looked at settles nothing, and is told."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import Mapping, Scale, Sheet, Spotting
from cordpath.symbols import spot
from cordpath.symbols.learning.proposals import open_proposals
from cordpath.symbols.mapping_file.mapping import mapping_of
from drawn_page import duplex, frame, ring, sheet

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
DUPLEX = """
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [-0.0278, -0.1389], to: [-0.0278, 0.1042]}
      - line: {from: [0.0278, -0.1389], to: [0.0278, 0.1042]}
"""
SINK = """
    size: real
    shape:
      - polyline: {points: [[-10, -9], [10, -9], [10, 9], [-10, 9]], closed: true}
      - polyline: {points: [[-8, -7], [8, -7], [8, 7], [-8, 7]], closed: true}
"""
INCH = 72.0 / 48.0  # pt an inch of the building


def mapping(proposed: bool, shape_kind: str = "other", sink_kind: str = "sink") -> Mapping:
    line = "    proposed: true" if proposed else ""
    text = f"cordpath: 1\nsymbols:\n  - name: shape 1\n    kind: {shape_kind}\n{line}{DUPLEX}"
    return mapping_of((text + f"  - name: a sink\n    kind: {sink_kind}\n{line}{SINK}").encode(), "office.yaml")


def page() -> Sheet:
    bowls = [frame(300 - u * INCH, 300 - v * INCH, 300 + u * INCH, 300 + v * INCH) for u, v in ((10, 9), (8, 7))]
    return sheet([duplex(100, 100), duplex(200, 100), np.concatenate(bowls)])


def found(proposed: bool, **kinds: str) -> Spotting:
    return spot(page(), mapping(proposed, **kinds), SCALE)


def test_a_shape_without_a_name_is_unexplained_and_no_symbol() -> None:
    done = found(True)
    assert [s.entry.name for s in done.symbols] == ["a sink"]
    (told,) = [rest for rest in done.unexplained if rest.proposed]
    assert told.count == 2 and told.marks
    assert told.what == "'shape 1' of the mapping file, drawn twice, which has no name and kind yet"
    assert not [rest for rest in done.unexplained if not rest.proposed], "told once"
    named = found(True, shape_kind="receptacle")
    assert sum(s.entry.name == "shape 1" and s.found for s in named.symbols) == 2


def test_a_proposed_fixture_is_a_question_until_it_is_confirmed() -> None:
    (sink,) = [s for s in found(True).symbols if s.is_fixture]
    assert not sink.found and sink.unnamed and sink.edge is not None
    assert sink.reasons[-1] == "'a sink' of the mapping file (line 10) is a proposal that nobody has confirmed"
    (sink,) = [s for s in found(False).symbols if s.is_fixture]
    assert sink.found and not sink.unnamed and sink.confidence > 0.9


def test_what_is_still_to_be_done_is_told() -> None:
    nameless, fixtures = open_proposals(mapping(True))
    assert nameless.startswith("office.yaml: no name and kind yet for shape 1:")
    assert fixtures.startswith("office.yaml: not confirmed yet: a sink:")
    assert open_proposals(mapping(False)) == ()


@pytest.mark.parametrize(("kind", "blind"), [("other", True), ("receptacle", False)])
def test_a_mapping_file_without_outlets_checks_nothing(kind: str, blind: bool) -> None:
    """A starter file used as it stood skipped a full power plan, with exit status 0."""
    assert bool(spot(sheet([ring(50, 50, 9)]), mapping(False, shape_kind=kind), SCALE).blind) == blind
