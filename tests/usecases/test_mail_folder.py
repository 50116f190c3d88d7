"""Mails kept as files do not pile up."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from collection.usecases import post, posting, sweep
from tests.factories import ClubFactory, MemberFactory
from tests.usecases.letters import letter_to

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


def test_the_mail_folder_is_tidied_after_ninety_days_and_nothing_else_is(
    settings, time_machine, tmp_path: Path
):
    time_machine.move_to(NOW, tick=False)
    settings.MAIL_DIR = tmp_path / "mail"
    assert post.tidy_folder(NOW) == 0
    member = MemberFactory(club=ClubFactory(sample=True))
    letter_to(member)
    assert posting.send_waiting() == 1
    for name in ("20200101-000000-0123abcd.txt", "20200101-notes.eml", "kept.eml"):
        (settings.MAIL_DIR / name).write_text("of the club's own")
    time_machine.move_to(NOW + post.KEPT, tick=False)
    sweep.run()
    assert len(list(settings.MAIL_DIR.iterdir())) == 4
    time_machine.move_to(NOW + post.KEPT + timedelta(seconds=1), tick=False)
    sweep.run()
    assert sorted(file.name for file in settings.MAIL_DIR.iterdir()) == [
        "20200101-000000-0123abcd.txt",
        "20200101-notes.eml",
        "kept.eml",
    ]
