"""What opens no record: the rulebook, which is files, and help. No secret, no keys, no database."""

from heelwright.settings.base import *  # noqa: F403

HEELWRIGHT_REQUIRE_KEYS = False
