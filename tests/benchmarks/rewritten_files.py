"""Content streams, files and page entries."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pikepdf
import pymupdf
from house_ink import Paper
from house_writers import _num
from pikepdf import Array
from rewritten_hidden import decoys
from rewritten_page import (
    WAYS,
    Leaf,
    Way,
    plain,
    way,
)

# ---------------------------------------------------------------------------------------------- streams and files


def raw(name: str, **more: Any) -> Callable[[Callable[[str, Random], str]], None]:
    """A way that changes the bytes of the content stream."""

    def add(write: Callable[[str, Random], str]) -> None:
        def whole(paper: Paper, path: Path, r: Random) -> None:
            leaf = Leaf(paper)
            body = f"q 1 0 0 -1 0 {_num(paper.height)} cm\n{leaf.text(paper.items)}Q\n"
            leaf.finish(path, content=write(body, r).encode("latin-1"))

        whole.__doc__ = write.__doc__
        WAYS.append(Way(name, whole, **more))

    return add


@raw("missing Q")
def _(body: str, r: Random) -> str:
    return "q q q\n" + body.removesuffix("Q\n")


@raw("too many Q")
def _(body: str, r: Random) -> str:
    return "Q Q\n" + body + "Q Q Q\n"


@raw("stray operators")
def _(body: str, r: Random) -> str:
    lines = body.split("\n")
    for k in range(5, len(lines), max(5, len(lines) // 12)):
        lines[k] = "BX 3 (x) foo EX 1 2 sc0 % comment\n" + lines[k]
    return "\n".join(lines)


@raw("odd numbers")
def _(body: str, r: Random) -> str:
    """+5, 5., .5, 00005"""
    count = 0

    def odd(match: re.Match[str]) -> str:
        nonlocal count
        count += 1
        text = match.group(0)
        if count % 3 == 0 and not text.startswith("-"):
            return "+" + text
        return text + "." if "." not in text and count % 3 == 1 else text

    return re.sub(r"(?<![\w(/.+'\"-])-?\d+(?:\.\d+)?(?= -?\d+(?:\.\d+)? [ml]\b)", odd, body)


@way("content in many streams")
def many_streams(paper: Paper, path: Path, r: Random) -> None:
    """The content cut between operators, one stream each."""
    leaf = Leaf(paper)
    body = f"q 1 0 0 -1 0 {_num(paper.height)} cm\n{leaf.text(paper.items)}Q\n"
    lines = body.split("\n")
    parts = ["\n".join(lines[k : k + 40]) for k in range(0, len(lines), 40)]
    leaf.finish(path, content=Array([leaf.pdf.make_stream(part.encode("latin-1")) for part in parts]))


def saved(name: str, **save: Any) -> None:
    def whole(paper: Paper, path: Path, r: Random) -> None:
        leaf = Leaf(paper)
        leaf.out.append(leaf.text(paper.items))
        leaf.finish(path, **save)

    WAYS.append(Way(name, whole))


saved("object streams", object_stream_mode=pikepdf.ObjectStreamMode.generate)
saved("linearised", linearize=True, deterministic_id=False)
saved("PDF 2.0", force_version="2.0")
saved(
    "encrypted, no user password",
    encryption=pikepdf.Encryption(owner="secret", user="", R=6),
    deterministic_id=False,
)
saved(
    "encrypted RC4, no user password", deterministic_id=False,
    encryption=pikepdf.Encryption(owner="secret", user="", R=3, aes=False, metadata=False),
)  # fmt: skip


@way("incremental update")
def updated(paper: Paper, path: Path, r: Random) -> None:
    """An older state of the page with decoys, and the true one appended."""
    leaf = Leaf(paper)
    leaf.out.append(leaf.text(paper.items) + leaf.text(decoys(paper)))
    leaf.finish(path, compress_streams=False)
    with pymupdf.open(path) as document:
        page = document[0]
        body = f"q 1 0 0 -1 0 {_num(paper.height)} cm\n{leaf.text(paper.items)}Q\n"
        document.update_stream(page.get_contents()[0], body.encode("latin-1"))
        document.saveIncr()


@way("table of objects gone")
def no_table(paper: Paper, path: Path, r: Random) -> None:
    """startxref points nowhere; junk before the head."""
    plain(paper, path, r)
    data = path.read_bytes()
    path.write_bytes(b"junk\n" + re.sub(rb"startxref\n\d+", b"startxref\n7", data))


# --------------------------------------------------------------------------------------------------- page entries


def framed(name: str, entries: Callable[[float, float], tuple[str, dict[str, Any]]]) -> None:
    """``entries``: (matrix from y-down page points to user space, page entries)."""

    def whole(paper: Paper, path: Path, r: Random) -> None:
        leaf = Leaf(paper)
        leaf.out.append(leaf.text(paper.items))
        matrix, more = entries(paper.width, paper.height)
        leaf.page |= more
        leaf.finish(path, matrix)

    WAYS.append(Way("page: " + name, whole))


framed("unit 0.5", lambda w, h: (f"2 0 0 -2 0 {2 * h}", {"UserUnit": 0.5, "MediaBox": Array([0, 0, 2 * w, 2 * h])}))
framed(
    "unit 10", lambda w, h: (f".1 0 0 -.1 0 {h / 10}", {"UserUnit": 10, "MediaBox": Array([0, 0, w / 10, h / 10])})
)
framed(
    "crop in a huge box",
    lambda w, h: (
        f"1 0 0 -1 500 {h - 300}",
        {"MediaBox": Array([-9000, -9000, 9000, 9000]), "CropBox": Array([500, -300, 500 + w, h - 300])},
    ),
)
framed("corners swapped", lambda w, h: (f"1 0 0 -1 -50 {h + 20}", {"MediaBox": Array([w - 50, h + 20, -50, 20])}))
framed(
    "turned 90, off the origin, crop",
    lambda w, h: (
        "0 1 1 0 -40 70",
        {
            "MediaBox": Array([-300, -300, h + 300, w + 300]),
            "CropBox": Array([-40, 70, h - 40, w + 70]),
            "Rotate": 90,
        },
    ),
)
framed(
    "turned -90 and unit 2",
    lambda w, h: (
        f"0 -.5 -.5 0 {h / 2} {w / 2}",
        {"MediaBox": Array([0, 0, h / 2, w / 2]), "Rotate": -90, "UserUnit": 2},
    ),
)
framed("turned 540", lambda w, h: (f"-1 0 0 1 {w} 0", {"Rotate": 540}))
