"""A club's facts, its sites and its benches."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from django import forms

from collection.craft.season import ANCHORS, WEEKS_MOST
from collection.queries.club_pages import ClubSheet
from collection.queries.programme import CHOICES
from collection.queries.speech import weeks_later

MONTHS = [(n, f"{date(2028, n, 1):%B}") for n in range(1, 13)]
BOTH = "Choose a day and a month."
NO_SUCH_DAY = "This month has no such day. Choose another."
# What each correction moves, by anchor of the season programme.
ANCHOR_LABELS = {
    "W": "Work that follows the end of spring frost",
    "G": "Work counted back from the first frost of autumn",
    "A": "Work that follows the first frost of autumn",
    "D": "Winter work, from autumn to spring",
    "C": "Work that stays on the calendar",
}
CHOICE_LABELS = {
    "azalea_rests_after_repot": (
        "After repotting, an azalea gets no work on its top for a year",
        "One society asks for this. Another trade source repots after bloom and prunes as usual.",
    ),
    "long_season": (
        "Our season is long enough to defoliate trident maple fully twice",
        "Then 28 days must lie between, instead of a year. The days are an assumption.",
    ),
}
# Fields of the club's form and what they are called where mails are timed.
MAILS = {
    "mail_hour": "hour",
    "mails_a_week": "most_a_week",
    "quiet": "quiet",
    "quiet_from": "quiet_from",
    "quiet_to": "quiet_to",
}


class MonthDayWidget(forms.MultiWidget):
    """A day and a month, each from a list."""

    def __init__(self, none: str = "") -> None:
        days: list[tuple[Any, str]] = [("", "day"), *((n, str(n)) for n in range(1, 32))]
        months: list[tuple[Any, str]] = [("", none or "month"), *MONTHS]
        super().__init__(
            [
                forms.Select(attrs={"aria-label": "Day"}, choices=days),
                forms.Select(attrs={"aria-label": "Month"}, choices=months),
            ]
        )

    def decompress(self, value: Any) -> list[Any]:
        """ "04-25" as the two lists show it."""
        if not value:
            return ["", ""]
        month, _, day = str(value).partition("-")
        return [int(day), int(month)]


class MonthDayField(forms.MultiValueField):
    """A day of any year, kept as "MM-DD"; "" for never, where ``none`` says what that means."""

    def __init__(self, *, none: str = "", **options: Any) -> None:
        fields = (
            forms.TypedChoiceField(
                coerce=int, required=False, choices=[("", ""), *((n, n) for n in range(1, 32))]
            ),
            forms.TypedChoiceField(coerce=int, required=False, choices=[("", ""), *MONTHS]),
        )
        super().__init__(
            fields,
            require_all_fields=False,
            required=not none,
            widget=MonthDayWidget(none),
            error_messages={"required": BOTH},
            **options,
        )

    def compress(self, data_list: Any) -> str:
        """The two answers as "MM-DD"."""
        day, month = data_list if data_list else (None, None)
        if not day and not month:
            return ""
        if not day or not month:
            raise forms.ValidationError(BOTH)
        try:
            date(2027, month, day)
        except ValueError:
            raise forms.ValidationError(NO_SUCH_DAY) from None
        return f"{month:02d}-{day:02d}"


@cache
def zones() -> tuple[str, ...]:
    """Time zones that are named after a place."""
    return tuple(
        sorted(z for z in available_timezones() if "/" in z and not z.startswith(("Etc/", "SystemV/")))
    )


def _degrees(label: str, most: int, help_text: str) -> forms.FloatField:
    said = f"Write a number from {-most} to {most}."
    return forms.FloatField(
        label=label,
        min_value=-most,
        max_value=most,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"step": "any"}),
        error_messages={"invalid": said, "min_value": said, "max_value": said, "required": said},
    )


def _weeks(anchor: str) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        label=ANCHOR_LABELS[anchor],
        coerce=int,
        choices=[(n, weeks_later(n).capitalize()) for n in range(-WEEKS_MOST, WEEKS_MOST + 1)],
    )


class ClubForm(forms.Form):
    """Everything about a club that a coordinator may change."""

    name = forms.CharField(label="Name of the club", max_length=120)
    zone = forms.ChoiceField(label="Time zone")
    inches = forms.TypedChoiceField(
        label="Lengths are written in",
        coerce=lambda text: text == "in",
        choices=[("mm", "millimetres and centimetres"), ("in", "inches")],
    )
    latitude = _degrees("Latitude, degrees", 90, "North above 0, south of the equator below 0.")
    longitude = _degrees("Longitude, degrees", 180, "East above 0, west below 0.")
    altitude_m = forms.FloatField(
        label="Height above the sea, m",
        min_value=-450,
        max_value=6000,
        error_messages=dict.fromkeys(
            ("min_value", "max_value", "invalid"), "Write metres from -450 to 6000."
        ),
    )
    last_frost = MonthDayField(
        label="Usual last frost of spring", none="it never freezes", help_text="Spring work moves with it."
    )
    first_frost = MonthDayField(
        label="Usual first frost of autumn", none="it never freezes", help_text="Autumn work moves with it."
    )
    mail_hour = forms.TypedChoiceField(
        label="Round-ups go out from",
        coerce=int,
        choices=[(hour, f"{hour}:00") for hour in range(24)],
        help_text="8:00 is usual. It is an assumption.",
    )
    mails_a_week = forms.TypedChoiceField(
        label="Round-ups a person gets in a week, at most",
        coerce=int,
        choices=[(count, str(count)) for count in range(1, 8)],
        help_text="2 is usual. It is an assumption. What cannot wait comes besides.",
    )
    quiet = forms.ChoiceField(
        label="Quiet weeks",
        choices=[("usual", "As usual"), ("none", "None"), ("own", "From and to the days below")],
        help_text="Usual is 1 December to 15 January, in the south 1 June to 15 July: an assumption.",
    )
    quiet_from = MonthDayField(label="Our quiet weeks begin on", none="none")
    quiet_to = MonthDayField(label="Our quiet weeks end on", none="none")
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].choices = [(zone, zone.replace("_", " ")) for zone in zones()]  # type: ignore[attr-defined]
        for anchor in ANCHORS:
            self.fields[f"weeks_{anchor}"] = _weeks(anchor)
        for name, (label, source) in CHOICE_LABELS.items():
            self.fields[name] = forms.BooleanField(label=label, help_text=source, required=False)

    @classmethod
    def of(cls, sheet: ClubSheet) -> ClubForm:
        """The form with the club as it is."""
        first: dict[str, Any] = {
            name: getattr(sheet, name)
            for name in (
                "name", "zone", "latitude", "longitude", "altitude_m", "last_frost", "first_frost", "version"
            )
        }  # fmt: skip
        first["altitude_m"] = f"{sheet.altitude_m:g}"
        first["inches"] = "in" if sheet.inches else "mm"
        first |= {f"weeks_{anchor}": weeks for anchor, weeks in sheet.weeks_later.items()}
        mails = asdict(sheet.mails)
        if sheet.mails.quiet != "own":
            mails |= {"quiet_from": "", "quiet_to": ""}
        first |= {name: mails[kept] for name, kept in MAILS.items()}
        return cls(initial=first | dict(sheet.choices))

    def changes(self) -> dict[str, Any]:
        """The club's columns as they were written; the form must be valid."""
        data = self.cleaned_data
        found = {
            name: data[name]
            for name in (
                "name", "zone", "inches", "latitude", "longitude", "altitude_m", "last_frost", "first_frost"
            )
        }  # fmt: skip
        found["weeks_later"] = {a: data[f"weeks_{a}"] for a in ANCHORS if data[f"weeks_{a}"]}
        found["settings"] = {name: data[name] for name in CHOICES}
        found["mails"] = {kept: data[name] for name, kept in MAILS.items()}
        return found


SITE_KINDS = [("ground", "Club ground"), ("home", "A member's home"), ("show", "A show")]
BENCH_WEEKS = [
    (0, "As the club"),
    (1, "A week later: in shade"),
    (-1, "A week earlier: under glass or roof"),
]


class SiteForm(forms.Form):
    """Where trees stand."""

    name = forms.CharField(label="Name", max_length=120)
    kind = forms.ChoiceField(label="What it is", choices=SITE_KINDS)
    address = forms.CharField(label="Address", max_length=200, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)


class BenchForm(forms.Form):
    """A table or shelf in a site."""

    name = forms.CharField(label="Name", max_length=60)
    weeks_later = forms.TypedChoiceField(
        label="Spring growth starts here",
        coerce=int,
        choices=BENCH_WEEKS,
        initial=0,
        help_text="A week either way for shade or glass is an assumption.",
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
