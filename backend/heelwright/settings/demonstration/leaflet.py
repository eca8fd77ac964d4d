"""What `heelwright demo` prints: the address, the sign-ins, and seven steps to try."""

from textwrap import fill

from heelwright.declarations import Role
from heelwright.settings.demonstration.scenario import Client, Person, Scenario


def leaflet(scenario: Scenario, address: str) -> str:
    people = scenario.practice.staff.values()
    steps = "\n".join(_step(number, text) for number, text in enumerate(_steps(scenario), 1))
    return "\n".join(
        [
            "",
            f"  {scenario.practice.name}: nobody and nothing in it is real.",
            "",
            f"  Open {address}",
            "",
            "  Sign in as",
            *(_sign_in(person) for person in people),
            "",
            "  Try this",
            steps,
            "",
            "  Ctrl-C stops it. `.venv/bin/heelwright demo --fresh` starts over.",
            "",
        ]
    )


def _sign_in(person: Person) -> str:
    return f"    {person.role:<12} {person.name:<18} {person.email:<26} {person.password}"


def _step(number: int, text: str) -> str:
    return fill(text, 99, initial_indent=f"  {number}. ", subsequent_indent="     ")


def _steps(scenario: Scenario) -> list[str]:
    who, person = next(
        (key, person)
        for key, person in scenario.practice.staff.items()
        if person.role is Role.TECHNICIAN
    )
    owner = scenario.practice.staff[scenario.practice.owner]
    today = [c for c in scenario.clients if c.technician == who and c.booked_in == 0]
    easy = next(c for c in today if _is_easy(scenario, c))
    changed = next(c for c in today if c.today is not None)
    dirty = next(one for one in scenario.kit.sets if one.last and one.last.what == "soil")
    steriliser = scenario.kit.machines[0].name
    signing_in = f"Sign in as {person.name}, choose a passphrase, and wait for today's list."
    no_network = "Cut the network (flight mode, or the browser's switch) and reload: it opens."
    way_round = f"Under Kit, wash {dirty.name} and start a cycle with it in the {steriliser}."
    visit = f"Visit {easy.name}: health questions, both feet, the set that you packed,"
    after = f"Connect again and see it sync. {owner.name} then finds it all in a private window."
    failed = (
        f"Under Kit she records a failed spore test of the {steriliser}, and sees whom to call."
    )
    money = "More leads her to her miles, with what they come to, and to what was taken."
    return [
        f"{signing_in} {no_network}",
        f"{way_round} When its time is over, say how it ended, and pack the set.",
        f"{visit} the work with its timer, sign-off.",
        f"Open {changed.name} and read the note. Answer so: work can't start, a letter is written.",
        f"{after} {failed}",
        f"{money} Under Invoices she bills a facility.",
        _walk(scenario),
    ]


def _walk(scenario: Scenario) -> str:
    people, houses = scenario.practice.staff.values(), scenario.practice.facilities
    who = next(person for person in people if person.role is Role.COORDINATOR)
    over, ahead = (
        next(houses[one.facility].name for one in scenario.practice.rounds if one.over is it)
        for it in (True, False)
    )
    return (
        f"Sign in as {who.name}: the next round at {ahead} has its door list, and the last one at"
        f" {over} says who was not seen."
    )


def _is_easy(scenario: Scenario, client: Client) -> bool:
    goes = scenario.kinds[client.kind].outcome == "go"
    return goes and client.today is None and not client.held_by and client.since_weeks > 0
