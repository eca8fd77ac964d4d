"""The server judges every screen and check itself, refers where it must, and believes no phone."""

from datetime import timedelta

from tests.factories import (
    HEALTHY,
    NEEDS_WORD,
    OPEN_SORE,
    REFERRED,
    answer_args,
    check_args,
    clearance_args,
    consent_args,
    screen_args,
    visit_args,
)
from tests.sync.phone_model import fresh
from tests.world import World


def test_a_referral_is_made_at_once_with_the_id_of_its_screen(world: World) -> None:
    technician = world.technician
    screen = technician.screen(world.client, REFERRED)
    referrals = {str(id_): row for id_, row in fresh(technician).of("referral").items()}
    made = referrals[screen]
    assert (made["level"], made["screen"], made["check"]) == ("refer_first", screen, None)
    assert made["reasons"]
    assert made["refer_to"]
    assert made["within"]


def test_a_check_makes_its_own_and_a_second_of_the_same_makes_none(world: World) -> None:
    technician = world.technician
    screen = technician.screen(world.client)
    check = technician.check(world.client, screen, OPEN_SORE)
    technician.check(world.client, screen, OPEN_SORE)
    referrals = fresh(technician).of("referral")
    assert {str(id_) for id_ in referrals} == {check}


def test_a_milder_outcome_on_the_phone_is_told_to_the_owner(world: World) -> None:
    technician = world.technician
    args = screen_args(
        client=world.client, answers=REFERRED, screened_at=technician.stamp(), shown_outcome="go"
    )
    receipt = technician.do("record_screen", args)
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert told["code"] == "milder_outcome_shown"
    assert told["reasons"] == ["go", "refer_first"]


def test_a_foot_check_cannot_take_back_a_health_answer(world: World) -> None:
    """`kidney_failure` was answered yes at the door; the foot check says nothing about it."""
    technician = world.technician
    screen = technician.screen(world.client, NEEDS_WORD)
    lying = check_args()["answers"] | {"kidney_failure": False}
    technician.check(world.client, screen, lying)
    start = technician.ready(world.client, health=NEEDS_WORD, foot=lying)
    assert technician.no("start_visit", start) == "needs_clearance"


def test_a_health_screen_cannot_look_at_feet(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=HEALTHY | check_args()["answers"], foot={})
    assert technician.no("start_visit", start) == "questions_open"


def test_the_newest_counts_though_an_older_one_comes_in_later(world: World) -> None:
    """A colleague without signal screened before; their clean one does not cover the newer."""
    technician, owner = world.technician, world.owner
    early = owner.envelope(
        "record_screen",
        screen_args(client=world.client, answers=HEALTHY, screened_at=owner.stamp()),
    )
    technician.later(hours=1)
    start = technician.ready(world.client, health=NEEDS_WORD)
    owner.later(hours=2)
    assert owner.deliver(early)[0].status == "applied"
    assert technician.no("start_visit", start) == "needs_clearance"


def test_a_clock_ahead_makes_no_screen_the_newest(world: World) -> None:
    """Two hours ahead the report is kept and told, and counts from when the server had it."""
    technician = world.technician
    two_hours_on = technician.now + timedelta(hours=2)
    ahead = screen_args(client=world.client, screened_at=two_hours_on.isoformat())
    receipt = technician.do("record_screen", ahead, at=two_hours_on)
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert told["code"] == "clock_ahead"
    start = technician.later(minutes=30).ready(world.client, health=NEEDS_WORD)
    assert technician.no("start_visit", start) == "needs_clearance"
    technician.later(hours=3)
    late = {**start, "started_at": technician.stamp()}
    assert technician.no("start_visit", late) == "needs_clearance"


def test_a_start_is_not_told_before_it_was_made(world: World) -> None:
    technician = world.technician
    late = {**technician.ready(world.client), "started_at": technician.stamp(hours=1)}
    assert technician.no("start_visit", late) == "date_too_late"


def test_a_clock_set_back_is_told_to_the_owner(world: World) -> None:
    technician = world.technician
    before = technician.now
    technician.later(hours=5).screen(world.client)
    receipt = technician.do(
        "sign_consent",
        consent_args(client=world.client, signed_at=before.isoformat()),
        at=before,
    )
    told = fresh(world.owner).of("incident")[receipt.incidents[0]]
    assert (told["code"], told["reasons"]) == ("clock_set_back", ["sign_consent"])


def test_an_answer_dated_back_makes_no_older_screen_the_newer_one(world: World) -> None:
    technician = world.technician
    referral = technician.screen(world.client, REFERRED)
    just_after = technician.later(minutes=1).now
    start = technician.later(minutes=30).ready(world.client)
    technician.later(minutes=5)
    technician.answer(referral, at=just_after)
    late = {**start, "started_at": technician.stamp()}
    assert technician.no("start_visit", late) == "screen_before_answer"


def test_an_answer_and_the_screen_after_it_without_signal(world: World) -> None:
    """Delivered together hours later, they count in the order in which they were made."""
    technician = world.technician
    referral = technician.screen(world.client, REFERRED)
    answer = answer_args(referral=referral, answered_on=technician.day())
    delivery = [technician.later(hours=1).envelope("record_referral_answer", answer)]
    screen = screen_args(client=world.client, screened_at=technician.later(minutes=2).stamp())
    delivery.append(technician.envelope("record_screen", screen))
    technician.later(hours=6)
    assert [r.status for r in technician.deliver(*delivery)] == ["applied", "applied"]
    start = visit_args(
        client=world.client,
        booking=technician.book(world.client),
        screen=screen["screen"],
        check=technician.check(world.client, screen["screen"]),
        consent=technician.consent(world.client),
        started_at=technician.stamp(),
    )
    technician.do("start_visit", start)


def test_an_answer_older_than_the_referral_is_none(world: World) -> None:
    technician = world.technician
    referral = technician.screen(world.client, REFERRED)
    old = answer_args(referral=referral, answered_on=technician.day(days=-3))
    refusal = technician.send("record_referral_answer", old).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("date_too_early", "answered_on")


def test_a_clearance_of_a_referring_rule_does_not_help(world: World) -> None:
    technician = world.technician
    screen = technician.screen(world.client, REFERRED)
    rules = next(
        row["reasons"]
        for id_, row in fresh(technician).of("referral").items()
        if str(id_) == screen
    )
    technician.do(
        "record_clearance",
        clearance_args(
            client=world.client,
            given_on=technician.day(),
            expires_on=technician.day(days=300),
            covers=rules,
        ),
    )
    start = technician.ready(world.client)
    assert technician.no("start_visit", start) == "referral_unanswered"
    technician.later(hours=1).answer(screen)
    again = technician.ready(
        world.client,
        booking=technician.book(world.client, starts_at=technician.stamp(days=1)),
        health=REFERRED,
    )
    assert technician.no("start_visit", again) == "referral_unanswered"


def test_a_clearance_lets_the_work_begin_where_one_is_asked_for(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    assert technician.no("start_visit", start) == "needs_clearance"
    technician.do(
        "record_clearance",
        clearance_args(client=world.client, given_on=technician.day(), expires_on=technician.day()),
    )
    technician.do("start_visit", start)


def test_a_clearance_for_another_client_does_not_help(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    technician.do(
        "record_clearance",
        clearance_args(
            client=world.resident, given_on=technician.day(), expires_on=technician.day(days=9)
        ),
    )
    assert technician.no("start_visit", start) == "needs_clearance"


def test_answers_that_are_not_among_the_choices_are_refused_with_their_question(
    world: World,
) -> None:
    technician = world.technician
    wrong = HEALTHY | {"leg_swelling": "zqxmarker7"}
    args = screen_args(client=world.client, answers=wrong, screened_at=technician.stamp())
    refusal = technician.send("record_screen", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("not_a_choice", "answers.leg_swelling")
    assert "zqxmarker7" not in refusal.model_dump_json()


def test_a_question_of_a_later_edition_is_passed_over(world: World) -> None:
    args = HEALTHY | {"question_of_next_year": True}
    screen = world.technician.screen(world.client, args)
    kept = fresh(world.technician).of("health_screen")
    assert next(row for id_, row in kept.items() if str(id_) == screen)["answers"] == args
