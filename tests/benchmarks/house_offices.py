"""Random houses drawn as other offices draw: walls, openings and scale notes that ``house_hard.py`` does not have.

Every way changes one thing of a house of ``house_sheet.py``; the truth stays that of the house, but for the scale
where the way is about it.  A *way* is a function of seed and family that gives a house.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from house_hard import _place
from house_ink import Pen, Poly
from house_other_walls import (
    batting,
    bay,
    footings,
    hatch_only,
    low_walls,
    party,
    pieces,
    railing,
    remodel,
    stairs,
    tagged,
    thick_outer,
    thick_party,
    two_pens,
    veneer,
    wet_wall,
)  # fmt: skip
from house_plan import Opening, Plan
from house_scales import FORMS, barred, dimensioned, noted
from house_sheet import House, Sheet, draw_building, draw_opening, make_house, make_style

Walls = Callable[[Sheet], None]


def house(
    seed: int, family: str, walls: Walls | None = None, opening: Any = draw_opening,
    reshape: Callable[[Plan], None] | None = None, more: Walls | None = None, look: str = "heavy", **style: Any,
) -> House:  # fmt: skip
    def build(sheet: Sheet) -> None:
        draw_building(sheet, walls, opening)
        if more is not None:
            more(sheet)

    made = replace(make_style(seed, family), walls=look, print_="full", one_pen=False)
    return make_house(seed, family, replace(made, **style), build, reshape)


def other_door(sheet: Sheet, o: Opening, how: str) -> None:
    at, pen, half, t = _place(sheet, o), sheet.thin(), o.width / 2, o.thick / 2
    layer, line = sheet.layer("A-DOOR"), sheet.paper.line
    if o.kind == "window" or (o.kind not in ("door", "double") and how in ("closed", "pie", "arc")):
        draw_opening(sheet, o)
    elif how == "closed":  # the leaf stands in its frame
        line([at(-half, -0.9), at(half, -0.9), at(half, 0.9), at(-half, 0.9)], pen, layer, closed=True)
    elif how == "pie":
        for hinge, width, to in _leaves(o):
            arc = [(hinge + to * width * math.cos(a), t + width * math.sin(a)) for a in _quarter()]
            fill = (0.85,) * 3
            points = tuple(at(*p) for p in [(hinge, t), *arc])
            sheet.paper.add(Poly(points, Pen(pen), True, fill, layer=layer))
    elif how == "barn" and o.kind in ("door", "pocket", "bifold", "slider"):
        line([at(-half, t + 0.6), at(half * 3.2, t + 0.6)], pen, layer)  # the rail
        line([at(half, t + 1.0), at(half * 3.2, t + 1.0), at(half * 3.2, t + 2.6), at(half, t + 2.6)], pen, layer,
             closed=True)  # fmt: skip
    elif how == "frames" and o.kind == "door":  # jambs drawn as boxes narrow the opening by 2 in
        for s in (-half, half - 2):
            line([at(s, -t), at(s + 2, -t), at(s + 2, t), at(s, t)], pen, layer, closed=True)
        draw_opening(sheet, replace(o, width=o.width - 4))
    elif how == "threshold" and o.kind in ("door", "double", "cased"):
        draw_opening(sheet, o)
        for s in (-t, t):
            line([at(-half, s), at(half, s)], 0.25, layer)
    else:
        draw_opening(sheet, o)


def _quarter() -> Iterator[float]:
    return (math.pi / 2 * k / 16 for k in range(17))


def _leaves(o: Opening) -> list[tuple[float, float, int]]:
    if o.kind == "double":
        return [(-s * o.width / 2, o.width / 2, s) for s in (1, -1)]
    return [(-o.hinge * o.width / 2, o.width, o.hinge)]


def wall(fn: Any, **more: Any) -> Callable[[int, str], House]:
    return partial(house, walls=fn, **more)


OFFICES: dict[str, Callable[[int, str], House]] = {
    "veneer": wall(partial(veneer, width=1.1), reshape=thick_outer),
    "veneer thin": wall(partial(veneer, width=0.4), reshape=thick_outer),
    "batting": wall(batting),
    "hatch only": wall(partial(hatch_only, step=1.5)),
    "hatch only coarse": wall(partial(hatch_only, step=4.0)),
    "hatch only crossed": wall(partial(hatch_only, step=2.0, crossed=True)),
    "hatch only solid": wall(partial(hatch_only, step=0.24)),
    "pieces": wall(partial(pieces, filled=False)),
    "pieces filled": wall(partial(pieces, filled=True)),
    "party": wall(party, reshape=thick_party),
    "wet wall": partial(house, reshape=wet_wall),
    "tags break": wall(partial(tagged, masked=False)),
    "tags mask": wall(partial(tagged, masked=True)),
    "remodel fill": wall(partial(remodel, new="fill", old="0.8")),
    "remodel fill outlined": wall(partial(remodel, new="0.8 fill", old="0.8")),
    "remodel heavy": wall(partial(remodel, new="1.4", old="0.5")),
    "remodel heavy fill": wall(partial(remodel, new="1.4 fill", old="0.5")),
    "remodel old fill": wall(partial(remodel, new="0.8", old="fill")),
    "two pens": wall(partial(two_pens, outer=1.4, inner=0.7)),
    "footings": partial(house, more=partial(footings, one_by_one=False)),
    "footings dash by dash": partial(house, more=partial(footings, one_by_one=True)),
    "railing": partial(house, more=railing),
    "stairs": partial(house, more=stairs),
    "low walls": partial(house, more=low_walls),
    "bay": partial(house, reshape=bay),
    "bay poche": partial(house, reshape=bay, look="poche"),
    "doors closed": partial(house, opening=partial(other_door, how="closed")),
    "doors pie": partial(house, opening=partial(other_door, how="pie")),
    "doors barn": partial(house, opening=partial(other_door, how="barn")),
    "doors frames": partial(house, opening=partial(other_door, how="frames")),
    "doors threshold": partial(house, opening=partial(other_door, how="threshold")),
    "poche barn": partial(house, opening=partial(other_door, how="barn"), look="poche"),
    "thick": partial(house, look="single"),
    **{f"dims {form}": partial(dimensioned, form=form) for form in (*FORMS, "mixed")},
    "note 1/8": partial(noted, note='1/8" = 1\'-0"'),
    "note 3/16": partial(noted, note='3/16" = 1\'-0"'),
    "note 1/8 no dims": partial(noted, note='1/8" = 1\'-0"', dims=False),
    "note 1:50 no dims": partial(noted, note="1:50", dims=False),
    "note as noted": partial(noted, note="AS NOTED"),
    "no note": partial(noted, note=""),
    "no note no dims": partial(noted, note="", dims=False),
    "many notes": partial(noted, note='1/4" = 1\'-0"', extra=('DETAIL A  1 1/2" = 1\'-0"', '3/4" = 1\'-0"')),
    "other note only": partial(noted, note="", dims=False, extra=('TYP. DETAIL 1/2" = 1\'-0"',)),
    "full size note": partial(
        noted, note='1/4" = 1\'-0" (1/8" = 1\'-0" ON 11X17)', dims=False
    ),
    "bar": partial(barred, note=""),
    "bar false": partial(barred, note="", false=0.5, dims=True),
    "bar against note": partial(barred, note='1/8" = 1\'-0"'),
}  # fmt: skip

SCALE_WAYS = tuple(name for name in OFFICES if name.split()[0] in
                   ("dims", "note", "no", "many", "other", "full", "bar"))  # fmt: skip
