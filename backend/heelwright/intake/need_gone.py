"""Other answers than weeks ago, where those asked for a clearance.

They are news, and may be right; that a need has gone without a clinician's word is for the owner to
know (docs/no-way-past.md).
"""

from heelwright.commandlog.act import Act
from heelwright.intake.asked_before import hours_before
from heelwright.intake.clearances import in_force
from heelwright.intake.facts import clearances_of
from heelwright.intake.models import HealthScreen
from heelwright.intake.records import happened_at, local_day, newest_screen
from heelwright.people.books import book_of


def tell_of_need_gone(act: Act, screen: HealthScreen) -> None:
    """Raise an incident that names, in words, the rules by which the screen before the last hours
    asked for a clearance, and by which this one neither asks nor may ask."""
    at = happened_at(screen)
    earlier = newest_screen(screen.client, hours_before(screen.client, at))
    if earlier is None:
        return
    asks = {rule["id"] for part in ("fired", "open") for rule in screen.judgement[part]}
    held = in_force(list(clearances_of(screen.client, at)), at, local_day(screen.practice, at))
    covered = {rule for clearance in held for rule in clearance.covers}
    gone = _needs(earlier) - asks - covered
    if gone:
        words = book_of(act.practice).content.words["en"]
        named = {words.get(f"rule.{rule}", rule) for rule in gone}
        act.raise_incident("clearance_need_gone", screen, sorted(named), screen.client_id)


def _needs(screen: HealthScreen) -> set[str]:
    fired = screen.judgement["fired"]
    return {rule["id"] for rule in fired if rule["outcome"] == "needs_clearance"}
