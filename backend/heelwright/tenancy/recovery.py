"""A practice's recovery pair: phones wrap the key of their records to its public half.

RSA-3072 with OAEP and SHA-256 (RFC 8017, section 7.1), which WebCrypto has as well. The label binds
a copy to the practice and the member of staff it was made for, so that nobody can have another's
copy opened as their own.
"""

from base64 import b64encode
from uuid import UUID

from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa

from heelwright.declarations import Refused
from heelwright.tenancy.models import Practice, RecoveryKey, Staff

BITS = 3072
COPY_BYTES = BITS // 8
KEY_BYTES = 32


def in_base64(kept: RecoveryKey) -> str:
    """The public half, as it goes to phones."""
    return b64encode(kept.public).decode()


def make_pair(practice: Practice) -> RecoveryKey:
    """For a practice that has none yet: call it under the practice's lock."""
    pair = rsa.generate_private_key(public_exponent=65_537, key_size=BITS)
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


def opened(staff: Staff, copy: bytes) -> bytes:
    """The 32-byte record key in a copy; raises Refused where it is not this person's copy."""
    kept = RecoveryKey.objects.filter(practice=staff.practice_id).first()
    try:
        if kept is None:
            raise ValueError
        pair = serialization.load_der_private_key(kept.private, password=None)
        if not isinstance(pair, rsa.RSAPrivateKey):
            raise TypeError
        key = pair.decrypt(copy, oaep(label(staff.practice_id, staff.pk)))
        if len(key) != KEY_BYTES:
            raise ValueError
    except ValueError:
        raise Refused(
            "copy_not_opened",
            "This copy of the key is not one of yours.",
            "Sign in as the person who made the entries.",
            field="copy",
        ) from None
    return key


def oaep(bound_to: bytes) -> padding.OAEP:
    digest = hashes.SHA256()
    return padding.OAEP(mgf=padding.MGF1(digest), algorithm=digest, label=bound_to)


def label(practice: UUID, staff: UUID) -> bytes:
    return f"heelwright.recovery.1/{practice}/{staff}".encode()
