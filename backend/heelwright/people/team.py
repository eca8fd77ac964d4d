"""What may change staff, their devices, and how long those may be out of touch."""

from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.money import CURRENCIES
from heelwright.people.access import facility_for, fresh_scope, give_client
from heelwright.people.arguments import (
    AssignFacility,
    ChooseRoads,
    RegisterStaff,
    RevokeDevice,
    SetMoney,
    SetOfflineLease,
)
from heelwright.people.models import Client
from heelwright.places.roads import on_offer
from heelwright.tenancy.models import Device, Staff


def colleague(act: Act, staff_id: UUID, field: str = "staff") -> Staff:
    """Somebody of the same practice who still works there; raises Refused otherwise."""
    staff = Staff.objects.filter(practice=act.practice, pk=staff_id, ended_at=None).first()
    if staff is None:
        raise Refused(
            "not_found", "This person was not found in your practice.", "Choose again.", field=field
        )
    return staff


@command(Power.PERMISSION, RegisterStaff)
def register_staff(act: Act, args: RegisterStaff) -> None:
    """Adds a person without a password; the server's keeper sets one with `heelwright
    staff_password`."""
    fresh_scope(args.staff, "staff")
    if Staff.objects.filter(email__iexact=args.email).exists():
        raise Refused(
            "email_taken", "Somebody signs in with this e-mail already.", "Use another.", "email"
        )
    staff = Staff(
        id=args.staff,
        practice=act.practice,
        name=args.name,
        email=args.email.lower(),
        role=args.role,
    )
    staff.set_unusable_password()
    act.put(staff)
    open_practice(act, staff)


def open_practice(act: Act, staff: Staff) -> None:
    """What everyone sees: the practice's own rows, and what concerns themselves."""
    act.grant(staff, act.practice.pk)
    act.grant(staff, staff.pk)


@command(Power.PERMISSION, AssignFacility)
def assign_facility(act: Act, args: AssignFacility) -> None:
    """Gives a person a facility and everyone who lives there."""
    facility = facility_for(act, args.facility)
    staff = colleague(act, args.staff)
    if act.grant(staff, facility.pk):
        act.announce(facility)
    for client in Client.objects.filter(facility=facility):
        give_client(act, staff, client)


@command(Power.PERMISSION, RevokeDevice)
def revoke_device(act: Act, args: RevokeDevice) -> None:
    device = Device.objects.filter(
        practice=act.practice, pk=args.device, answers_until=None
    ).first()
    if device is None:
        raise Refused("not_found", "This device was not found.", "Sync, look again.", "device")
    if device.pk == act.device.pk:
        raise Refused(
            "own_device",
            "A device can't switch itself off.",
            "Use another device of yours for it.",
            field="device",
        )
    if device.revoked_at is None or device.save_unsent != args.save_unsent:
        device.revoked_at = device.revoked_at or act.now
        device.save_unsent = args.save_unsent
        act.put(device)


@command(Power.PERMISSION, SetOfflineLease)
def set_offline_lease(act: Act, args: SetOfflineLease) -> None:
    act.practice.lease_days = args.days
    act.put(act.practice)


@command(Power.PERMISSION, ChooseRoads)
def choose_roads(act: Act, args: ChooseRoads) -> None:
    if not on_offer(args.roads):
        raise Refused(
            "not_set_up",
            "This server has not been set up for it.",
            "Ask whoever runs it, or choose another way.",
            field="roads",
        )
    act.practice.roads = args.roads
    act.put(act.practice)


@command(Power.PERMISSION, SetMoney)
def set_money(act: Act, args: SetMoney) -> None:
    """Counts for what is told from then on: an amount on record keeps its currency."""
    if args.currency not in CURRENCIES:
        raise Refused(
            "not_a_currency",
            "This is not the code of a currency in use.",
            "Enter its three letters, such as EUR.",
            field="currency",
        )
    act.practice.currency, act.practice.tax_on_top = args.currency, args.tax_on_top
    act.put(act.practice)
