"""The way through a first set-up, and the lists to take away."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.labels import counted
from collection.queries.start import Start
from collection.web.pages.parts import Action, lead, page


def start_page(found: Start) -> SimpleNamespace:
    """Everything ``start.html`` reads: five steps in order, the first that is not done is next."""
    done = found.done
    following = next((number for number, is_done in enumerate(done) if not is_done), None)
    steps = [
        SimpleNamespace(
            title=title,
            about=about,
            state="Done" if done[number] else "Next" if number == following else "Later",
            so_far=so_far if done[number] else "",
            actions=[
                Action(words, url, post=post, main=main, plain=not main)
                for place, (words, url, post) in enumerate(actions)
                for main in [number == following and place == 0]
            ],
        )
        for number, (title, about, so_far, actions) in enumerate(_steps(found))
    ]
    said = "Five steps, in this order. You can leave at any time and come back."
    return page(
        title="Getting started",
        lead=lead(said if following is not None else "All five steps are done."),
        steps=steps,
        foot_left="Each step can be done again later: nothing here is for ever.",
        foot_right="",
    )


def _steps(found: Start) -> list[tuple[str, str, str, list[tuple[str, str, bool]]]]:
    bring = reverse("imports")
    return [
        (
            "The club",
            "When frost ends and begins, and where the trees stand.",
            "The club's facts are set.",
            [
                ("Check the club's settings", reverse("club"), False),
                ("Sites and benches", reverse("sites"), False),
            ],
        ),
        (
            "People",
            "Bring your list of members: names are enough, skills help.",
            f"{counted(found.people, 'person', 'people')} on the list.",
            [("Bring the people in", f"{bring}?kind=people", False)],
        ),
        (
            "Trees",
            "Bring the sheet you have. You see what was understood before anything is written.",
            f"{counted(found.trees, 'tree', 'trees')} on the register.",
            [("Bring the trees in", f"{bring}?kind=trees", False), ("Trees", reverse("trees"), False)],
        ),
        (
            "Season",
            "The season's work follows from the trees and the club's place.",
            f"{counted(found.jobs, 'open job', 'open jobs')}.",
            [("Work the season out", reverse("season-again"), True)]
            if found.trees
            else [("Season programme", reverse("programme"), False)],
        ),
        (
            "First workday",
            "Choose a day, ask who comes, and have it planned.",
            f"{counted(found.days, 'workday', 'workdays')}.",
            [("Put a day on the list", reverse("day-new"), False)],
        ),
    ]


def download_page() -> SimpleNamespace:
    """Everything ``download.html`` reads."""
    files = [
        SimpleNamespace(
            title=title,
            about=about,
            url=reverse("download-file", args=[kind]),
            contacts=kind == "people",
        )
        for kind, title, about in (
            ("trees", "Trees", "Every tree on the register with sizes, places, people and newest counts."),
            ("people", "People", "Everybody with role, skills and what they say they may do."),
        )
    ]
    return page(
        title="Download your lists",
        lead=lead("Take the club's lists away at any time. Brought in again, they give the same rows."),
        files=files,
        bring=Action("Bring a list in", reverse("imports"), plain=True),
        foot_left="Work records, plans and photographs are not in these lists: a backup holds them.",
        foot_right="",
    )
