"""What must be so when a day is over: on the server, on another phone, in the phone's own files."""

from collections import Counter
from dataclasses import dataclass

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.database import logged
from tests.system.device import Device, of_kind
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit
from tests.system.markers import CLEAR_STEM, STEM, found_in_files

TESS = "tess@practice.test"
IDA, ODA = f"Ida {STEM}", f"Oda {STEM}"


@dataclass
class Round:
    """Tess's day: Ida, who can be worked on, and Oda, who must be seen by somebody else first."""

    tess: Device
    others: set[str]
    ida: HomeVisit
    oda: HomeVisit


EXPECTED = Counter(
    record_screen=2,
    record_foot_check=2,
    record_consent_sheet=1,
    start_visit=1,
    complete_visit=1,
    book_visit=1,
)


def on_the_server(app: ServedApp, day: Round) -> None:
    """Every record exactly once, by a fresh pull of another device and by the command log."""
    rows = day.tess.pull()
    counts = Counter(kind for kind, _ in rows)
    wanted = {"client": 2, "health_screen": 2, "foot_check": 2, "consent": 1, "visit": 1}
    wanted |= {"consent_choice": 2}
    wanted |= {"booking": 3, "referral": 1, "incident": 0}
    assert {kind: counts[kind] for kind in wanted} == wanted
    [visit] = of_kind(rows, "visit").values()
    assert (visit["client"], visit["state"]) == (str(day.ida.client), "completed")
    record = visit["record"]
    assert record["softeners"][0]["removed_at"] > record["softeners"][0]["placed_at"]
    assert record["bits"][0]["rpm"] == 15_000
    assert record["cracks"][0]["length_after_mm"] == 12
    assert record["weeks_until_next"] == 5
    [referral] = of_kind(rows, "referral").values()
    assert referral["client"] == str(day.oda.client)
    states = Counter(row["state"] for row in of_kind(rows, "booking").values())
    assert states == {"done": 1, "booked": 2}

    log = [entry for entry in logged(app) if entry.device not in day.others]
    assert [entry.seq for entry in log] == list(range(1, EXPECTED.total() + 1))
    assert Counter(entry.name for entry in log) == EXPECTED
    assert {entry.status for entry in log} == {"applied"}


def on_a_second_phone(phone: Phone) -> None:
    phone.open()
    hands = Hands(phone)
    hands.sign_in(TESS)
    hands.waits_until_sent()
    hands.open_client(IDA)
    hands.sees("Visit ")
    hands.page.goto("/#/today")
    hands.sees("Done")
    hands.open_client(ODA)
    hands.sees("Stop: see why")
    hands.sees("Waits for an answer")


def nothing_to_read(phone: Phone) -> None:
    """The files of a phone that was used all day, once it is shut; and the search would find."""
    phone.page.evaluate(PLANT, CLEAR_STEM)
    phone.close()
    assert not found_in_files(phone.profile)
    found = found_in_files(phone.profile, CLEAR_STEM)
    assert any("IndexedDB" in name for name in found)
    assert any("Local Storage" in name for name in found)


PLANT = """(word) => new Promise((done) => {
  localStorage.setItem("planted", word);
  const opening = indexedDB.open("planted");
  opening.onupgradeneeded = () => opening.result.createObjectStore("words").put(word, 1);
  opening.onsuccess = () => { opening.result.close(); done(); };
})"""
