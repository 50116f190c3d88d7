"""A workday, an answer for one, and what is asked before it is moved or called off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import time
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

TIME = "Write hours and minutes, like 9:30."
DAY = "Write a day, like 2027-03-06."
WHOLE = "Write a whole number, like 8."
# Breaks a form has room for.
MOST_BREAKS = 4
People = Sequence[tuple[int, str]]
BEFORE_START = "The end is before the start. Write a later time."


def five_minutes(value: time) -> None:
    """Refuse a time between the steps of five minutes."""
    if value.minute % 5 or value.second:
        raise ValidationError("Write a time in steps of five minutes, like 9:30 or 9:35.")


def time_field(label: str, *, required: bool = True, five: bool = True) -> forms.TimeField:
    """A time of the day; planned ones in steps of five minutes."""
    return forms.TimeField(
        label=label,
        required=required,
        validators=[five_minutes] if five else [],
        widget=forms.TimeInput(
            attrs={"type": "time", "step": "300"} if five else {"type": "time"}, format="%H:%M"
        ),
        error_messages={"required": TIME, "invalid": TIME},
    )


def date_field(label: str) -> forms.DateField:
    """A day of the calendar."""
    return forms.DateField(
        label=label,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": DAY, "invalid": DAY},
    )


def _whole(label: str, least: int, most: int, help_text: str = "") -> forms.IntegerField:
    said = f"Write a number from {least} to {most}."
    return forms.IntegerField(
        label=label,
        required=False,
        min_value=least,
        max_value=most,
        help_text=help_text,
        error_messages={"invalid": WHOLE, "min_value": said, "max_value": said},
    )


class DayForm(forms.Form):
    """When and where, breaks, who leads, how many people, what to bring."""

    opens = time_field("From")
    closes = time_field("To")
    site = forms.ChoiceField(label="Where", error_messages={"required": "Choose where."})
    garden = forms.CharField(
        label="Or in another garden",
        required=False,
        max_length=120,
        help_text="Its name as members know it. It is added to the places of the club.",
    )
    address = forms.CharField(label="Address of that garden", required=False, max_length=200)
    break_from = time_field("Break from", required=False)
    break_to = time_field("Break to", required=False)
    briefing_min = _whole("Briefing, minutes", 0, 120)
    closing_min = _whole("Closing, minutes", 0, 120, "Notes, water, counting the kit.")
    lead = forms.ChoiceField(label="Who leads the day", required=False)
    first_aider = forms.ChoiceField(label="First aider", required=False)
    least_people = _whole("Least people", 1, 500)
    most_people = _whole("Most people", 1, 500, "Leave it empty when there is room for all.")
    bring = forms.CharField(
        label="What to bring", required=False, max_length=500, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(
        self,
        *args: Any,
        sites: People = (),
        people: People = (),
        aiders: People = (),
        breaks: int = 1,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].choices = [(str(pk), name) for pk, name in sites]  # type: ignore[attr-defined]
        nobody = ("", "Nobody yet")
        self.fields["lead"].choices = [nobody, *((str(pk), name) for pk, name in people)]  # type: ignore[attr-defined]
        self.fields["first_aider"].choices = [nobody, *((str(pk), name) for pk, name in aiders)]  # type: ignore[attr-defined]
        self.pairs = [("break_from", "break_to")]
        for number in range(2, min(breaks, MOST_BREAKS) + 1):
            pair = (f"break_from_{number}", f"break_to_{number}")
            self.fields[pair[0]] = time_field(f"Break {number} from", required=False)
            self.fields[pair[1]] = time_field(f"Break {number} to", required=False)
            self.pairs.append(pair)
        order = list(self.fields)
        later = [name for pair in self.pairs[1:] for name in pair]
        kept = [name for name in order if name not in later]
        place = kept.index("break_to") + 1
        self.order_fields([*kept[:place], *later, *kept[place:]])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for first, last in self.pairs:
            if bool(data.get(first)) != bool(data.get(last)) and not {first, last} & set(self.errors):
                self.add_error(last, "Give both times of the break, or neither.")
        return data

    def values(self) -> dict[str, Any]:
        """What the form says, as the use cases take it; the place apart."""
        data = self.cleaned_data
        return {
            "opens": data["opens"],
            "closes": data["closes"],
            "breaks": [(data[a], data[b]) for a, b in self.pairs if data[a]],
            "briefing_min": 15 if data["briefing_min"] is None else data["briefing_min"],
            "closing_min": 30 if data["closing_min"] is None else data["closing_min"],
            "lead_id": int(data["lead"]) if data["lead"] else None,
            "first_aider_id": int(data["first_aider"]) if data["first_aider"] else None,
            "least_people": data["least_people"] or 2,
            "most_people": data["most_people"],
            "bring": data["bring"],
        }


class NewDayForm(DayForm):
    """A day that is not on the list yet."""

    on = date_field("Day")
    field_order = ("on",)


class ChangeDayForm(DayForm):
    """A day as it stands, with the version that whoever changes it has seen."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class MoveForm(forms.Form):
    """Another date for a day."""

    on = date_field("New date")
    keep_answers = forms.BooleanField(
        label="Keep the answers: everybody was asked about the new date",
        required=False,
    )
    version = forms.IntegerField(widget=forms.HiddenInput)


class CancelForm(forms.Form):
    """Why a day is called off."""

    why = forms.CharField(
        label="Why",
        max_length=200,
        help_text="Everybody reads this, like: frost until noon.",
        error_messages={"required": "Write why, in a few words."},
    )
    version = forms.IntegerField(widget=forms.HiddenInput)


class AnswerForm(forms.Form):
    """Who comes, and from when to when."""

    member = forms.ChoiceField(label="Who", error_messages={"required": "Choose who."})
    answer = forms.ChoiceField(
        label="Answer", choices=[("yes", "Yes, comes"), ("perhaps", "Perhaps"), ("no", "No")]
    )
    arrives = time_field("From", required=False)
    leaves = time_field("To", required=False)
    versions = forms.CharField(required=False, max_length=20_000, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, people: People = (), versions: Mapping[int, int] | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["member"].choices = [(str(pk), name) for pk, name in people]  # type: ignore[attr-defined]
        read = versions or {}
        self.fields["versions"].initial = " ".join(f"{pk}:{read.get(pk, 0)}" for pk, _ in people)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last = data.get("arrives"), data.get("leaves")
        if first and last and last <= first and data.get("answer") != "no":
            self.add_error("leaves", BEFORE_START)
        return data

    def version(self) -> int | None:
        """The version of the chosen member's answer that the page had shown, 0 for none, None where unsaid.

        After the page of two answers it comes by itself, as ``version``.
        """
        chosen = str(self.data.get("version", ""))
        for piece in self.cleaned_data["versions"].split():
            member, _, read = piece.partition(":")
            if not chosen and member == self.cleaned_data["member"]:
                chosen = read
        return int(chosen) if chosen.isascii() and chosen.isdecimal() and len(chosen) < 10 else None


class OwnAnswerForm(AnswerForm):
    """Whether whoever asks comes."""

    answer = forms.ChoiceField(
        label="Do you come?",
        choices=[("yes", "Yes"), ("perhaps", "Perhaps"), ("no", "No")],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose yes, perhaps or no."},
    )

    def __init__(self, *args: Any, me: tuple[int, str], **kwargs: Any) -> None:
        super().__init__(*args, people=[me], **kwargs)
        self.fields["member"].widget = forms.HiddenInput()
        self.fields["member"].initial = str(me[0])


class CameForm(forms.Form):
    """Who came to a day, with the hours where somebody noted them."""

    came = forms.MultipleChoiceField(label="Came", required=False, widget=forms.CheckboxSelectMultiple)
    others = forms.MultipleChoiceField(label="Also came", required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args: Any, expected: People = (), others: People = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["came"].choices = [(str(pk), name) for pk, name in expected]  # type: ignore[attr-defined]
        self.fields["others"].choices = [(str(pk), name) for pk, name in others]  # type: ignore[attr-defined]
        self.expected = [pk for pk, _ in expected]
        self.times = [(f"arrived_{pk}", f"left_{pk}") for pk in self.expected]
        for pk, name in expected:
            self.fields[f"arrived_{pk}"] = time_field(f"{name}, from", required=False, five=False)
            self.fields[f"left_{pk}"] = time_field(f"{name}, to", required=False, five=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for first, last in self.times:
            if data.get(first) and data.get(last) and data[last] <= data[first]:
                self.add_error(last, BEFORE_START)
        return data

    def member_ids(self) -> list[int]:
        """Everybody ticked."""
        data = self.cleaned_data
        return sorted(int(pk) for pk in {*data["came"], *data["others"]})

    def hours(self) -> dict[int, tuple[time | None, time | None]]:
        """Hours of those who are ticked and have some."""
        data = self.cleaned_data
        found = {pk: (data[f"arrived_{pk}"], data[f"left_{pk}"]) for pk in self.expected}
        return {pk: span for pk, span in found.items() if any(span) and str(pk) in data["came"]}
