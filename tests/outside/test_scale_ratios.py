"""Scale notes against published tables of drafting scales.

- Architect's scales (drawn inches for a foot, and the ratio): the table of the architect's scale in T. E. French
  and C. J. Vierck, *A Manual of Engineering Drawing*, and any drafting table since; 3" = 1'-0" is 1/4 size and
  so on.
- Engineer's scales: 1" = 10' to 1" = 100', ratios 1:120 to 1:1200 (the same).
- Metric scales: ISO 5455:1979, table 1, reduction scales recommended for construction.
"""

from __future__ import annotations

import pytest

from cordpath.units import parse_scale_note, scale_ratio

ARCHITECT = {
    '3"': 4, '1 1/2"': 8, '1"': 12, '3/4"': 16, '1/2"': 24, '3/8"': 32, '1/4"': 48, '3/16"': 64, '1/8"': 96,
    '3/32"': 128, '1/16"': 192,
}  # fmt: skip
ENGINEER = {10: 120, 20: 240, 30: 360, 40: 480, 50: 600, 60: 720, 100: 1200}
METRIC = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)


@pytest.mark.parametrize(("drawn", "ratio"), ARCHITECT.items())
def test_architects_scales(drawn: str, ratio: int) -> None:
    number = drawn.rstrip('"')
    for text in (
        f"{drawn} = 1'-0\"", f"{drawn}=1'", f"1'-0\" = {drawn}", f"SCALE: {drawn} = 1'-0\" U.N.O.",
        f"{number} IN = 1 FT", f"{number}in = 1ft", f"{drawn} = 1’-0”".replace('"', "”"),
        f"Scale {drawn} = 1' - 0\"",
    ):  # fmt: skip
        assert scale_ratio(text) == pytest.approx(ratio), text


@pytest.mark.parametrize(("feet", "ratio"), ENGINEER.items())
def test_engineers_scales(feet: int, ratio: int) -> None:
    for text in (f"1\" = {feet}'", f'1"={feet}\'-0"', f"1 INCH = {feet} FEET", f"SCALE: 1 IN. = {feet} FT."):
        assert scale_ratio(text) == pytest.approx(ratio), text


@pytest.mark.parametrize("ratio", METRIC)
def test_metric_scales(ratio: int) -> None:
    for text in (f"1:{ratio}", f"1 : {ratio}", f"SCALE 1:{ratio}", f"M 1:{ratio}"):
        assert scale_ratio(text) == pytest.approx(ratio), text


def test_a_note_for_another_paper_size_changes_with_the_size() -> None:
    # ISO 216: A3 is A1 reduced by exactly one half; ANSI/ASME Y14.1: D is 22 x 34, B is 11 x 17.
    note = parse_scale_note("1:50 @ A1")
    assert note is not None
    assert note.at(33.11, 23.39) == pytest.approx(50)
    assert note.at(16.54, 11.69) == pytest.approx(100, rel=2e-3)
    note = parse_scale_note('1/4" = 1\'-0" (22x34)')
    assert note is not None
    assert note.at(17, 11) == pytest.approx(96)
