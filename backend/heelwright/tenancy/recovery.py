"""A practice's recovery pair: phones wrap the key of their records to its public half.

RSA-3072 with OAEP and SHA-256 (RFC 8017, section 7.1), which WebCrypto has as well. The label binds
a copy to the practice and the member of staff it was made for, so that nobody can have another's
copy opened as their own. Anybody can wrap to a public key: so a copy holds, after the 32 bytes of
the record key, the token of the device it was made on, which nobody else has.
"""

from base64 import b64encode
from uuid import UUID

from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa

from heelwright.declarations import Refused
from heelwright.tenancy.models import Device, Practice, RecoveryKey, Staff
from heelwright.tenancy.signin import digest

BITS = 3072
COPY_BYTES = BITS // 8
KEY_BYTES = 32


def in_base64(kept: RecoveryKey) -> str:
    """The public half, as it goes to phones."""
    return b64encode(kept.public).decode()


def make_pair(practice: Practice) -> RecoveryKey:
    """For a practice that has none yet: call it under the practice's lock."""
    pair = new_pair()
    return RecoveryKey.objects.create(
        practice=practice,
        public=pair.public_key().public_bytes(
            serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
        ),
        private=pair.private_bytes(
            serialization.Encoding.DER,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ),
    )


def new_pair() -> rsa.RSAPrivateKey:
    return rsa.generate_private_key(public_exponent=65_537, key_size=BITS)


def opened(staff: Staff, copy: bytes) -> bytes:
    """The 32-byte record key in a copy; raises Refused where it is not this person's copy, or not
    one that a device of theirs has made."""
    content = _content(staff, copy)
    key, token = content[:KEY_BYTES], content[KEY_BYTES:].decode("latin-1")
    if not Device.objects.filter(staff=staff, token_digest=digest(token)).exists():
        raise Refused(
            "copy_not_proved",
            "Nothing shows that one of your devices made this copy of the key.",
            "Open the work by the passphrase it was kept under, or enter it again.",
            field="copy",
        )
    return key


def _content(staff: Staff, copy: bytes) -> bytes:
    kept = RecoveryKey.objects.filter(practice=staff.practice_id).first()
    try:
        if kept is None:
            raise ValueError
        pair = serialization.load_der_private_key(kept.private, password=None)
        if not isinstance(pair, rsa.RSAPrivateKey):
            raise TypeError
        return pair.decrypt(copy, oaep(label(staff.practice_id, staff.pk)))
    except ValueError:
        raise Refused(
            "copy_not_opened",
            "This copy of the key is not one of yours.",
            "Sign in as the person who made the entries.",
            field="copy",
        ) from None


def oaep(bound_to: bytes) -> padding.OAEP:
    digest = hashes.SHA256()
    return padding.OAEP(mgf=padding.MGF1(digest), algorithm=digest, label=bound_to)


def label(practice: UUID, staff: UUID) -> bytes:
    return f"heelwright.recovery.2/{practice}/{staff}".encode()
