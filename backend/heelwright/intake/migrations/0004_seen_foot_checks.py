"""Which foot checks a foot check had seen."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("intake", "0003_feet_without_a_screen")]

    operations = [
        migrations.AddField(
            model_name="footcheck", name="seen", field=models.JSONField(default=list)
        ),
    ]
