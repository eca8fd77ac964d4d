"""The devices that speak for the phones of clients who sign."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("tenancy", "0003_own_rules"),
    ]

    operations = [
        migrations.AddField(
            model_name="device",
            name="answers_until",
            field=models.DateTimeField(default=None, null=True),
        ),
    ]
