"""Puts the records of before into the evidence chains of their clients, as they are found."""

from typing import Any

from django.apps.registry import Apps
from django.db import migrations

from heelwright.intake.chained import link

KINDS = (
    *("HealthScreen", "FootCheck", "ErrorMark", "Referral", "ReferralAnswer", "ReferralStep"),
    *("Clearance", "ClearanceWithdrawal", "ConsentSheet", "Consent", "ConsentWithdrawal"),
)


def link_all(apps: Apps, _schema: Any) -> None:
    for kind in KINDS:
        rows = apps.get_model("intake", kind).objects.order_by("received_at", "pk")
        for row in rows.iterator(chunk_size=500):
            link(row, apps)


class Migration(migrations.Migration):
    dependencies = [
        ("evidence", "0002_chains_of_clients"),
        ("intake", "0008_confirmed_answers"),
    ]

    operations = [migrations.RunPython(link_all, migrations.RunPython.noop)]
