"""Small plans as PDF files, with a mark drawn where an outlet stands."""

from __future__ import annotations

from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name

from cordpath.frame import PageFrame, inverse
from cordpath.model import Point


def plan_pdf(
    path: Path, marks: list[Point], frame: PageFrame, media: tuple[float, float, float, float], pages: int = 1
) -> None:
    """Pages of that frame with a green square of 8 pt around each mark, placed in page coordinates."""
    pdf = pikepdf.new()
    a, b, c, d, e, f = inverse(frame.matrix)
    squares = "\n".join(f"{x - 4:.3f} {y - 4:.3f} 8 8 re f" for x, y in marks)
    content = f"q 0 0.8 0 rg {a:.6f} {b:.6f} {c:.6f} {d:.6f} {e:.6f} {f:.6f} cm\n{squares}\nQ\n".encode()
    for _ in range(pages):
        entries = Dictionary(
            Type=Name.Page, MediaBox=Array([*media]), CropBox=Array([*frame.crop]), Rotate=frame.rotate,
            Resources=Dictionary(), Contents=pdf.make_stream(content),
        )  # fmt: skip
        if frame.user_unit != 1.0:
            entries.UserUnit = frame.user_unit
        pdf.pages.append(pikepdf.Page(pdf.make_indirect(entries)))
    pdf.save(path, static_id=True)


def simple_pdf(path: Path, pages: int = 1, size: tuple[float, float] = (612.0, 396.0)) -> Path:
    box = (0.0, 0.0, *size)
    plan_pdf(path, [(100.0, 100.0), (300.0, 200.0)], PageFrame(box), box, pages)
    return path
