"""The practice's recovery key, and the lease of records without a word from the server.

RSA-OAEP with SHA-256: RFC 8017, section 7.1. The size: NIST SP 800-57 part 1, table 2, by which
3072 bits match the 128 of the phone's own key derivation (from memory). The rest: our own rule.
"""

import json
from base64 import b64decode, b64encode
from typing import Any

import pytest
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa
from django.core.cache import cache
from django.http import HttpResponse

from heelwright.commandlog.models import FeedRow, Incident
from heelwright.tenancy.models import Device, Practice, RecoveryKey
from tests.database import everything
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of

SECRET = bytes(range(32))


def public_key(hand: Hand) -> rsa.RSAPublicKey:
    """As a phone has it: from the practice's row."""
    (row,) = fresh(hand).of("practice").values()
    key = serialization.load_der_public_key(b64decode(row["recovery_key"]))
    assert isinstance(key, rsa.RSAPublicKey)
    return key


def copy_of(
    hand: Hand, content: bytes = b"", to: rsa.RSAPublicKey | None = None, label: str = ""
) -> str:
    """What a phone keeps beside the passphrase's own copy: the key, then its token."""
    bound = label or f"heelwright.recovery.2/{hand.device.practice_id}/{hand.id}"
    oaep = padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), bound.encode())
    content = content or SECRET + hand.token.encode()
    return b64encode((to or public_key(hand)).encrypt(content, oaep)).decode()


def ask(hand: Hand, copy: Any) -> HttpResponse:
    cache.clear()  # How often one may ask is tested in test_tries.py.
    body = {"protocol": 2, "device": str(hand.device.pk), "copy": copy}
    return Wire(hand).post("/api/recovery", body)


def test_a_fresh_device_of_the_same_person_gets_the_key_and_the_owner_is_told(
    world: World,
) -> None:
    copy = copy_of(world.technician)
    new = phone_of(world.technician.staff, world.now)
    answer = json.loads(ask(new, copy).content)
    assert answer == {"device": str(new.device.pk), "key": b64encode(SECRET).decode()}
    (told_of,) = Incident.objects.filter(practice=world.practice, code="unsent_work_recovered")
    assert (told_of.staff_id, told_of.about_id) == (world.technician.staff.pk, new.device.pk)
    row = fresh(world.owner).of("incident")[told_of.pk]
    assert row["code"] == "unsent_work_recovered"
    assert copy not in str(everything())


@pytest.mark.parametrize("who", ["owner", "colleague", "coordinator", "stranger"])
def test_nobody_else_gets_it(world: World, who: str) -> None:
    copy = copy_of(world.technician)
    before = everything()
    assert told(ask(world.hands[who], copy))["code"] == "copy_not_opened"
    assert everything() == before


def test_copies_that_are_none(world: World) -> None:
    hand = world.technician
    theirs = public_key(world.stranger)
    before = everything()
    for copy in (
        "AAAA",
        b64encode(bytes(384)).decode(),
        copy_of(hand, to=theirs),
        copy_of(hand, label="heelwright.recovery.2"),
        copy_of(hand, label=f"heelwright.recovery.1/{hand.device.practice_id}/{hand.id}"),
    ):
        response = ask(hand, copy)
        assert response.status_code == 400
        assert (told(response)["code"], told(response)["field"]) == ("copy_not_opened", "copy")
    for other in ("not base64!", "", 7, None, "A" * 2000):
        assert told(ask(hand, other))["field"] == "copy"
    assert everything() == before


def test_a_copy_that_no_device_of_the_person_has_made_opens_nothing(world: World) -> None:
    """Anybody has the public key, and may name whom they like: they lack the token."""
    hand = world.technician
    no_token = [b"", b"short", bytes(32), "ü".encode(), hand.token.encode()[:-1]]
    of_others = [other.token.encode() for other in (world.colleague, world.owner, world.stranger)]
    before = everything()
    for proof in (*no_token, *of_others, bytes(hand.device.token_digest)):
        response = ask(hand, copy_of(hand, SECRET + proof))
        assert response.status_code == 400
        assert (told(response)["code"], told(response)["field"]) == ("copy_not_proved", "copy")
    for content in (b"short", hand.token.encode()):
        assert told(ask(hand, copy_of(hand, content)))["code"] == "copy_not_proved"
    assert everything() == before


def test_a_device_that_a_restored_server_never_knew_proves_nothing(world: World) -> None:
    lost = phone_of(world.technician.staff, world.now)
    copy = copy_of(lost)
    FeedRow.objects.filter(row_id=lost.device.pk).delete()
    Device.objects.filter(pk=lost.device.pk).delete()
    assert told(ask(world.technician, copy))["code"] == "copy_not_proved"


def test_a_device_that_was_shut_out_still_proves_who_made_its_work(world: World) -> None:
    copy = copy_of(world.technician)
    new = phone_of(world.technician.staff, world.now)
    world.owner.do("revoke_device", {"device": str(world.technician.device.pk)})
    assert json.loads(ask(new, copy).content)["key"] == b64encode(SECRET).decode()


def test_the_owner_is_told_once_until_somebody_has_looked(world: World) -> None:
    hand = world.technician
    for _ in range(3):
        assert ask(hand, copy_of(hand)).status_code == 200
    told_of = Incident.objects.filter(practice=world.practice, code="unsent_work_recovered")
    assert told_of.count() == 1
    told_of.update(closed_at=world.now)
    assert ask(hand, copy_of(hand)).status_code == 200
    assert told_of.count() == 2


def test_one_pair_a_practice_its_private_half_sealed(world: World) -> None:
    phone_of(world.owner.staff, world.now)
    kept = RecoveryKey.objects.get(practice=world.practice)
    pair = serialization.load_der_private_key(kept.private, None)
    assert isinstance(pair, rsa.RSAPrivateKey)
    assert pair.key_size == 3072
    assert public_key(world.owner).public_numbers() == pair.public_key().public_numbers()
    assert repr(kept.private)[10:60] not in str(everything())
    assert public_key(world.stranger).public_numbers() != pair.public_key().public_numbers()


def test_a_practice_from_before_gets_its_pair_with_the_next_device(world: World) -> None:
    RecoveryKey.objects.filter(practice=world.practice).delete()
    (row,) = fresh(world.owner).of("practice").values()
    assert row["recovery_key"] == ""
    assert told(ask(world.technician, "AAAA"))["code"] == "copy_not_opened"
    phone = fresh(world.owner)
    phone_of(world.colleague.staff, world.now)
    (row,) = phone.sync().of("practice").values()
    assert row["recovery_key"]


def test_the_lease_is_thirty_days_until_the_owner_says_otherwise(world: World) -> None:
    assert world.technician.pull().lease_seconds == 30 * 86_400
    world.owner.do("set_offline_lease", {"days": 7})
    assert world.technician.pull().lease_seconds == 7 * 86_400
    (row,) = fresh(world.coordinator).of("practice").values()
    assert row["lease_days"] == 7
    assert Practice.objects.get(pk=world.practice.pk).lease_days == 7
    for days in (0, 91, -1):
        assert world.owner.no("set_offline_lease", {"days": days}) in ("too_small", "too_large")
    assert world.technician.no("set_offline_lease", {"days": 90}) == "not_allowed"
