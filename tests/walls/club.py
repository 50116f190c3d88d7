"""Cells of the club's own settings, its sites and benches."""

from __future__ import annotations

from datetime import UTC, datetime

from collection.models import Accepted, Site
from collection.usecases import uploads
from tests.factories import BenchFactory, SiteFactory
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import Rows

LEFT = datetime(2027, 1, 1, tzinfo=UTC)


def furnish(rows: Rows) -> None:
    """A site and a bench without trees, and one of each that is retired."""
    site = rows.keep("site_bare", SiteFactory(club=rows.club, name="Far field", kind="home"))
    rows.keep("site_left", SiteFactory(club=rows.club, name="Old yard", retired_at=LEFT))
    rows.keep("bench_bare", BenchFactory(site=site, name="Far bench"))
    rows.keep("bench_left", BenchFactory(site=site, name="Old bench", retired_at=LEFT))
    rows.words["club_version"] = rows.club.version
    _files(rows)


def _files(rows: Rows) -> None:
    """A file that waits, one more, and one that came in."""
    ground = Site.objects.filter(club=rows.club, retired_at=None, kind="ground").first()
    given = {"actor": rows.planner, "kind": "trees", "file_name": "list.csv"}
    for name in ("upload", "upload_dropped"):
        rows.ids[name] = uploads.bring(
            **given, data=f"No,Species,Site\nW901,Larch,{ground}\nW902,Elm,{ground}\n".encode()
        )
    came = uploads.bring(**given, data=f"No,Species,Site\nW900,Larch,{ground}\n".encode())
    uploads.take(actor=rows.planner, upload_id=came, version=2)
    rows.ids["accepted"] = Accepted.objects.get(club=rows.club).pk


LIST = "No,Species\nW901,Larch\nW902,Elm\n"


FACTS = {
    "name": "The Circle",
    "zone": "Europe/London",
    "inches": "mm",
    "latitude": "48",
    "longitude": "2",
    "altitude_m": "40",
    "last_frost_0": "25",
    "last_frost_1": "4",
    "first_frost_0": "25",
    "first_frost_1": "10",
    **{f"weeks_{anchor}": "0" for anchor in "WGADC"},
    "azalea_rests_after_repot": "on",
    "mail_hour": "8",
    "mails_a_week": "2",
    "quiet": "usual",
    "version": "{=club_version}",
}
SITE = {"name": "Alder Yard", "kind": "ground", "address": "Mill Lane"}
BENCH = {"name": "Wall shelf", "weeks_later": "1"}
ANSWERS = {"column_0": "accession", "column_1": "species", "column_2": "site", "version": "2"}
OWN = "changes the asker's own club"

CELLS = [
    Cell(
        "club", "/club", get=planners(200), post=Write(planners(302), FACTS, empty=planners(400)), no_ids=OWN
    ),
    Cell(
        "sites",
        "/club/sites",
        get=planners(200),
        post=Write(planners(302), SITE, empty=planners(400)),
        no_ids="makes a new site of the asker's own club",
    ),
    Cell(
        "site",
        "/club/sites/{site_bare}",
        get=planners(200),
        post=[
            Write(planners(302), SITE | {"version": "{=site_bare_version}"}, empty=planners(400)),
            Write(planners(409), SITE | {"version": "99"}, changes=False),
        ],
    ),
    Cell(
        "site-benches",
        "/club/sites/{site_bare}/benches",
        post=Write(planners(302), BENCH, empty=planners(400)),
    ),
    Cell(
        "site-retire",
        "/club/sites/{site_bare}/retire",
        post=Write(planners(302), {"version": "{=site_bare_version}"}, empty=planners(409)),
    ),
    Cell(
        "site-back",
        "/club/sites/{site_left}/back",
        post=Write(planners(302), {"version": "{=site_left_version}"}, empty=planners(409)),
    ),
    Cell(
        "bench",
        "/club/benches/{bench_bare}",
        get=planners(200),
        post=[
            Write(planners(302), BENCH | {"version": "{=bench_bare_version}"}, empty=planners(400)),
            Write(planners(409), BENCH | {"version": "99"}, changes=False),
        ],
    ),
    Cell(
        "bench-retire",
        "/club/benches/{bench_bare}/retire",
        post=Write(planners(302), {"version": "{=bench_bare_version}"}, empty=planners(409)),
    ),
    Cell(
        "bench-back",
        "/club/benches/{bench_left}/back",
        post=Write(planners(302), {"version": "{=bench_left_version}"}, empty=planners(409)),
    ),
    Cell("club-start", "/club/start", get=planners(200)),
    Cell("download", "/club/download", get=planners(200)),
    Cell("download-file", "/club/download/trees", "form=csv", get=planners(200)),
    Cell("download-file", "/club/download/people", "form=xlsx&contacts=yes", get=planners(200)),
    Cell(
        "imports",
        "/import",
        get=planners(200),
        post=Write(planners(302), {"kind": "trees", "file": ("list.csv", LIST)}, empty=planners(400)),
        no_ids="brings a new file into the asker's own club",
    ),
    Cell(
        "import",
        "/import/{upload}",
        get=planners(200),
        post=[
            Write(planners(302), ANSWERS, empty=planners(400)),
            Write(planners(302), ANSWERS | {"take": "yes"}),
            # An old page: said so, and nothing written.
            Write(planners(400), ANSWERS | {"column_0": "name", "version": "99"}, changes=False),
        ],
    ),
    Cell("import-state", "/import/{upload}/state", get=planners(200)),
    Cell("import-drop", "/import/{upload_dropped}/drop", post=Write(planners(302))),
    Cell(
        "import-undo",
        "/import/came-in/{accepted}/take-back",
        get=planners(200),
        post=Write(planners(302)),
    ),
]
