"""A practice on a served app, founded and staffed by the same commands that its keeper uses."""

from heelwright.ids import new_id
from tests.services.served import ServedApp
from tests.system.device import PASSWORD, Device

OWNER = "owner@practice.test"
ZONE = "Europe/London"
TWICE = f"{PASSWORD}\n{PASSWORD}\n"


def set_up(app: ServedApp, email: str = OWNER, name: str = "Invented Feet") -> None:
    """A new practice; the app need not run."""
    where = ("--zone", ZONE, "--owner", "Olive Owner", "--email", email)
    app.manage("practice_new", name, *where, typed=TWICE)


def found(app: ServedApp, email: str = OWNER, name: str = "Invented Feet") -> Device:
    """A new practice; returns a device of its owner."""
    set_up(app, email, name)
    return Device.sign_in(app.base_url, email)


def owner_of(app: ServedApp) -> Device:
    """A new device of the owner whose practice was there when the app was started."""
    return Device.sign_in(app.base_url, OWNER)


def hire(app: ServedApp, owner: Device, email: str, role: str = "technician") -> Device:
    """One more person of the practice; returns a device of theirs."""
    owner.must("register_staff", staff=new_id(), name="Tess Technician", email=email, role=role)
    app.manage("staff_password", email, typed=TWICE)
    return Device.sign_in(app.base_url, email)
