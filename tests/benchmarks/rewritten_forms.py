"""Symbols as forms, under matrices, clips, groups and masks."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from random import Random

from house_ink import Item, Note, Paper
from house_writers import _num
from pikepdf import Array, Dictionary, Name
from rewritten_page import (
    Leaf,
    blocks,
    bounds,
    by_block,
    mapped,
    way,
)


def _skewed(leaf: Leaf, items: list[Item], m: tuple[float, ...]) -> str:
    notes = [i for i in items if isinstance(i, Note)]
    rest = [i for i in items if not isinstance(i, Note)]
    out = leaf.text(notes)
    if rest:
        content, matrix = mapped(leaf, rest, m)
        name = leaf.form(content, (-5000, -5000, 5000, 5000))
        out += f"q {matrix} cm /{name} Do Q\n"
    return out


@by_block("forms mirrored and scaled")
def forms_mirrored(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Symbols as forms in a frame of their own: moved, turned, mirrored, scaled."""
    x0, y0, _, _ = bounds(items)
    t, s, k = math.radians(r.choice((0, 30, 90, 180, 270))), r.choice((-1, 1)), r.choice((0.01, 0.5, 1, 72))
    items = [replace(i, pen=replace(i.pen, width=i.pen.width / k)) if getattr(i, "pen", None) else i for i in items]
    co, si = math.cos(t) * k, math.sin(t) * k
    return _skewed(leaf, items, (co * s, si * s, -si, co, x0, y0))


@by_block("forms sheared")
def forms_sheared(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Symbols as forms under uneven and sheared matrices (the curves are pre-mapped by the inverse)."""
    x0, y0, _, _ = bounds(items)
    return _skewed(
        leaf, items, (r.choice((-2, 0.5, 1)), 0.2, r.choice((-0.4, 0.3)), r.choice((-1, 0.7, 1.5)), x0, y0)
    )


@way("one form used many times")
def one_form(paper: Paper, path: Path, r: Random) -> None:
    """Equal symbols are one form, placed by its matrix."""
    leaf, known = Leaf(paper), {}
    for is_block, items in blocks(paper):
        if not is_block:
            leaf.out.append(leaf.text(items))
            continue
        x0, y0, _, _ = bounds(items)
        content, matrix = mapped(leaf, items, (1, 0, 0, 1, round(x0, 2), round(y0, 2)))
        if content not in known:
            known[content] = leaf.form(content, (-5000, -5000, 5000, 5000))
        leaf.out.append(f"q {matrix} cm /{known[content]} Do Q\n")
    leaf.finish(path)


@by_block("nested clips")
def nested_clips(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol in a form in a form, with tight boxes and clips of their own."""
    x0, y0, x1, y1 = bounds(items, 2.0)
    clip = f"{_num(x0)} {_num(y0)} {_num(x1 - x0)} {_num(y1 - y0)} re W n\n"
    inner = leaf.form(clip + leaf.text(items), (x0, y0, x1, y1))
    resources = Dictionary(XObject=Dictionary(**{inner: leaf.named["XObject"][inner]}))
    outer = leaf.form(f"q {clip} /{inner} Do Q", (x0, y0, x1, y1), Resources=resources)
    return f"q {clip}/{outer} Do Q\n"


@by_block("groups, multiply, see-through")
def groups(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol in a transparency group, blended or see-through."""
    x0, y0, x1, y1 = bounds(items, 2.0)
    group = Dictionary(S=Name.Transparency, I=r.random() < 0.5, K=r.random() < 0.5)
    name = leaf.form(leaf.text(items), (x0, y0, x1, y1), Group=group)
    state = leaf.state(
        **r.choice(({"BM": Name.Multiply}, {"BM": Name.Darken}, {"ca": 0.6, "CA": 0.6}, {"AIS": True}))
    )
    return f"q /{state} gs /{name} Do Q\n"


@way("soft mask that shows all")
def soft_mask(paper: Paper, path: Path, r: Random) -> None:
    """All of the drawing under a white luminosity mask."""
    leaf = Leaf(paper)
    group = Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
    mask = leaf.stream(
        f"1 g 0 0 {_num(paper.width)} {_num(paper.height)} re f", Type=Name.XObject, Subtype=Name.Form,
        BBox=Array([0, 0, paper.width, paper.height]), Group=group,
    )  # fmt: skip
    state = leaf.state(SMask=Dictionary(S=Name.Luminosity, G=mask))
    leaf.out.append(f"/{state} gs\n{leaf.text(paper.items)}")
    leaf.finish(path)


@way("page group, knockout")
def page_group(paper: Paper, path: Path, r: Random) -> None:
    """All of it in a group that knocks out, on a page with a group."""
    leaf = Leaf(paper)
    leaf.page["Group"] = Dictionary(S=Name.Transparency, CS=Name.DeviceRGB)
    name = leaf.form(leaf.text(paper.items), Group=Dictionary(S=Name.Transparency, I=True))
    leaf.out.append(f"/{name} Do\n")
    leaf.finish(path)
