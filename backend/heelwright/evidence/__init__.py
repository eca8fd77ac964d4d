"""Evidence: a hash chain for each practice and for each client, counter-signed by the server.

Answers for: adding a link, and finding whether any link, or a row that one stands for, was changed,
dropped, swapped or added since. Knows of a row its name, id and digest only; who has the rows says
how to read them again (`stands_for`). A digest of anything personal is made with
`vault.fingerprint`, or over sealed bytes, so that it cannot be guessed at.
"""

from heelwright.evidence.chain import Kind, append, move, stands_for, verify
from heelwright.evidence.rules import Fault, Verification

__all__ = ["Fault", "Kind", "Verification", "append", "move", "stands_for", "verify"]
