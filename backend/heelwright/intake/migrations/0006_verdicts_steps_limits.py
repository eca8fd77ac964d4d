"""What a clinician's answer comes to, a referral's way, and the limits of a clearance."""

from django.conf import settings
from django.db import migrations, models

from heelwright.vault.fields import SealedField


class Migration(migrations.Migration):
    dependencies = [
        ("intake", "0005_purposes_of_consents"),
        ("people", "0001_initial"),
        ("tenancy", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="ReferralStep",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("rulebook", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("what", SealedField(str)),
                ("how", SealedField(str)),
                ("to", SealedField(str)),
                ("note", SealedField(str)),
                ("done_at", models.DateTimeField()),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=models.deletion.PROTECT, related_name="+", to="people.client"
                    ),
                ),
                (
                    "practice",
                    models.ForeignKey(on_delete=models.deletion.PROTECT, to="tenancy.practice"),
                ),
                (
                    "referral",
                    models.ForeignKey(
                        on_delete=models.deletion.PROTECT,
                        related_name="steps",
                        to="intake.referral",
                    ),
                ),
                (
                    "staff",
                    models.ForeignKey(
                        on_delete=models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={"abstract": False},
        ),
        migrations.AddField("referralanswer", "verdict", SealedField(str, null=True, default=None)),
        migrations.AddField("clearance", "limits", SealedField(dict, null=True, default=None)),
        migrations.AddField(
            "clearance", "evidence_photo", models.UUIDField(null=True, default=None)
        ),
        migrations.AddField(
            "clearance", "evidence_note", SealedField(str, null=True, default=None)
        ),
    ]
