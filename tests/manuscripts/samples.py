"""Small manuscripts made by hand: their parts as ECMA-376 and ODF 1.3 want them, from memory."""

import io
import zipfile
from collections.abc import Mapping, Sequence

CONTENT_TYPES = (
    b'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    b'<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    b'<Default Extension="xml" ContentType="application/xml"/><Default Extension="png" ContentType="image/png"/>'
    b'<Override PartName="/word/document.xml"'
    b' ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml"/></Types>'
)
RELATIONS = b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>'
_MAIN = RELATIONS.replace(
    b"></Rel",
    b'><Relationship Id="rId1" Target="word/document.xml"'
    b' Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument"/></Rel',
)
W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
_ODF = "urn:oasis:names:tc:opendocument:xmlns"


def document_xml(body: str) -> bytes:
    """Return the main part of a .docx with this in its body."""
    return f'<w:document xmlns:w="{W}"><w:body>{body}</w:body></w:document>'.encode()


def paragraph(*runs: str) -> str:
    """Return a paragraph of a .docx, each text a run."""
    return "<w:p>" + "".join(f'<w:r><w:t xml:space="preserve">{run}</w:t></w:r>' for run in runs) + "</w:p>"


def odt_xml(body: str, styles: str = "") -> bytes:
    """Return the content of an .odt with this in its body."""
    return (
        f'<office:document-content xmlns:office="{_ODF}:office:1.0" xmlns:text="{_ODF}:text:1.0"'
        f' xmlns:table="{_ODF}:table:1.0" xmlns:style="{_ODF}:style:1.0" xmlns:dc="http://purl.org/dc/elements/1.1/"'
        f' xmlns:draw="{_ODF}:drawing:1.0" xmlns:xlink="http://www.w3.org/1999/xlink" office:version="1.3">'
        f"<office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:text>{body}</office:text></office:body></office:document-content>"
    ).encode()


def packed(parts: Mapping[str, bytes]) -> bytes:
    """Pack parts into a file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name, content in parts.items():
            part = zipfile.ZipInfo(name)  # without the time of day: the same parts are the same bytes in every process
            part.compress_type = zipfile.ZIP_DEFLATED
            target.writestr(part, content)
    return out.getvalue()


DOCX = {
    "[Content_Types].xml": CONTENT_TYPES,
    "_rels/.rels": _MAIN,
    "word/document.xml": document_xml(paragraph("1.Kg2!")),
    "word/_rels/document.xml.rels": RELATIONS,
}
ODT = {
    "mimetype": b"application/vnd.oasis.opendocument.text",
    "content.xml": odt_xml("<text:p>1.Kg2!</text:p>"),
}


def docx(body: str, **parts: bytes) -> bytes:
    """Return a .docx with this in its body; further parts by names with `__` for a slash and `_xml` for the suffix."""
    named = {name.replace("__", "/").replace("_xml", ".xml"): content for name, content in parts.items()}
    return packed({**DOCX, "word/document.xml": document_xml(body), **named})


def odt(body: str, styles: str = "") -> bytes:
    """Return an .odt with this in its body."""
    return packed({**ODT, "content.xml": odt_xml(body, styles)})


def pdf_of(contents: Sequence[bytes], size: tuple[int, int] = (595, 842)) -> bytes:
    """Return a PDF with a page for each content stream; the font F1 is Helvetica (ISO 32000-1, 7.5)."""
    objects = [b"<< /Type /Catalog /Pages 2 0 R >>", b"", b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>"]
    pages = []
    for content in contents:
        objects.append(b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content))
        objects.append(
            b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %d %d] /Contents %d 0 R"
            b" /Resources << /Font << /F1 3 0 R >> >> >>" % (*size, len(objects))
        )
        pages.append(len(objects))
    objects[1] = b"<< /Type /Pages /Kids [%s] /Count %d >>" % (
        b" ".join(b"%d 0 R" % page for page in pages),
        len(pages),
    )
    out = bytearray(b"%PDF-1.7\n")
    places = []
    for number, content in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, content)
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer << /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, start)
    return bytes(out)
