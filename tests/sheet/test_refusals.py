"""Files and pages that cannot be read say so in one sentence with a cure, and never crash."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pikepdf
import pymupdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen import canvas

from cordpath.errors import CordpathError, LockedFile, UnreadableFile, UnreadablePage
from cordpath.sheet import page_count, read_sheet, soundness

Maker = Callable[..., Path]


def picture() -> ImageReader:
    stream = BytesIO()
    Image.new("L", (40, 40), 200).save(stream, "PNG")
    stream.seek(0)
    return ImageReader(stream)


def test_a_missing_an_empty_and_a_foreign_file(tmp_path: Path) -> None:
    for name, content in (("none.pdf", None), ("empty.pdf", b""), ("text.pdf", b"hello " * 50)):
        path = tmp_path / name
        if content is not None:
            path.write_bytes(content)
        with pytest.raises(UnreadableFile) as caught:
            read_sheet(path, 1)
        assert caught.value.cure


def test_a_picture_with_the_name_of_a_pdf(tmp_path: Path) -> None:
    path = tmp_path / "scan.pdf"
    Image.new("L", (40, 40)).save(path, "PNG")
    with pytest.raises(UnreadableFile):
        read_sheet(path, 1)


def test_a_page_that_is_not_there(make: Maker) -> None:
    path = make("0 0 m 9 9 l S")
    assert page_count(path) == 1
    for page in (0, 2):
        with pytest.raises(UnreadablePage, match="no page"):
            read_sheet(path, page)


def test_a_locked_file_asks_for_the_password(make: Maker, tmp_path: Path) -> None:
    locked = tmp_path / "locked.pdf"
    with pikepdf.open(make("10 20 m 50 20 l S")) as document:
        document.save(locked, encryption=pikepdf.Encryption(owner="o", user="u"))
    with pytest.raises(LockedFile, match="password"):
        read_sheet(locked, 1)
    with pytest.raises(LockedFile, match="does not open"):
        page_count(locked, "wrong")
    assert len(read_sheet(locked, 1, "u").strokes) == 1


def test_a_file_with_only_an_owner_password_is_read(make: Maker, tmp_path: Path) -> None:
    path = tmp_path / "restricted.pdf"
    with pikepdf.open(make("10 20 m 50 20 l S")) as document:
        document.save(path, encryption=pikepdf.Encryption(owner="o", user=""))
    assert len(read_sheet(path, 1).strokes) == 1


def test_an_empty_page(make: Maker) -> None:
    for content in ("", "1 g 0 0 200 100 re f", "1 G 0 0 m 9 9 l S"):
        with pytest.raises(UnreadablePage, match="empty"):
            read_sheet(make(content), 1)


@pytest.mark.parametrize("framed", [False, True])
def test_a_scan_is_refused_whole_or_in_tiles_under_a_frame(tmp_path: Path, framed: bool) -> None:
    path = tmp_path / "scan.pdf"
    page = canvas.Canvas(str(path), pagesize=(800, 600), invariant=1)
    for column in range(4):
        for row in range(3):
            page.drawImage(picture(), 200 * column, 200 * row, 200, 200)
    if framed:
        page.rect(10, 10, 780, 580)
        page.drawString(700, 20, "A-1")
    page.save()
    with pytest.raises(UnreadablePage, match=r"picture \(scan\): 100% covered") as caught:
        read_sheet(path, 1)
    assert "vector PDF" in caught.value.cure


def test_a_drawing_beside_a_picture_is_read_and_the_picture_mentioned(tmp_path: Path) -> None:
    path = tmp_path / "mixed.pdf"
    page = canvas.Canvas(str(path), pagesize=(800, 600), invariant=1)
    page.drawImage(picture(), 0, 0, 400, 150)
    page.line(10, 400, 500, 400)
    page.save()
    sheet = read_sheet(path, 1)
    assert any("images cover" in line for line in sheet.assumptions)


def pictured(path: Path, kind: str, data: bytes, more: str = "") -> Path:
    """A page that shows one image, 100 x 100, over all of it."""
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(800, 600))
    image = document.make_stream(
        data, Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image, Width=100, Height=100,
        Filter=pikepdf.Name("/" + kind),
    )  # fmt: skip
    if kind != "JPXDecode":
        image.ColorSpace, image.BitsPerComponent = pikepdf.Name.DeviceGray, 8
    page.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    page.Contents = document.make_stream(f"q 800 0 0 600 0 0 cm /I Do Q {more}".encode())
    document.save(path)
    return path


def jpeg2000() -> bytes:
    stream = BytesIO()
    Image.new("L", (100, 100), 200).save(stream, "JPEG2000")
    return stream.getvalue()


def test_a_scan_in_jpeg_2000_is_a_scan(tmp_path: Path) -> None:
    with pytest.raises(UnreadablePage, match=r"picture \(scan\)"):
        read_sheet(pictured(tmp_path / "a.pdf", "JPXDecode", jpeg2000()), 1)


@pytest.mark.parametrize("data", [b"no picture at all " * 20, jpeg2000()[:60], b""])
def test_a_scan_that_cannot_be_unpacked_is_damaged_and_not_empty(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(UnreadablePage, match=r"damaged") as caught:
        read_sheet(pictured(tmp_path / "a.pdf", "JPXDecode", data), 1)
    assert "empty" not in caught.value.what and caught.value.cure


@pytest.mark.parametrize("kind", ["DCTDecode", "JBIG2Decode", "NoSuchDecode"])
def test_other_broken_scans_are_refused_as_scans(tmp_path: Path, kind: str) -> None:
    with pytest.raises(UnreadablePage, match=r"picture \(scan\)"):
        read_sheet(pictured(tmp_path / "a.pdf", kind, b"no picture at all"), 1)


def test_a_page_whose_picture_is_missing_is_damaged(make: Maker) -> None:
    with pytest.raises(UnreadablePage, match="damaged"):
        read_sheet(make("q 200 0 0 100 0 0 cm /I Do Q"), 1)


@pytest.mark.parametrize("lost", [False, True])
def test_symbols_over_a_picture_of_the_plan_are_read_and_the_picture_told(tmp_path: Path, lost: bool) -> None:
    more = " ".join(f"{2 * n} 20 m {2 * n + 5} {n} l S" for n in range(350))
    data = b"no picture" if lost else jpeg2000()
    sheet = read_sheet(pictured(tmp_path / "a.pdf", "JPXDecode", data, more), 1)
    assert len(sheet.strokes) == 350
    told = "some of it may be missing" if lost else "images cover 100% of the page: what they show was not read"
    assert any(told in said for said in sheet.assumptions)
    assert bool(sheet.damage) == lost


@pytest.mark.parametrize("off", [60, 180, 300])
def test_a_truncated_file_is_read_with_a_warning_or_refused(make: Maker, off: int) -> None:
    path = make("10 20 m 50 20 l S " * 200)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) - off])
    if whole.find(b"endstream") > len(whole) - off:  # a part of the drawing itself is gone
        with pytest.raises(UnreadablePage, match="lost"):
            read_sheet(path, 1)
        return
    sheet = read_sheet(path, 1)
    assert len(sheet.strokes) == 200
    assert any("repaired" in line and "missing" in line for line in sheet.assumptions)


def test_a_damaged_stream_is_said(make: Maker, tmp_path: Path) -> None:
    packed = tmp_path / "packed.pdf"
    with pikepdf.open(make("".join(f"{n} 20 m {n + 5} 27 l S " for n in range(190)))) as document:
        document.save(packed, compress_streams=True, object_stream_mode=pikepdf.ObjectStreamMode.disable,
                      recompress_flate=True)  # fmt: skip
    content = bytearray(packed.read_bytes())
    start = content.find(b"stream\n", content.find(b"FlateDecode")) + 7
    content[start + 60 : start + 90] = b"\x00" * 30
    packed.write_bytes(bytes(content))
    try:
        sheet = read_sheet(packed, 1)
    except CordpathError:
        return
    assert any("missing" in line for line in sheet.assumptions)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("packed", [False, True])
def test_content_that_breaks_off_is_no_sheet_with_fewer_marks(
    make: Maker, tmp_path: Path, share: float, packed: bool
) -> None:
    path = tmp_path / "whole.pdf"
    with pikepdf.open(make("".join(f"{n % 97} 20 m {n} {n * 7 % 83} l S " for n in range(900)))) as document:
        document.save(path, compress_streams=packed, recompress_flate=packed,
                      object_stream_mode=pikepdf.ObjectStreamMode.disable)  # fmt: skip
    whole = path.read_bytes()
    start, end = whole.find(b"stream\n"), whole.find(b"endstream")
    path.write_bytes(whole[: start + int(share * (end - start))] + b"\x00" * 300)
    with pytest.raises(CordpathError, match=r"lost|no pages|cannot be read") as caught:
        read_sheet(path, 1)
    assert caught.value.cure


def test_a_broken_table_of_objects_alone_loses_nothing(make: Maker) -> None:
    path = make("10 20 m 50 20 l S " * 200)
    path.write_bytes(path.read_bytes().replace(b"startxref", b"startxxxx"))
    sheet = read_sheet(path, 1)
    assert len(sheet.strokes) == 200 and any("repaired" in line for line in sheet.assumptions)


@pytest.mark.parametrize("locked", [False, True])
def test_an_empty_stream_among_the_contents_is_no_damage(make: Maker, tmp_path: Path, locked: bool) -> None:
    path = tmp_path / "stamped.pdf"
    with pikepdf.open(make("10 20 m 50 20 l S " * 200)) as document:
        document.pages[0].contents_add(b"", prepend=True)
        key = pikepdf.Encryption(owner="o", user="") if locked else False
        document.save(path, compress_streams=True, encryption=key)
    sheet = read_sheet(path, 1)
    assert len(sheet.strokes) == 200 and not sheet.assumptions


def test_a_form_that_is_damaged_is_the_page_that_is_damaged(tmp_path: Path) -> None:
    path = tmp_path / "form.pdf"
    page = canvas.Canvas(str(path), pagesize=(400, 300), invariant=1, pageCompression=1)
    page.beginForm("part")
    for n in range(300):
        page.line(n, 20, n * 7 % 311, 200)
    page.endForm()
    page.doForm("part")
    page.save()
    content = bytearray(path.read_bytes())
    at = content.find(b"stream", content.find(b"/Form")) + 60
    content[at : at + 20] = b"!" * 20
    path.write_bytes(bytes(content))
    with pytest.raises(UnreadablePage, match="lost"):
        read_sheet(path, 1)


def test_forms_that_share_their_resources_are_looked_through_once(make: Maker) -> None:
    """Each of 60 forms named all 60 and was looked through for each that named it: of 2,000 for a minute."""
    count = 60
    names = "".join(f"/X{k} {6 + k} 0 R" for k in range(count))
    form = ("<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Resources 5 0 R>>", "20 20 m 100 20 l S")
    path = make("/X0 Do", resources=f"/XObject<<{names}>>", objects=(f"<</XObject<<{names}>>>>", *[form] * count))
    with pymupdf.open(path) as document:
        assert list(soundness._forms(document, document[0])) == list(range(6, 6 + count))
    assert len(read_sheet(path, 1).strokes.xy) == 1


def test_a_page_that_unpacks_without_end_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.pdf"
    deflate = zlib.compressobj(1)
    bomb = b"".join(deflate.compress(b"\n" * (1 << 20)) for _ in range(600)) + deflate.flush()
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(400, 300))
        document.pages[0].Contents = document.make_stream(
            zlib.compress(bomb), Filter=pikepdf.Array([pikepdf.Name.FlateDecode, pikepdf.Name.FlateDecode])
        )
        document.save(path, compress_streams=False)
    assert path.stat().st_size < 100_000
    with pytest.raises(UnreadablePage, match="unpacks"):
        read_sheet(path, 1)


def test_a_page_larger_than_any_paper_is_refused(make: Maker) -> None:
    content = "10 20 m 50 20 l S"
    assert read_sheet(make(content, media="[0 0 28000 200]"), 1).width == 28000
    with pytest.raises(UnreadablePage, match="1,042 ft") as caught:
        read_sheet(make(content, media="[0 0 900000 900000]"), 1)
    assert "scale" in caught.value.cure


def test_states_restored_that_were_never_saved_are_no_damage(make: Maker) -> None:
    sheet = read_sheet(make("Q Q 10 20 m 50 20 l S Q Q"), 1)
    assert len(sheet.strokes) == 1 and sheet.damage is None


def test_what_is_said_of_bytes_that_are_no_text_can_be_written(make: Maker) -> None:
    path = make("10 20 m 50 20 l S 15.00?20 l")
    path.write_bytes(path.read_bytes().replace(b"?", b"\xa2"))
    said = " ".join(read_sheet(path, 1).assumptions)
    assert "15.00" in said and said.isprintable() and said.encode()


def test_a_sound_file_has_no_assumptions(make: Maker) -> None:
    assert read_sheet(make("10 20 m 50 20 l S"), 1).assumptions == ()


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_damage_gives_a_sheet_or_one_clear_error(make: Maker, data: st.DataObject) -> None:
    path = make("q 1 0 0 1 5 5 cm 10 20 m 50 20 90 40 20 10 c B Q BT /F 9 Tf 20 20 Td (BATH) Tj ET " * 4)
    content = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 12))):
        content[data.draw(st.integers(9, len(content) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(bytes(content))
    try:
        read_sheet(path, 1)
    except CordpathError as error:
        assert error.what


def test_a_content_stream_that_the_file_lost_is_one_clear_error(make: Maker) -> None:
    """Found by the test before: one byte set to 0."""
    path = make("q 1 0 0 1 5 5 cm 10 20 m 50 20 90 40 20 10 c B Q BT /F 9 Tf 20 20 Td (BATH) Tj ET " * 4)
    content = bytearray(path.read_bytes())
    content[259] = 0
    path.write_bytes(bytes(content))
    with pytest.raises(UnreadablePage):
        read_sheet(path, 1)


@pytest.mark.parametrize(
    "content", ["1e30 1e30 m 1e38 5 l S 10 20 m 50 20 l S", "1e9 0 0 1e9 0 0 cm 1 1 m 2 2 l S 0 0 m 1 1 l S"]
)
def test_absurd_coordinates_do_no_harm(make: Maker, content: str) -> None:
    try:
        sheet = read_sheet(make(content), 1)
    except UnreadablePage:
        return
    assert (abs(sheet.strokes.xy) <= 1000).all()
