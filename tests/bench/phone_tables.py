"""The tables of what was measured on the phone: beside its peers, after a kill, and at a start."""

from collections.abc import Mapping
from dataclasses import fields

from tests.bench.beside import CHANGES, EDITS, RUNS, Times
from tests.bench.phone_start import SLOWED_DOWN, TRIES, Scripts, Start
from tests.bench.report import table

NAMES = {
    "ours": "ours, sealed",
    "bare": "bare log, strict",
    "rxdb": "RxDB on Dexie",
    "pouch": "PouchDB",
}
MEASURES = {
    "first_durable": "first sync of 5,000 rows, until on disk",
    "first_readable": "the same, until all are read back",
    "edits": f"{EDITS} edits in a row, each until saved",
    "push": f"push of those {EDITS}",
    "idle": "idle pull",
    "changes": f"pull of {CHANGES} changes, until read",
}
AIMS = {
    ("first_readable", "bare"): 1.25,
    ("first_readable", "rxdb"): 0.5,
    ("edits", "bare"): 1.25,
}


def beside(times: Mapping[str, Times], end_to_end: Times) -> str:
    peers = [side for side in times if side != "ours"]
    head = [f"median of {RUNS}, ms", *(NAMES[side] for side in times)]
    head += [f"ours / {NAMES[side]}" for side in peers] + ["ours with the real server"]
    rows = []
    for measure in (field.name for field in fields(Times)):
        found = {side: getattr(of_side, measure) for side, of_side in times.items()}
        ratios = [_ratio(found["ours"] / found[side], (measure, side)) for side in peers]
        real = f"{getattr(end_to_end, measure):.0f}"
        rows.append([MEASURES[measure], *(f"{ms:.0f}" for ms in found.values()), *ratios, real])
    return table(head, rows)


def _ratio(ratio: float, of_what: tuple[str, str]) -> str:
    aim = AIMS.get(of_what)
    return f"{ratio:.2f}" if aim is None else f"{ratio:.2f} (aim: {aim} or less)"


def killed(kept: Mapping[str, list[int]]) -> str:
    """`kept` holds, for each side, how many edits each run found."""
    rows = [
        [NAMES[side], str(len(found)), str(sum(n == EDITS for n in found)), str(min(found))]
        for side, found in kept.items()
    ]
    head = ["browser killed right after the last edit was saved", "tries"]
    return table([*head, f"{EDITS} of {EDITS} there", "fewest there"], rows)


def scripts(found: Scripts) -> str:
    loaded = f"and until today's list shows ({found.files} files)"
    return table(
        ["scripts of a first load, gzip", "kB"],
        [
            ["until the sign-in shows", f"{found.to_sign_in / 1000:.1f}"],
            [loaded, f"{found.to_today / 1000:.1f}"],
        ],
    )


def cold_starts(starts: Mapping[int, Start]) -> str:
    few, many = starts.values()
    rows: list[list[str]] = []
    for start in (few, many):
        records = f"{start.records} records"
        rows += [
            [f"{records}: to the passphrase's field", f"{start.to_the_lock:.2f}"],
            [f"{records}: from Unlock to today's list", f"{start.to_the_list:.2f}"],
            [f"{records}: both", f"{start.whole:.2f}"],
            [f"{records}, bare read and opening", f"{start.bare_read:.2f}"],
        ]
    more = (many.whole - few.whole) / many.bare_read
    rows += [
        ["many records beside few", f"{many.whole / few.whole:.2f} times"],
        ["what many records add, beside their bare read", f"{more:.2f} times"],
    ]
    slowed = f"processor slowed down {SLOWED_DOWN} times"
    return table([f"cold start offline, median of {TRIES}, {slowed}", "seconds"], rows)
