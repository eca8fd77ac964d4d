"""How the kit is made ready: cycles, classes of tools, checks of machines, storage, and hands.

Each figure has its source beside it. The maker's instructions override the cycles (general CDC
rule, from memory), and a label's own time the book: there is no universal number (published,
read in a secondary source).
"""

import re
from collections.abc import Iterator

import pytest

from heelwright.rulebook import Book, book_for
from heelwright.rulebook.kit_entries import MachineCheck, Process

PLACES = (None, "us", "uk")
BOOK = book_for(None)
# EPA label time runs from about 15 seconds to 10 minutes and more: a number beside "wet" is wrong.
A_TIME = re.compile(r"\d|\b(second|minute)s?\b")

# machine, wrapped, degrees, minutes, minutes of drying, basis
CDC_CYCLES = [
    # CDC 2008, Table 7, wrapped instruments (published)
    ("steam_gravity", True, 121, 30, [15, 30], "published"),
    ("steam_gravity", True, 132, 15, [15, 30], "published"),
    ("steam_vacuum", True, 132, 4, [20, 30], "published"),
    # CDC 2008, Table 8, unwrapped (from memory)
    ("steam_gravity", False, 132, 3, None, "from_memory"),  # solid metal, no lumens
    ("steam_gravity", False, 132, 10, None, "from_memory"),  # mixed, porous, lumens
    ("steam_vacuum", False, 132, 3, None, "from_memory"),  # nonporous
    ("steam_vacuum", False, 132, 4, None, "from_memory"),  # mixed, porous
    # CDC 2008, dry heat (from memory)
    ("dry_heat", False, 170, 60, None, "from_memory"),
    ("dry_heat", False, 160, 120, None, "from_memory"),
    ("dry_heat", False, 150, 150, None, "from_memory"),
]

CLASSES = [
    # 16 TAC 83.106(c)-(d) and Tex. Occ. Code 1603.352 (published): metal tools and drill bits,
    # after each client; CDC 2008 semicritical where skin is not whole (examples from memory)
    *((tool, "sterilise") for tool in
      ("rotary_bit", "nippers", "scissors", "pusher", "curette", "metal_file")),
    # 16 TAC 83.102(e) (published); CDC 2008 noncritical (examples from memory)
    *((tool, "disinfect") for tool in ("handpiece", "lamp", "foot_rest")),
    # 16 CCR 981 (published): what cannot be disinfected; Texas would let some be used again
    *((tool, "single_use") for tool in
      ("porous_file", "buffer", "emery_board", "pumice", "toe_separator", "sanding_band",
       "orange_stick")),
]  # fmt: skip


def cycle(process: Process) -> tuple[object, ...]:
    held = process.model_dump()
    keys = ("machine", "wrapped", "celsius", "minutes", "dry_minutes", "basis")
    return tuple(held[key] for key in keys)


def checks(place: str | None) -> dict[str, MachineCheck]:
    return {check.id: check for check in book_for(place).content.machine_checks}


def words(book: Book, head: str) -> Iterator[tuple[str, str]]:
    return ((key, text) for key, text in book.content.words["en"].items() if key.startswith(head))


def test_the_cycles_are_those_of_the_tables_and_no_others() -> None:
    assert [cycle(process) for process in BOOK.content.processes] == CDC_CYCLES
    assert book_for("us").content.processes == BOOK.content.processes


def test_the_uk_adds_its_own_cycle_and_takes_none_away() -> None:
    # 134 degrees for 3 minutes: Podiatry Review 2014 (published); which machine takes wrapped
    # tools: EN 13060 types B and N (published, read in a secondary source).
    here = book_for("uk").content.processes
    assert here[: len(CDC_CYCLES)] == BOOK.content.processes
    assert [cycle(process) for process in here[len(CDC_CYCLES) :]] == [
        ("steam_vacuum", True, 134, 3, None, "published_secondary"),
        ("steam_gravity", False, 134, 3, None, "published_secondary"),
    ]


@pytest.mark.parametrize("place", PLACES)
def test_every_cycle_says_its_figures_and_has_an_indicator_read(place: str | None) -> None:
    # A chemical indicator in every pack: MMWR 2003;52(RR-17) (published).
    book = book_for(place)
    for process in book.content.processes:
        text = book.content.words["en"][f"process.{process.id}"]
        assert process.indicator
        assert process.level == "sterilise"
        assert f"{process.celsius} °C" in text
        assert f" {process.minutes:g} minutes" in text
        for figure in process.dry_minutes or ():
            assert f" {figure:g}" in text.split("dry for")[1]
        assert ("Not in pouches" in text) == (not process.wrapped and process.machine != "dry_heat")


def test_the_maker_comes_first() -> None:
    said = dict(words(BOOK, "kit_note."))
    assert "maker" in said["kit_note.maker_first"]
    assert "do that" in said["kit_note.maker_first"]


@pytest.mark.parametrize("place", PLACES)
def test_no_time_is_made_up_for_a_product(place: str | None) -> None:
    """The product's own label time counts, so no line on wiping or soaking has a number."""
    book = book_for(place)
    wiped = [
        (key, text)
        for head in ("checklist_item.", "kit_note.label_time")
        for key, text in words(book, head)
        if "wet" in text or "wiped" in text
    ]
    assert len(wiped) >= 4
    assert [key for key, text in wiped if A_TIME.search(text)] == []
    assert [key for key, text in wiped if "wet" in text and "label" not in text] == []
    assert [one.id for one in book.content.processes if one.level == "disinfect"] == []


@pytest.mark.parametrize(("tool", "needs"), CLASSES)
def test_the_least_for_a_tool_is_that_of_its_class(tool: str, needs: str) -> None:
    for place in PLACES:
        held = {one.id: one.needs for one in book_for(place).content.instruments}
        assert held[tool] == needs
        assert len(held) == len(CLASSES)


@pytest.mark.parametrize("place", PLACES)
def test_every_steriliser_has_its_spore_test_each_week(place: str | None) -> None:
    # At least weekly: CDC MMWR 2003;52(RR-17), CDC 2008 (published). Calling back to the last good
    # test: published, read in a secondary source.
    check = checks(place)["spore_test"]
    assert check.every_days <= 7
    assert check.reaches_back
    machines = {process.machine for process in book_for(place).content.processes}
    assert set(check.machines) == machines


def test_temperature_and_foil_each_week() -> None:
    # 16 CCR 982 (from memory); the foil test of a bath: common practice, no source.
    held = checks(None)
    assert (held["temperature"].every_days, held["temperature"].basis) == (7, "from_memory")
    assert held["ultrasonic_foil"].machines == ["ultrasonic"]
    assert held["ultrasonic_foil"].basis == "common_practice"


def test_uk_vacuum_machines_are_checked_daily_and_for_leaks_weekly() -> None:
    # HTM 01-05 (from memory); UK only.
    added = {key: check for key, check in checks("uk").items() if key not in checks(None)}
    assert {key: check.every_days for key, check in added.items()} == {
        "uk_steam_penetration": 1,
        "uk_automatic_control": 1,
        "uk_air_leak": 7,
    }
    for check in added.values():
        assert (check.machines, check.basis) == (["steam_vacuum"], "from_memory")
    assert checks("us") == checks(None)


@pytest.mark.parametrize("place", PLACES)
def test_storage_solutions_and_hands(place: str | None) -> None:
    settings = book_for(place).content.settings
    # HTM 01-05, 2013 (from memory): wrapped a year, unwrapped a week away from the clinical room
    assert (settings.storage_days_wrapped, settings.storage_days_unwrapped) == (365, 7)
    # 16 TAC 83.100 (published): mix fresh daily
    assert settings.solution_hours_max == 24
    # Rub 15 to 25 s: CDC 2002 (published, read in a secondary source); 20 to 30: WHO (from memory)
    assert max(15, 20) <= settings.hand_rub_seconds <= min(25, 30)
    # Wash 20 s at least: CDC (published, read in a secondary source); 40 to 60: WHO (from memory)
    assert max(20, 40) <= settings.hand_wash_seconds <= 60
    # Common practice, no source
    assert (settings.spare_percent, settings.soak_ml_per_set) == (20, 250)


def test_what_a_visit_takes_is_common_practice() -> None:
    assert {supply.id for supply in BOOK.content.supplies} == {
        "gloves", "mask", "apron", "couch_paper", "towel", "barrier_sleeve", "sanding_band",
        "buffer", "orange_stick", "wipe", "waste_bag",
    }  # fmt: skip
    assert {supply.basis for supply in BOOK.content.supplies} == {"common_practice"}
    # Where neither bits nor nails were worked with: what covers and what cleans, all the same.
    always = {supply.id for supply in BOOK.content.supplies if supply.only_with is None}
    assert {"gloves", "mask", "apron", "wipe", "waste_bag"} <= always
    assert not always & {"barrier_sleeve", "sanding_band", "buffer", "orange_stick"}


@pytest.mark.parametrize(
    ("occasion", "items"),
    [
        # Common practice, no source, but for hands (CDC) and what is thrown away (16 CCR 981)
        ("on_arrival", {"surface", "light", "chair", "hands_before", "dust_and_mask",
                        "gloves_and_apron", "waste_place"}),
        ("before_leaving", {"sets_counted", "boxes_apart", "solution_in_date", "first_aid_kit",
                            "phone_charged"}),
        ("between_clients", {"single_use_binned", "surfaces_between", "hands_between"}),
        ("on_leaving", {"dirty_box_closed", "surfaces_wiped", "waste_bagged", "hands_after"}),
        ("end_of_day", {"used_accounted_for", "solution_poured_out"}),
        ("weekly", {"spore_test_done", "soak_changed", "temperature_checked", "lots_in_date"}),
    ],
)  # fmt: skip
def test_what_is_looked_at_when(occasion: str, items: set[str]) -> None:
    for place in PLACES:
        held = book_for(place).content.checklist_items
        there = {item.id: item for item in held if item.occasion == occasion}
        assert items <= set(there)
        homes = [item.only_in for item in there.values()]
        # Between clients is where one comes after the other: in a facility alone.
        assert (set(homes) == {"facility"}) == (occasion == "between_clients")
        assert {there[item].only_in for item in items} <= {None, "facility"}


# They have a time of their own.
HANDS = {"hands_before", "hands_between", "hands_after"}


def test_what_has_a_result_is_not_ticked_with_the_rest() -> None:
    """Common practice, no source: a count, a reading, a test or a time is told of by itself."""
    results = {"sets_counted", "supplies_counted", "solution_in_date", "first_aid_kit",
               "phone_charged", "surfaces_between", "handpiece_between", "surfaces_wiped",
               "used_accounted_for", "spore_test_done", "temperature_checked",
               "lots_in_date", *HANDS}  # fmt: skip
    for place in PLACES:
        items = book_for(place).content.checklist_items
        just_done = {item.id for item in items if item.just_done}
        assert results <= {item.id for item in items} - just_done
        assert {item.id for item in items if item.occasion == "on_arrival"} - HANDS <= just_done
        assert not {item for item in just_done if item.startswith(f"{place}_")}


@pytest.mark.parametrize(
    ("place", "items"),
    [
        # 16 CCR 978(a)(4),(c) and 981 (published)
        ("us", ["us_new_marked", "us_solution_marked", "us_label_kept"]),
        # HTM 01-05 (from memory); Podiatry Review 2014 (published)
        ("uk", ["uk_unwrapped_today", "uk_log_book"]),
    ],
)
def test_a_place_adds_its_lines(place: str, items: list[str]) -> None:
    held = [item.id for item in book_for(place).content.checklist_items]
    assert held == [*(item.id for item in BOOK.content.checklist_items), *items]
