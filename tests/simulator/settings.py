"""The simulator's server: the test settings on a database that can be watched, and without the
limit on sign-ins a minute, which goes by the real clock."""

from heelwright.settings.test import *  # noqa: F403
from heelwright.settings.test import DATABASES

DATABASES["default"]["ENGINE"] = "tests.simulator.watched"
ACCOUNT_RATE_LIMITS = False
