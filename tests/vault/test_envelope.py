"""The pure part of the vault: an envelope opens in its own place, under its own key, unaltered.

Properties; the published vectors of the parts are in tests/standards/test_crypto_vectors.py.
"""

from dataclasses import fields, replace
from typing import Any
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.vault import envelope
from heelwright.vault.encoding import encode
from heelwright.vault.envelope import OVERHEAD, open_envelope, seal
from heelwright.vault.errors import SealBroken
from heelwright.vault.kdf import SealKeys, keyed_digest, seal_keys
from heelwright.vault.place import Kind, Place

SECRETS = st.binary(min_size=32, max_size=32)
NONCES = st.binary(min_size=12, max_size=12)
PLACES = st.builds(
    Place,
    practice=st.uuids(),
    subject=st.uuids(),
    table=st.text(max_size=12),
    column=st.text(max_size=12),
    row=st.text(max_size=12),
    kind=st.sampled_from(Kind),
)


def keys_of(secret: bytes, place: Place) -> SealKeys:
    return seal_keys(secret, "column", place.table, place.column)


@given(SECRETS, NONCES, PLACES, st.uuids(), st.binary(max_size=300))
def test_opening_gives_back_what_was_sealed(
    secret: bytes, nonce: bytes, place: Place, key_id: UUID, value: bytes
) -> None:
    keys = keys_of(secret, place)
    sealed = seal(keys, nonce, place.associated(key_id), value)
    assert open_envelope(keys, place.associated(key_id), sealed) == value
    assert len(sealed) == len(value) + OVERHEAD


@given(SECRETS, NONCES, PLACES, st.uuids(), st.data())
def test_any_change_of_the_place_keeps_it_shut(
    secret: bytes, nonce: bytes, place: Place, key_id: UUID, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from([f.name for f in fields(Place)]))
    elsewhere = replace(place, **{name: data.draw(_other_than(getattr(place, name)))})
    keys = keys_of(secret, place)
    sealed = seal(keys, nonce, place.associated(key_id), b"a value")
    with pytest.raises(SealBroken):  # Even under the right key: the tag covers the place.
        open_envelope(keys, elsewhere.associated(key_id), sealed)
    with pytest.raises(SealBroken):
        open_envelope(keys_of(secret, elsewhere), elsewhere.associated(key_id), sealed)


@given(SECRETS, NONCES, PLACES, st.uuids(), st.uuids())
def test_another_data_key_id_keeps_it_shut(
    secret: bytes, nonce: bytes, place: Place, key_id: UUID, other: UUID
) -> None:
    if key_id == other:
        return
    keys = keys_of(secret, place)
    sealed = seal(keys, nonce, place.associated(key_id), b"a value")
    with pytest.raises(SealBroken):
        open_envelope(keys, place.associated(other), sealed)


def _other_than(value: Any) -> st.SearchStrategy[Any]:
    source: st.SearchStrategy[Any] = st.text(max_size=12)
    if isinstance(value, UUID):
        source = st.uuids()
    if isinstance(value, Kind):
        source = st.sampled_from(Kind)
    return source.filter(lambda other: other != value)


@given(SECRETS, NONCES, st.binary(max_size=60), st.data())
def test_one_flipped_bit_keeps_it_shut(
    secret: bytes, nonce: bytes, value: bytes, data: st.DataObject
) -> None:
    keys = seal_keys(secret, "test")
    sealed = bytearray(seal(keys, nonce, b"here", value))
    bit = data.draw(st.integers(0, len(sealed) * 8 - 1))
    sealed[bit // 8] ^= 1 << bit % 8
    with pytest.raises(SealBroken):
        open_envelope(keys, b"here", bytes(sealed))


@given(SECRETS, NONCES, st.binary(max_size=60), st.data())
def test_a_cut_or_lengthened_envelope_stays_shut(
    secret: bytes, nonce: bytes, value: bytes, data: st.DataObject
) -> None:
    keys = seal_keys(secret, "test")
    sealed = seal(keys, nonce, b"here", value)
    keep = data.draw(st.integers(0, len(sealed) - 1))
    for other in (sealed[:keep], sealed + b"\0"):
        with pytest.raises(SealBroken):
            open_envelope(keys, b"here", other)


@given(SECRETS, SECRETS, NONCES)
def test_another_key_is_seen_by_the_commitment_before_any_decryption(
    secret: bytes, other: bytes, nonce: bytes
) -> None:
    if secret == other:
        return
    sealed = seal(seal_keys(secret, "test"), nonce, b"here", b"a value")
    with pytest.raises(SealBroken, match="another key"):
        open_envelope(seal_keys(other, "test"), b"here", sealed)


def test_the_commitment_is_compared_before_the_cipher_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    sealed = seal(seal_keys(bytes(32), "one"), bytes(12), b"", b"value")
    monkeypatch.setattr(envelope, "decrypt", lambda *_: pytest.fail("the cipher ran"))
    with pytest.raises(SealBroken, match="another key"):
        open_envelope(seal_keys(bytes(32), "two"), b"", sealed)


def test_an_envelope_that_opens_under_another_commitment_is_refused() -> None:
    """The same encryption key with a foreign commitment: GCM would open it, the vault does not."""
    keys = seal_keys(bytes(32), "one")
    foreign = SealKeys(keys.encryption, seal_keys(bytes(32), "two").commitment)
    sealed = seal(foreign, bytes(12), b"", b"value")
    assert open_envelope(foreign, b"", sealed) == b"value"
    with pytest.raises(SealBroken, match="another key"):
        open_envelope(keys, b"", sealed)


@given(st.lists(st.binary(max_size=8), max_size=5), st.lists(st.binary(max_size=8), max_size=5))
def test_different_parts_never_encode_alike(one: list[bytes], two: list[bytes]) -> None:
    assert (encode(*one) == encode(*two)) == (one == two)


def test_a_nonce_of_another_length_is_refused() -> None:
    with pytest.raises(ValueError, match="12 bytes"):
        seal(seal_keys(bytes(32), "test"), bytes(11), b"", b"")


def test_keys_do_not_show_in_their_own_description() -> None:
    keys = seal_keys(b"\xaa" * 32, "test")
    assert keys.encryption.hex() not in repr(keys)
    assert repr(keys.encryption) not in repr(keys)


@given(SECRETS, st.text(max_size=8), st.text(max_size=8), st.binary(max_size=40))
def test_digests_of_two_purposes_differ(secret: bytes, one: str, two: str, content: bytes) -> None:
    same = keyed_digest(secret, one, content) == keyed_digest(secret, two, content)
    assert same == (one == two)


def test_a_place_names_its_column_but_not_its_row() -> None:
    row = str(uuid4())
    assert row not in str(Place(uuid4(), uuid4(), "people_client", "name", row))
