"""What the page of a link shows: the one thing it is about as it stands now, and the answers left.

Nothing else is on it. A ticket whose row, person or membership is gone shows nothing at all.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime

from django.utils.translation import gettext as _

from collection.models import Guy, Invitation, Look, Member, Offer, Wire, Workday
from collection.queries.access import Actor
from collection.queries.clock import local
from collection.queries.links import Ticket
from collection.queries.mail_times import answers_until, starts_at
from collection.queries.roundup_words import at, near
from collection.queries.trees import title_of

DOOR = "mail"


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: its value, what its button says, whether it is the answer given."""

    value: str
    words: str
    given: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """A link's page: what it is about, the sentences, the answers; none when it is too late for one."""

    purpose: str
    member_id: int
    club_id: int
    club_name: str
    title: str
    sentences: tuple[str, ...]
    choices: tuple[Choice, ...] = ()
    given: str = ""
    cautions: frozenset[str] = field(default_factory=frozenset)

    @property
    def digest(self) -> str:
        """What the page shows, in 16 characters, so that an answer can say which page it was given to."""
        shown = (self.title, *self.sentences, self.given, *(choice.value for choice in self.choices))
        return hashlib.sha256("\n".join(shown).encode()).hexdigest()[:16]


def asked_by(ticket: Ticket, now: datetime) -> Asked | None:
    """What a ticket is about now; None when its row is gone, or the person is no member any more."""
    member = Member.objects.select_related("club").filter(pk=ticket.member_id).first()
    if member is None or not _is_member(member, local(now, member.club.zone).date()):
        return None
    return PAGES[ticket.purpose](ticket, member, now)


def actor_by(ticket: Ticket) -> Actor | None:
    """The person of a ticket as an actor: with no more rights than any member, by the door of the mail."""
    member = Member.objects.filter(pk=ticket.member_id).first()
    return Actor(member.club_id, member.pk, Member.Role.MEMBER, member.name, DOOR) if member else None


def _is_member(member: Member, today: date) -> bool:
    return member.active_from <= today and (member.active_to is None or member.active_to >= today)


def _asked(
    ticket: Ticket, member: Member, title: str, sentences: list[str], choices: list[Choice] | None = None,
    *, given: str = "", cautions: frozenset[str] = frozenset(),
) -> Asked:  # fmt: skip
    return Asked(
        ticket.purpose, member.pk, member.club_id, member.club.name, title,
        tuple(filter(None, sentences)), tuple(choices or ()), given, cautions,
    )  # fmt: skip


# --- a day --------------------------------------------------------------------------------------


def _day(ticket: Ticket, member: Member, now: datetime) -> Asked | None:
    rows = Workday.objects.filter(club_id=member.club_id, pk=ticket.row).exclude(state=Workday.State.DRAFT)
    day = rows.select_related("site").first()
    if day is None:
        return None
    title, said = _when(day, now)
    if day.state == Workday.State.CANCELLED:
        return _asked(ticket, member, title, [_("This day is cancelled. Nobody need come.")])
    if day.state == Workday.State.HELD or starts_at(day) <= now:
        return _asked(ticket, member, title, [said, _("This day has begun or is over.")])
    offer = Offer.objects.filter(workday=day, member=member).first()
    answer = offer.answer if offer else ""
    given = {
        "yes": _("You said you come."),
        "no": _("You said you cannot come."),
        "perhaps": _("You said perhaps."),
    }.get(answer, "")
    sentences = [said, _("Bring: %(bring)s") % {"bring": " ".join(day.bring.split())} if day.bring else ""]
    if ticket.version != day.version:
        sentences.insert(0, _("Something has changed since that mail. This is how it stands now."))
    last = answers_until(day)
    if last <= now:
        sentences += [given, _("It is too late to change it here. Telephone the lead of the day.")]
        return _asked(ticket, member, title, sentences)
    wall = local(last, day.zone)
    until = f"{near(wall.date(), local(now, day.zone).date())}, {wall.hour}:{wall:%M}"
    sentences.append(_("You can answer, and change it, until %(until)s.") % {"until": until})
    choices = [
        Choice("yes", _("I’m coming"), answer == "yes"),
        Choice("no", _("I can’t come"), answer == "no"),
    ]
    return _asked(ticket, member, title, sentences, choices, given=given)


def _when(day: Workday, now: datetime) -> tuple[str, str]:
    """ "Saturday 28 November, 9:30", and where and until when."""
    said = {"site": day.site.name, "closes": at(f"{day.closes:%H:%M}")}
    title = f"{near(day.date, local(now, day.zone).date())}, {at(f'{day.opens:%H:%M}')}"
    return title, _("%(site)s, until %(closes)s.") % said


# --- a place at a bend ----------------------------------------------------------------------------


def _place(ticket: Ticket, member: Member, now: datetime) -> Asked | None:
    rows = Invitation.objects.filter(club_id=member.club_id, pk=ticket.row, member=member)
    question = rows.select_related("place__workday__site", "place__job__tree").first()
    if question is None:
        return None
    place, day = question.place, question.place.workday
    title, said = _when(day, now)
    if place.winner_id is not None and place.winner_id != member.pk:
        return _asked(
            ticket, member, title, [_("This place is now someone else’s. Thank you for answering.")]
        )
    if question.answer == "withdrawn":
        return _asked(
            ticket, member, title, [_("This question has been taken back. Thank you all the same.")]
        )
    if day.state in (Workday.State.CANCELLED, Workday.State.HELD) or starts_at(day) <= now:
        return _asked(ticket, member, title, [_("This day is cancelled, has begun or is over.")])
    tree = place.job.tree.accession if place.job and place.job.tree else ""
    sentences = [_("A second pair of hands is wanted for a heavy bend on %(tree)s.") % {"tree": tree}]
    if place.starts and place.ends:
        span = {"starts": at(f"{place.starts:%H:%M}"), "ends": at(f"{place.ends:%H:%M}")}
        sentences.append(_("From %(starts)s to %(ends)s.") % span)
    has_it = place.winner_id == member.pk
    given = _("You have this place.") if has_it else ""
    given = _("You said you cannot help.") if question.answer == "declined" else given
    choices = [
        Choice("yes", _("I’ll help"), has_it),
        Choice("no", _("I can’t"), question.answer == "declined"),
    ]
    return _asked(
        ticket, member, title, [said, *sentences], choices, given=given, cautions=frozenset({"HEAVY_BEND"})
    )


# --- a wire -------------------------------------------------------------------------------------


def _wire(ticket: Ticket, member: Member, now: datetime) -> Asked | None:
    table = Guy if ticket.purpose == "guy" else Wire
    rows = table._default_manager.filter(club_id=member.club_id, pk=ticket.row)
    row = rows.select_related("tree", "branch").first()
    if row is None:
        return None
    today = local(now, member.club.zone).date()
    where = (row.branch.place or row.branch.label) if row.branch else row.label
    title = f"{row.tree.accession} {title_of(row.tree)}"
    what = _("Guy wire at %(where)s.") if table is Guy else _("Wire at %(where)s.")
    sentences = [what % {"where": where}]
    if row.off is not None or row.tree.archived_at is not None:
        sentences.append(_("It is off, so there is nothing to look at. Thank you all the same."))
        return _asked(ticket, member, title, sentences)
    sentences.append(_("On since %(day)s.") % {"day": near(row.on, today)})
    latest = Look.objects.filter(**{ticket.purpose: row}).order_by("-on", "-id").first()
    mine = latest.seen if latest and latest.by_id == member.pk and latest.on == today else ""
    if latest and not mine and ticket.version != row.version:
        seen = {"seen": LOOKS[latest.seen].lower(), "day": near(latest.on, today)}
        sentences.append(_("Somebody has looked since that mail, on %(day)s: %(seen)s.") % seen)
    if row.look_on is not None:
        sentences.append(_("Look by %(day)s.") % {"day": near(row.look_on, today)})
    given = _("You wrote down today: %(seen)s.") % {"seen": LOOKS[mine].lower()} if mine else ""
    if mine == "marking":
        sentences.append(
            _("Wire that marks comes off at once. Cut it turn by turn, never unwind it by force.")
        )
    choices = [Choice(value, words, mine == value) for value, words in LOOKS.items()]
    return _asked(ticket, member, title, sentences, choices, given=given, cautions=frozenset({"WIRE_OFF"}))


LOOKS = {"loose": "Loose", "snug": "Snug", "marking": "Marking the bark"}


# --- the mails themselves ---------------------------------------------------------------------------


def _stop(ticket: Ticket, member: Member, now: datetime) -> Asked | None:
    if ticket.row != member.pk:
        return None
    stopped = not member.wants_mail
    sentence = (
        _("Round-ups of %(club)s no longer come to you.") if stopped else _("You get round-ups of %(club)s.")
    )
    choices = [
        Choice("stop", _("Stop these mails"), stopped),
        Choice("go_on", _("Send them"), not stopped),
    ]
    more = _("Without them, a cancelled day is told by telephone, if the club has your number.")
    return _asked(
        ticket, member, _("Mails from your club"), [sentence % {"club": member.club.name}, more], choices
    )


PAGES: dict[str, Callable[[Ticket, Member, datetime], Asked | None]] = {
    "day": _day,
    "place": _place,
    "wire": _wire,
    "guy": _wire,
    "stop": _stop,
}
