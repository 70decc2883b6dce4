"""PDFs that are damaged, endless, nested, cyclic, enormous, or up to something; each made from a few lines.

``CORPUS`` names them; each gives the bytes of a file.  Written by hand, since no PDF library writes such files.
"""

# ruff: noqa: E501 (objects of a PDF read worse when they are broken up)
from __future__ import annotations

import random
import zlib
from collections.abc import Callable
from functools import cache
from io import BytesIO

import pikepdf

import small_house

LINES = b"".join(b"%d %d m %d %d l S\n" % (40 + n % 20 * 26, 60 + n // 20 * 30, 52 + n % 20 * 26, 60 + n // 20 * 30)
                 for n in range(400))  # fmt: skip
Parts = dict[int, bytes]
SMALL_HOUSE, SYMBOLS = small_house.files()
CORPUS: dict[str, Callable[[], bytes]] = {}


def pdf(parts: Parts, trailer: bytes = b"/Root 1 0 R") -> bytes:
    """A file of numbered objects with a true cross-reference table."""
    out, places = bytearray(b"%PDF-1.7\n"), {}
    for number, body in parts.items():
        places[number] = len(out)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    size = max(parts) + 1
    table = b"".join(
        b"%010d 00000 n \n" % places[n] if n in places else b"0000000000 65535 f \n" for n in range(size)
    )
    end = b"xref\n0 %d\n%strailer<</Size %d%s>>\nstartxref\n%d\n%%%%EOF"
    return bytes(out) + end % (size, table, size, trailer, len(out))


def stream(data: bytes, entries: bytes = b"") -> bytes:
    return b"<</Length %d%s>>\nstream\n%s\nendstream" % (len(data), entries, data)


def page(content: bytes = LINES, page: bytes = b"/MediaBox[0 0 612 792]", resources: bytes = b"<<>>",
         catalog: bytes = b"", more: Parts | None = None, raw: bytes | None = None) -> bytes:  # fmt: skip
    """One page; ``raw`` is its content stream as an object where ``content`` is not what is wanted."""
    return pdf({
        1: b"<</Type/Catalog/Pages 2 0 R%s>>" % catalog,
        2: b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        3: b"<</Type/Page/Parent 2 0 R%s/Contents 4 0 R/Resources%s>>" % (page, resources),
        4: stream(content) if raw is None else raw,
        **(more or {}),
    })  # fmt: skip


def case(maker: Callable[[], bytes]) -> Callable[[], bytes]:
    CORPUS[maker.__name__] = maker
    return maker


def cases(**made: Callable[[], bytes]) -> None:
    CORPUS.update(made)


def flate(size: int, unit: bytes) -> bytes:
    deflate = zlib.compressobj(1)
    block = unit * (1 << 18)
    return b"".join(deflate.compress(block) for _ in range(size // len(block) + 1)) + deflate.flush()


# ------------------------------------------------------------------------------------------------- damage


@cache
def good() -> bytes:
    """A sheet with nothing wrong, its streams packed."""
    out = BytesIO()
    with pikepdf.open(SMALL_HOUSE) as document:
        document.save(out, stream_decode_level=pikepdf.StreamDecodeLevel.all, deterministic_id=True)
    return out.getvalue()


IN_THE_STREAM = good().index(b"stream\n", good().index(b"/FlateDecode")) + 100


cases(
    nothing=lambda: b"",
    one_byte=lambda: b"%",
    header_only=lambda: b"%PDF-1.7\n",
    header_and_end=lambda: b"%PDF-1.7\n%%EOF",
    zeros=lambda: bytes(100_000),
    noise=lambda: b"%PDF-1.7\n" + random.Random(1).randbytes(50_000),
    text=lambda: b"this is no PDF\n" * 100,
    picture=lambda: b"\x89PNG\r\n\x1a\n" + bytes(500),
    html=lambda: b"<html><script>alert(1)</script></html>",
    cut_in_the_middle=lambda: good()[: len(good()) // 2],
    cut_at_a_tenth=lambda: good()[: len(good()) // 10],
    first_half_missing=lambda: b"%PDF-1.3\n" + good()[len(good()) // 2 :],
    hole_in_the_stream=lambda: good()[:IN_THE_STREAM] + bytes(60) + good()[IN_THE_STREAM + 60 :],
    lines_ends_changed=lambda: good().replace(b"\n", b"\r\n").replace(b"\r\r", b"\r"),
    utf16=lambda: good().decode("latin-1").encode("utf-16"),
    twice=lambda: good() + good(),
    xref_gone=lambda: good().replace(b"startxref", b"startxxxx"),
    xref_far_away=lambda: good().rsplit(b"startxref", 1)[0] + b"startxref\n99999999999999999999\n%%EOF",
    xref_negative=lambda: good().rsplit(b"startxref", 1)[0] + b"startxref\n-5\n%%EOF",
    xref_huge_count=lambda: page().replace(b"xref\n0 5", b"xref\n0 2000000000"),
    xref_to_itself=lambda: page().replace(b"trailer<<", b"trailer<</Prev 9 "),
    no_root=lambda: page().replace(b"/Root 1 0 R", b""),
    root_is_a_number=lambda: page().replace(b"/Root 1 0 R", b"/Root 7"),
    no_pages=lambda: pdf({1: b"<</Type/Catalog>>"}),
    empty_pages=lambda: pdf({1: b"<</Type/Catalog/Pages 2 0 R>>", 2: b"<</Type/Pages/Kids[]/Count 0>>"}),
    count_is_a_lie=lambda: page().replace(b"/Count 1", b"/Count 2147483647"),
    count_is_negative=lambda: page().replace(b"/Count 1", b"/Count -1"),
    kids_missing=lambda: page().replace(b"[3 0 R]", b"[9 0 R]"),
    page_is_a_string=lambda: page().replace(b"[3 0 R]", b"[(page)]"),
    content_missing=lambda: page().replace(b"/Contents 4 0 R", b"/Contents 77 0 R"),
    content_is_a_page=lambda: page().replace(b"/Contents 4 0 R", b"/Contents 3 0 R"),
    stream_length_wrong=lambda: page().replace(b"/Length %d" % len(LINES), b"/Length 7"),
    stream_length_itself=lambda: page().replace(b"/Length %d" % len(LINES), b"/Length 4 0 R"),
    unknown_filter=lambda: page(raw=stream(LINES, b"/Filter/Nonesuch")),
    false_flate=lambda: page(raw=stream(LINES, b"/Filter/FlateDecode")),
    false_lzw=lambda: page(raw=stream(LINES, b"/Filter/LZWDecode")),
    false_jbig2=lambda: page(raw=stream(LINES, b"/Filter/JBIG2Decode")),
    broken_predictor=lambda: page(raw=stream(zlib.compress(LINES), b"/Filter/FlateDecode/DecodeParms<</Predictor 15"
                                             b"/Columns 2147483647/Colors 99/BitsPerComponent 32>>")),
)  # fmt: skip


def _objects_in_streams(break_it: bool) -> bytes:
    out = BytesIO()
    with pikepdf.open(BytesIO(good())) as document:
        document.save(out, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    data = out.getvalue()
    at = data.find(b"stream", data.find(b"/ObjStm")) + 20
    return data[:at] + b"\xff" * 40 + data[at + 40 :] if break_it else data


def _encrypted(user: str, **allow: bool) -> bytes:
    out = BytesIO()
    with pikepdf.open(BytesIO(good())) as document:
        permissions = pikepdf.Permissions(**allow)
        document.save(out, encryption=pikepdf.Encryption(owner="o", user=user, allow=permissions))
    return out.getvalue()


cases(
    object_stream_broken=lambda: _objects_in_streams(True),
    object_stream_of_itself=lambda: pdf({
        1: b"<</Type/Catalog/Pages 2 0 R>>",
        2: stream(b"2 0 <</Type/Pages/Kids[]/Count 0>>", b"/Type/ObjStm/N 1/First 4/Extends 2 0 R"),
    }),
    locked=lambda: _encrypted("secret"),
    locked_and_cut=lambda: _encrypted("secret")[:1200],
    encryption_unknown=lambda: pdf(
        {1: b"<</Type/Catalog/Pages 2 0 R>>", 2: b"<</Type/Pages/Kids[]/Count 0>>",
         3: b"<</Filter/Ours/V 9/R 9/O(x)/U(y)/P -4>>"}, b"/Root 1 0 R/Encrypt 3 0 R/ID[(a)(b)]"),
)  # fmt: skip

# ------------------------------------------------------------------------------------- deep, cyclic, endless


def _chain(depth: int) -> bytes:
    """A page tree with one kid a level."""
    parts = {1: b"<</Type/Catalog/Pages 2 0 R>>"}
    for n in range(2, depth + 2):
        parts[n] = b"<</Type/Pages/Kids[%d 0 R]/Count 1/Parent %d 0 R>>" % (n + 1, n - 1)
    parts[depth + 2] = b"<</Type/Page/Parent %d 0 R/MediaBox[0 0 99 99]>>" % (depth + 1)
    return pdf(parts)


FORM = b"/Type/XObject/Subtype/Form/BBox[0 0 612 792]"


def _doubling(depth: int) -> bytes:
    """Forms that place the next form twice: 2^depth times the last one."""
    more = {
        n: stream(b"/F Do /F Do", FORM + b"/Resources<</XObject<</F %d 0 R>>>>" % (n + 1))
        for n in range(10, 10 + depth)
    }
    more[10 + depth] = stream(LINES, FORM)
    return page(b"/F Do", resources=b"<</XObject<</F 10 0 R>>>>", more=more)


cases(
    page_tree_bites_its_tail=lambda: page().replace(b"[3 0 R]", b"[2 0 R]"),
    page_tree_of_two_in_a_ring=lambda: pdf({
        1: b"<</Type/Catalog/Pages 2 0 R>>", 2: b"<</Type/Pages/Kids[3 0 R]/Count 1/Parent 3 0 R>>",
        3: b"<</Type/Pages/Kids[2 0 R]/Count 1/Parent 2 0 R>>",
    }),
    page_tree_deep=lambda: _chain(20_000),
    parents_in_a_ring=lambda: page(page=b"").replace(b"/Kids[3 0 R]", b"/Kids[3 0 R]/Parent 3 0 R"),
    form_places_itself=lambda: page(b"/F Do", resources=b"<</XObject<</F 10 0 R>>>>", more={
        10: stream(b"0 0 m 9 9 l S /F Do", FORM + b"/Resources<</XObject<</F 10 0 R>>>>")}),
    forms_in_a_ring=lambda: page(b"/F Do", resources=b"<</XObject<</F 10 0 R>>>>", more={
        10: stream(b"/G Do", FORM + b"/Resources<</XObject<</G 11 0 R>>>>"),
        11: stream(b"/F Do", FORM + b"/Resources<</XObject<</F 10 0 R>>>>")}),
    forms_doubled_thirty_times=lambda: _doubling(30),
    pattern_of_itself=lambda: page(b"/Pattern cs /P scn 0 0 600 700 re f", resources=b"<</Pattern<</P 10 0 R>>>>", more={
        10: stream(b"/Pattern cs /P scn 0 0 9 9 re f", b"/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 9 9]/XStep 9"
                   b"/YStep 9/Resources<</Pattern<</P 10 0 R>>>>")}),
    pattern_of_tiny_tiles=lambda: page(b"/Pattern cs /P scn 0 0 600 700 re f", resources=b"<</Pattern<</P 10 0 R>>>>",
        more={10: stream(b"0 0 1 1 re f", b"/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 1 1]/XStep 0.000001"
                         b"/YStep 0.000001/Resources<<>>")}),
    font_of_itself=lambda: page(b"BT /T 9 Tf 9 9 Td (aaa) Tj ET", resources=b"<</Font<</T 10 0 R>>>>", more={
        10: b"<</Type/Font/Subtype/Type3/FontBBox[0 0 9 9]/FontMatrix[1 0 0 1 0 0]/FirstChar 97/LastChar 97/Widths[9]"
            b"/Encoding<</Differences[97/a]>>/CharProcs<</a 11 0 R>>/Resources<</Font<</T 10 0 R>>>>>>",
        11: stream(b"9 0 d0 BT /T 9 Tf (aaa) Tj ET")}),
    soft_mask_of_itself=lambda: page(b"/S gs 0 0 m 9 9 l S", resources=b"<</ExtGState<</S 10 0 R>>>>", more={
        10: b"<</SMask<</S/Alpha/G 11 0 R>>>>",
        11: stream(b"/S gs 0 0 m 5 5 l S", FORM + b"/Group<</S/Transparency>>/Resources<</ExtGState<</S 10 0 R>>>>")}),
    outline_in_a_ring=lambda: page(catalog=b"/Outlines 10 0 R", more={
        10: b"<</First 11 0 R/Last 11 0 R>>", 11: b"<</Title(x)/Next 11 0 R/Prev 11 0 R/First 11 0 R/Parent 11 0 R>>"}),
    layers_in_a_ring=lambda: page(b"/OC /L BDC 0 0 m 9 9 l S EMC", resources=b"<</Properties<</L 10 0 R>>>>",
        catalog=b"/OCProperties<</OCGs[10 0 R]/D<</Order[11 0 R]/ON[10 0 R]>>>>", more={
        10: b"<</Type/OCMD/OCGs[10 0 R]/VE[/And 12 0 R]>>", 11: b"[11 0 R]", 12: b"[/Not 12 0 R]"}),
    arrays_nested_deep=lambda: page(b"[" * 100_000 + b"]" * 100_000 + b" 0 d 0 0 m 9 9 l S"),
    dictionaries_nested_deep=lambda: page(catalog=b"/X" + b"<</X" * 50_000 + b" 1" + b">>" * 50_000),
    states_saved_without_end=lambda: page(b"q " * 500_000 + LINES),
    states_restored_without_end=lambda: page(b"Q " * 500_000 + LINES),
    text_objects_without_end=lambda: page(b"BT " * 100_000),
)  # fmt: skip

# ------------------------------------------------------------------------------------------ bombs and giants

IMAGE = b"/Type/XObject/Subtype/Image/ColorSpace/DeviceRGB/BitsPerComponent 8"
TWICE = b"/Filter[/FlateDecode/FlateDecode]"
cases(
    flate_bomb=lambda: page(raw=stream(flate(1 << 30, b"\n"), b"/Filter/FlateDecode")),
    flate_bomb_twice=lambda: page(raw=stream(zlib.compress(flate(1 << 30, b" ")), TWICE)),
    bomb_of_lines=lambda: page(raw=stream(flate(300_000_000, b"0 0 m 9 9 l S "), b"/Filter/FlateDecode")),
    bomb_of_text=lambda: page(
        b"BT /F 9 Tf 9 9 Td " + b"(BATH ROOM KITCHEN) Tj 0 9 Td " * 5_000 + b"ET", resources=b"<</Font<</F "
        b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>"),
    one_path_of_a_million_points=lambda: page(b"0 0 m " + b"9 9 l 5 7 l " * 500_000 + b"S"),
    dashes_without_end=lambda: page(b"[0.000001] 0 d 0 0 m 600 700 l S " * 50),
    image_of_a_billion_pixels=lambda: page(b"q 600 0 0 700 0 0 cm /I Do Q" + LINES, resources=b"<</XObject<</I 10 0 R>>>>",
        more={10: stream(flate(9_000_000, b"\0"), IMAGE + b"/Width 60000/Height 60000/Filter/FlateDecode")}),
    image_of_negative_size=lambda: page(b"q 600 0 0 700 0 0 cm /I Do Q" + LINES, resources=b"<</XObject<</I 10 0 R>>>>",
        more={10: stream(b"\0" * 30, IMAGE + b"/Width -5/Height 2147483647")}),
    inline_image_cut_off=lambda: page(LINES + b"BI /W 99999 /H 99999 /BPC 8 /CS /RGB ID xxxx"),
    page_of_a_light_year=lambda: page(page=b"/MediaBox[0 0 1e30 1e30]"),
    page_of_a_mile=lambda: page(page=b"/MediaBox[0 0 900000 900000]"),
    page_of_no_area=lambda: page(page=b"/MediaBox[5 5 5 5]"),
    page_inside_out=lambda: page(page=b"/MediaBox[612 792 0 0]"),
    page_of_nan=lambda: page(page=b"/MediaBox[nan 0 inf 792]"),
    page_of_words=lambda: page(page=b"/MediaBox[/a(b)null<<>>]"),
    crop_outside=lambda: page(page=b"/MediaBox[0 0 612 792]/CropBox[5000 5000 6000 6000]"),
    unit_negative=lambda: page(page=b"/MediaBox[0 0 612 792]/UserUnit -5"),
    unit_enormous=lambda: page(page=b"/MediaBox[0 0 612 792]/UserUnit 1e30"),
    rotated_by_seven=lambda: page(page=b"/MediaBox[0 0 612 792]/Rotate 7"),
    rotated_by_words=lambda: page(page=b"/MediaBox[0 0 612 792]/Rotate(left)"),
    numbers_of_1e38=lambda: page(b"1e38 1e38 m -1e38 3.4e38 l S 9" + b"9" * 400 + b" 5 m 7 7 l S " + LINES),
    numbers_that_are_none=lambda: page(b"nan inf m --5 +-3 l 1.2.3 4..5 l S " + LINES),
    matrix_of_zeros=lambda: page(b"0 0 0 0 0 0 cm " + LINES),
    matrix_enormous=lambda: page(b"1e20 0 0 1e20 1e20 1e20 cm " + LINES),
    curves_enormous=lambda: page(b"0 0 m 1e9 1e9 -1e9 1e9 9 9 c S " * 50 + LINES),
    pen_enormous=lambda: page(b"1e30 w " + LINES + b"-5 w " + LINES),
    operators_without_operands=lambda: page(b"m l c re S f cm Tj Do gs scn d w Q q " * 5000),
    operators_unknown=lambda: page(b"foo bar (baz) qux " * 5000 + LINES),
)  # fmt: skip

# ------------------------------------------------------------------------------------------------ resources

HELVETICA = b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"


def _font(descriptor: bytes, file: bytes) -> bytes:
    return page(LINES + b"BT /F 9 Tf 9 9 Td (BATH) Tj ET", resources=b"<</Font<</F 10 0 R>>>>", more={
        10: b"<</Type/Font/Subtype/TrueType/BaseFont/X/FirstChar 0/LastChar 255/Widths[9]/FontDescriptor 11 0 R>>",
        11: b"<</Type/FontDescriptor/FontName/X/Flags 4%s 12 0 R>>" % descriptor, 12: stream(file)})  # fmt: skip


cases(
    resources_missing=lambda: page(LINES + b"/F Do /G gs BT /H 9 Tf (x) Tj ET", resources=b"99 0 R"),
    resources_are_a_number=lambda: page(LINES + b"/F Do", resources=b" 5"),
    font_of_noise=lambda: _font(b"/FontFile2", random.Random(2).randbytes(3000)),
    font_of_postscript_noise=lambda: _font(b"/FontFile", b"%!PS-AdobeFont-1.0\n" + random.Random(3).randbytes(3000)),
    font_of_compact_noise=lambda: _font(b"/FontFile3", b"\x01\x00\x04\x01" + random.Random(4).randbytes(3000)),
    font_of_nonsense=lambda: page(LINES + b"BT /F 1e30 Tf 9 9 Td (BATH) Tj -1e30 Tz (X) Tj ET",
                                  resources=b"<</Font<</F<</Type/Font/Subtype/None/Widths 5>>>>>>"),
    text_map_bomb=lambda: page(LINES + b"BT /F 9 Tf (AAAA) Tj ET", resources=b"<</Font<</F 10 0 R>>>>", more={
        10: b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica/ToUnicode 11 0 R>>",
        11: stream(b"begincmap 1 begincodespacerange <00000000> <ffffffff> endcodespacerange 1 beginbfrange "
                   b"<00000000> <ffffffff> <0041> endbfrange endcmap")}),
    colours_of_nowhere=lambda: page(b"/X cs 1 2 3 sc /Y CS /Z SCN " + LINES, resources=b"<</ColorSpace<</X[/ICCBased "
                                    b"99 0 R]/Y[/Indexed/DeviceRGB 999999(x)]/Z[/Separation/a/DeviceRGB 98 0 R]>>>>"),
    shading_of_nothing=lambda: page(b"/S sh " + LINES, resources=b"<</Shading<</S<</ShadingType 7/ColorSpace/DeviceRGB>>>>"),
)  # fmt: skip

# ------------------------------------------------------------------------------------------- up to something

OPEN = b"/OpenAction<</S/JavaScript/JS(app.alert(1))>>"
cases(
    script_on_opening=lambda: page(catalog=OPEN),
    program_on_opening=lambda: page(catalog=b"/OpenAction<</S/Launch/F(/bin/sh)/Win<</F(cmd.exe)/P(/c calc)>>>>"),
    address_on_opening=lambda: page(catalog=b"/OpenAction<</S/URI/URI(http://127.0.0.1:9/)>>"),
    script_on_the_page=lambda: page(page=b"/MediaBox[0 0 612 792]/AA<</O<</S/JavaScript/JS(x)>>>>"),
    form_with_script=lambda: page(catalog=b"/AcroForm<</XFA(<xdp/>)/NeedAppearances true/Fields[10 0 R]>>", more={
        10: b"<</FT/Tx/T(=cmd)/V(=1+1)/AA<</K<</S/JavaScript/JS(x)>>>>>>"}),
    file_embedded=lambda: page(catalog=b"/Names<</EmbeddedFiles<</Names[(../../evil.sh) 10 0 R]>>>>", more={
        10: b"<</Type/Filespec/F(../../../../evil.sh)/EF<</F 11 0 R>>>>", 11: stream(b"#!/bin/sh\n")}),
    content_in_another_file=lambda: page(raw=stream(b"", b"/F(/etc/hostname)/FFilter/FlateDecode")),
    page_in_another_file=lambda: page(b"/F Do " + LINES, resources=b"<</XObject<</F 10 0 R>>>>", more={
        10: stream(b"", FORM + b"/Ref<</F(../../other.pdf)/Page 0>>")}),
    annotations_in_a_ring=lambda: page(page=b"/MediaBox[0 0 612 792]/Annots[10 0 R]", more={
        10: b"<</Type/Annot/Subtype/Text/Rect[nan 0 1e38 9]/Popup 10 0 R/Parent 10 0 R/IRT 10 0 R/Contents(=1+1)>>"}),
    title_with_formula_and_escapes=lambda: page(
        LINES + b"BT /F 9 Tf 9 9 Td (=HYPERLINK\\(\"http://x\"\\)) Tj (\\033[2J<script>) Tj ET",
        resources=b"<</Font<</F %s>>>>" % HELVETICA),
)  # fmt: skip


def _many_layers(count: int) -> bytes:
    """A layer for each line, named like a cell that starts a program, in an order that names them all."""
    refs = b" ".join(b"%d 0 R" % n for n in range(10, 10 + count))
    lines = b"".join(b"/OC /L%d BDC 0 %d m 9 9 l S EMC\n" % (n, n % 700) for n in range(0, count, 10))
    names = b"".join(b"/L%d %d 0 R" % (n, 10 + n) for n in range(count))
    return page(
        lines, resources=b"<</Properties<<%s>>>>" % names,
        catalog=b"/OCProperties<</OCGs[%s]/D<</Order[%s]>>>>" % (refs, refs),
        more={10 + n: b"<</Type/OCG/Name(=cmd|' /C calc'!A%d\\033[2J../../%d)>>" % (n, n) for n in range(count)},
    )  # fmt: skip


def _image(entries: bytes, data: bytes) -> bytes:
    picture = stream(data, b"/Type/XObject/Subtype/Image/Width 60000/Height 60000/BitsPerComponent 1" + entries)
    return page(b"q 600 0 0 700 0 0 cm /I Do Q" + LINES, resources=b"<</XObject<</I 10 0 R>>>>", more={10: picture})


def _object_stream_bomb() -> bytes:
    """A compressed object stream that unpacks to half a gigabyte and claims two thousand million objects."""
    packed = flate(1 << 29, b"0 0 ")
    return pdf({
        1: b"<</Type/Catalog/Pages 2 0 R>>", 2: b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 99 99]/Contents 4 0 R>>", 4: stream(LINES),
        5: stream(packed, b"/Type/ObjStm/N 2000000000/First 100/Filter/FlateDecode"),
    })  # fmt: skip


cases(
    layers_by_the_thousand=lambda: _many_layers(10_000),
    layer_of_a_layer=lambda: page(b"/OC /L BDC " * 50_000 + LINES, resources=b"<</Properties<</L 10 0 R>>>>", more={
        10: b"<</Type/OCMD/OCGs 10 0 R/P/AllOff>>"}),
    object_stream_bomb=_object_stream_bomb,
    image_of_jbig2_noise=lambda: _image(b"/ColorSpace/DeviceGray/Filter/JBIG2Decode", random.Random(5).randbytes(900)),
    image_of_jpx_noise=lambda: _image(
        b"/Filter/JPXDecode", b"\0\0\0\x0cjP  \r\n\x87\n" + random.Random(6).randbytes(900)),
    image_of_fax_without_end=lambda: _image(
        b"/ColorSpace/DeviceGray/Filter/CCITTFaxDecode/DecodeParms<</K -1/Columns 60000/Rows 60000>>", b"\0" * 4000),
    image_that_masks_itself=lambda: page(b"q 9 0 0 9 0 0 cm /I Do Q" + LINES, resources=b"<</XObject<</I 10 0 R>>>>",
        more={10: stream(b"\0" * 300, IMAGE + b"/Width 9/Height 9/SMask 10 0 R")}),
    page_as_large_as_allowed=lambda: page(page=b"/MediaBox[0 0 14400 14400]/UserUnit 75000"),
    strokes_by_the_million=lambda: page(raw=stream(zlib.compress(b"".join(
        b"%d %d m %d.1 %d l S\n" % (n % 600, n // 1500, n % 600, n // 1500) for n in range(1_000_000))),
        b"/Filter/FlateDecode")),
    annotation_with_script=lambda: page(page=b"/MediaBox[0 0 612 792]/Annots[10 0 R 11 0 R]", more={
        10: b"<</Type/Annot/Subtype/Link/Rect[0 0 600 700]/A<</S/JavaScript/JS(app.launchURL('http://127.0.0.1:9'))>>>>",
        11: b"<</Type/Annot/Subtype/FileAttachment/Rect[0 0 9 9]/FS<</F(../../../evil.sh)>>/Contents(<script>)>>"}),
    contents_by_the_hundred_thousand=lambda: page().replace(b"/Contents 4 0 R", b"/Contents[" + b"4 0 R " * 100_000 + b"]"),
    kids_named_twice_each=lambda: page().replace(b"/Kids[3 0 R]/Count 1", b"/Kids[" + b"3 0 R " * 12 + b"]/Count 12"),
)  # fmt: skip
