"""Which keys this installation uses: HEELWRIGHT_KEYS in the environment, or the settings' file.

The environment is read here and not in the settings, so that what shows settings shows no keys.
Django's SECRET_KEY plays no part: changing it loses nothing, learning it opens nothing.
"""

import os
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from heelwright.vault import keyfile
from heelwright.vault.keyfile import KeyFileError, Keys
from heelwright.vault.keyring import Keyring, KeyWrapper


def keys() -> Keys:
    """The configured keys, read once a process. Raises ImproperlyConfigured if there are none."""
    text = os.environ.get("HEELWRIGHT_KEYS", "")
    path = getattr(settings, "HEELWRIGHT_KEY_FILE", None) or ""
    if text and path:
        raise ImproperlyConfigured("Set HEELWRIGHT_KEYS or HEELWRIGHT_KEY_FILE, not both.")
    if not text and not path:
        raise ImproperlyConfigured(
            "No keys: set HEELWRIGHT_KEY_FILE to a key file (make one with "
            "`python -m heelwright.vault.keyfile make PATH`), or HEELWRIGHT_KEYS to its content."
        )
    try:
        return _read(text, str(path))
    except KeyFileError as error:
        raise ImproperlyConfigured(f"The keys cannot be used: {error}.") from None


def wrapper() -> KeyWrapper:
    return Keyring(keys())


@lru_cache(maxsize=8)
def _read(text: str, path: str) -> Keys:
    return keyfile.parse(text) if text else keyfile.load(Path(path))
