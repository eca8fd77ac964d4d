"""The demo's settings for a served app whose tests sign in often and are about something else.

The hash of a password is Django's affair; `tests/system/test_ground.py` signs in under the demo's
own settings.
"""

from heelwright.settings.demo import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
