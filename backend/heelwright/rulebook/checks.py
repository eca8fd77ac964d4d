"""What the entries of a book must say about each other.

Answers for: each id once, every id that is pointed at exists, facts agree with the code, and
English has words for everything that is shown; another language at least for what is signed.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import get_args

from heelwright.rulebook.consent_texts import current_texts, title_key, words_key
from heelwright.rulebook.errors import BookError
from heelwright.rulebook.expansion import UNSURE
from heelwright.rulebook.expressions import RESERVED
from heelwright.rulebook.facts import FACTS
from heelwright.rulebook.kit_entries import MachineKind
from heelwright.rulebook.mileage_checks import check_mileage
from heelwright.rulebook.own import OWN, PREFIX
from heelwright.rulebook.schema import CLINICIANS_WORD, Content, Question

Origin = Mapping[str, str]
OPTIONAL_WORDS = (("question.", ".help"), ("rule.", ".client"))
# What stands beside every time of the kit: who comes first, and that a label's own time counts.
KIT_NOTES = ("maker_first", "label_time")
# A rule without one is told by its own words; a shipped one has it (`reason_keys`).
REASON = "reason."


def check_content(content: Content, origin: Origin) -> None:
    _check_ids(content, origin)
    _check_facts(content, origin)
    _check_references(content, origin)
    _check_sides(content, origin)
    _check_speeds(content, origin)
    _check_purposes(content, origin)
    check_mileage(content, origin)
    if "en" not in content.words:
        raise BookError("words", "en", "is missing", "Add words/en.yaml.")
    for language, words in content.words.items():
        _check_words(content, language, words)


def _check_purposes(content: Content, origin: Origin) -> None:
    """Which text is signed for a purpose must not be a matter of order."""
    current = [text.purpose for text in current_texts(content)]
    for twice in sorted({purpose for purpose in current if current.count(purpose) > 1}):
        raise BookError("base/consent_texts.yaml", twice, "has two current texts",
                        "Set current to false on the older one.")  # fmt: skip
    if "treatment" not in current:
        raise BookError("base/consent_texts.yaml", "treatment", "has no current text",
                        "Add one: nobody may be worked on without.")  # fmt: skip
    purposes: dict[str, str] = {}
    for text in content.consent_texts:
        if purposes.setdefault(text.id, text.purpose) != text.purpose:
            raise BookError(_file_of(origin, "consent_texts", text.id), text.id,
                            "has versions for two purposes",
                            "Give one of them another id.")  # fmt: skip


def questions_of(content: Content) -> Iterator[Question]:
    for group in content.groups:
        yield from group.questions


def _check_ids(content: Content, origin: Origin) -> None:
    spaces: dict[str, list[str]] = {
        "groups": [group.id for group in content.groups],
        # One space: all three are names in expressions.
        "names": [
            *(question.id for question in questions_of(content)),
            *(fact.id for fact in content.facts),
            *(condition.id for condition in content.conditions),
        ],
        "rules": [rule.id for rule in content.rules],
        "limits": [limit.id for limit in content.limits],
        "bits": [bit.id for bit in content.bits],
        "areas": list(content.areas),
        "aftercare": [entry.id for entry in content.aftercare],
        "stop_signs": [sign.id for sign in content.stop_signs],
        "mishaps": [mishap.id for mishap in content.mishaps],
        "consent_texts": [f"{text.id} version {text.version}" for text in content.consent_texts],
        "intervals": [interval.id for interval in content.intervals],
        "services": [service.id for service in content.services],
        "road_factors": [factor.id for factor in content.road_factors],
        "road_speeds": [speed.id for speed in content.road_speeds],
        "processes": [process.id for process in content.processes],
        "instruments": [instrument.id for instrument in content.instruments],
        "supplies": [supply.id for supply in content.supplies],
        "machine_checks": [check.id for check in content.machine_checks],
        "checklist_items": [item.id for item in content.checklist_items],
        "mileage_rates": [rate.id for rate in content.mileage_rates],
        "mileage_notes": [note.id for note in content.mileage_notes],
        "house_call_notes": [note.id for note in content.house_call_notes],
    }
    for space, ids in spaces.items():
        for twice in {one for one in ids if ids.count(one) > 1}:
            raise BookError(_file_of(origin, space, twice), twice, "is there twice",
                            "Rename or remove one.")  # fmt: skip
    for name in spaces["names"]:
        if name in RESERVED or name.startswith(UNSURE):
            raise BookError(_file_of(origin, "names", name), name, "is a reserved word",
                            "Choose another id.")  # fmt: skip
    if any(question.id == "age" for question in questions_of(content)):
        raise BookError(_file_of(origin, "names", "age"), "age", "is known from the client's card",
                        "Don't ask for it.")  # fmt: skip


def _file_of(origin: Origin, space: str, entry: str) -> str:
    kinds = ("groups", "facts", "conditions") if space == "names" else (space,)
    files = [file for kind in kinds if (file := origin.get(f"{kind}.{entry}"))]
    return files[0] if files else space


def _check_facts(content: Content, origin: Origin) -> None:
    names = {question.id for question in questions_of(content)} | {"findings", "age", "settings"}
    for fact in content.facts:
        known = FACTS.get(fact.id)
        if known is None or (fact.type, tuple(fact.from_)) != (known.type, known.from_):
            expected = "no such fact" if known is None else f"{known.type} from {known.from_}"
            raise BookError(_file_of(origin, "facts", fact.id), fact.id,
                            f"does not agree with facts.py ({expected})",
                            "Change the declaration, or the code in both languages.")  # fmt: skip
        for missing in set(fact.from_) - names:
            raise BookError(_file_of(origin, "facts", fact.id), fact.id,
                            f"is worked out from {missing}, which nobody asks",
                            f"Add the question {missing}.")  # fmt: skip


def _check_references(content: Content, origin: Origin) -> None:
    bits, areas = {bit.id for bit in content.bits}, set(content.areas)
    limits = {limit.id for limit in content.limits}
    for rule in content.rules:
        _known(set(rule.limits), limits, "limit", rule.id, _file_of(origin, "rules", rule.id))
    for bit in content.bits:
        _known(set(bit.finish_with), bits, "bit", bit.id, _file_of(origin, "bits", bit.id))
    for limit in content.limits:
        file = _file_of(origin, "limits", limit.id)
        _known({*(limit.bits_allowed or ()), *limit.max_rpm}, bits, "bit", limit.id, file)
        _known(set(limit.leave_alone), areas, "area", limit.id, file)


def _check_speeds(content: Content, origin: Origin) -> None:
    """Each part of a drive has one speed: the bands follow each other, and the last has no end."""
    ends = [speed.up_to_m for speed in content.road_speeds]
    closed = [end for end in ends if end is not None]
    if ends and ends != [*sorted(set(closed)), None]:
        last = content.road_speeds[-1].id
        raise BookError(_file_of(origin, "road_speeds", last), last,
                        "up_to_m: the bands do not follow each other up to one without an end",
                        "Put them in the order of up_to_m; null in the last alone.")  # fmt: skip


def _check_sides(content: Content, origin: Origin) -> None:
    """A side is for the letter: while it has no answer, nothing may wait for it."""
    parts = {question.id: group.part for group in content.groups for question in group.questions}
    asked: set[str] = set()
    for group in content.groups:
        about = {key for key, part in parts.items() if part == group.part}
        for question in group.questions:
            if question.side_of is not None:
                file = _file_of(origin, "groups", question.id)
                _known({question.side_of}, about, "question", question.id, file)
                if group.must or question.side_of in asked:
                    raise BookError(file, question.id, "asks a side in a must group, or again",
                                    "Ask each side once, in a group without must.")  # fmt: skip
                asked.add(question.side_of)


def _known(used: set[str], there: set[str], noun: str, entry: str, file: str) -> None:
    for missing in sorted(used - there):
        raise BookError(file, entry, f"names the {noun} {missing}, which is not in the book",
                        f"Add the {noun} or mend the name.")  # fmt: skip


def _check_words(content: Content, language: str, words: Mapping[str, str]) -> None:
    file = f"words/{language}.yaml"
    known, reasons = set(word_keys(content)), set(reason_keys(content))
    needed = known | {key for key in reasons if not key.startswith(REASON + PREFIX)}
    if language != "en":
        needed = set(signed_keys(content))
    for missing in sorted(needed - words.keys()):
        raise BookError(_words_of(missing, file), missing, "has no words", "Add them.")
    for key in sorted(words.keys() - known - reasons):
        if not any(key.startswith(head) and key.endswith(tail) and key.removesuffix(tail) in known
                   for head, tail in OPTIONAL_WORDS):  # fmt: skip
            raise BookError(_words_of(key, file), key,
                            "has words, but nothing in the book shows them",
                            "Mend the key or remove it.")  # fmt: skip
    for key, text in words.items():
        if not text.strip():
            raise BookError(_words_of(key, file), key, "is empty", "Write the words.")


def _words_of(key: str, file: str) -> str:
    return OWN if key.partition(".")[2].startswith(PREFIX) else file


def word_keys(content: Content) -> Iterator[str]:
    yield from (f"group.{group.id}" for group in content.groups)
    for question in questions_of(content):
        yield f"question.{question.id}"
        yield from (f"choice.{question.id}.{choice}" for choice in question.choices)
    yield from _keys("fact", (fact.id for fact in content.facts))
    yield from _keys("condition", (condition.id for condition in content.conditions))
    yield from _keys("rule", (rule.id for rule in content.rules))
    yield from _keys("limit", (limit.id for limit in content.limits))
    yield from _keys("aftercare", (entry.id for entry in content.aftercare))
    yield from _keys("stop_sign", (sign.id for sign in content.stop_signs))
    for mishap in content.mishaps:
        yield from (f"mishap.{mishap.id}", f"mishap.{mishap.id}.first_aid")
    yield from (words_key(content, text) for text in content.consent_texts)
    yield from {title_key(text): None for text in content.consent_texts}
    yield from _keys("bit", (bit.id for bit in content.bits))
    yield from _keys("area", content.areas)
    yield from _kit_keys(content)
    yield from _keys("mileage_note", (note.id for note in content.mileage_notes))
    yield from _keys("house_call_note", (note.id for note in content.house_call_notes))


def _kit_keys(content: Content) -> Iterator[str]:
    yield from _keys("process", (process.id for process in content.processes))
    yield from _keys("instrument", (instrument.id for instrument in content.instruments))
    yield from _keys("service", (service.id for service in content.services))
    yield from _keys("supply", (supply.id for supply in content.supplies))
    yield from _keys("machine_check", (check.id for check in content.machine_checks))
    yield from _keys("checklist_item", (item.id for item in content.checklist_items))
    yield from _keys("machine", get_args(MachineKind))
    yield from _keys("kit_note", KIT_NOTES)


def reason_keys(content: Content) -> Iterator[str]:
    """Of each rule that a referral letter may give as a reason: what was reported or seen."""
    rules = (rule.id for rule in content.rules if rule.outcome in CLINICIANS_WORD)
    return (f"{REASON}{one}" for one in rules)


def signed_keys(content: Content) -> Iterator[str]:
    """What a client reads before signing: all that a language besides English must have."""
    for text in current_texts(content):
        yield from (words_key(content, text), title_key(text))


def _keys(noun: str, ids: Iterable[str]) -> Iterator[str]:
    return (f"{noun}.{one}" for one in ids)
