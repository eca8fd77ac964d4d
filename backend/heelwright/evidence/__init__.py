"""Evidence: a hash chain for each practice, counter-signed by the server.

Answers for: adding a link, and finding whether any link was changed, dropped, swapped or added
since. Does not know what a link stands for beyond its name, row and digest; a digest of anything
personal is made with `vault.fingerprint`, or over sealed bytes, so that it cannot be guessed at.
"""

from heelwright.evidence.chain import append, verify
from heelwright.evidence.rules import Fault, Verification

__all__ = ["Fault", "Verification", "append", "verify"]
