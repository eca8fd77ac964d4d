"""A practice's own rules: what its owner adds to the rulebook, for everyone who works there."""

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.people.arguments import AdoptPracticeRules
from heelwright.rulebook import BookError, book_for


@command(Power.PERMISSION, AdoptPracticeRules)
def adopt_practice_rules(act: Act, args: AdoptPracticeRules) -> None:
    """Nothing that is on record is judged again: each record keeps what it was judged by."""
    try:
        book_for(act.practice.place or None, args.text)
    except BookError as fault:
        raise Refused(
            "rules_not_usable", f"{fault.entry}: {fault.text}.", fault.remedy, field="text"
        ) from None
    act.practice.own_rules = args.text
    act.put(act.practice)
