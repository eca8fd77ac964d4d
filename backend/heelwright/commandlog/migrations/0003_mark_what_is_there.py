from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from heelwright import clock
from heelwright.ids import new_id


def mark(apps: StateApps, _: BaseDatabaseSchemaEditor) -> None:
    """Each practice gets a mark for the number it stands at; what was taken away counts from
    now."""
    now = clock.now()
    feed_mark = apps.get_model("commandlog", "FeedMark")
    for practice in apps.get_model("tenancy", "Practice").objects.all():
        practice.feed_mark = new_id()
        practice.save(update_fields=["feed_mark"])
        feed_mark.objects.create(
            practice=practice, seq=practice.feed_seq, mark=practice.feed_mark, made_at=now
        )
    access = apps.get_model("commandlog", "Access")
    access.objects.exclude(until=None).update(closed_at=now)


class Migration(migrations.Migration):
    dependencies = [("commandlog", "0002_history_marks_tombstones")]

    operations = [migrations.RunPython(mark, migrations.RunPython.noop)]
