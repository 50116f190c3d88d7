"""Invented forms and the pages with little on them."""

from __future__ import annotations

from types import SimpleNamespace as Box
from typing import Any

from django import forms

from collection.web.pages import door
from tests.web.sample_values import action, piece, tag, wiring_hours


class SittingForm(forms.Form):
    """Fields as the page that records a sitting names them."""

    key = forms.CharField(widget=forms.HiddenInput, initial="k1")
    people = forms.MultipleChoiceField(
        label="Who worked",
        choices=[("1", "Imke T."), ("2", "Dilip M."), ("3", "Wilma S.")],
        widget=forms.CheckboxSelectMultiple,
    )
    others = forms.MultipleChoiceField(
        label="Who else worked", required=False, choices=[("4", "Zoe")], widget=forms.CheckboxSelectMultiple
    )
    tree = forms.CharField(label="Tag of the tree", required=False)
    trees = forms.CharField(label="Which tree", help_text="Its tag, like 2009.014")
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}))
    started = forms.TimeField(label="Started", widget=forms.TimeInput(attrs={"type": "time"}))
    stopped = forms.TimeField(label="Stopped", widget=forms.TimeInput(attrs={"type": "time"}))
    minutes = forms.IntegerField(label="Or minutes for each person", min_value=1, max_value=600)
    left_open = forms.BooleanField(label="The tree is left open", required=False)
    left = forms.CharField(label="What is left", required=False)
    bench = forms.CharField(label="Or a whole bench", required=False)
    breaks_min = forms.IntegerField(label="Breaks, in minutes", required=False)
    note = forms.CharField(label="Note for the next pair of hands", widget=forms.Textarea, required=False)


class TaskForm(forms.Form):
    """One task of a sitting."""

    task = forms.ChoiceField(label="Task", choices=[("WIRE_DETAIL", "Detail wiring"), ("REPOT", "Repot")])
    amount = forms.DecimalField(label="How much", required=False, help_text="Branches, metres or litres")


class EstimateForm(forms.Form):
    """A few quantities."""

    task = forms.ChoiceField(label="Task", choices=[("WIRE_DETAIL", "Detail wiring")])
    secondary = forms.IntegerField(label="Side branches", min_value=0)
    wire_thin_m = forms.DecimalField(label="Thin wire, in metres", min_value=0, max_value=60)


def sitting_page() -> Box:
    """A sitting typed with a mistake in it."""
    return Box(
        title="Record a sitting",
        lead=[piece("Write down what was done, so that the next person can go on.")],
        url="/sittings/new",
        tags=[tag()],
        last_note="Do not move B2, it creaked.",
        last_who="Oswin wrote on Saturday 24 October:",
        form=SittingForm({"people": ["1"], "trees": "2009.014", "minutes": "900", "key": "k1"}),
        tasks=forms.formset_factory(TaskForm, extra=2)(prefix="tasks"),
        send="Keep this sitting",
        cautions=Box(bends=False, lifting=True, wire=True, blades=False, sprays=False, lime=False),
        foot_left="",
        foot_right="",
    )


def empty(sentence: str) -> Box:
    """A list with nothing in it."""
    return Box(
        sentence=sentence,
        example="2018.003, larch, 6 branches to wire, by 20 March.",
        action=action("Record a sitting"),
    )


def small_pages() -> dict[str, tuple[str, dict[str, Any]]]:
    """Pages with little on them."""
    foot = {"foot_left": "", "foot_right": ""}
    tree = Box(
        tag=tag(),
        name="The Leaning Heron",
        latin="Juniperus chinensis",
        notes=["Left open"],
        where="C2",
        stage="Refining",
        last_hands="Oswin R., 24 Oct",
        next="Detail wiring, by 30 November",
    )
    trees = Box(
        title="Trees",
        lead=[piece("120 trees on 9 benches. 3 are left open.")],
        query="",
        search_url="/trees",
        rows=[tree] * 6,
        before=None,
        after=Box(url="?after=6"),
        where="Trees 1 to 6 of 120",
        empty=None,
        actions=[],
        **foot,
    )
    result = Box(
        sentence="Likely 3.1 h for one practised person, in one sitting.",
        number=wiring_hours(),
        recount="",
        facts=[
            Box(label="8 times in 10 between", text="2.4 and 4.0 h"),
            Box(label="Plan with", text="3.4 h"),
        ],
        notes=["This is a guess: nobody has counted the branches yet."],
    )
    estimate = Box(
        title="How long will it take",
        lead=[piece("No tree is needed.")],
        url="/estimate",
        form=EstimateForm(),
        result=result,
        cautions=None,
        **foot,
    )
    number = Box(
        title="Detail wiring of 2009.014",
        about="Likely hours:",
        number=wiring_hours(),
        back_url="/trees/2009.014",
        back_words="Back to the tree",
        **foot,
    )
    return {
        "trees": ("web/tree/list.html", {"page": trees}),
        "estimate": ("web/estimate/estimate.html", {"page": estimate}),
        "number": ("web/number.html", {"page": number}),
        "sign-in": ("web/form_page.html", {"page": door.sign_in(EstimateForm({}), "/days")}),
        "sent": ("web/said.html", {"page": door.sent()}),
        "refused": ("web/refused.html", {"sentence": "Somebody changed this while you were writing."}),
        "404": ("404.html", {}),
        "403": ("403.html", {}),
        "500": ("500.html", {}),
    }
