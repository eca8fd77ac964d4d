"""A foot check that refers the client on is kept where its screen is not."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("intake", "0002_seen_screens_withdrawn_clearances")]

    operations = [
        migrations.AlterField(
            model_name="footcheck",
            name="screen",
            field=models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                to="intake.healthscreen",
            ),
        ),
    ]
