"""Answers that were said to be still so, held against the screen that they come from.

What was confirmed is a report like any other: where it does not agree with what is on record it is
kept and told, never refused.
"""

from heelwright.commandlog.act import Act
from heelwright.intake.models import HealthScreen
from heelwright.people.books import book_of


def tell_of_unfounded(act: Act, screen: HealthScreen) -> None:
    """Raise an incident that names, in words, the questions that nobody can have confirmed so."""
    unfounded = _unfounded(screen)
    if unfounded:
        words = book_of(act.practice).content.words["en"]
        named = {words.get(f"question.{question}", "check") for question in unfounded}
        act.raise_incident("confirmed_otherwise", screen, sorted(named), screen.client_id)


def _unfounded(screen: HealthScreen) -> set[str]:
    """Those that the earlier screen answers otherwise or not at all. A screen that the server does
    not have may have been lost with a backup: nothing can be said of it."""
    if screen.from_screen is None:
        return set()
    earlier = HealthScreen.objects.filter(practice=screen.practice, pk=screen.from_screen).first()
    if earlier is None:
        return set()
    said = earlier.answers if earlier.client_id == screen.client_id else {}
    confirmed = [str(each) for each in screen.confirmed or ()]
    return {
        each for each in confirmed if each not in said or screen.answers.get(each) != said[each]
    }
