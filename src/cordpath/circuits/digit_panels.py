"""Digits beside the outlets of a file with panels that digits name: is 18 circuit 18, or circuit 8 of panel 1?

The schedules and the other tags tell: 112, 114 and 120 can be no circuits of a panel with 24 places, and 7, 8 and 9
none of a panel 1.  Where they do not, a tag stays as it is, and is read in both ways.

Terms: *joined*, the panel's name and the circuit without a sign between.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from cordpath.circuits.tags import bare_name, places_of, run_on
from cordpath.model import Label, Outlet, Panel, Reading

LEAST = 3  # different tags that can be meant in one way only, before all others are meant so too


def spelt_out(readings: Mapping[int, Reading], panels: tuple[Panel, ...]) -> dict[int, Reading]:
    """The pages of a file, tags of digits alone with the panel that they are of, where all are of one style."""
    labels = (label for each in readings.values() for outlet in each.outlets for label in outlet.symbol.labels)
    spelt = _spelt({tag for label in labels if (tag := _digits(label))}, panels)
    if not spelt:
        return dict(readings)
    return {
        page: replace(each, outlets=tuple(_with(outlet, spelt) for outlet in each.outlets))
        for page, each in readings.items()
    }


def _spelt(used: set[str], panels: tuple[Panel, ...]) -> dict[str, str]:
    """The tags of digits alone that were used, by the way in which all of them are meant; none where it is open."""
    names = {bare_name(panel.name) for panel in panels}
    if not any(name.isdigit() for name in names):
        return {}
    rows = places_of(panels)
    joined = {tag: [str(way) for way in run_on(tag, names) if (way.panel, *way.numbers) in rows] for tag in used}
    plain = {tag: [f"{name}-{tag}" for name in sorted(names) if (name, tag) in rows] for tag in used}
    only_joined = sum(bool(joined[tag]) and not plain[tag] for tag in used)
    only_plain = sum(bool(plain[tag]) and not joined[tag] for tag in used)
    if only_joined >= LEAST and not only_plain:
        return {tag: way[0] for tag, way in joined.items() if len(way) == 1}
    if only_plain >= LEAST and not only_joined and len(names) == 1:
        return {tag: way[0] for tag, way in plain.items() if way}
    return {}


def _digits(label: Label) -> str | None:
    values = [str(value) for name, value in label.sets if name in ("circuit", "circuit_unsure")]
    tag = values[0] if values else label.text.strip("()#")
    return tag if tag.isdigit() and (values or not label.sets) else None


def _with(outlet: Outlet, spelt: dict[str, str]) -> Outlet:
    labels = tuple(
        replace(label, sets=tuple((k, spelt.get(v, v) if k.startswith("circuit") else v) for k, v in label.sets))
        for label in outlet.symbol.labels
    )
    return replace(outlet, symbol=replace(outlet.symbol, labels=labels))
