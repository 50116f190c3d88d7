"""Recording a sitting in the fewest fields."""

from __future__ import annotations

import uuid
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any, cast
from zoneinfo import ZoneInfo

from django import forms

from collection.craft.reference import tasks as catalogue
from collection.queries.labels import task_name
from collection.usecases.sittings import GRACE, TaskDone, Worked

# Up to so many names stand in one list.
SHORT_LIST = 8


@dataclass(frozen=True, slots=True)
class Read:
    """What the form says, as the use case takes it."""

    people: tuple[Worked, ...]
    tasks: tuple[TaskDone, ...]
    started: datetime
    ended: datetime
    left_open: bool
    note: str
    key: str


def began(on: date, minutes: int, zone: ZoneInfo) -> datetime:
    """When work of a day began whose start nobody said: at noon, or earlier so that it has ended by now."""
    return min(datetime.combine(on, time(12), zone), datetime.now(zone) - timedelta(minutes=minutes))


class SittingForm(forms.Form):
    """Who, when, how long, what is left."""

    people = forms.MultipleChoiceField(
        label="Who worked",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "Choose who worked."},
    )
    others = forms.MultipleChoiceField(
        label="Who else worked",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "Choose who worked."},
    )
    on = forms.DateField(label="Day", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    started = forms.TimeField(
        label="From", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
    )
    stopped = forms.TimeField(
        label="To", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M")
    )
    minutes = forms.IntegerField(
        label="Or minutes, each",
        required=False,
        min_value=1,
        max_value=960,
        help_text="For each person. Leave it empty when you give both times.",
        error_messages={"invalid": "Write whole minutes, like 90.", "max_value": "Write up to 960 minutes."},
    )
    breaks_min = forms.IntegerField(
        label="Breaks, minutes", required=False, min_value=0, max_value=480, initial=0
    )
    left_open = forms.BooleanField(label="The tree is not finished", required=False)
    note = forms.CharField(
        label="Note for the next hands",
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Where you stopped, what must not be moved, what comes next.",
        max_length=2000,
    )
    came_off = forms.MultipleChoiceField(
        label="Which came off",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Take the tick away from what is still on the tree.",
        error_messages={"invalid_choice": "This is no longer on the tree. Look at the list again."},
    )
    # That the list of wires was shown: without it nobody has said what came off.
    wires_shown = forms.CharField(widget=forms.HiddenInput, required=False, max_length=1)
    key = forms.CharField(widget=forms.HiddenInput, max_length=64)

    asks_for_wires = first_asked = False

    def __init__(
        self,
        *args: Any,
        people: Sequence[tuple[int, str]] = (),
        near: Collection[int] = (),
        zone: str = "UTC",
        wires: Sequence[tuple[bool, int, str]] = (),
        **kwargs: Any,
    ) -> None:
        """``near`` are those who are likely to have worked; in a long list the others are folded away.

        ``wires``: (guy, id, words) of what is on the tree, where the sitting takes wire off.
        """
        super().__init__(*args, **kwargs)
        self._ask_for_wires(wires)
        self.zone = ZoneInfo(zone)
        self.fields["key"].initial = uuid.uuid4().hex
        known = [(str(pk), name) for pk, name in people]
        first = {str(pk) for pk in near} | set((kwargs.get("initial") or {}).get("people", []))
        if len(known) <= SHORT_LIST or not first:
            first = {pk for pk, _ in known}
        for name, shown in (("people", first), ("others", {pk for pk, _ in known} - first)):
            field: Any = self.fields[name]
            # Anybody may be sent in either list: who is near may change while the form is filled in.
            field.choices = known
            field.widget.choices = [(pk, who) for pk, who in known if pk in shown]
        if len(first) == len(known):
            del self.fields["others"]

    def _ask_for_wires(self, wires: Sequence[tuple[bool, int, str]]) -> None:
        if not wires:
            del self.fields["came_off"], self.fields["wires_shown"]
            return
        self.asks_for_wires = True
        field: Any = self.fields["came_off"]
        field.choices = [(f"{'guy' if guy else 'wire'}:{pk}", words) for guy, pk, words in wires]
        all_wire = [f"wire:{pk}" for guy, pk, _ in wires if not guy]
        field.initial, self.fields["wires_shown"].initial = all_wire, "1"
        if self.is_bound and "wires_shown" not in self.data:
            self.data = cast(Any, self.data).copy()
            self.data.setlist("came_off", all_wire)  # type: ignore[attr-defined]
            self.data["wires_shown"] = "1"  # type: ignore[index]
            self.first_asked = True

    def wires(self, kind: str) -> list[int]:
        """Ids of the wires, or the guys, that came off."""
        found = (name.partition(":") for name in self.cleaned_data.get("came_off", []))
        return [int(pk) for what, _, pk in found if what == kind]

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if on > datetime.now(self.zone).date():
            raise forms.ValidationError("This day has not come yet. Choose today or an earlier day.")
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        data["people"] = list(dict.fromkeys([*data.get("people", []), *data.get("others", [])]))
        if not data["people"] and "people" not in self.errors:
            self.add_error("people", "Choose who worked.")
        started, stopped, minutes = data.get("started"), data.get("stopped"), data.get("minutes")
        if self.errors:
            return data
        if minutes is None and not (started and stopped):
            self.add_error("minutes", "Say how long: give both times, or the minutes.")
        elif started and stopped and stopped <= started:
            self.add_error("stopped", "This is before the start. Write a later time.")
        elif self._ahead(data):
            self.add_error(
                "stopped" if stopped else "started", "This time has not come yet. Write an earlier one."
            )
        elif minutes is None and self._span(data) <= 0:
            self.add_error("breaks_min", "The breaks are as long as the work. Write a smaller number.")
        elif minutes and started and stopped and minutes > self._span(data, breaks=False):
            self.add_error("minutes", self._too_many(data))
        if self.first_asked:
            self.add_error("came_off", "Look which came off, then keep the sitting.")
        if data.get("left_open") and not (data.get("note") or "").strip():
            self.add_error("note", "Write where you stopped, so that the next hands can go on.")
        return data

    def _ahead(self, data: dict[str, Any]) -> bool:
        """Whether a time that was typed is later than now, in the club's zone."""
        last = data.get("stopped") or data.get("started")
        if last is None:
            return False
        return datetime.combine(data["on"], last, self.zone) > datetime.now(self.zone) + GRACE

    def _too_many(self, data: dict[str, Any]) -> str:
        first, last = (f"{data[name].hour}:{data[name].minute:02d}" for name in ("started", "stopped"))
        whole = self._span(data, breaks=False)
        return f"From {first} to {last} is {whole} minutes. Write fewer minutes, or other times."

    @staticmethod
    def _span(data: dict[str, Any], *, breaks: bool = True) -> int:
        start, stop = data["started"], data["stopped"]
        worked: int = (stop.hour - start.hour) * 60 + stop.minute - start.minute
        return worked - int(data.get("breaks_min") or 0) if breaks else worked

    def read(self, tasks: tuple[TaskDone, ...]) -> Read:
        """The values for the use case; the form must be valid."""
        data = self.cleaned_data
        minutes = data["minutes"] or self._span(data)
        started = self._began(minutes)
        stopped = data["stopped"]
        ended = (
            datetime.combine(data["on"], stopped, self.zone)
            if stopped
            else started + timedelta(minutes=minutes)
        )
        return Read(
            tuple(Worked(int(pk), minutes) for pk in data["people"]),
            tasks,
            started,
            ended,
            data["left_open"],
            data["note"],
            data["key"],
        )

    def _began(self, minutes: int) -> datetime:
        """The start that was given; without one noon, or so long ago as the work took."""
        data = self.cleaned_data
        if data["started"]:
            return datetime.combine(data["on"], data["started"], self.zone)
        return began(data["on"], minutes, self.zone)


class CorrectionForm(SittingForm):
    """A sitting as it really was; it may have been on another tree.

    It comes filled in. Times that were changed beside minutes that were not give the minutes anew.
    """

    tree = forms.CharField(
        label="Tag of the tree",
        max_length=30,
        error_messages={"required": "Write the number on the tag."},
    )

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        timed = {"started", "stopped", "breaks_min"} & set(self.changed_data)
        if timed and "minutes" not in self.changed_data and data.get("started") and data.get("stopped"):
            data["minutes"] = None
        return super().clean()


class TaskForm(forms.Form):
    """One task that was done, and how much of it."""

    task = forms.ChoiceField(label="Task", required=False)
    amount = forms.FloatField(
        label="How many",
        required=False,
        min_value=0,
        help_text="If you counted: branches, cut sites, shoots.",
    )
    finished = forms.BooleanField(label="This task is finished", required=False, initial=True)

    def __init__(self, *args: Any, due: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        first = [(code, f"{task_name(code)} (due)") for code in dict.fromkeys(due)]
        others = sorted((task_name(code), code) for code in catalogue() if code not in due)
        self.fields["task"].choices = [("", "none"), *first, *[(code, name) for name, code in others]]  # type: ignore[attr-defined]


TaskFormSet = forms.formset_factory(TaskForm, extra=0, max_num=8, validate_max=True, absolute_max=8)


def tasks_in(formset: Any) -> tuple[TaskDone, ...]:
    """The tasks a valid formset names, each once."""
    found: dict[str, TaskDone] = {}
    for form in formset:
        code = form.cleaned_data.get("task")
        if code and code not in found:
            found[code] = TaskDone(
                code, amount=form.cleaned_data.get("amount"), finished=bool(form.cleaned_data.get("finished"))
            )
    return tuple(found.values())
