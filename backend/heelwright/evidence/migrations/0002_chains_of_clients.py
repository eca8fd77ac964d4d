"""A chain is named by whom it is about: a practice, and from now on a client."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("evidence", "0001_initial")]

    operations = [
        migrations.RemoveConstraint("link", "one_link_per_number"),
        migrations.RenameField("link", "practice_id", "chain"),
        migrations.RenameField("chainhead", "practice_id", "chain"),
        migrations.AddConstraint(
            "link",
            models.UniqueConstraint(fields=["chain", "number"], name="one_link_per_number"),
        ),
    ]
