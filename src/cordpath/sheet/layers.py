"""Settle on the handle what the page shows before it is read: layers, hatch cells, soft masks.

Terms: *OCG*, an optional content group, which drawing programs use for their layers.  *OCMD*, a membership
dictionary: content that is shown depending on several groups.  *Stand-in*, a plain group written in the place of a
group or membership, whose state MuPDF cannot misread.  *Cell*, the picture that a tiling pattern repeats.

MuPDF judges memberships, usage entries and base states differently from the standard (measured), draws a pattern's
cell once at the pattern's origin, and draws what a soft mask is made of.  Source: ISO 32000-2:2020, 8.11 (optional
content), 8.7.3 (tiling patterns), 11.6.5 (soft masks).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeAlias

import pymupdf
from pymupdf import mupdf

from cordpath.sheet import cells, soft_masks, unprinted
from cordpath.sheet.ink.blends import OPAQUE, THROUGH_MASK

MOST_OBJECTS = 20_000  # resource dictionaries of a page; more is a hostile file
PAINTS = "ca", "CA"  # opacity of fills, of strokes
DEEPEST = 20  # nested membership expressions

Obj: TypeAlias = Any  # mupdf.PdfObj, whose module has no types


class Groups:
    """Which optional content groups are shown when the file is opened."""

    def __init__(self, document: pymupdf.Document) -> None:
        self._pdf = pymupdf._as_pdf_document(document)
        properties = mupdf.pdf_dict_getp(mupdf.pdf_trailer(self._pdf), "Root/OCProperties")
        self.any = bool(mupdf.pdf_is_dict(properties))
        default = mupdf.pdf_dict_gets(properties, "D") if self.any else properties
        self._base = _name(default, "BaseState") != "OFF"
        self._state: dict[int, bool] = {}
        if self.any:
            self._read(default)

    def _read(self, default: Obj) -> None:
        for key, state in (("ON", True), ("OFF", False)):
            for group in _items(mupdf.pdf_dict_gets(default, key)):
                self._state[mupdf.pdf_to_num(group)] = state
        for usage in _items(mupdf.pdf_dict_gets(default, "AS")):
            categories = {mupdf.pdf_to_name(item) for item in _items(mupdf.pdf_dict_gets(usage, "Category"))}
            if _name(usage, "Event") != "View" or "View" not in categories:
                continue
            for group in _items(mupdf.pdf_dict_gets(usage, "OCGs")):
                wanted = mupdf.pdf_to_name(mupdf.pdf_dict_getp(group, "Usage/View/ViewState"))
                if wanted in ("ON", "OFF"):
                    self._state[mupdf.pdf_to_num(group)] = wanted == "ON"

    def shows(self, content: Obj) -> bool:
        """Is content of this group or membership shown."""
        if _name(content, "Type") != "OCMD":
            return self._group(content)
        expression = mupdf.pdf_dict_gets(content, "VE")
        if mupdf.pdf_is_array(expression):
            return self._expression(expression, 0)
        members = mupdf.pdf_dict_gets(content, "OCGs")
        groups = list(_items(members)) if mupdf.pdf_is_array(members) else [members]
        states = [self._group(group) for group in groups if mupdf.pdf_is_dict(group)]
        if not states:
            return True
        policy = _name(content, "P")
        if policy == "AllOn":
            return all(states)
        if policy == "AnyOff":
            return not all(states)
        return not any(states) if policy == "AllOff" else any(states)

    def _group(self, group: Obj) -> bool:
        intent = mupdf.pdf_dict_gets(group, "Intent")
        names = {mupdf.pdf_to_name(item) for item in _items(intent)} or {mupdf.pdf_to_name(intent)}
        if not names & {"", "View", "All"}:
            return True  # a group for other purposes hides nothing
        return self._state.get(mupdf.pdf_to_num(group), self._base)

    def _expression(self, part: Obj, depth: int) -> bool:
        if depth > DEEPEST or not mupdf.pdf_is_array(part):
            return self._group(part) if mupdf.pdf_is_dict(part) else True
        first, *rest = _items(part)
        states = [self._expression(item, depth + 1) for item in rest]
        operator = mupdf.pdf_to_name(first)
        if operator == "Not":
            return not all(states)
        return any(states) if operator == "Or" else all(states)

    def stand_in(self, content: Obj) -> Obj:
        """A plain group with the name and the state of ``content``."""
        group = mupdf.pdf_new_dict(self._pdf, 3)
        mupdf.pdf_dict_put(group, mupdf.pdf_new_name("Type"), mupdf.pdf_new_name("OCG"))
        mupdf.pdf_dict_put_text_string(group, mupdf.pdf_new_name("Name"), _title(content))
        if not self.shows(content):
            usage = mupdf.pdf_dict_put_dict(group, mupdf.pdf_new_name("Usage"), 1)
            view = mupdf.pdf_dict_put_dict(usage, mupdf.pdf_new_name("View"), 1)
            mupdf.pdf_dict_put(view, mupdf.pdf_new_name("ViewState"), mupdf.pdf_new_name("OFF"))
        return group


def settle(document: pymupdf.Document, page: pymupdf.Page) -> bool:
    """Replace groups by stand-ins, mark cells of patterns and drop soft masks in everything that the page draws.

    Is anything painted so that it prints over what is below it (overprint)?"""
    groups = Groups(document)
    entries = mupdf.pdf_page_from_fz_page(page.this).obj()
    seen: set[int] = set()
    waiting = [mupdf.pdf_dict_get_inheritable(entries, mupdf.pdf_new_name("Resources"))]
    states: list[Obj] = []
    while waiting and len(seen) < MOST_OBJECTS:
        resources = waiting.pop()
        number = mupdf.pdf_to_num(resources)
        if number in seen or not mupdf.pdf_is_dict(resources):
            continue
        if number:
            seen.add(number)
        states.extend(_values(resources, "ExtGState"))
        waiting.extend(_settle(document, resources, groups, seen))
    _settle_masks(document, states, page.rect.get_area())
    return any(mupdf.pdf_to_bool(mupdf.pdf_dict_gets(state, key)) for state in states for key in ("OP", "op"))


def _settle_masks(document: pymupdf.Document, states: list[Obj], page_area: float) -> None:
    """Drop soft masks: MuPDF's lists draw what they are made of.  Their states get an opacity that stands for them;
    one that ends a mask and says nothing of opacities ends this too."""
    before = 1.0 if all(_opacity(state, paint) >= OPAQUE for state in states for paint in PAINTS) else THROUGH_MASK
    masked: list[tuple[Obj, float]] = []
    ends: list[tuple[Obj, str]] = []
    for state in states:
        mask = mupdf.pdf_dict_gets(state, "SMask")
        if mupdf.pdf_is_dict(mask):
            masked.append((state, soft_masks.opacity_of(document, mask, page_area)))
        elif mupdf.pdf_is_name(mask):
            ends.extend((state, paint) for paint in PAINTS if mupdf.pdf_is_null(mupdf.pdf_dict_gets(state, paint)))
    for state, shown in masked:
        for paint in PAINTS if shown < 1.0 else ():
            mupdf.pdf_dict_put_real(state, mupdf.pdf_new_name(paint), shown)
    if not all(shown == 1.0 for _, shown in masked):
        for state, paint in ends:  # the opacity of before the mask, which no list says where it was not full
            mupdf.pdf_dict_put_real(state, mupdf.pdf_new_name(paint), before)
    for state in states:
        mupdf.pdf_dict_dels(state, "SMask")


def _opacity(state: Obj, paint: str) -> float:
    value = mupdf.pdf_dict_gets(state, paint)
    return 1.0 if mupdf.pdf_is_null(value) else float(mupdf.pdf_to_real(value))


def _settle(document: pymupdf.Document, resources: Obj, groups: Groups, seen: set[int]) -> Iterator[Obj]:
    """Settle one resource dictionary; the resource dictionaries of what it names."""
    if groups.any:
        _replace(mupdf.pdf_dict_gets(resources, "Properties"), groups)
    for space in _values(resources, "ColorSpace"):
        unprinted.mark(space)
    for form in _values(resources, "XObject"):
        number = mupdf.pdf_to_num(form)
        if _name(form, "Subtype") != "Form" or number in seen:
            continue
        seen.add(number)
        content = mupdf.pdf_dict_gets(form, "OC")
        if groups.any and mupdf.pdf_is_dict(content):
            mupdf.pdf_dict_puts(form, "OC", groups.stand_in(content))
        yield mupdf.pdf_dict_gets(form, "Resources")
    for pattern in _values(resources, "Pattern"):
        if mupdf.pdf_is_stream(pattern) and mupdf.pdf_to_num(pattern) not in seen:
            seen.add(mupdf.pdf_to_num(pattern))
            read = cells.settle(document, pattern)
            if read is not None:
                yield read


def _replace(properties: Obj, groups: Groups) -> None:
    if not mupdf.pdf_is_dict(properties):
        return
    for index in range(mupdf.pdf_dict_len(properties)):
        content = mupdf.pdf_dict_get_val(properties, index)
        if str(mupdf.pdf_to_name(mupdf.pdf_dict_get_key(properties, index))).startswith(cells.PROPERTY):
            continue
        if _name(content, "Type") in ("OCG", "OCMD"):
            mupdf.pdf_dict_put(properties, mupdf.pdf_dict_get_key(properties, index), groups.stand_in(content))


def _title(content: Obj) -> str:
    """The name of a group, or of the first group of a membership."""
    if _name(content, "Type") == "OCMD":
        members = mupdf.pdf_dict_gets(content, "OCGs")
        content = next(iter(_items(members)), members) if mupdf.pdf_is_array(members) else members
    return (
        str(mupdf.pdf_dict_get_text_string(content, mupdf.pdf_new_name("Name")))
        if mupdf.pdf_is_dict(content)
        else ""
    )


def _items(array: Obj) -> Iterator[Obj]:
    if mupdf.pdf_is_array(array):
        for index in range(min(mupdf.pdf_array_len(array), MOST_OBJECTS)):
            yield mupdf.pdf_array_get(array, index)


def _values(resources: Obj, key: str) -> Iterator[Obj]:
    table = mupdf.pdf_dict_gets(resources, key)
    if mupdf.pdf_is_dict(table):
        for index in range(min(mupdf.pdf_dict_len(table), MOST_OBJECTS)):
            yield mupdf.pdf_dict_get_val(table, index)


def _name(entries: Obj, key: str) -> str:
    return str(mupdf.pdf_to_name(mupdf.pdf_dict_gets(entries, key))) if mupdf.pdf_is_dict(entries) else ""
