"""What may change vehicles and days of travel."""

from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.replacing import no_ring
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import Power, Refused
from heelwright.trips.arguments import AmendVehicle, Leg, RecordTravel, RegisterVehicle
from heelwright.trips.models import TravelDay, Vehicle


@command(Power.PERMISSION, RegisterVehicle)
def register_vehicle(act: Act, args: RegisterVehicle) -> None:
    fresh_id(Vehicle, args.vehicle, "vehicle")
    act.put(
        Vehicle(
            id=args.vehicle,
            practice=act.practice,
            staff=act.staff,
            kind=args.kind,
            unit=args.unit,
            name=args.name,
            plate=args.plate,
        )
    )


@command(Power.PERMISSION, AmendVehicle)
def amend_vehicle(act: Act, args: AmendVehicle) -> None:
    vehicle = _own_vehicle(act, args.vehicle)
    still_as_seen(act, vehicle, args.seen, "vehicle", "vehicle")
    vehicle.name, vehicle.plate, vehicle.given_up = args.name, args.plate, args.given_up
    act.put(vehicle)


@command(Power.REPORT, RecordTravel)
def record_travel(act: Act, args: RecordTravel) -> None:
    vehicle = _own_vehicle(act, args.vehicle)
    fresh_id(TravelDay, args.travel, "travel")
    if TravelDay.objects.filter(pk__in=args.replaces).exclude(staff=act.staff).exists():
        raise Refused(
            "not_found", "That day of travel is not one of yours.", "Sync, look again.", "replaces"
        )
    no_ring(act, TravelDay, args.travel, args.replaces)
    act.put(
        TravelDay(
            id=args.travel,
            practice=act.practice,
            staff=act.staff,
            vehicle=vehicle,
            day=act.day_told(args.day, "day"),
            odometer_start=args.odometer_start,
            odometer_end=args.odometer_end,
            legs=[_kept(leg) for leg in args.legs],
            note=args.note,
            replaces=sorted(str(one) for one in args.replaces),
            told_at=act.by_now(act.made_at),
        )
    )


def _own_vehicle(act: Act, vehicle_id: UUID) -> Vehicle:
    vehicle = Vehicle.objects.filter(staff=act.staff, pk=vehicle_id).first()
    if vehicle is None:
        raise Refused(
            "not_found", "This vehicle is not among yours.", "Sync, look again.", field="vehicle"
        )
    return vehicle


def _kept(leg: Leg) -> dict[str, object]:
    """Where somebody went for themselves is nobody's business: of a private way only its length
    stays."""
    kept = leg.model_dump(mode="json")
    return kept | {"start": "", "end": "", "words": ""} if leg.purpose == "private" else kept
