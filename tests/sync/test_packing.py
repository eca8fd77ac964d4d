"""Bodies that travel packed: hard limits on what is unpacked, and never a fault of the server's.
The format: RFC 1952. The limits: our own rule."""

import gzip
import json
import tracemalloc
import zlib
from typing import Any

import pytest
from django.conf import settings
from django.http import HttpResponse

from heelwright.settings.packing import MOST_PACKED
from tests.database import everything
from tests.factories import client_args
from tests.sync.http import Wire, told
from tests.world import World

PACKED = {"Content-Encoding": "gzip"}
TAKES_PACKED = {"Accept-Encoding": "gzip, br"}


@pytest.fixture
def wire(world: World) -> Wire:
    return Wire(world.technician)


def body_of(wire: Wire) -> bytes:
    command = wire.command("register_client", client_args())
    body = {"protocol": 2, "device": str(wire.hand.device.pk), "commands": [command]}
    return json.dumps(body).encode()


def send(wire: Wire, body: bytes, **headers: str) -> HttpResponse:
    return wire.post("/api/push", body, headers={**PACKED, **headers})


def test_a_packed_delivery_is_a_delivery(wire: Wire) -> None:
    plain = body_of(wire)
    response = send(wire, gzip.compress(plain))
    assert [r["status"] for r in json.loads(response.content)["results"]] == ["applied"]
    again = json.loads(wire.post("/api/push", plain).content)
    assert [r["status"] for r in again["results"]] == ["already_applied"]


@pytest.mark.parametrize("megabytes", [1, 200])
def test_a_bomb_is_never_unpacked(wire: Wire, megabytes: int) -> None:
    """Blanks pack to a thousandth. What is held of them stays in proportion to what a plain body
    may be (zlib grows its buffer by doubling)."""
    packer = zlib.compressobj(9, wbits=31)
    blanks = b" " * 2**20
    bomb = b"".join(packer.compress(blanks) for _ in range(megabytes)) + packer.flush()
    before = everything()
    tracemalloc.start()
    response = send(wire, bomb)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert (response.status_code, told(response)["code"]) == (413, "too_large")
    most = min(len(bomb) * MOST_PACKED, settings.DATA_UPLOAD_MAX_MEMORY_SIZE or 0)
    assert peak < 2.5 * most + 2**20
    assert everything() == before


def test_the_limit_on_size_holds_where_it_packs_badly(wire: Wire, settings: Any) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 2000
    plain = body_of(wire)
    assert len(gzip.compress(plain)) < 2000
    padded = plain + b" " * (2001 - len(plain))
    assert told(send(wire, gzip.compress(padded)))["code"] == "too_large"
    assert send(wire, gzip.compress(padded[:2000])).status_code == 200


@pytest.mark.parametrize(
    ("packing", "code", "status"),
    [
        ("br", "unknown_packing", 415),
        ("gzip, gzip", "unknown_packing", 415),
        ("deflate", "unknown_packing", 415),
        ("zqxmarker7", "unknown_packing", 415),
    ],
)
def test_other_packings(wire: Wire, packing: str, code: str, status: int) -> None:
    response = wire.post("/api/push", body_of(wire), headers={"Content-Encoding": packing})
    assert (told(response)["code"], response.status_code) == (code, status)


def test_what_is_no_gzip_or_half_of_one(wire: Wire) -> None:
    packed = gzip.compress(body_of(wire))
    broken = [
        b"not gzip", packed[:-1], packed[:-9], packed[:20], packed + b"more", packed + packed,
        packed[:-8] + bytes(8), zlib.compress(body_of(wire)), gzip.compress(b"not json"),
    ]  # fmt: skip
    before = everything()
    for body in broken:
        response = send(wire, body)
        assert response.status_code == 400
        assert told(response)["code"] in ("not_gzip", "not_json")
    assert everything() == before


def test_nobody_unknown_has_anything_unpacked(wire: Wire) -> None:
    """The token is looked at first; the sign-in takes no packed body at all."""
    assert told(wire.post("/api/push", b"not gzip", token="x", headers=PACKED))["code"] == (
        "not_signed_in"
    )
    login = gzip.compress(b'{"email": "a@b.example", "password": "x"}')
    response = wire.post("/_allauth/app/v1/auth/login", login, token=None, headers=PACKED)
    assert told(response)["code"] == "not_json"


def test_replies_are_packed_where_they_hold_no_secret(world: World, wire: Wire) -> None:
    pulled = wire.pull(headers=TAKES_PACKED)
    assert pulled.headers["Content-Encoding"] == "gzip"
    plain = json.loads(gzip.decompress(pulled.content))
    assert plain["rows"]
    assert len(pulled.content) < len(json.dumps(plain)) / 2
    book = wire.rulebook(**TAKES_PACKED)
    assert book.headers["Content-Encoding"] == "gzip"
    assert "Content-Encoding" not in wire.pull().headers


def test_a_packed_reply_has_no_exact_length(wire: Wire) -> None:
    """Lengths of a reply that holds a secret beside chosen text would give it away bit by bit
    (BREACH, 2013); Django pads each one at random."""
    lengths = {len(wire.pull(headers=TAKES_PACKED).content) for _ in range(12)}
    assert len(lengths) > 1
