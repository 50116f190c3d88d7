"""Wire on the site: the list, a look in two taps, off, put on, and the rack."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext

from collection.models import Guy, Look, Member, Wire, WireStock
from collection.usecases import trees
from tests.factories import BenchFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]


@pytest.fixture
def member() -> Member:
    return MemberFactory(club=SiteFactory().club)


def browser(member: Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def wired(member: Member, label: str = "W1", look_on: date = date(2027, 3, 1)) -> int:
    tree = TreeFactory(site=SiteFactory(club=member.club), accession=f"2009.{label}")
    return trees.put_wire_on(
        actor=actor_of(member), tree_id=tree.pk, label=label, length_m=1.2, gauge_mm=2.5, metal="copper",
        on=date(2026, 10, 1), look_on=look_on,
    )  # fmt: skip


def text(answer: HttpResponse) -> str:
    plain = re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub(r"\s+", " ", plain.replace("&#x27;", "'"))


def test_the_list_says_what_is_late_and_each_row_leads_to_its_look(member: Member):
    wire = wired(member)
    wired(member, "W2", date(2027, 6, 1))
    wired(member, "W3", date(2027, 3, 10))
    answer = browser(member).get("/wire")
    said = text(answer)
    assert "One look is late. One more is due in the next seven days." in said
    order = ["Late", "2009.W1", "In the next seven days", "2009.W3", "Later", "2009.W2"]
    places = [said.index(words, said.index("Late")) for words in order]
    assert places == sorted(places)
    assert f'href="/wire/wires/{wire}"' in answer.content.decode()
    assert "Its ends spring back. Wear eye protection" in said


def test_what_is_due_in_seven_days_is_listed_bench_by_bench(member: Member):
    site = SiteFactory(club=member.club)
    benches = {name: BenchFactory(site=site, name=name) for name in ("B", "A")}
    for label, bench, day in (("W4", "B", 4), ("W5", "A", 9), ("W6", "B", 5)):
        tree = TreeFactory(site=site, bench=benches[bench], accession=f"2009.{label}")
        trees.put_wire_on(
            actor=actor_of(member), tree_id=tree.pk, label=label, length_m=1.2, gauge_mm=2.5, metal="copper",
            on=date(2026, 10, 1), look_on=date(2027, 3, day),
        )  # fmt: skip
    said = text(browser(member).get("/wire"))
    assert said.index("2009.W5") < said.index("2009.W4") < said.index("2009.W6")


def test_without_wire_the_page_says_what_will_appear(member: Member):
    assert "Wire on trees will be listed here" in text(browser(member).get("/wire"))


@pytest.mark.parametrize("seen", ["loose", "snug", "marking"])
def test_a_look_takes_two_taps(member: Member, seen: str):
    wire = wired(member)
    page = browser(member).get(f"/wire/wires/{wire}").content.decode()
    assert f'name="seen" value="{seen}"' in page
    answer = browser(member).post(f"/wire/wires/{wire}/look", {"seen": seen}, follow=True)
    assert "The look is written down." in text(answer)
    assert ("urgent job" in text(answer)) == (seen == "marking")
    look = Look.objects.get()
    assert (look.seen, look.on, look.by) == (seen, date(2027, 3, 3), member)
    # A juniper is looked at again after 28 days.
    assert Wire.objects.get().look_on == date(2027, 3, 31)


def test_wire_comes_off_on_a_day_and_a_wrong_day_is_said_at_its_field(member: Member):
    wire = wired(member)
    client = browser(member)
    early = client.post(f"/wire/wires/{wire}/off", {"on": "2026-09-01"})
    assert early.status_code == 400
    assert "The wire went on later than that. Write a day after it went on." in text(early)
    client.post(f"/wire/wires/{wire}/off", {"on": "2027-03-02"})
    assert Wire.objects.get().off == date(2027, 3, 2)
    assert client.get(f"/wire/wires/{wire}").status_code == 404


def test_wire_and_a_guy_are_put_on_from_the_trees_page(member: Member):
    tree = TreeFactory(site=SiteFactory(club=member.club))
    client = browser(member)
    sheet = client.get(f"/trees/{tree.pk}").content.decode()
    for address in (f"/trees/{tree.pk}/wire/new", f"/trees/{tree.pk}/guys/new"):
        assert address in sheet
        assert client.get(address).status_code == 200
    typed = {"label": "W1", "branch": "", "gauge_mm": "2.5", "metal": "copper", "on": "2027-03-03"}
    wrong = client.post(f"/trees/{tree.pk}/wire/new", typed | {"length_m": "long", "fit": "snug"})
    assert wrong.status_code == 400
    assert "Write a number like 2.4." in text(wrong)
    client.post(f"/trees/{tree.pk}/wire/new", typed | {"length_m": "2.4", "fit": "snug"})
    client.post(f"/trees/{tree.pk}/guys/new", typed | {"label": "G1", "anchor": "root, left"})
    assert Wire.objects.get().length_m == 2.4
    assert Guy.objects.get().anchor == "root, left"
    sheet = client.get(f"/trees/{tree.pk}").content.decode()
    assert f"/wire/wires/{Wire.objects.get().pk}" in sheet


def test_the_rack_is_read_by_everybody_and_written_by_a_coordinator(member: Member):
    assert "Nobody has weighed the rack yet." in text(browser(member).get("/wire/stock"))
    planner = MemberFactory(club=member.club, coordinator=True)
    typed = {"metal": "aluminium", "gauge_mm": "2", "grams": "848"}
    said = text(browser(planner).post("/wire/stock", typed, follow=True))
    assert "848 g" in said
    # 2.0 mm aluminium weighs 8.48 g a metre.
    assert "100 m" in said
    assert WireStock.objects.get().grams == 848


def test_the_list_costs_the_same_with_more_wire(member: Member):
    wired(member)

    def cost() -> int:
        client = browser(member)
        client.get("/wire")
        with CaptureQueriesContext(connection) as taken:
            client.get("/wire")
        return len(taken)

    few = cost()
    for n in range(5):
        wire = wired(member, f"X{n}")
        trees.look(actor=actor_of(member), wire_id=wire, on=date(2027, 2, 1), seen="snug")
    assert cost() == few
