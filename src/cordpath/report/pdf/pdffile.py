"""Additions to a PDF that is open for an incremental update: annotations, a layer, bookmarks, pages.

Only new objects are made and only the containers that must name them are changed (page, catalog, page tree, outline
root), so that nothing of the input is rewritten.  Terms: *xref*, the number of an object; *layer*, an optional
content group (ISO 32000-2:2020, 8.11).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import pymupdf
from pymupdf import mupdf

from cordpath.errors import LockedFile, UnreadableFile
from cordpath.frame import PageFrame, page_frame
from cordpath.model import Box
from cordpath.report.pdf.canvas import FACES, Canvas, face, numbers

HIDDEN = 2 | 32  # ISO 32000-2:2020, table 167: hidden, not viewed


def open_copy(path: Path, source: Path, password: str | None) -> pymupdf.Document:
    """Open a copy of ``source`` for writing.  Raises UnreadableFile, LockedFile."""
    pymupdf.TOOLS.mupdf_display_errors(False)  # the library would print them
    pymupdf.TOOLS.mupdf_display_warnings(False)
    try:
        document = pymupdf.open(path, filetype="pdf")
    except Exception as error:
        raise UnreadableFile(
            "the file cannot be read as a PDF", where=str(source), cure="open it in a PDF viewer and save it again"
        ) from error
    if document.needs_pass and not (password is not None and document.authenticate(password)):
        document.close()
        what = "the file is locked with a password" if password is None else "the password does not open the file"
        raise LockedFile(
            what, where=str(source), cure="save it without a password, or give the password with --password-file"
        )
    return document


def literal(text: str) -> str:
    """A PDF string object."""
    return str(pymupdf.get_pdf_str(text))


class PdfFile:
    """A document being added to."""

    def __init__(self, document: pymupdf.Document) -> None:
        self.document = document
        self._pdf = mupdf.pdf_document_from_fz_document(document.this)
        self.catalog = mupdf.pdf_dict_gets(mupdf.pdf_trailer(self._pdf), "Root")
        self.faces: dict[str, int] = {}

    # ------------------------------------------------------------------------------------------ objects

    def add(self, source: str, stream: bytes | None = None) -> int:
        """A new object from PDF source text; its xref."""
        xref = self.reserve()
        self.fill(xref, source, stream)
        return xref

    def reserve(self) -> int:
        return int(self.document.get_new_xref())

    def fill(self, xref: int, source: str, stream: bytes | None = None) -> None:
        self.document.update_object(xref, source)
        if stream is not None:
            self.document.update_stream(xref, stream, new=True)

    def reference(self, xref: int) -> mupdf.PdfObj:
        return mupdf.pdf_new_indirect(self._pdf, xref, 0)

    def resources(self) -> str:
        """Resource entry for canvases: the two faces, which are embedded when they are first asked for."""
        if not self.faces:
            for name in FACES:
                self.faces[name] = int(mupdf.pdf_to_num(mupdf.pdf_add_cid_font(self._pdf, face(name).this)))
        return "<</Font<<" + "".join(f"/{name} {self.faces[name]} 0 R" for name in FACES) + ">>>>"

    # -------------------------------------------------------------------------------------------- pages

    @property
    def page_count(self) -> int:
        return int(self.document.page_count)

    def entries(self, index: int) -> mupdf.PdfObj:
        return mupdf.pdf_lookup_page_obj(self._pdf, index)

    def sound(self, index: int) -> bool:
        """Is there a page that marks can be put on?"""
        try:
            return (
                0 <= index < self.page_count
                and mupdf.pdf_is_dict(self.entries(index))
                and self.page_xref(index) > 0
            )
        except mupdf.FzErrorBase:
            return False

    def page_xref(self, index: int) -> int:
        return int(mupdf.pdf_to_num(self.entries(index)))

    def frame(self, index: int) -> PageFrame:
        """How the page is shown; the same reading of its entries as when the sheet was read."""
        return page_frame(self.entries(index))

    def append_page(self, width: float, height: float) -> int:
        """An empty page at the end; its index.  Says for itself whatever it could inherit from the page tree."""
        page = self.document.new_page(-1, width, height)
        box = f"[0 0 {numbers(width, height)}]"
        for key, value in (("MediaBox", box), ("CropBox", box), ("Rotate", "0")):
            self.document.xref_set_key(page.xref, key, value)
        return int(page.number)

    def fill_page(self, index: int, canvas: Canvas) -> None:
        """Draw on a page that was appended."""
        height = self.frame(index).size[1]
        xref = self.page_xref(index)
        content = self.add("<<>>", canvas.bytes((1, 0, 0, -1, 0, height)))
        self.document.xref_set_key(xref, "Resources", self.resources())
        self.document.xref_set_key(xref, "Contents", f"{content} 0 R")

    def annotations(self, index: int) -> list[mupdf.PdfObj]:
        """The annotations that a page names, dictionaries only."""
        listed = mupdf.pdf_dict_gets(self.entries(index), "Annots")
        count = mupdf.pdf_array_len(listed) if mupdf.pdf_is_array(listed) else 0
        every = (mupdf.pdf_array_get(listed, k) for k in range(count))
        return [one for one in every if mupdf.pdf_is_dict(one)]

    def annotation_boxes(self, index: int) -> list[tuple[str, Box]]:
        """(kind, rectangle in user space) of the annotations of a page that are not hidden."""
        found = []
        for one in self.annotations(index):
            hidden = mupdf.pdf_to_int(mupdf.pdf_dict_gets(one, "F")) & HIDDEN
            rect = mupdf.pdf_to_rect(mupdf.pdf_dict_gets(one, "Rect"))
            box = (float(rect.x0), float(rect.y0), float(rect.x1), float(rect.y1))
            if not hidden and all(map(math.isfinite, box)) and box[0] < box[2] and box[1] < box[3]:
                found.append((str(mupdf.pdf_to_name(mupdf.pdf_dict_gets(one, "Subtype"))), box))
        return found

    def add_annotations(self, index: int, xrefs: Sequence[int], replacing: str) -> int:
        """Name annotations in the page's list, in place of those whose name begins with ``replacing``.

        The list is copied, for two pages may share one.  Returns how many were replaced.
        """
        entries = self.entries(index)
        old = mupdf.pdf_dict_gets(entries, "Annots")
        fresh = mupdf.pdf_new_array(self._pdf, len(xrefs))
        replaced = 0
        if mupdf.pdf_is_array(old):
            for k in range(mupdf.pdf_array_len(old)):
                annotation = mupdf.pdf_array_get(old, k)
                if mupdf.pdf_to_text_string(mupdf.pdf_dict_gets(annotation, "NM")).startswith(replacing):
                    replaced += 1
                else:
                    mupdf.pdf_array_push(fresh, annotation)
        if not xrefs and not replaced:
            return 0
        for xref in xrefs:
            mupdf.pdf_array_push(fresh, self.reference(xref))
        mupdf.pdf_dict_puts(entries, "Annots", fresh)
        return replaced

    # -------------------------------------------------------------------------------------------- layer

    def layer(self, name: str) -> int:
        """The xref of a layer of that name, shown and listed; made where there is none."""
        named = [xref for xref, group in self.document.get_ocgs().items() if group.get("name") == name]
        properties = self._sub(self.catalog, "OCProperties")
        default = self._sub(properties, "D")
        if named:
            self._drop(default, "OFF", named[0])  # marks of an earlier run may have been switched off
            self._drop(default, "ON", named[0])
        group = int(named[0]) if named else self.add(f"<</Type/OCG/Name{literal(name)}/Intent/View>>")
        self._push(default, "ON", group)
        if not named:
            self._push(properties, "OCGs", group)
            self._push(default, "Order", group)
        return group

    def _drop(self, holder: mupdf.PdfObj, key: str, xref: int) -> None:
        found = mupdf.pdf_dict_gets(holder, key)
        if mupdf.pdf_is_array(found):
            for k in reversed(range(mupdf.pdf_array_len(found))):
                if mupdf.pdf_to_num(mupdf.pdf_array_get(found, k)) == xref:
                    mupdf.pdf_array_delete(found, k)

    def _sub(self, holder: mupdf.PdfObj, key: str) -> mupdf.PdfObj:
        found = mupdf.pdf_dict_gets(holder, key)
        if not mupdf.pdf_is_dict(found):
            found = mupdf.pdf_new_dict(self._pdf, 4)
            mupdf.pdf_dict_puts(holder, key, found)
        return found

    def _push(self, holder: mupdf.PdfObj, key: str, xref: int) -> None:
        found = mupdf.pdf_dict_gets(holder, key)
        if not mupdf.pdf_is_array(found):
            found = mupdf.pdf_new_array(self._pdf, 1)
            mupdf.pdf_dict_puts(holder, key, found)
        mupdf.pdf_array_push(found, self.reference(xref))

    # ---------------------------------------------------------------------------------------- bookmarks

    def add_bookmark(self, title: str, destination: str, children: Iterable[tuple[str, str]] = ()) -> None:
        """A bookmark after the existing ones, with closed children (title, destination)."""
        root = mupdf.pdf_dict_gets(self.catalog, "Outlines")
        if not (mupdf.pdf_is_dict(root) and mupdf.pdf_to_num(root)):
            xref = self.add("<</Type/Outlines/Count 0>>")
            mupdf.pdf_dict_puts(self.catalog, "Outlines", self.reference(xref))
            root = mupdf.pdf_dict_gets(self.catalog, "Outlines")
        item = self.reserve()
        children = list(children)
        kids = [self.reserve() for _ in children]
        for k, (name, target) in enumerate(children):
            chain = _chain({"Prev": kids[k - 1] if k else 0, "Next": kids[k + 1] if k + 1 < len(kids) else 0})
            self.fill(kids[k], f"<</Title{literal(name)}/Parent {item} 0 R/Dest {target}{chain}>>")
        last = mupdf.pdf_to_num(mupdf.pdf_dict_gets(root, "Last"))
        family = f"/Count {-len(kids)}{_chain({'First': kids[0], 'Last': kids[-1]})}" if kids else ""
        chain = _chain({"Parent": mupdf.pdf_to_num(root), "Prev": last})
        self.fill(item, f"<</Title{literal(title)}/Dest {destination}{chain}{family}>>")
        if last:
            mupdf.pdf_dict_puts(mupdf.pdf_dict_gets(root, "Last"), "Next", self.reference(item))
        else:
            mupdf.pdf_dict_puts(root, "First", self.reference(item))
        mupdf.pdf_dict_puts(root, "Last", self.reference(item))
        count = mupdf.pdf_to_int(mupdf.pdf_dict_gets(root, "Count"))
        mupdf.pdf_dict_puts(root, "Count", mupdf.pdf_new_int(max(count, 0) + 1))

    def label_pages(self, first: int, prefix: str) -> None:
        """Give the pages from index ``first`` on labels of their own where the file labels its pages."""
        labels = mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(self.catalog, "PageLabels"), "Nums")
        if mupdf.pdf_is_array(labels):  # a tree of several levels is left as it is
            entry = self.add(f"<</S/D/P{literal(prefix)}>>")
            mupdf.pdf_array_push(labels, mupdf.pdf_new_int(first))
            mupdf.pdf_array_push(labels, self.reference(entry))

    # ------------------------------------------------------------------------------------------- saving

    def raise_version(self) -> None:
        """Say in the catalog that the file uses PDF 1.7 where its header names less than 1.6 (cloud intents)."""
        version = str((self.document.metadata or {}).get("format") or "").removeprefix("PDF ")
        if version and version < "1.6":
            mupdf.pdf_dict_puts(self.catalog, "Version", mupdf.pdf_new_name("1.7"))

    def save(self, path: Path) -> bool:
        """Save into the file that was opened (True), or whole where that is refused (False)."""
        keep = {"encryption": pymupdf.PDF_ENCRYPT_KEEP, "no_new_id": True, "deflate": True, "deflate_fonts": True}
        if not self.document.is_repaired and self.document.can_save_incrementally():
            self.document.save(str(path), incremental=True, **keep)
            return True
        path.write_bytes(self.document.tobytes(garbage=0, **keep))
        return False


def _chain(entries: Mapping[str, int]) -> str:
    return "".join(f"/{key} {xref} 0 R" for key, xref in entries.items() if xref)
