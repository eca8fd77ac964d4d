"""Bodies that travel packed (gzip, RFC 1952), in both directions.

A reply is packed only where it holds nothing secret: a token beside text of somebody else's choice
could be guessed from the lengths of many replies. Django pads each reply at random besides.
"""

import zlib

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

from heelwright.declarations import Refused
from heelwright.settings.body_size import most_bytes

PACKED_REPLIES = ("/api/push", "/api/pull", "/api/rulebook")
# What a phone sends packs to a tenth or so; one that packs better sends it as it is.
MOST_PACKED = 200
# zlib's window size, plus 16 for gzip's header and checksum.
GZIP = 16 + zlib.MAX_WBITS


class PackedReplies(GZipMiddleware):
    """Packs what the API answers, for a phone that takes it."""

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        if request.path not in PACKED_REPLIES or not isinstance(response, HttpResponse):
            return response
        return super().process_response(request, response)


class UnknownPacking(Refused):
    """415: packed in a way that is not read here."""

    def __init__(self) -> None:
        super().__init__(
            "unknown_packing", "The request is packed in a way not known here.", "Send it plain."
        )


class UnpacksTooLarge(Refused):
    """413: small on the wire, and more than may be sent at once when unpacked."""

    def __init__(self) -> None:
        super().__init__(
            "too_large",
            "That is more than can be sent at once.",
            "Send it in smaller parts, or not packed.",
        )


def unpacked(request: HttpRequest) -> bytes:
    """The body as it was before it was packed. Never holds more than a plain body may have."""
    packing = request.headers.get("Content-Encoding", "identity").strip().lower()
    if packing == "identity":
        return request.body
    if packing != "gzip":
        raise UnknownPacking
    return _unzipped(request.body, min(most_bytes(request), len(request.body) * MOST_PACKED))


def _unzipped(packed: bytes, most: int) -> bytes:
    reader = zlib.decompressobj(wbits=GZIP)
    try:
        plain = reader.decompress(packed, most + 1)
    except zlib.error:
        raise _broken() from None
    if len(plain) > most:
        raise UnpacksTooLarge
    if not reader.eof or reader.unused_data:
        raise _broken()
    return plain


def _broken() -> Refused:
    return Refused("not_gzip", "The packed request can't be unpacked.", "Send it again.")
