"""For which moment a visit was judged: its start, for those that are there."""

from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps


def judged_for_its_start(apps: StateApps, _: BaseDatabaseSchemaEditor) -> None:
    visits = apps.get_model("visits", "Visit").objects
    visits.update(judged_at=models.F("started_at"))


class Migration(migrations.Migration):
    dependencies = [("visits", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="visit", name="judged_at", field=models.DateTimeField(null=True)
        ),
        migrations.RunPython(judged_for_its_start, migrations.RunPython.noop),
        migrations.AlterField(model_name="visit", name="judged_at", field=models.DateTimeField()),
    ]
