"""Makes a PDF from a declared document by typst, in memory."""

import json
from collections.abc import Mapping
from typing import Any

import typst

from heelwright.declarations import Document


def pdf(document: Document, data: Mapping[str, Any]) -> bytes:
    """PDF/A-2a with tags for screen readers. `data` reaches the template as JSON in `sys.inputs`."""
    made: bytes = typst.compile(
        document.template.read_bytes(),
        format="pdf",
        pdf_standards=["a-2a"],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
    )
    return made
