"""One unambiguous way to put several parts into one byte string: each part behind its length.

Two different lists of parts never give the same bytes, which plain joining does not promise.
"""

from uuid import UUID


def encode(*parts: bytes | str | int | UUID) -> bytes:
    """The parts in order, each as four bytes of length (big-endian) and then its bytes."""
    return b"".join(len(part).to_bytes(4, "big") + part for part in map(_as_bytes, parts))


def _as_bytes(part: bytes | str | int | UUID) -> bytes:
    if isinstance(part, bytes):
        return part
    if isinstance(part, str):
        return part.encode()
    if isinstance(part, UUID):
        return part.bytes
    return part.to_bytes(8, "big")
