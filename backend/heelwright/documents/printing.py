"""Makes a PDF from a declared document by typst, in memory."""

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import typst

from heelwright.declarations import Document, Log

# Readable in decades and by a screen reader: ISO 19005-2 level A, and ISO 14289-1.
STANDARDS = ["a-2a", "ua-1"]


def pdf(document: Document | Log, data: Mapping[str, Any]) -> bytes:
    """The same bytes for the same data. `data` reaches the template as JSON in `sys.inputs`, so
    nothing in it is read as markup; its `written_at` is the date of the file.

    The standards refuse a character that no font here can draw. The paper is then made with the
    machine's own fonts, and, where those lack it too, without the standards: a letter with a box in
    a name still gets somebody seen.
    """
    attempts: list[dict[str, Any]] = [
        {"pdf_standards": STANDARDS, "ignore_system_fonts": True},
        {"pdf_standards": STANDARDS},
    ]
    for attempt in attempts:
        try:
            return _compiled(document, data, attempt)
        except typst.TypstError:
            continue
    return _compiled(document, data, {})


def _compiled(
    document: Document | Log, data: Mapping[str, Any], options: Mapping[str, Any]
) -> bytes:
    made: bytes = typst.compile(
        document.template.read_bytes(),
        format="pdf",
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
        timestamp=int(datetime.fromisoformat(data["written_at"]).timestamp()),
        **options,
    )
    return made
