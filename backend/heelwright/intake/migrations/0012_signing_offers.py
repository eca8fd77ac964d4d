"""Links by which clients sign on their own phones, and the phone that opened each first."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import heelwright.vault.fields


class Migration(migrations.Migration):
    dependencies = [
        ("intake", "0011_order_on_a_sheet"),
        ("people", "0002_status_merging_likeness"),
        ("tenancy", "0004_links_to_sign"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="SigningOffer",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("rulebook", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("token_sha256", models.CharField(max_length=64, unique=True)),
                ("card", models.UUIDField()),
                ("sheet", models.UUIDField(unique=True)),
                ("answer", models.UUIDField()),
                ("offered_at", models.DateTimeField()),
                ("open_until", models.DateTimeField()),
                ("language", models.CharField(max_length=3)),
                ("how", models.CharField(max_length=10)),
                ("place_kind", models.CharField(max_length=20)),
                ("place", heelwright.vault.fields.SealedField(str)),
                ("texts", heelwright.vault.fields.SealedField(list)),
                ("signer_name", heelwright.vault.fields.SealedField(str)),
                ("signer_role", heelwright.vault.fields.SealedField(str)),
                ("ground", heelwright.vault.fields.SealedField(str)),
                ("authority", heelwright.vault.fields.SealedField(str)),
                ("capacity", heelwright.vault.fields.SealedField(dict)),
                ("witness", heelwright.vault.fields.SealedField(str)),
                ("own_wish", heelwright.vault.fields.SealedField(bool)),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="people.client",
                    ),
                ),
                (
                    "offered_from",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="tenancy.device",
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
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="SigningOpening",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("rulebook", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("phone_sha256", models.CharField(max_length=64)),
                ("opened_at", models.DateTimeField()),
                (
                    "client",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="people.client",
                    ),
                ),
                (
                    "offer",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="opening",
                        to="intake.signingoffer",
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
            options={
                "abstract": False,
            },
        ),
    ]
