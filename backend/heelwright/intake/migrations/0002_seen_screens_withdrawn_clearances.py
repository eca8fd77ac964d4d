"""Which screens a screen had seen; when a clearance was written down, and when it was withdrawn."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

import heelwright.vault.fields


def written_down_when_received(apps: StateApps, _: BaseDatabaseSchemaEditor) -> None:
    clearances = apps.get_model("intake", "Clearance").objects
    clearances.update(recorded_at=models.F("received_at"))


class Migration(migrations.Migration):
    dependencies = [
        ("intake", "0001_initial"),
        ("people", "0001_initial"),
        ("tenancy", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name="healthscreen", name="seen", field=models.JSONField(default=list)
        ),
        migrations.AddField(
            model_name="clearance", name="recorded_at", field=models.DateTimeField(null=True)
        ),
        migrations.RunPython(written_down_when_received, migrations.RunPython.noop),
        migrations.AlterField(
            model_name="clearance", name="recorded_at", field=models.DateTimeField()
        ),
        migrations.CreateModel(
            name="ClearanceWithdrawal",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("rulebook", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("reason", heelwright.vault.fields.SealedField(str)),
                ("withdrawn_at", models.DateTimeField()),
                (
                    "clearance",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="withdrawals",
                        to="intake.clearance",
                    ),
                ),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="people.client",
                    ),
                ),
                (
                    "practice",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="tenancy.practice"
                    ),
                ),
                (
                    "staff",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"abstract": False},
        ),
    ]
