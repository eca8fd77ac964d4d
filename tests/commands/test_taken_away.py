"""What a person is told of a client who was taken from them: that their entry came, and no more.

Common practice, no source: who may not read a record may not read it by a way round.
"""

from datetime import timedelta

from heelwright.commandlog.models import Incident
from heelwright.commandlog.wire import Receipt
from heelwright.intake.models import ConsentWithdrawal
from tests.factories import REFERRED, ident, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def told(hand: Hand) -> list[tuple[str, list[str]]]:
    return sorted((row["code"], row["reasons"]) for row in fresh(hand).of("incident").values())


def take_away(world: World) -> None:
    technician, owner = world.technician, world.owner
    owner.now = technician.now
    owner.do("unassign_client", {"client": world.client, "staff": technician.id})
    owner.later(hours=1)
    changes = {"status": "in_hospital"}
    owner.do("amend_client", {"client": world.client, "seen": 10**6, "changes": changes})
    owner.screen(world.client, REFERRED, seen_screens=[])
    technician.now = owner.now + timedelta(hours=1)


def sees_its_receipt(hand: Hand, receipt: Receipt) -> bool:
    return set(receipt.incidents) <= set(fresh(hand).of("incident"))


def test_a_report_about_a_former_client_says_nothing_of_how_they_are(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    take_away(world)
    visit = {**start, "visit": ident(), "started_at": technician.stamp()}
    visited = technician.do("complete_visit", technician.done(visit))
    args = screen_args(
        client=world.client,
        screened_at=technician.stamp(),
        seen_screens=[],
        shown_outcome="go",
    )
    screened = technician.do("record_screen", args)
    # That each was taken, and is with the owner, they are told.
    assert told(technician) == [
        ("client_of_others", ["complete_visit"]),
        ("client_of_others", ["record_screen"]),
    ]
    assert sees_its_receipt(technician, visited)
    assert sees_its_receipt(technician, screened)
    codes = {code for code, _ in told(world.owner)}
    assert {"visit_of_absent_client", "visit_of_held_client", "screens_disagree"} <= codes


def test_what_comes_late_tells_no_former_visitor(world: World) -> None:
    """A colleague had no signal: their screen speaks against a visit of somebody who does not see
    the client now."""
    technician, colleague = world.technician, world.colleague
    visit = technician.ready(world.client)
    technician.do("start_visit", visit)
    colleague.now = technician.later(minutes=30).now
    technician.do("complete_visit", technician.done(visit))
    args = screen_args(
        client=world.client, screened_at=colleague.stamp(minutes=-31), answers=REFERRED
    )
    late = colleague.envelope("record_screen", {**args, "seen_screens": []}, at=colleague.now)
    take_away(world)
    colleague.now = technician.now
    (receipt,) = colleague.deliver(late)
    flagged = Incident.objects.filter(command=receipt.id, code="visit_of_held_client")
    assert [incident.owners_only for incident in flagged] == [True]
    assert told(technician) == []
    assert sees_its_receipt(colleague, receipt)


def test_who_has_the_client_is_told_as_before(world: World) -> None:
    technician = world.technician
    screen = technician.screen(world.client, REFERRED)
    check = technician.check(world.client, screen)
    start = technician.ready(world.client, screen=screen, check=check)
    receipt = technician.do("complete_visit", technician.done(start))
    assert "visit_of_held_client" in {code for code, _ in told(technician)}
    assert set(receipt.incidents) == set(fresh(technician).of("incident"))


def test_a_coordinator_takes_back_consents_of_their_own_clients_alone(world: World) -> None:
    technician, coordinator = world.technician, world.coordinator
    own, other = technician.consent(world.resident), technician.consent(world.client)
    coordinator.now = technician.now
    told = {"reason": "", "withdrawn_at": coordinator.stamp()}
    assert coordinator.no("withdraw_consent", {"consent": other, **told}) == "not_found"
    assert coordinator.no("withdraw_consent", {"consent": ident(), **told}) == "not_found"
    assert not ConsentWithdrawal.objects.exists()
    coordinator.do("withdraw_consent", {"consent": own, **told})
    assert str(ConsentWithdrawal.objects.get().consent_id) == own
