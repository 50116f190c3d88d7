"""A file on its way in: brought, read, asked about, taken in or thrown away.

The file waits in a row of its club. A small one is read at once, a large one by the sweep while the page
says so. Reading and looking up happen outside any transaction; only what is found is written. Nothing of
the file's rows is written anywhere before it is accepted.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from collection.craft.reasons import Reason
from collection.models import Upload
from collection.queries.access import Actor, house, must_plan
from collection.queries.clock import today_in
from collection.queries.errors import Refused, not_found
from collection.usecases.importing.accept import accept, preview_of, remembered
from collection.usecases.importing.headings import KINDS
from collection.usecases.importing.pieces import Overtaken, Step
from collection.usecases.importing.reading import Answers, Look, look, sheet_names
from collection.usecases.importing.showing import shown_of
from collection.usecases.queue import Task, enqueue

MOST_MIB = 10
MOST_WAITING = 20
KEPT = timedelta(days=2)
LEASE = timedelta(minutes=5)
MOST_ATTEMPTS = 3
# A file up to these sizes is read while its page waits: about 1,500 trees, half a second.
LIGHT_TEXT, LIGHT_BOOK = 200_000, 1_500_000


def bring(*, actor: Actor, kind: str, file_name: str, data: bytes) -> int:
    """Keep a file that somebody brought, and read it; returns the id of the upload.

    Args:
        actor: A coordinator or club admin.
        kind: "trees", "people" or "offers".
        file_name: As the person's machine calls it.
        data: The file.

    Raises:
        Refused: ``coordinators_only``, ``import_kind``, ``import_empty``, ``import_file_too_big`` or
            ``import_too_many_waiting``.
    """
    must_plan(actor)
    if kind not in KINDS:
        raise Refused("import_kind", field="kind")
    if not data.strip():
        raise Refused("import_empty", field="file", file="")
    if len(data) > MOST_MIB * 2**20:
        raise Refused("import_file_too_big", field="file", most_mib=MOST_MIB)
    waiting = Upload.objects.filter(club_id=actor.club_id).exclude(state=Upload.State.TAKEN)
    if waiting.count() >= MOST_WAITING:
        raise Refused("import_too_many_waiting", kind="conflict", field="file", most=MOST_WAITING)
    upload = Upload.objects.create(
        club_id=actor.club_id,
        kind=kind,
        file_name=_clean_name(file_name),
        data=data,
        by_id=actor.member_id,
        good_until=timezone.now() + KEPT,
    )
    _now_or_later(upload)
    return upload.pk


def answer(
    *,
    actor: Actor,
    upload_id: int,
    version: int,
    told: Mapping[str, str],
    sheet: str = "",
    corrected: Mapping[str, str] | None = None,
) -> None:
    """Say what the columns are, which sheet is meant and what cells should hold; it is read again.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``import_taken`` or ``import_answered_meanwhile``.
    """
    must_plan(actor)
    upload = _upload(actor, upload_id)
    _must_be(upload, Upload.State.READ, Upload.State.UNREADABLE)
    _move(
        upload,
        version,
        state=Upload.State.READING,
        told=dict(told),
        sheet=sheet[:120],
        corrected=dict(corrected or {}),
        accepted=None,
    )
    _now_or_later(upload)


def take(*, actor: Actor, upload_id: int, version: int, set_aside: bool = False) -> None:
    """Take the file's rows in, at once when it is small.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``import_taken``, ``import_answered_meanwhile``,
            ``import_has_problems`` when rows with faults are not set aside, or ``import_nothing_new``.
    """
    must_plan(actor)
    upload = _upload(actor, upload_id)
    _must_be(upload, Upload.State.READ)
    found = upload.shown
    if found.get("missing"):
        raise Refused("import_say_columns", kind="conflict")
    if found["faulty"] and not set_aside:
        first = found["problems"][0]
        raise Refused(
            "import_has_problems", rows=found["faulty"], place=first["place"], column=first["column"]
        )
    if not found["ready"]:
        raise Refused("import_nothing_new", kind="conflict")
    _move(upload, version, state=Upload.State.TAKING, set_aside=set_aside, by_id=actor.member_id)
    _now_or_later(upload)


def drop(*, actor: Actor, upload_id: int) -> None:
    """Throw a file away that was not taken in.

    Raises:
        Refused: ``coordinators_only``, ``not_found`` or ``import_taken``.
    """
    must_plan(actor)
    upload = _upload(actor, upload_id)
    _must_be(upload, Upload.State.READ, Upload.State.UNREADABLE, Upload.State.READING)
    upload.delete()


def waiting_uploads() -> list[int]:
    """Ids of files that wait to be read or taken in, or whose worker died, oldest first."""
    return list(_free().order_by("pk").values_list("pk", flat=True)[:20])


def tidy_uploads() -> int:
    """Throw away files whose time is up, and give up on those that killed their worker; returns how many."""
    lost = Upload.objects.filter(
        state__in=[Upload.State.READING, Upload.State.TAKING],
        lease_until__lt=timezone.now(),
        attempts__gte=MOST_ATTEMPTS,
    )
    half = lost.filter(accepted__half=True)
    half.update(state=Upload.State.UNREADABLE, shown=_refusal(Reason.of("import_gave_up_half")))
    lost.update(state=Upload.State.UNREADABLE, shown=_refusal(Reason.of("import_gave_up")))
    old = Upload.objects.filter(good_until__lt=timezone.now()).exclude(state=Upload.State.TAKING)
    gone, _ = old.delete()
    return gone


def work_on(upload_id: int) -> bool:
    """Read a file or take it in, whichever it waits for; False when another worker has it."""
    mine = _free().filter(pk=upload_id)
    if not mine.update(lease_until=timezone.now() + LEASE, attempts=F("attempts") + 1):
        return False
    upload = Upload.objects.select_related("club", "by").get(pk=upload_id)
    if upload.state == Upload.State.TAKING:
        return _take_in(upload)
    return _write(upload, **_read(upload))


def _free() -> QuerySet[Upload]:
    free = Q(lease_until=None) | Q(lease_until__lt=timezone.now())
    rows = Upload.objects.filter(free, state__in=[Upload.State.READING, Upload.State.TAKING])
    return rows.filter(attempts__lt=MOST_ATTEMPTS)


def _read(upload: Upload) -> dict[str, Any]:
    """What the reading found, as columns of the row. Writes nothing."""
    club, data, today = upload.club, bytes(upload.data), today_in(upload.club.zone)
    answers = Answers(upload.told, upload.sheet, upload.corrected)
    try:
        found = look(club, data, upload.file_name, upload.kind, today, answers)
        before: dict[str, str] = {}
        if not upload.told:
            found, before = _as_last_time(upload, found, data, answers)
        preview = preview_of(_actor(upload), club, upload.file_name, upload.kind, today, found)
    except Refused as refused:
        names = sheet_names(data, upload.file_name)
        return {"state": Upload.State.UNREADABLE, "shown": _refusal(refused.reason, names)}
    return {
        "state": Upload.State.READ,
        "told": before or upload.told,
        "shown": shown_of(preview, found, as_last_time=bool(before)),
    }


def _as_last_time(upload: Upload, found: Look, data: bytes, answers: Answers) -> tuple[Look, dict[str, str]]:
    """Read with what was answered about the last file with the same headings, where there was one."""
    before = remembered(upload.club, upload.kind, found.headings)
    if not before:
        return found, {}
    told = Answers(before, answers.sheet, answers.corrected)
    today = today_in(upload.club.zone)
    return look(upload.club, data, upload.file_name, upload.kind, today, told), before


def _take_in(upload: Upload) -> bool:
    try:
        done = accept(
            actor=_actor(upload),
            data=bytes(upload.data),
            file_name=upload.file_name,
            kind=upload.kind,
            today=today_in(upload.club.zone),
            told=upload.told,
            sheet=upload.sheet,
            corrected=upload.corrected,
            set_aside="faulty" if upload.set_aside else "none",
            half_in=upload.accepted_id,
            keep=lambda step: _keep(upload, step),
        )
    except Overtaken:
        return False
    except Refused as refused:
        # Somebody changed the register meanwhile: read again, so that the page shows what is so now.
        again = _read(upload)
        again["shown"]["refused"] = refused.reason.as_json()
        return _write(upload, **again)
    if done.already:
        shown = {**upload.shown, "created": 0, "there": 0, "aside": 0}
        return _write(upload, state=Upload.State.TAKEN, accepted_id=done.id, data=b"", shown=shown)
    return True


def _keep(upload: Upload, step: Step) -> None:
    """Write down how far the file is, in the transaction of the piece; the claim holds on.

    Raises:
        Overtaken: When another worker has claimed the file meanwhile.
    """
    mine = Upload.objects.filter(pk=upload.pk, state=Upload.State.TAKING, attempts=upload.attempts)
    mine = mine.filter(accepted=upload.accepted_id)
    fields: dict[str, Any] = {"accepted_id": step.accepted_id, "lease_until": timezone.now() + LEASE}
    fields["attempts"] = 1  # it goes on: what was killed before is forgiven
    if step.whole:
        counts = {"created": step.created, "there": step.unchanged, "aside": step.aside}
        fields |= {"state": Upload.State.TAKEN, "data": b"", "shown": upload.shown | counts}
        fields |= {"lease_until": None, "attempts": 0, "version": F("version") + 1}
    if not mine.update(**fields):
        raise Overtaken
    upload.accepted_id, upload.attempts = step.accepted_id, 1


def _actor(upload: Upload) -> Actor:
    """Who answers for the file, with the rights that he has now."""
    if upload.by is None:
        return house(upload.club, door="import")
    by = upload.by
    return Actor(upload.club_id, by.pk, by.role, by.name, "import")


def _write(upload: Upload, **fields: Any) -> bool:
    """Write what a worker found, while its claim holds: another claim counts one attempt more."""
    mine = Upload.objects.filter(pk=upload.pk, state=upload.state, attempts=upload.attempts)
    return bool(mine.update(**fields, lease_until=None, attempts=0, version=F("version") + 1))


def _refusal(reason: Reason, names: tuple[str, ...] = ()) -> dict[str, Any]:
    return {"refused": reason.as_json(), "tabs": list(names)}


def _upload(actor: Actor, upload_id: int) -> Upload:
    upload = Upload.objects.filter(club_id=actor.club_id, pk=upload_id).first()
    if upload is None:
        raise not_found()
    return upload


def _must_be(upload: Upload, *states: str) -> None:
    if upload.state == Upload.State.TAKEN:
        raise Refused("import_taken", kind="conflict")
    if upload.state not in states:
        raise Refused("import_answered_meanwhile", kind="conflict")


def _move(upload: Upload, version: int, **fields: Any) -> None:
    """Change the upload if nobody else has since the person saw it."""
    fresh = Upload.objects.filter(pk=upload.pk, version=version, state=upload.state)
    if not fresh.update(**fields, version=version + 1, lease_until=None, attempts=0):
        raise Refused("import_answered_meanwhile", kind="conflict")


def _now_or_later(upload: Upload) -> None:
    if is_light(bytes(upload.data)):
        work_on(upload.pk)
        return
    with transaction.atomic():
        enqueue(Task.WORK_ON_FILE, upload.pk)


def is_light(data: bytes) -> bool:
    """Whether a file is small enough to be read while a page waits."""
    if data[:4] != b"PK\x03\x04":
        return len(data) <= LIGHT_TEXT
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return sum(entry.file_size for entry in archive.infolist()) <= LIGHT_BOOK
    except (zipfile.BadZipFile, OSError, NotImplementedError):
        return True  # it will be refused at once


def _clean_name(name: str) -> str:
    """The file's name without folders and control letters."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(letter for letter in last if letter.isprintable()).strip()[:200] or "file"
