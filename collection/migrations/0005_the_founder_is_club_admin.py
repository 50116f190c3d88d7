"""A club whose admin cannot sign in, or without one, gets its first coordinator as club admin."""

from django.db import migrations
from django.utils import timezone


def name_founders(apps, schema_editor):
    Club = apps.get_model("collection", "Club")
    Member = apps.get_model("collection", "Member")
    Change = apps.get_model("collection", "Change")
    for club in Club.objects.all():
        people = Member.objects.filter(club=club)
        founder = people.filter(role="coordinator", account__isnull=False).order_by("id").first()
        if founder is None or people.filter(role="admin", account__isnull=False).exists():
            continue
        people.filter(pk=founder.pk).update(role="admin", version=founder.version + 1)
        Change.objects.create(
            club=club,
            door="command",
            table="member",
            row=founder.pk,
            before={"role": "coordinator"},
            after={"role": "admin"},
            at=timezone.now(),
        )


class Migration(migrations.Migration):
    dependencies = [("collection", "0004_place_times")]
    operations = [migrations.RunPython(name_founders, migrations.RunPython.noop)]
