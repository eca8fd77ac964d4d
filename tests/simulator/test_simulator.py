"""Phones and server under the scheduler: nothing lost, nothing twice, nobody diverged; and three
planted bugs, each found.

What must hold is the list in docs/sync.md; there is no source outside the project for it.
"""

import subprocess
import sys
from collections.abc import Callable
from itertools import count, takewhile
from pathlib import Path

import pytest

from tests.run_length import runs
from tests.simulator import run
from tests.simulator.bundle import HERE, PWA, built
from tests.simulator.planted import BUGS
from tests.simulator.shrink import Case, numbers, ranges, smaller

STEPS = runs(short=6_000, long=1_000_000)
# Until each command and each event has come up; the rarest needs most of it.
MOST_STEPS = max(STEPS, 30_000)
MOST_SEEDS_FOR_A_BUG = 40
# Everything that phones/plan.ts can let happen; what never happens shows nothing.
EVENTS = set(
    "command_saved request_delivered reply_delivered went_on timer looked attended sync_asked"
    " request_lost reply_lost reply_torn request_doubled delayed late portal_page bad_gateway"
    " page_killed_at_task page_killed_at_commit second_tab tab_closed disk_full"
    " server_killed_at_statement server_killed_before_reply backup restored phone_clock_set"
    " server_clock_set idle_lock device_revoked signed_in_again passphrase_forgotten brought_back"
    " feed_trimmed rulebook_changed old_app app_updated".split()
)
COMMANDS = set(
    "register_client amend_client merge_clients assign_client unassign_client register_facility"
    " assign_facility amend_facility import_residents set_offline_lease choose_roads close_incident"
    " revoke_device record_screen"
    " record_foot_check mark_entered_in_error sign_consent record_consent_sheet withdraw_consent"
    " offer_signing end_signing"
    " record_clearance withdraw_clearance record_referral_step record_referral_answer book_visit"
    " move_booking arrange_visits cancel_booking record_not_seen"
    " book_series cancel_series"
    " wait_for_visit stop_waiting"
    " plan_round close_round cancel_round"
    " set_working_week set_base add_time_off remove_time_off"
    " share_calendar end_calendar"
    " start_visit complete_visit report_mishap add_to_mishap"
    " close_mishap record_photo register_thing amend_thing move_set start_load end_load"
    " mix_solution throw_away_solution record_machine_check change_stock sign_checklist"
    " give_set register_vehicle amend_vehicle record_travel"
    " set_money set_price_item set_price record_sale record_payment change_bag"
    " issue_invoice void_invoice"
    " start_watch move_watch end_watch record_paper remove_paper".split()
)

Build = Callable[[str], Path]


@pytest.fixture
def build(tmp_path: Path) -> Build:
    return lambda bug: built(tmp_path, bug)


def test_nothing_is_lost_or_done_twice_and_all_phones_agree(build: Build) -> None:
    totals = run.Totals()
    applied = {f"{command} applied" for command in COMMANDS}

    def goes_on(_seed: int) -> bool:
        all_came_up = applied <= set(totals.receipts) and set(totals.counts) >= EVENTS
        return totals.steps < (STEPS if all_came_up else MOST_STEPS)

    seeds = takewhile(goes_on, count(1))
    for report in run.reports(seeds, build("")):
        totals.add(report)
    sys.stderr.write(f"\n{totals.text()}")
    told = [f"--seed {r['seed']}: {r['broken'][0]}" for r in totals.failed]
    assert not told, "\n".join(told)
    assert totals.steps >= STEPS
    assert set(totals.counts) == EVENTS
    assert applied <= set(totals.receipts)


@pytest.mark.parametrize("bug", BUGS)
def test_finds_a_planted_bug(bug: str, build: Build) -> None:
    """One worker: whatever else ran when the bug is found would have to run to its end."""
    tried, found = 0, None
    seeds = range(1, MOST_SEEDS_FOR_A_BUG + 1)
    for report in run.reports(seeds, build(bug), bug, workers=1):
        tried += 1
        if report["broken"]:
            found = report
            break
    assert found is not None, f"{bug} went unseen in {tried} seeds"
    what = found["broken"][0]
    sys.stderr.write(
        f"\n{bug}: found after {tried} seeds, by --bug {bug} --seed {found['seed']}: "
        f"invariant {what['invariant']}, {what['what'][:120]}\n"
    )


def test_shrinks_to_what_is_needed() -> None:
    """Events 3 and 40 together make it fail, on phone 1; common practice, no source."""
    search = smaller(Case(tuple(range(64))), phones=4)
    tried, end = next(search), None
    while end is None:
        try:
            tried = search.send({3, 40} <= set(tried.events) and 1 not in tried.without)
        except StopIteration as stop:
            end = stop.value
    assert end == Case((3, 40), without=(0, 2, 3))


def test_the_phones_program_keeps_its_types() -> None:
    """The compiler that checks the app checks this with it."""
    compiler, project = PWA / "node_modules/typescript/bin/tsc", HERE / "tsconfig.json"
    done = subprocess.run(
        ["node", compiler, "-p", project], check=False, cwd=PWA, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout


def test_writes_and_reads_ranges() -> None:
    assert ranges([0, 1, 2, 7, 9, 10]) == "0-2,7,9-10"
    assert numbers("0-2,7,9-10") == [0, 1, 2, 7, 9, 10]
