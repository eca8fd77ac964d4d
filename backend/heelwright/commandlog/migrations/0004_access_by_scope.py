from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("commandlog", "0003_mark_what_is_there")]

    operations = [
        migrations.AddIndex(
            model_name="access",
            index=models.Index(fields=["scope"], name="access_by_scope"),
        ),
    ]
