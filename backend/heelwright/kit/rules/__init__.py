"""Pure decisions about the kit: whether a cycle did what it must, and whether a set may go to a
client. No Django, and no clock decides an order. docs/decisions/0180-what-a-set-has-been-through.md
says why. The twins are in pwa/src/domain/kit; both run tests/parity/kit.json."""
