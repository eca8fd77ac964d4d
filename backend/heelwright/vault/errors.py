"""What can go wrong in the vault. No message carries a value, a key or an envelope."""


class VaultError(Exception):
    """Any failure of the vault."""


class SealBroken(VaultError):
    """An envelope did not open here. The value is not known; nothing was returned in its place."""


class SubjectShredded(SealBroken):
    """The subject's data key was destroyed: nothing of it opens, nothing new is sealed for it."""


class DataKeyMissing(SealBroken):
    """There is no data key for this subject, and no record that it was destroyed."""


class KeyUnknown(SealBroken):
    """The key-encrypting key of this id is not among the configured ones."""


class UnsealableValue(VaultError, ValueError):
    """The value is not of the kind that the field holds, or would not come back the same."""


class SealMisuse(VaultError, TypeError):
    """A sealed field was used in a way that cannot work: a query by value, a raw update, a dump."""
