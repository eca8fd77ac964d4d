"""The findings that a foot check looked for and did not find again."""

from django.db import migrations

from heelwright.vault.fields import SealedField


class Migration(migrations.Migration):
    dependencies = [("intake", "0009_link_older_evidence")]

    operations = [
        migrations.AddField("footcheck", "gone", SealedField(list, null=True, default=None)),
    ]
