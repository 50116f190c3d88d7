"""People: the list, one person, and small changes on his page."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from collection.queries.access import must_be_or_plan, must_plan
from collection.queries.errors import Refused
from collection.queries.people_list import people_list
from collection.queries.person import Person, person, person_to_change
from collection.usecases import abilities, habits, members
from collection.web.forms.people import (
    ChangePersonForm,
    ContactForm,
    HabitForm,
    NewPersonForm,
    RoleForm,
    SaysForm,
    SkillForm,
)
from collection.web.pages import people as pages
from collection.web.pages.forms import form_page, part
from collection.web.views.base import act, at_field, number, page, version_sent

read_and_send = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
@page
def people_view(request: Any) -> HttpResponse:
    """The people of the club."""
    query, with_left = request.GET.get("q", "")[:80], request.GET.get("left") == "1"
    found = people_list(
        request.actor,
        today=request.today,
        query=query,
        start=number(request.GET.get("from", "0")),
        with_left=with_left,
    )
    shown = pages.list_page(found, request.actor, query, with_left)
    return render(request, "web/person/list.html", {"page": shown})


@require_safe
@page
def person_view(request: Any, member_id: int) -> HttpResponse:
    """One person."""
    return shown_person(request, person(request.actor, member_id, today=request.today))


def shown_person(request: Any, found: Person, **filled: Form) -> HttpResponse:
    """The page of a person, perhaps with a small form that was refused."""
    shown = pages.person_page(found, request.actor, request.today, filled)
    return render(request, "web/person/person.html", {"page": shown}, status=400 if filled else 200)


def _filled(
    request: Any, found: Person, name: str, form: Form, done: str, use_case: Callable[[], Any]
) -> HttpResponse:
    """Run a use case for a small form on a person's page, or show the page again with what is wrong."""
    if form.is_valid():
        try:
            use_case()
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, done)
            return redirect("person", found.id)
    return shown_person(request, found, **{name: form})


def form_view(
    request: Any, form: Form, shown: Callable[[Form], Any], use_case: Callable[[], Any], done: str, back: str
) -> HttpResponse:
    """A page that is one form: run the use case and go back, or show it again with what is wrong."""
    posted = request.method == "POST"
    if posted and form.is_valid():
        try:
            use_case()
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, done)
            return redirect(back)
    return render(request, "web/form_page.html", {"page": shown(form)}, status=400 if posted else 200)


@read_and_send
@page
def new(request: Any) -> HttpResponse:
    """A coordinator adds somebody."""
    must_plan(request.actor)
    posted = request.method == "POST"
    form = NewPersonForm(request.POST if posted else None, administers=request.actor.administers)
    made: list[int] = []
    if posted and form.is_valid():
        try:
            made.append(members.add_member(actor=request.actor, today=request.today, **form.cleaned_data))
        except Refused as refused:
            at_field(form, refused)
        else:
            messages.success(request, f"{form.cleaned_data['name']} is in the club. Say what they can do.")
            return redirect("person", made[0])
    shown = form_page(
        title="Add a person",
        said="Somebody the club counts on, with or without e-mail.",
        form=form,
        parts=[part(form, "Who is it?")],
        send="Add this person",
        back=(reverse("people"), "Back to the people"),
    )
    return render(request, "web/form_page.html", {"page": shown}, status=400 if posted else 200)


@read_and_send
@page
def change(request: Any, member_id: int) -> HttpResponse:
    """A coordinator changes name and dates."""
    member = person_to_change(request.actor, member_id)
    first = {
        "name": member.name,
        "active_from": member.active_from,
        "active_to": member.active_to,
        "version": member.version,
    }
    form = ChangePersonForm(request.POST if request.method == "POST" else None, initial=first)

    def keep() -> None:
        data = dict(form.cleaned_data)
        members.change_member(
            actor=request.actor,
            member_id=member_id,
            version=data.pop("version") or 0,
            today=request.today,
            **data,
        )

    shown = partial(pages.change_page, member.pk, member.name)
    return form_view(request, form, shown, keep, "It is written down.", reverse("person", args=[member_id]))


@read_and_send
@page
def role(request: Any, member_id: int) -> HttpResponse:
    """The part a person has in the club."""
    member = person_to_change(request.actor, member_id)
    form = RoleForm(
        request.POST if request.method == "POST" else None,
        initial={"role": member.role, "version": member.version},
        administers=request.actor.administers,
        now=member.role,
    )

    def keep() -> None:
        data = form.cleaned_data
        members.change_role(
            actor=request.actor,
            member_id=member_id,
            version=data["version"] or 0,
            role=data["role"],
            today=request.today,
        )

    shown = partial(pages.role_page, member.pk, member.name)
    return form_view(request, form, shown, keep, "It is written down.", reverse("person", args=[member_id]))


@read_and_send
@page
def contact(request: Any, member_id: int) -> HttpResponse:
    """How a person is reached: he himself, or a coordinator."""
    must_be_or_plan(request.actor, member_id)
    found = person(request.actor, member_id, today=request.today)
    assert found.reach is not None
    first = {
        "email": found.reach.email,
        "telephone": found.reach.telephone,
        "version": found.reach.version,
    }
    form = ContactForm(request.POST if request.method == "POST" else None, initial=first)

    def keep() -> None:
        data = form.cleaned_data
        members.change_contact(
            actor=request.actor,
            member_id=member_id,
            version=data["version"] or 0,
            email=data["email"],
            telephone=data["telephone"],
        )

    shown = partial(pages.contact_page, found)
    return form_view(request, form, shown, keep, "It is written down.", back_of(found))


def back_of(found: Person) -> str:
    """Where one goes after a change: one's own page, or the person's."""
    return reverse("you") if found.is_me else reverse("person", args=[found.id])


@read_and_send
@page
def erase_contact(request: Any, member_id: int) -> HttpResponse:
    """Ask first, then take e-mail and telephone off the books."""
    if request.method != "POST":
        must_be_or_plan(request.actor, member_id)
        found = person(request.actor, member_id, today=request.today)
        return render(request, "web/said.html", {"page": pages.erase_page(found)})
    return act(
        request,
        reverse("you") if member_id == request.actor.member_id else reverse("person", args=[member_id]),
        "E-mail and telephone are off the books.",
        lambda: members.erase_contact(actor=request.actor, member_id=member_id),
    )


@require_POST
@page
def skill(request: Any, member_id: int) -> HttpResponse:
    """A coordinator says how well somebody does a kind of work."""
    person_to_change(request.actor, member_id)
    found = person(request.actor, member_id, today=request.today)
    form = SkillForm(request.POST, today=request.today, auto_id="skill_%s")
    return _filled(
        request,
        found,
        "skill",
        form,
        "The level is written down.",
        lambda: abilities.set_skill(actor=request.actor, member_id=member_id, **form.cleaned_data),
    )


@require_POST
@page
def says(request: Any, member_id: int) -> HttpResponse:
    """A coordinator writes down what somebody says of himself, as by telephone."""
    person_to_change(request.actor, member_id)
    found = person(request.actor, member_id, today=request.today)
    form = SaysForm(request.POST, said=found.says or (), auto_id="says_%s")
    return _filled(
        request,
        found,
        "says",
        form,
        "The answers are written down.",
        lambda: abilities.answer_all(
            actor=request.actor, member_id=member_id, answers=form.answers(), on=request.today
        ),
    )


@require_POST
@page
def habit(request: Any, member_id: int) -> HttpResponse:
    """A coordinator writes down weekly hours."""
    person_to_change(request.actor, member_id)
    found = person(request.actor, member_id, today=request.today)
    form = HabitForm(request.POST, auto_id="habit_%s")
    return _filled(
        request,
        found,
        "habit",
        form,
        "The hours are written down.",
        lambda: habits.add_habit(actor=request.actor, member_id=member_id, **form.values()),
    )


@require_POST
@page
def back(request: Any, member_id: int) -> HttpResponse:
    """Take somebody back in."""
    return act(
        request,
        reverse("person", args=[member_id]),
        "Welcome back. The letter of welcome gives a sign-in again.",
        lambda: members.come_back(
            actor=request.actor,
            member_id=member_id,
            version=version_sent(request),
            today=request.today,
        ),
    )
