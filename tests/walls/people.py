"""Cells of people, letters of welcome and one's own page."""

from __future__ import annotations

from datetime import timedelta

from collection import models
from collection.queries.welcomes import digest_of
from tests.factories import MemberFactory, TreeFactory
from tests.walls.cells import MEMBERS, Cell, Write, everybody, members, planners
from tests.walls.rows import NOW, TODAY, Rows

PERSON = "/people/{member}"
NEW = {"name": "Somebody new", "role": "member", "email": "new@example.org", "telephone": "0123"}
CHANGE = {"name": "Another name", "active_from": "2020-01-01", "version": "{=member_version}"}
REACH = {"email": "other@example.org", "telephone": "0456", "version": "{=contact_version}"}
HOURS = {"weekday": "3", "hours": "2.5", "every_weeks": "1", "starts": "2027-03-01"}
SAYS = {"can_lift": "no", "power_tools": "yes"}
ADMINS = {"member": 403, "bench_lead": 403, "coordinator": 403, "admin": 302}
PASSWORD = {"password1": "four odd garden words", "password2": "four odd garden words"}


def furnish(rows: Rows) -> None:
    """Somebody who left, and somebody with a letter of welcome whose secret we know."""
    gone = MemberFactory(club=rows.club, account=None, active_to=TODAY - timedelta(days=30))
    rows.keep("gone", gone)
    invited = MemberFactory(club=rows.club, account=None)
    letter = models.Welcome.objects.create(
        club=rows.club,
        member=invited,
        email=f"i{rows.club.pk}@example.org",
        secret_digest=digest_of(f"secret-of-{rows.club.pk}"),
        good_until=NOW + timedelta(days=7),
    )
    rows.ids["letter"] = letter.pk
    leaver = rows.keep("leaver", MemberFactory(club=rows.club, account=None))
    for number in (1, 2):
        tree = TreeFactory(site_id=rows.ids["site"], club=rows.club, accession=f"L.{rows.club.pk}.{number}")
        models.Care.objects.create(club=rows.club, tree=tree, member=leaver, role="owner")
    rows.ids["club"] = rows.club.pk
    rows.words["secret"] = f"secret-of-{rows.club.pk}"


CELLS = [
    Cell("people", "/people", get=200),
    Cell(
        "person-new",
        "/people/new",
        get=planners(200),
        post=[
            Write(planners(302), NEW, empty=planners(400)),
            Write(ADMINS | {"coordinator": 400}, NEW | {"role": "coordinator"}),
        ],
        no_ids="makes a new person",
    ),
    Cell("person", PERSON, get=200),
    Cell(
        "person-change",
        f"{PERSON}/change",
        get=planners(200),
        post=Write(planners(302), CHANGE, planners(400)),
    ),
    Cell(
        "person-role",
        f"{PERSON}/part",
        get=planners(200),
        post=[
            Write(planners(302), {"role": "bench_lead", "version": "{=member_version}"}, planners(400)),
            Write(ADMINS | {"coordinator": 400}, {"role": "coordinator", "version": "{=member_version}"}),
        ],
    ),
    Cell("person-contact", f"{PERSON}/contact", get=planners(200), post=Write(planners(302), REACH)),
    Cell("person-contact", "/people/{me}/contact", get=200, post=Write(302, REACH | {"version": "0"})),
    Cell("person-contact-erase", f"{PERSON}/contact/erase", get=planners(200), post=Write(planners(302))),
    Cell(
        "person-skill",
        f"{PERSON}/skills",
        post=Write(
            planners(302), {"family": "wiring", "level": "learning", "since": "2027-03-01"}, planners(400)
        ),
    ),
    # An empty answer to every question is an answer: not said.
    Cell("person-says", f"{PERSON}/answers", post=Write(planners(302), SAYS, planners(302))),
    Cell("person-habit", f"{PERSON}/hours", post=Write(planners(302), HOURS, planners(400))),
    Cell("person-back", "/people/{gone}/back", post=Write(planners(302), {"version": "{=gone_version}"})),
    # Without the version that was read it is as if somebody had changed the person meanwhile.
    Cell(
        "person-leave",
        "/people/{leaver}/leave",
        get=planners(200),
        post=Write(planners(302), {"all_owned": "{member}", "version": "{=leaver_version}"}, planners(409)),
    ),
    Cell(
        "person-leave",
        "/people/{me}/leave",
        get=200,
        # The last club admin stays.
        post=Write(members(302) | {"admin": 400}, {"version": "1"}),
    ),
    Cell(
        "person-welcome",
        f"{PERSON}/welcome",
        post=Write(planners(200), {"email": "o@example.org"}, planners(400)),
    ),
    Cell("welcome-back", f"{PERSON}/welcome/back", post=Write(planners(302))),
    Cell(
        "habit-change",
        "/hours/{habit}",
        get=planners(200),
        post=Write(planners(302), HOURS | {"version": "{=habit_version}"}, planners(400)),
    ),
    Cell("habit-end", "/hours/{habit}/end", post=Write(planners(302), {"version": "{=habit_version}"})),
    Cell("you", "/you", get=200),
    Cell("you-says", "/you/answers", post=Write(302, SAYS), no_ids="one's own answers"),
    Cell("you-hours", "/you/hours", post=Write(302, HOURS, empty=400), no_ids="one's own hours"),
    Cell("you-mail", "/you/mail", post=Write(302, {"wants": "no", "version": "1"}), no_ids="one's own mail"),
    Cell("you-theme", "/you/look", post=Write(302, {"theme": "dark"}), no_ids="one's own sign-in"),
    # The choice is kept in the visit, not in a row.
    Cell("you-club", "/you/club", post=Write(302, {"club": "{club}"}, empty=404, changes=False)),
    Cell(
        "password-change",
        "/you/password",
        get=200,
        # The people of these cells have no password, so none can be right.
        post=Write(400, {"oldpassword": "x", **PASSWORD}, empty=400, changes=False),
        no_ids="one's own sign-in",
    ),
    Cell(
        "welcome",
        "/welcome/{=secret}",
        get=everybody(200),
        # Who is of the club already cannot be a second person of it.
        post=Write(
            {"anonymous": 302, "outsider": 302, **dict.fromkeys(MEMBERS, 409)},
            PASSWORD,
            {"anonymous": 400, "outsider": 302, **dict.fromkeys(MEMBERS, 409)},
        ),
        no_ids="the secret of a letter is the key; it names one letter of one club",
    ),
]
