"""What a wrong clock, a second card or many of them could gain, cost or tell. Check: our own rule
(invariants 7, 16 and 18 of docs/sync.md)."""

from datetime import timedelta

from heelwright.commandlog.models import Incident
from heelwright.intake.models import Referral
from heelwright.visits.models import Visit
from tests.factories import NEEDS_WORD, REFERRED, answer_args, client_args, ident, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

YEARS_AHEAD = timedelta(days=60 * 365)


def test_a_referral_from_a_clock_that_runs_ahead_can_be_answered(world: World) -> None:
    """Else its client is held for ever: no answer may be older than its referral, or lie ahead."""
    hand = world.technician
    ahead = hand.now + YEARS_AHEAD
    screen = screen_args(client=world.client, answers=REFERRED, screened_at=ahead.isoformat())
    hand.do("record_screen", screen, at=ahead)
    assert Referral.objects.get(pk=screen["screen"]).made_at == hand.now
    hand.later(hours=3).answer(screen["screen"])
    too_old = answer_args(referral=screen["screen"], answered_on=hand.day(days=-2))
    assert hand.no("record_referral_answer", too_old) == "date_too_early"


def test_a_no_after_a_visit_whose_end_was_told_ahead_does_not_condemn_it(world: World) -> None:
    hand = world.technician
    visit = hand.ready(world.client)
    hand.do("start_visit", visit)
    hand.later(minutes=40)
    ended = hand.now + timedelta(days=3)
    hand.do("complete_visit", hand.done(visit, ended_at=ended.isoformat()), at=ended)
    hand.later(days=1)
    no = {"consent": visit["consent"], "reason": "", "withdrawn_at": hand.stamp()}
    hand.do("withdraw_consent", no)
    assert Visit.objects.get(pk=visit["visit"]).state == "completed"
    assert not Incident.objects.filter(code="visit_of_held_client").exists()


def test_a_visit_whose_start_was_refused_goes_to_review_whenever_it_claims_to_have_begun(
    world: World,
) -> None:
    """A serious screen, a refused start, and a report that claims a start before that screen."""
    hand = world.technician
    visit = hand.ready(world.client)
    hand.later(minutes=20).screen(world.client, REFERRED)
    hand.later(minutes=1)
    assert hand.no("start_visit", {**visit, "started_at": hand.stamp()}) == "referral_unanswered"
    hand.later(minutes=30)
    hand.do("complete_visit", hand.done({**visit, "started_at": hand.stamp(minutes=-50)}))
    assert Visit.objects.get(pk=visit["visit"]).state == "under_review"
    (told,) = Incident.objects.filter(about_id=visit["visit"])
    assert (told.code, told.reasons) == ("visit_of_held_client", ["referral_unanswered"])


def test_a_start_that_was_accepted_after_all_is_no_refused_one(world: World) -> None:
    hand = world.technician
    visit = hand.ready(world.client, health=NEEDS_WORD)
    assert hand.no("start_visit", visit) == "needs_clearance"
    hand.later(minutes=5).clear(world.client)
    begun = {**visit, "started_at": hand.later(minutes=1).stamp()}
    hand.do("start_visit", begun)
    assert hand.later(minutes=30).do("complete_visit", hand.done(begun)).incidents == []


def card(hand: Hand, **given: object) -> dict[str, object]:
    """As a coordinator may fill it in."""
    return {field: value for field, value in client_args(**given).items() if field != "note"}


def test_a_coordinator_finds_out_nothing_by_entering_a_name(world: World) -> None:
    """That somebody at home has their feet cared for is nobody's business in a facility."""
    known = {"name": "Zelda Uniquename", "born": "1931-05-06"}
    world.technician.register(**known)
    hand = world.coordinator
    receipts = [
        hand.do("register_client", card(hand, facility=world.facility, **given))
        for given in (known, {**known, "born": "1931-05-07"})
    ]
    assert [receipt.incidents for receipt in receipts] == [[], []]
    told = Incident.objects.filter(practice=world.practice, code="client_entered_twice")
    assert {one.pk for one in told} <= set(fresh(world.owner).of("incident"))
    assert told.count() == 1


def test_a_merge_opens_no_card_to_a_facility_where_the_client_does_not_live(world: World) -> None:
    elsewhere = ident()
    world.owner.do("register_facility", {"facility": elsewhere, "name": "Other House"})
    stays = world.technician.register(facility=elsewhere, room="1")
    at_home = world.technician.register(address="2 Nowhere Lane")
    world.owner.do("merge_clients", {"stays": stays, "goes": world.resident})
    assert stays not in seen_by(world.coordinator)
    assert stays in seen_by(world.technician)
    # Where the card that stays names no facility, it takes this one over, and who looks after it.
    there = world.technician.register(facility=world.facility, room="9")
    world.owner.do("merge_clients", {"stays": at_home, "goes": there})
    assert at_home in seen_by(world.coordinator)


def seen_by(hand: Hand) -> set[str]:
    return {str(id_) for id_ in fresh(hand).of("client")}


def test_each_more_of_many_doubles_tells_of_a_few(world: World) -> None:
    """A name for want of a name, entered for everybody, must not make each card tell of all."""
    hand = world.technician
    same = {"name": "Unknown Invented", "born": "1940-01-01"}
    cards = [hand.envelope("register_client", client_args(**same)) for _ in range(9)]
    told = [len(receipt.incidents) for receipt in hand.deliver(*cards)]
    assert told == [0, 1, 2, 3, 4, 5, 5, 5, 5]
