"""A club without a club admin gets one: its first coordinator, so that somebody may name others."""

from django.db import migrations
from django.utils import timezone


def name_founders(apps, schema_editor):
    Club = apps.get_model("collection", "Club")
    Member = apps.get_model("collection", "Member")
    Change = apps.get_model("collection", "Change")
    for club in Club.objects.all():
        people = Member.objects.filter(club=club)
        founder = people.filter(role="coordinator").order_by("id").first()
        if founder is None or people.filter(role="admin").exists():
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
