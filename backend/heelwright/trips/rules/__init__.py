"""Pure decisions about travel: which days stand, and what they come to by the official rates. No
Django. The twins are in pwa/src/domain/trips; both run tests/parity/miles.json."""
