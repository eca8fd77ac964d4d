"""A practice on a served app, founded and staffed by the same commands that its keeper uses."""

from heelwright.ids import new_id
from tests.services.served import ServedApp
from tests.system.device import PASSWORD, Device

ZONE = "Europe/London"
TWICE = f"{PASSWORD}\n{PASSWORD}\n"


def found(
    app: ServedApp, email: str = "owner@practice.test", name: str = "Invented Feet"
) -> Device:
    """A new practice; returns a device of its owner."""
    where = ("--zone", ZONE, "--owner", "Olive Owner", "--email", email)
    app.manage("practice_new", name, *where, typed=TWICE)
    return Device.sign_in(app.base_url, email)


def hire(app: ServedApp, owner: Device, email: str, role: str = "technician") -> Device:
    """One more person of the practice; returns a device of theirs."""
    owner.must("register_staff", staff=new_id(), name="Tess Technician", email=email, role=role)
    app.manage("staff_password", email, typed=TWICE)
    return Device.sign_in(app.base_url, email)
