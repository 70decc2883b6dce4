"""The XFDF file as Apache PDFBox reads it (FDFDocument.loadXFDF), which had no part in writing it.

Skipped where there is no Java or PDFBox; on Debian: ``apt-get install libpdfbox2-java default-jdk-headless``.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest
from report_builder import RUN, missing, result, unresolved
from report_pdfs import plan_pdf

from cordpath.frame import PageFrame
from cordpath.report import CAUTIONS, write_marked, write_xfdf

JARS = [Path("/usr/share/java") / f"{name}.jar" for name in ("pdfbox2", "fontbox2", "commons-logging")]
JAVA = shutil.which("java")
READER = """
import org.apache.pdfbox.pdmodel.fdf.*;
public class Reader {
  public static void main(String[] files) throws Exception {
    FDFDictionary read = FDFDocument.loadXFDF(files[0]).getCatalog().getFDF();
    System.out.println(read.getFile().getFile());
    for (FDFAnnotation a : read.getAnnotations()) {
      float[] points = a instanceof FDFAnnotationPolygon ? ((FDFAnnotationPolygon) a).getVertices()
        : a instanceof FDFAnnotationPolyline ? ((FDFAnnotationPolyline) a).getVertices() : new float[0];
      String effect = a.getBorderEffect() == null ? "" : a.getBorderEffect().getStyle();
      System.out.println(String.join("\\t", a.getName(), a.getClass().getSimpleName(), "" + a.getPage(),
        java.util.Arrays.toString(a.getRectangle().getCOSArray().toFloatArray()), java.util.Arrays.toString(points),
        effect, "" + a.isPrinted(), a.getTitle(), a.getContents().replace("\\n", "|")));
    }
  }
}
"""


def floats(text: str) -> list[float]:
    return [float(part) for part in text.strip("[]").split(",") if part.strip()]


@pytest.mark.skipif(JAVA is None or not all(jar.exists() for jar in JARS), reason="no Java with PDFBox here")
def test_pdfbox_reads_every_mark_at_its_place(tmp_path: Path) -> None:
    frame = PageFrame((50.0, 20.0, 450.0, 320.0), 90)
    plan_pdf(tmp_path / "plan.pdf", [(100.0, 100.0), (200.0, 300.0)], frame, frame.crop)
    found = (missing("1", (100.0, 100.0), (150.0, 150.0)), unresolved("2", (200.0, 300.0), (150.0, 150.0)))
    write_marked(tmp_path / "plan.pdf", tmp_path / "marked.pdf", (result(found, size=frame.size),), RUN)
    assert write_xfdf(tmp_path / "marked.pdf", tmp_path / "marked.xfdf", "plan.pdf") == 6
    (tmp_path / "Reader.java").write_text(READER)
    done = subprocess.run(
        [str(JAVA), "-cp", ":".join(map(str, JARS)), "Reader.java", "marked.xfdf"],
        cwd=tmp_path, capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    file, *lines = done.stdout.splitlines()
    assert file == "plan.pdf"
    read = {line.split("\t")[0]: line.split("\t")[1:] for line in lines}
    kind, page, *_, contents = read.pop("cordpath-cautions")
    assert (kind, page, contents.split("|")) == ("FDFAnnotationText", "0", list(CAUTIONS))
    with pikepdf.open(tmp_path / "marked.pdf") as pdf:
        drawn = {str(a.NM): a for a in pdf.pages[0].Annots if str(a.Subtype) != "/Link"}
        assert set(read) == set(drawn)
        for name, (kind, page, rect, points, effect, printed, title, contents) in read.items():
            made = drawn[name]
            assert kind.lower() == f"fdfannotation{str(made.Subtype)[1:].lower()}"
            assert (page, printed, title) == ("0", "true", "cordpath")
            assert floats(rect) == pytest.approx([float(v) for v in made.Rect], abs=1e-3)
            assert floats(points) == pytest.approx([float(v) for v in made.get("/Vertices", [])], abs=1e-3)
            assert contents == str(made.Contents).replace("\n", "|")
            assert (effect == "C") is name.endswith("-cloud")
