"""Pure decisions about money: what a price is on a day, what a sale comes to, and which of those
told still stand. No Django. The twins are in pwa/src/domain/takings; both run
tests/parity/takings.json."""
