"""The shape of the book files: one strict model for each kind of entry.

Answers for what an entry may hold. What entries may say about each other (known names,
existing limits, words for everything) is checked in `checks`, expressions in `expressions`.
"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from heelwright.rulebook.entry import Entry, Id, Sourced, Span, Text
from heelwright.rulebook.kit_entries import (
    ChecklistItem,
    Instrument,
    MachineCheck,
    Process,
    Supply,
)
from heelwright.rulebook.mileage_entries import MileageNote, MileageRate, Tax
from heelwright.rulebook.road_entries import RoadFactor, RoadSpeed
from heelwright.rulebook.service_entries import Service

Outcome = Literal["go", "go_with_limits", "needs_clearance", "refer_first", "emergency"]
Within = Literal["now", "same_day", "one_working_day", "days", "weeks"]
ReferTo = Literal["emergency_services", "foot_team", "gp", "specialist_nurse", "pharmacist"]
AskedBy = Literal["anyone", "technician"]
Kind = Literal["yes_no", "choice", "choices", "number", "date_known", "touch_sites"]
EmergencyNumber = Annotated[str, Field(pattern=r"^[0-9]{2,6}$")]
Purpose = Literal["treatment", "photos", "sharing", "messages"]
FactType = Literal["bool", "int", "number"]

# Each from the least to the most strict; places in these tuples are what "stricter" means.
OUTCOMES: tuple[Outcome, ...] = (
    "go",
    "go_with_limits",
    "needs_clearance",
    "refer_first",
    "emergency",
)
# Those that stop the work or need a clinician's word.
CLINICIANS_WORD = OUTCOMES[2:]
WITHIN: tuple[Within, ...] = ("weeks", "days", "one_working_day", "same_day", "now")
REFER_TO: tuple[ReferTo, ...] = (
    "pharmacist",
    "specialist_nurse",
    "gp",
    "foot_team",
    "emergency_services",
)


class Settings(Entry):
    screen_valid_hours: int = Field(gt=0)
    # For how long a need for a clearance that was said stays, however it is answered afterwards.
    need_stays_hours: int = Field(gt=0)
    entered_in_error_minutes: int = Field(gt=0)
    urea_minutes_min: float = Field(ge=0)
    urea_minutes_max: float = Field(gt=0)
    elderly_age: int = Field(gt=0)
    # For how long an earlier answer may be confirmed instead of asked again; 0 is never.
    confirm_days: int = Field(default=0, ge=0)
    # How many days after it was given a clearance may last.
    clearance_days_max: int = Field(default=366, gt=0)
    # After how many days a consent is asked for anew; it stands until then and after.
    consent_renew_days: int = Field(default=365, gt=0)
    # For how many days a health screen is a recent one. Asked at each visit it is all the same.
    screen_recent_days: int = Field(default=91, gt=0)
    # Whether the licence lets a technician feel for the pulses of a foot; an overlay may say so.
    technician_checks_pulses: bool
    # For how long what was made ready may lie before it is used.
    storage_days_wrapped: int = Field(gt=0)
    storage_days_unwrapped: int = Field(gt=0)
    # How long a mixed solution may be used, whatever else its label allows.
    solution_hours_max: int = Field(gt=0)
    hand_rub_seconds: int = Field(gt=0)
    hand_wash_seconds: int = Field(gt=0)
    # How many sets more than the visits of a day need.
    spare_percent: int = Field(ge=0)
    # How much solution it takes to cover one set of tools.
    soak_ml_per_set: int = Field(gt=0)

    @model_validator(mode="after")
    def minutes_leave_some_time(self) -> Self:
        if self.urea_minutes_min > self.urea_minutes_max:
            raise ValueError("urea_minutes_min is more than urea_minutes_max")
        return self


SIDES: list[Id] = ["left", "right", "both"]


class Question(Entry):
    id: Id
    kind: Kind
    choices: list[Id] = []
    min: float | None = None
    max: float | None = None
    unit: Id | None = None
    ask_when: Text | None = None
    # About today: an earlier answer says nothing, and is never confirmed.
    each_time: bool = False
    # The question about one leg or foot whose side this asks. For the clinician, not for the rules.
    side_of: Id | None = None

    @model_validator(mode="after")
    def fields_fit_the_kind(self) -> Self:
        if (self.kind in ("choice", "choices")) != bool(self.choices):
            raise ValueError("choices belong to the kinds choice and choices, and only to those")
        if len(set(self.choices)) != len(self.choices) or "dont_know" in self.choices:
            raise ValueError("each choice once, and dont_know is never one: it is always offered")
        if self.kind != "number" and (self.min, self.max, self.unit) != (None, None, None):
            raise ValueError("min, max and unit belong to the kind number only")
        if self.side_of and (self.choices != SIDES or self.ask_when is None):
            raise ValueError(f"side_of needs ask_when and the choices {', '.join(SIDES)}")
        return self


class Group(Entry):
    id: Id
    part: Literal["health", "foot"]
    # What is the technician's to judge is not put to a client who holds the phone.
    asked_by: AskedBy = "anyone"
    ask_when: Text | None = None
    must: bool = False
    each_time: bool = False
    questions: list[Question] = Field(min_length=1)


class Fact(Entry):
    id: Id
    type: FactType
    from_: list[Id] = Field(alias="from", min_length=1)


class Condition(Entry):
    id: Id
    when: Annotated[str, Field(min_length=1)]


class Rule(Sourced):
    id: Id
    group: Id
    when: Text
    outcome: Outcome
    refer_to: ReferTo | None = None
    within: Within | None = None
    limits: list[Id] = []
    # A need that what is found later on the same day may settle; any other stays once it was said.
    settled_later: bool = False
    # Published intervals, shown beside the prompt and not judged by.
    check_every_months: Span | None = None
    first_seen_weeks: Span | None = None

    @model_validator(mode="after")
    def fields_fit_the_outcome(self) -> Self:
        refers = self.outcome in ("refer_first", "emergency")
        if refers and (self.refer_to is None or self.within is None):
            raise ValueError(f"{self.outcome} needs refer_to and within")
        if self.outcome == "go_with_limits" and not self.limits:
            raise ValueError("go_with_limits needs at least one limit")
        return self


class Limit(Sourced):
    id: Id
    bits_allowed: list[Id] | None = None
    top_speed_m_s: float | None = Field(default=None, gt=0)
    max_rpm: dict[Id, int] = {}
    no_bit_in_crack: bool = False
    no_blades: bool = False
    softener: Literal["allowed", "none"] = "allowed"
    softener_max_percent: float | None = Field(default=None, gt=0, le=100)
    softener_min_minutes: float | None = Field(default=None, ge=0)
    softener_max_minutes: float | None = Field(default=None, gt=0)
    leave_alone: list[Id] = []


class Bit(Sourced):
    id: Id
    usual_rpm: int = Field(gt=0)
    cutting: bool
    pointed: bool
    finish_with: list[Id] = []


class Aftercare(Sourced):
    """`on_hurt_skin`: what becomes of it where the visit may have hurt the skin. `told`: it is told
    then, whatever `when` says. `not_ticked`: it is told only where the technician ticks it."""

    id: Id
    when: Text | None = None
    on_hurt_skin: Literal["as_usual", "told", "not_ticked"] = "as_usual"


class StopSign(Sourced):
    """`hurts_skin`: the skin may be hurt where it was seen."""

    id: Id
    hurts_skin: bool = False


class Mishap(Sourced):
    """Something that can go wrong during the work. `ends_visit`: the work should stop for today.
    `hurts_skin`: the client's skin may be hurt."""

    id: Id
    ends_visit: bool
    hurts_skin: bool = False


class ConsentText(Entry):
    """One version of a text to sign. Older versions stay, so that old evidence can be read."""

    id: Id
    purpose: Purpose
    version: int = Field(gt=0)
    current: bool


class Interval(Sourced):
    id: Id
    when: Text
    weeks: int = Field(gt=0)


class HouseCallNote(Sourced):
    """How the law of a place may limit work in a client's home, for a person to ask about."""

    id: Id


class Content(Entry):
    """A whole book, base and overlay joined, before any expression is compiled."""

    id: Id
    title: Text
    edition: Text
    overlay: Id | None
    # Digits to dial; none where the book does not know the place.
    emergency_number: EmergencyNumber | None = None
    # None where the book does not know the place.
    tax: Tax | None = None
    settings: Settings
    groups: list[Group]
    facts: list[Fact]
    conditions: list[Condition]
    rules: list[Rule]
    limits: list[Limit]
    bits: list[Bit]
    areas: list[Id]
    aftercare: list[Aftercare]
    stop_signs: list[StopSign]
    mishaps: list[Mishap]
    consent_texts: list[ConsentText]
    intervals: list[Interval]
    services: list[Service]
    road_factors: list[RoadFactor]
    road_speeds: list[RoadSpeed]
    processes: list[Process]
    instruments: list[Instrument]
    supplies: list[Supply]
    machine_checks: list[MachineCheck]
    checklist_items: list[ChecklistItem]
    mileage_rates: list[MileageRate]
    mileage_notes: list[MileageNote]
    house_call_notes: list[HouseCallNote]
    words: dict[str, dict[str, str]]
