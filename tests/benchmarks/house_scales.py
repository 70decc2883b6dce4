"""Sheets of random houses whose scale is told in other ways: forms of dimensions, other notes, bars."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from house_ink import Note, Pen, Poly
from house_sheet import House, feet, make_house, make_style


def house(seed: int, family: str) -> House:
    """At 1/4" = 1'-0"."""
    return make_house(seed, family, replace(make_style(seed, family), print_="full", ratio=48, walls="heavy"))


FORMS: dict[str, Callable[[float], str]] = {
    "12' 6\"": lambda v: feet(v).replace("-", " "),
    "12'-6": lambda v: feet(v).replace('"', ""),
    '150"': lambda v: f'{v:g}"',
    "12.50'": lambda v: f"{v / 12:.2f}'",
    "3.81 m": lambda v: f"{v * 0.0254:.2f} m",
    "381 cm": lambda v: f"{v * 2.54:.0f}",
    "+/-": lambda v: f"{feet(v)} +/-",
    "both": lambda v: f"{feet(v)} [{v * 25.4:.0f}]",
}


def _is_dimension(item: object) -> bool:
    return isinstance(item, Note) and item.text.replace(" ", "")[:1].isdigit() and ("'" in item.text)


def dimensioned(seed: int, family: str, form: str) -> House:
    """Dimensions written in another form, or in forms that take turns (``mixed``)."""
    made = house(seed, family)
    forms, k = list(FORMS.values()), 0
    for i, item in enumerate(made.paper.items):
        if isinstance(item, Note) and _is_dimension(item) and " x " not in item.text:
            value = _inches(item.text)
            if value is not None:
                write = forms[k % 4] if form == "mixed" else FORMS[form]
                made.paper.items[i], k = replace(item, text=write(value)), k + 1
    return made


def _inches(text: str) -> float | None:
    parts = text.replace('"', "").split("'-")
    try:
        return 12 * float(parts[0]) + sum(_number(p) for p in parts[1].split(" "))
    except (ValueError, IndexError):
        return None


def _number(text: str) -> float:
    a, _, b = text.partition("/")
    return float(a) / float(b or 1)


def noted(seed: int, family: str, note: str, dims: bool = True, extra: tuple[str, ...] = ()) -> House:
    """Another scale note than the drawing's; ``extra``: notes of details elsewhere on the sheet."""
    made = house(seed, family)
    out: list[Any] = []
    for item in made.paper.items:
        if isinstance(item, Note) and "1'-0\"" in item.text and "=" in item.text:
            if note == "":
                continue
            item = replace(item, text="SCALE: " + note)
        if not dims and isinstance(item, Note) and _is_dimension(item):
            continue
        out.append(item)
    made.paper.items = out
    for k, text in enumerate(extra):
        made.paper.add(Note((160.0 + 150 * k, made.paper.height - 165), text, 8, layer="0"))
    return made


def barred(seed: int, family: str, note: str, false: float = 1.0, dims: bool = False) -> House:
    """A graphic bar of 16 ft; ``false``: how much longer it is than it should be."""
    made = noted(seed, family, note, dims)
    x, y, foot = 160.0, made.paper.height - 190, 18.0 * false
    for k, (a, b) in enumerate(((0, 4), (4, 8), (8, 16))):
        fill = (0.0,) * 3 if k % 2 == 0 else (1.0,) * 3
        box = ((x + a * foot, y), (x + b * foot, y), (x + b * foot, y + 4), (x + a * foot, y + 4))
        made.paper.add(Poly(box, Pen(0.4), True, fill))
    for v in (0, 4, 8, 16):
        made.paper.add(Note((x + v * foot, y - 6), f"{v}'" if v else "0", 6))
    return made
