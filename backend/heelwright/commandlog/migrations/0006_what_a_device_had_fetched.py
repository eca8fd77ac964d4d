from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("commandlog", "0005_incidents_for_owners")]

    operations = [
        migrations.AddField(
            model_name="commandrecord",
            name="heard_at",
            field=models.DateTimeField(default=None, null=True),
        ),
        migrations.AddIndex(
            model_name="loggedargs",
            index=models.Index(fields=["subject"], name="log_by_subject"),
        ),
    ]
