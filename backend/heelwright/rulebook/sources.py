"""The page that lists every rule in words with its source and basis, written from the books.

Answers for the text of docs/rulebook-sources.md; a test fails when the page is not this text.
"""

from collections.abc import Iterator
from itertools import chain

from heelwright.rulebook.book import Book, book_for, overlays
from heelwright.rulebook.entry import Sourced
from heelwright.rulebook.kit_entries import MachineCheck
from heelwright.rulebook.mileage_entries import Band, MileageRate, Tax
from heelwright.rulebook.schema import OUTCOMES, Mishap, Rule
from heelwright.rulebook.service_entries import Service

Row = tuple[str, ...]

BASES = {
    "published": "published",
    "published_secondary": "published, read in a secondary source",
    "common_practice": "common practice, no source",
    "from_memory": "from memory, to be checked",
}
_KIT = ("kind", "entry", "asks for", "in words", "source", "basis")
_NOTE = ("note", "in words", "source", "basis")
_RATE = ("rate", "of", "days", "asks for", "source", "basis")
_ROAD = ("entry", "says", "source", "basis")
_MISHAP = ("what", "in words", "first aid", "ends the visit", "source", "basis")
HEAD = """# Where the rules come from

Written from the book files by `heelwright rulebook sources`; a test fails when it is stale.
Edit the books, not this page.

- The rules prompt. They do not diagnose, and they give way to local law, the technician's
  licence and the client's clinician.
- IWGDF 2023 and NICE NG19 grade the same diabetic foot differently (feeling lost alone is "low"
  for one and "moderate" for the other). The book judges by both, and the stricter outcome wins.
- No published safe surface speed for skin or nail was found. Every speed below is common
  practice; the maker's limit for the bit comes first. No limit in metres a second is made up.
- "Don't know" about a risk counts as the risk. An answer that is missing leaves its rules open,
  and an open rule that could stop the work holds the visit.
- First aid defers to the technician's own training, to local rules and to the emergency number.
- The times of a machine are the least. The maker of the machine and of the tool comes first, and
  of a product the wet time on its own label counts; no number fits all products.
- A rate for miles is the one that a tax authority has made known for those days. Whether a person
  may claim by it is for their tax office or accountant to say.
- "From memory" means that the source named has not been opened to check it.
"""


def shipped_sources_page() -> str:
    return sources_page(book_for(None), *(book_for(place) for place in overlays()))


def sources_page(base: Book, *places: Book) -> str:
    known = {rule.id for rule in base.content.rules}
    sections = [HEAD, *_rules(base, "Rules of the base book", set())]
    for book in places:
        sections += _rules(book, f"Added by {book.content.title}", known)
    content = base.content
    limits = (_line(base, "limit", limit.id, limit) for limit in content.limits)
    advice = (_line(base, "aftercare", one.id, one) for one in content.aftercare)
    mishaps = (_mishap(base, one) for one in content.mishaps)
    lengths = (_length(base, one) for one in content.services)
    returns = ((one.id, str(one.weeks), one.source, BASES[one.basis]) for one in content.intervals)
    return "\n".join(
        [
            *sections,
            *_section("Limits", ("limit", "in words", "source", "basis"), limits),
            *_section("Aftercare", ("advice", "in words", "source", "basis"), advice),
            *_section("When something goes wrong", _MISHAP, mishaps),
            *_section("Weeks until the next visit", ("when", "weeks", "source", "basis"), returns),
            *_section("How long a visit takes", ("service", "minutes", "source", "basis"), lengths),
            *_section("Roads", _ROAD, _roads(base)),
            *chain.from_iterable(_roads_added(base, book) for book in places),
            *_section("Kit and disinfection", _KIT, _kit(base)),
            *chain.from_iterable(_kit_added(base, book) for book in places),
            *_section("Work in clients' homes", _NOTE, _house_calls(base)),
            *chain.from_iterable(_house_calls_added(base, book) for book in places),
            *_section("Miles", _NOTE, _notes(base)),
            *chain.from_iterable(_miles_of(base, book) for book in places),
        ]
    )


def _rules(book: Book, title: str, known: set[str]) -> Iterator[str]:
    new = [rule for rule in book.content.rules if rule.id not in known]
    by_outcome = sorted(new, key=lambda rule: -OUTCOMES.index(rule.outcome))
    head = ("rule", "outcome", "in words", "source", "basis")
    return _section(title, head, (_rule(book, rule) for rule in by_outcome))


def _rule(book: Book, rule: Rule) -> Row:
    name, *rest = _line(book, "rule", rule.id, rule)
    return name, rule.outcome.replace("_", " "), *rest


def _mishap(book: Book, mishap: Mishap) -> Row:
    name, words, *rest = _line(book, "mishap", mishap.id, mishap)
    steps = book.content.words["en"][f"mishap.{mishap.id}.first_aid"]
    return name, words, " ".join(steps.split()), "yes" if mishap.ends_visit else "no", *rest


def _length(book: Book, service: Service) -> Row:
    _, words, *rest = _line(book, "service", service.id, service)
    return words, str(service.minutes), *rest


def _roads(book: Book) -> Iterator[Row]:
    """By what a drive is guessed, for planning alone."""
    for factor in book.content.road_factors:
        says = f"{factor.percent} % of the straight line"
        yield f"`{factor.id}`", says, factor.source, BASES[factor.basis]
    for speed in book.content.road_speeds:
        part = "the rest" if speed.up_to_m is None else f"up to {speed.up_to_m} m"
        yield f"`{speed.id}`", f"{speed.km_h} km/h, {part}", speed.source, BASES[speed.basis]


def _roads_added(base: Book, book: Book) -> Iterator[str]:
    known = set(_roads(base))
    rows = (row for row in _roads(book) if row not in known)
    return _section(f"Roads, added by {book.content.title}", _ROAD, rows)


def _kit(book: Book) -> Iterator[Row]:
    held = book.content
    asks: list[tuple[str, str, Sourced, str]] = [
        *(("process", one.id, one, f"{one.level}, {one.machine}") for one in held.processes),
        *(("instrument", one.id, one, one.needs) for one in held.instruments),
        *(("supply", one.id, one, f"{one.per_visit} a visit") for one in held.supplies),
        *(("machine_check", one.id, one, _every(one)) for one in held.machine_checks),
        *(("checklist_item", one.id, one, one.occasion) for one in held.checklist_items),
    ]
    for kind, entry, sourced, says in asks:
        name, *rest = _line(book, kind, entry, sourced)
        yield kind.replace("_", " "), name, says.replace("_", " "), *rest


def _kit_added(base: Book, book: Book) -> Iterator[str]:
    known = set(_kit(base))
    rows = (row for row in _kit(book) if row not in known)
    return _section(f"Kit, added by {book.content.title}", _KIT, rows)


def _notes(book: Book) -> Iterator[Row]:
    for note in book.content.mileage_notes:
        yield _line(book, "mileage_note", note.id, note)


def _house_calls(book: Book) -> Iterator[Row]:
    for note in book.content.house_call_notes:
        yield _line(book, "house_call_note", note.id, note)


def _house_calls_added(base: Book, book: Book) -> Iterator[str]:
    known = set(_house_calls(base))
    added = [row for row in _house_calls(book) if row not in known]
    title = f"Work in clients' homes, added by {book.content.title}"
    return _section(title, _NOTE, iter(added)) if added else iter(())


def _miles_of(base: Book, book: Book) -> Iterator[str]:
    if book.content.tax is None:
        return
    title, known = book.content.title, set(_notes(base))
    rates = (_rate(rate, book.content.tax) for rate in book.content.mileage_rates)
    yield from _section(f"Miles: rates of {title}", _RATE, rates)
    added = (row for row in _notes(book) if row not in known)
    yield from _section(f"Miles: added by {title}", _NOTE, added)


def _rate(rate: MileageRate, tax: Tax) -> Row:
    bands = (_band(band, tax) for band in rate.bands)
    counted = "" if len(rate.bands) == 1 else f", counted by {rate.counted_by}"
    days = f"{rate.from_} to {rate.until}" if rate.until else f"from {rate.from_}"
    says = f"{', then '.join(bands)}{counted}"
    return f"`{rate.id}`", ", ".join(rate.vehicles), days, says, rate.source, BASES[rate.basis]


def _band(band: Band, tax: Tax) -> str:
    by = f"{band.rate} {tax.currency} a {tax.unit}"
    return f"{by} up to {band.up_to}" if band.up_to else by


def _every(check: MachineCheck) -> str:
    days = "every day" if check.every_days == 1 else f"every {check.every_days} days"
    return f"{days}, reaches back" if check.reaches_back else days


def _line(book: Book, kind: str, entry: str, sourced: Sourced) -> Row:
    words = book.content.words["en"][f"{kind}.{entry}"]
    return f"`{entry}`", words, sourced.source, BASES[sourced.basis]


def _section(title: str, head: Row, rows: Iterator[Row]) -> Iterator[str]:
    yield f"## {title}\n"
    for line in (head, ("---",) * len(head), *rows):
        yield f"| {' | '.join(cell.replace('|', '/') for cell in line)} |"
    yield ""
