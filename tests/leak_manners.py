"""The manners in which a text gets into a folder that is to be public: each writes one file (or name) that holds it."""

import base64
import bz2
import gzip
import html
import io
import json
import lzma
import quopri
import re
import struct
import tarfile
import unicodedata
import urllib.parse
import zipfile
import zlib

import pikepdf
from PIL import ExifTags, Image, ImageDraw
from PIL.PngImagePlugin import PngInfo

from archgen.metadata.avif_items import NewItem, with_items

MANNERS = {}


def manner(suffix):
    """Register a manner; its function gives the bytes of a file with this suffix."""

    def register(function):
        def write(folder, number, text):
            path = folder / f"f{number}{suffix}"
            content = function(text)
            path.write_bytes(content.encode() if isinstance(content, str) else content)

        MANNERS[function.__name__] = write
        return function

    return register


def named(function):
    """Register a manner that puts the text into a name."""
    MANNERS[function.__name__] = function
    return function


def stripped(text):
    """Leave out the accents of Latin letters."""
    return "".join(unicodedata.normalize("NFD", sign)[0] if sign < "\u0250" else sign for sign in text)


def accented(text):
    """Put accents on the vowels of a text."""
    return text.translate(str.maketrans("aeiouAEIOU", "áëîòūÁËÎÒŪ"))


def page(body):
    return f"<!doctype html><title>Work</title><p>Owls, drawn from life.</p>{body}<p>Books are open.</p>"


# --- pages ----------------------------------------------------------------------------------------------------


@manner(".html")
def as_it_stands(text):
    return page(f"<p>for {html.escape(text)} today</p>")


@manner(".html")
def large_letters(text):
    return page(f"<h1>{html.escape(text.upper())}</h1>")


@manner(".html")
def other_spaces(text):
    return page(f"<p>{html.escape(text).replace(' ', '&nbsp; ')}</p>")


@manner(".html")
def every_letter_an_entity(text):
    return page("".join(f"&#{ord(sign)};" for sign in text))


@manner(".html")
def tags_between_letters(text):
    middle = len(text) // 2
    return page(f"<p>{html.escape(text[:middle])}<b>{html.escape(text[middle:])}</b></p>")


@manner(".html")
def tags_between_words(text):
    return page("<tr>" + "".join(f"<td>{html.escape(word)}</td>" for word in text.split()) + "<td>7</td></tr>")


@manner(".html")
def a_comment(text):
    return page(f"<!-- {text} -->")


@manner(".html")
def an_attribute(text):
    return page(f'<img src="a.jpg" alt="{html.escape(text)}">')


@manner(".html")
def a_link(text):
    return page(f'<a href="?q={urllib.parse.quote(text)}">x</a>')


@manner(".html")
def a_script(text):
    return page(f"<script>var a = {json.dumps(text)};</script>")


@manner(".js")
def escapes_of_scripts(text):
    return "x('" + "".join(f"\\u{ord(sign):04x}" if ord(sign) < 65536 else sign for sign in text) + "')"


@manner(".js")
def numbers_of_letters(text):
    return f"String.fromCharCode({', '.join(str(ord(sign)) for sign in text)})"


@manner(".json")
def json_in_json(text):
    return json.dumps({"a": json.dumps({"b": text})})


@manner(".css")
def a_style(text):
    return 'p::after { content: "' + text.replace('"', "\\22 ") + '" }'


@manner(".svg")
def a_drawing(text):
    return f'<svg xmlns="http://www.w3.org/2000/svg"><desc>{html.escape(text)}</desc></svg>'


@manner(".csv")
def a_table(text):
    return f'day,what\n2026-03-14,"{text}"\n'


@manner(".eml")
def quoted_printable(text):
    return b"Subject: x\n\n" + quopri.encodestring(text.encode(), quotetabs=True)


@manner(".eml")
def quoted_printable_in_short_lines(text):
    coded = "".join(f"={byte:02X}" if byte > 126 or byte in b'="' else chr(byte) for byte in text.encode())
    units = re.findall("=..|.", coded)
    return "Subject: x\n\n" + "=\r\n".join("".join(units[at : at + 3]) for at in range(0, len(units), 3))


@manner(".html")
def without_accents(text):
    return page(f"<p>for {html.escape(stripped(text))} today</p>")


@manner(".html")
def with_accents(text):
    return page(f"<p>for {html.escape(accented(text))} today</p>")


# --- encodings ------------------------------------------------------------------------------------------------


@manner(".html")
def bare_base64(text):
    return page(f"<script>go(atob('{base64.b64encode(text.encode()).decode()}'))</script>")


@manner(".html")
def base64_for_links(text):
    return page(f"<a href='/x?d={base64.urlsafe_b64encode(text.encode()).decode().rstrip('=')}'>x</a>")


@manner(".html")
def data_address(text):
    return page(f'<a href="data:text/plain;base64,{base64.b64encode(text.encode()).decode()}">x</a>')


@manner(".txt")
def base64_in_lines(text):
    return "begin\n" + base64.encodebytes((f"{'a quiet day. ' * 12}\n{text}\n").encode()).decode()


@manner(".js")
def hexadecimal(text):
    return f"var a = '{text.encode().hex()}';"


@manner(".txt")
def hexadecimal_in_pairs(text):
    return " ".join(f"{byte:02X}" for byte in text.encode())


@manner(".txt")
def two_byte_with_mark(text):
    return f"Notes: {text}.".encode("utf-16")


@manner(".txt")
def two_byte_little_end_first(text):
    return f"Notes of the day: {text}.".encode("utf-16-le")


@manner(".txt")
def two_byte_big_end_first(text):
    return f"Notes of the day: {text}.".encode("utf-16-be")


@manner(".bin")
def two_byte_among_other_bytes(text):
    return bytes(range(128, 250)) * 3 + f" {text} ".encode("utf-16-le") + bytes(range(128, 250))


@manner(".bin")
def two_byte_at_an_odd_byte(text):
    return bytes(range(128, 250)) * 3 + b"\x81" + text.encode("utf-16-le") + bytes(range(128, 250))


@manner(".txt")
def two_byte_big_end_first_at_an_odd_byte(text):
    return b"\x81" + f"Notes of the day: {text}.".encode("utf-16-be")


@manner(".bin")
def among_other_bytes(text):
    return bytes(range(128, 250)) * 3 + b"\0" + text.encode() + b"\0" + bytes(range(128, 250))


@manner(".bin")
def without_accents_among_other_bytes(text):
    return bytes(range(128, 250)) * 3 + b"\0" + stripped(text).encode() + b"\0" + bytes(range(128, 250))


@manner(".bin")
def with_accents_among_other_bytes(text):
    return bytes(range(128, 250)) * 3 + b"\0" + accented(text).encode() + b"\0" + bytes(range(128, 250))


# --- packed ---------------------------------------------------------------------------------------------------


@manner(".gz")
def gzipped(text):
    return gzip.compress(text.encode(), mtime=0)


@manner(".bz2")
def bzipped(text):
    return bz2.compress(text.encode())


@manner(".xz")
def xzipped(text):
    return lzma.compress(text.encode())


def zipped(files, comment=""):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content)
        archive.comment = comment.encode()
    return stream.getvalue()


def nameless(content):
    """Give a zip of one member called "a" in which it has no name."""
    raw = bytearray(zipped({"a": content}))
    for head, at in ((b"PK\x03\x04", 26), (b"PK\x01\x02", 28)):
        begin = raw.index(head) + at
        raw[begin : begin + 4] = (0).to_bytes(2, "little") + (1).to_bytes(2, "little")  # its letter is an extra field
    return bytes(raw)


@manner(".zip")
def in_a_zip(text):
    return zipped({"a.txt": text})


@manner(".zip")
def zip_in_a_zip(text):
    return zipped({"a.zip": zipped({"b.html": as_it_stands(text)})})


@manner(".zip")
def comment_of_a_zip(text):
    return zipped({"a.txt": "x"}, text)


@manner(".zip")
def name_in_a_zip(text):
    return zipped({f"{text.replace('/', ' ')}/a.txt": "x"})


@manner(".docx")
def an_office_document(text):
    runs = "".join(f"<w:r><w:t xml:space='preserve'>{html.escape(part)}</w:t></w:r>" for part in (text[:3], text[3:]))
    return zipped({"word/document.xml": f"<w:document><w:p>{runs}</w:p></w:document>"})


@manner(".tgz")
def tar_and_gzip(text):
    stream = io.BytesIO()
    with tarfile.open(fileobj=stream, mode="w") as archive:
        info = tarfile.TarInfo("a.txt.gz")
        content = gzip.compress(text.encode(), mtime=0)
        info.size = len(content)
        archive.addfile(info, io.BytesIO(content))
    return gzip.compress(stream.getvalue(), mtime=0)


# --- names ----------------------------------------------------------------------------------------------------


def as_name(text):
    return text.replace("/", " ").replace("\0", "")[:80]


@named
def name_of_a_file(folder, number, text):
    (folder / f"f{number}").mkdir()
    (folder / f"f{number}" / f"{as_name(text)}.txt").write_text("x")


@named
def name_of_an_empty_folder(folder, number, text):
    (folder / f"f{number}" / as_name(text)).mkdir(parents=True)


@named
def target_of_a_link(folder, number, text):
    (folder / f"f{number}.jpg").symlink_to(f"/somewhere/{as_name(text)}/a.jpg")


# --- pictures -------------------------------------------------------------------------------------------------


def picture(form, **options):
    drawn = Image.new("RGB", (64, 48), (120, 90, 80))
    ImageDraw.Draw(drawn).line((5, 5, 50, 40), fill=(20, 20, 20), width=3)
    stream = io.BytesIO()
    drawn.save(stream, form, **options)
    return stream.getvalue()


def exif(text, tag=ExifTags.Base.ImageDescription):
    made = Image.Exif()
    made[tag] = text
    return made


def xmp(text):
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:subject><rdf:Bag><rdf:li>'
        f"{html.escape(text)}</rdf:li></rdf:Bag></dc:subject></rdf:Description></rdf:RDF></x:xmpmeta>"
    ).encode()


def segment(marker, content):
    return b"\xff" + bytes((marker,)) + struct.pack(">H", len(content) + 2) + content


def chunk(name, content):
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


@manner(".jpg")
def jpeg_comment(text):
    return picture("JPEG", comment=text.encode())


@manner(".jpg")
def jpeg_exif(text):
    return picture("JPEG", exif=exif(text.encode()).tobytes())


@manner(".jpg")
def jpeg_two_byte_exif(text):
    return picture("JPEG", exif=exif(text.encode("utf-16-le"), 0x9C9C).tobytes())


@manner(".jpg")
def jpeg_user_comment(text):
    made = Image.Exif()
    made.get_ifd(ExifTags.IFD.Exif)[0x9286] = b"UNICODE\0" + text.encode("utf-16-le")
    return picture("JPEG", exif=made.tobytes())


@manner(".jpg")
def jpeg_xmp(text):
    return picture("JPEG", xmp=xmp(text))


@manner(".jpg")
def jpeg_iptc(text):
    raw = text.encode()
    records = b"\x1c\x02\x78" + struct.pack(">H", len(raw)) + raw
    resource = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(records)) + records + b"\0" * (len(records) % 2)
    plain = picture("JPEG")
    return plain[:2] + segment(0xED, b"Photoshop 3.0\0" + resource) + plain[2:]


@manner(".jpg")
def jpeg_unknown_segment(text):
    plain = picture("JPEG")
    return plain[:2] + segment(0xE9, b"ABCD\0" + text.encode()) + plain[2:]


@manner(".jpg")
def jpeg_unknown_packed_segment(text):
    plain = picture("JPEG")
    return plain[:2] + segment(0xE9, b"ABCD\0" + zlib.compress(text.encode())) + plain[2:]


@manner(".jpg")
def jpeg_behind_the_end(text):
    return picture("JPEG") + text.encode()


@manner(".jpg")
def jpeg_picture_behind_the_end(text):
    return picture("JPEG") + jpeg_comment(text)


@manner(".png")
def png_text(text):
    info = PngInfo()
    info.add_itxt("Comment", text)
    return picture("PNG", pnginfo=info)


@manner(".png")
def png_packed_text(text):
    info = PngInfo()
    info.add_itxt("Comment", text, zip=True)
    return picture("PNG", pnginfo=info)


def png_with(name, content):
    plain = picture("PNG")
    return plain[:33] + chunk(name, content) + plain[33:]


@manner(".png")
def png_unknown_chunk(text):
    return png_with(b"prVt", text.encode())


@manner(".png")
def png_unknown_packed_chunk(text):
    return png_with(b"prVt", b"v1" + zlib.compress(text.encode()))


@manner(".png")
def png_unknown_chunk_packed_without_a_head(text):
    packer = zlib.compressobj(wbits=-15)
    return png_with(b"prVt", packer.compress(text.encode()) + packer.flush())


@manner(".png")
def png_text_behind_the_pixels(text):
    plain = picture("PNG")
    return plain[:-12] + chunk(b"tEXt", b"Comment\0" + text.encode()) + plain[-12:]


@manner(".png")
def png_behind_the_end(text):
    return picture("PNG") + text.encode()


def webp_with(name, content):
    plain = picture("WEBP", exif=exif("x").tobytes())
    added = name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)
    return b"RIFF" + struct.pack("<I", len(plain) - 8 + len(added)) + plain[8:] + added


@manner(".webp")
def webp_xmp(text):
    return picture("WEBP", xmp=xmp(text))


@manner(".webp")
def webp_unknown_chunk(text):
    return webp_with(b"NOTE", text.encode())


@manner(".webp")
def webp_unknown_packed_chunk(text):
    return webp_with(b"NOTE", zlib.compress(text.encode()))


@manner(".webp")
def webp_behind_the_end(text):
    return picture("WEBP") + text.encode()


@manner(".avif")
def avif_xmp(text):
    return picture("AVIF", xmp=xmp(text))


@manner(".avif")
def avif_box(text):
    raw = text.encode()
    return picture("AVIF") + struct.pack(">I", len(raw) + 8) + b"free" + raw


@manner(".avif")
def avif_item(text):
    return with_items(picture("AVIF"), [NewItem(b"mime", b"note\0text/plain\0", text.encode())])


@manner(".avif")
def avif_among_the_pixels(text):
    """In the box of the pixels, where no list of the file says that anything lies."""
    content, raw = picture("AVIF"), text.encode()
    at = content.index(b"mdat") - 4
    longer = struct.pack(">I", len(content) - at + len(raw))
    return content[:at] + longer + content[at + 4 :] + raw


@manner(".avif")
def avif_behind_the_end(text):
    return picture("AVIF") + b"  " + text.encode()


@manner(".tif")
def tiff_description(text):
    return picture("TIFF", tiffinfo=exif(text.encode()))


@manner(".tif")
def tiff_private_tag(text):
    return picture("TIFF", tiffinfo=exif(text.encode(), 65000))


@manner(".tif")
def tiff_behind_the_end(text):
    return picture("TIFF") + text.encode()


@manner(".gif")
def gif_comment(text):
    return picture("GIF", comment=text.encode())


# --- documents ------------------------------------------------------------------------------------------------


def saved(pdf, **options):
    stream = io.BytesIO()
    pdf.save(stream, object_stream_mode=pikepdf.ObjectStreamMode.generate, **options)
    return stream.getvalue()


def document(content=b""):
    pdf = pikepdf.new()
    sheet = pdf.add_blank_page(page_size=(400, 200))
    font = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica,
        Encoding=pikepdf.Name.WinAnsiEncoding,
    )  # fmt: skip
    sheet.obj.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=pdf.make_indirect(font)))
    sheet.obj.Contents = pdf.make_stream(b"BT /F1 12 Tf 10 50 Td " + content + b" ET")
    return pdf


def literal(text):
    return text.encode("cp1252").replace(b"\\", b"\\\\").replace(b"(", b"\\(").replace(b")", b"\\)")


@manner(".pdf")
def pdf_properties(text):
    pdf = document()
    pdf.docinfo["/Title"] = text
    return saved(pdf)


@manner(".pdf")
def pdf_metadata(text):
    pdf = document()
    pdf.Root.Metadata = pdf.make_stream(xmp(text), Type=pikepdf.Name.Metadata, Subtype=pikepdf.Name.XML)
    return saved(pdf)


@manner(".pdf")
def pdf_private_dictionary(text):
    pdf = document()
    pdf.Root.PieceInfo = pikepdf.Dictionary(X=pikepdf.Dictionary(Private=pikepdf.String(text)))
    return saved(pdf)


@manner(".pdf")
def pdf_packed_stream(text):
    pdf = document()
    pdf.Root.Extra = pdf.make_indirect(pdf.make_stream(f"kept {text} here".encode()))
    return saved(pdf, compress_streams=True, recompress_flate=True)


@manner(".pdf")
def pdf_two_byte_hexadecimal(text):
    plain = saved(document(b"() Tj"), compress_streams=False)
    return plain + b"\n1 0 obj <</Note <FEFF" + text.encode("utf-16-be").hex().upper().encode() + b">>> endobj"


@manner(".pdf")
def pdf_page(text):
    half = len(text) // 2
    return saved(document(b"[(" + literal(text[:half]) + b") -10 (" + literal(text[half:]) + b")] TJ"))


@manner(".pdf")
def pdf_hexadecimal(text):
    return saved(document(b"<" + text.encode("cp1252").hex().encode() + b"> Tj"))


@manner(".pdf")
def pdf_hexadecimal_annotation(text):
    pdf = document()
    note = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 9, 9],
        Contents=pikepdf.String("\ufeff" + text),
    )  # fmt: skip
    pdf.pages[0].obj.Annots = pikepdf.Array([pdf.make_indirect(note)])
    return saved(pdf)


@manner(".pdf")
def pdf_attachment(text):
    pdf = document()
    pdf.attachments["a.txt.gz"] = gzip.compress(text.encode(), mtime=0)
    return saved(pdf)


@manner(".pdf")
def pdf_picture(text):
    pdf = document()
    content = jpeg_comment(text)
    stream = pdf.make_stream(
        content, Type=pikepdf.Name.XObject, Subtype=pikepdf.Name.Image, Width=64, Height=48,
        ColorSpace=pikepdf.Name.DeviceRGB, BitsPerComponent=8, Filter=pikepdf.Name.DCTDecode,
    )  # fmt: skip
    pdf.pages[0].obj.Resources.XObject = pikepdf.Dictionary(P=stream)
    return saved(pdf)


@manner(".pdf")
def pdf_older_version(text):
    old = saved(document(b"(" + literal(text) + b") Tj"), compress_streams=True)
    new = saved(document(b"(A quiet page) Tj"))
    return old + new[new.index(b"%PDF-") :]


@manner(".pdf")
def pdf_remark(text):
    return saved(document()) + b"\n% " + text.encode() + b"\n%%EOF\n"
