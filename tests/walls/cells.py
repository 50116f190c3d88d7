"""The table of walls: every address, every method, every kind of person. How to add a cell.

1.  Each module of this folder may hold ``CELLS = [Cell(...), ...]``: one module a noun, found by itself
    (``trees.py``, ``days.py``, ``api.py`` ...; add your own, nothing has to be registered). A new address
    without a cell fails, a cell without an address fails. An address that does several things may have
    several cells of the same name.
2.  A cell names the address (``name=`` of its ``path(...)``; for one without a name its route) and says how
    to get there: ``path`` and, where it reads one, ``query``. Ids stand in braces: ``"/trees/{tree}"``,
    ``query="tree={tree}"``. Which ids there are: ``IDS`` in ``rows.py``. ``{me}`` is the member who asks.
    **Everything in braces that is an id is tried out by itself**: once with the same kind of row of
    another club, once with a number that does not exist, in path, query and body. Both must be answered
    byte for byte the same, and must write nothing.
3.  Each method is one of
      ``get=200``                  members of any role; outsiders 403; nobody signed in: to the sign-in page
      ``get=planners(200)``        coordinator and club admin; member and bench lead 403
      ``get=leads(200)``           bench lead too
      ``get=everybody(200)``       outsiders and people who are not signed in too
      ``get={"member": 403, "coordinator": 200}``   by role; roles left out: as for an ``int`` of 403
    and a method that writes (post, put, patch, delete) is a ``Write`` (or a list of them):
      ``post=Write(planners(302), {"member": "{member}", "answer": "yes"}, empty=400)``
    First what is answered to the full body, which **must be one that is accepted**: for everybody whose
    status is below 400 the test sees that rows changed (``changes=False`` where that is not so, with a
    comment why). Then the body: form fields for pages, JSON below ``/api/``; lists and nested JSON may be
    used; a write of the API carries a request key by itself, and ``match="{=tree_version}"`` as its
    If-Match; a tuple ``("trees.csv", "a,b")`` is a file. ``empty`` is what is answered to no body at all
    (left out: not tried). ``{=job_version}`` puts in a value that is not an id: ``WORDS`` in ``rows.py``.
    Methods you do not name must answer 405. HEAD is asked wherever GET is served and must answer as GET
    does, so views say ``require_safe`` or ``require_http_methods(["GET", "HEAD", "POST"])``.
4.  A cell that writes and has no id anywhere says why that is right: ``no_ids="makes a new tree"``.
    Another club cannot be named in it, so somebody must have thought about it.
5.  A row you need and do not find in ``rows.py``: give your module a function

        def furnish(rows: Rows) -> None:
            rows.ids["letter"] = LetterFactory(club=rows.club, member_id=rows.ids["member"]).pk

    It is called for our club and for the other one, in the order of the modules' names, after the rows
    of ``rows.py``. Make rows through factories or use cases (``rows.planner`` is a coordinator to act).
    What may be put in words: ``rows.words["draft_version"] = 1``.

The clock stands still: it is ``rows.NOW``, Wednesday 3 March 2027, 9:00 UTC. Every request is taken back
before the next one, so no cell sees what another wrote.

Run one module's cells: ``pytest tests/walls -k "days-"`` (ids are module-name-method).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

MEMBERS = ("member", "bench_lead", "coordinator", "admin")
ROLES = ("anonymous", "outsider", *MEMBERS)
METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
# What somebody who is not signed in gets: a page sends him to the sign-in page, the API says no.
TO_SIGN_IN = "to the sign-in page"
API_ANONYMOUS = 401
NOT_YOURS = 403

Status = int | str
Statuses = int | Mapping[str, Status]


@dataclass(frozen=True)
class Write:
    """One way to write at an address: what is answered to a full body, the body, and to an empty one.

    ``match`` is the version sent in If-Match, for edits of the API.
    """

    full: Statuses
    body: Mapping[str, Any] | None = None
    empty: Statuses | None = None
    changes: bool = True
    match: str = ""


@dataclass(frozen=True)
class Cell:
    """One address: how to get there, and what each method answers to each kind of person."""

    name: str
    path: str
    query: str = ""
    get: Statuses | None = None
    post: Write | Sequence[Write] | None = None
    put: Write | Sequence[Write] | None = None
    patch: Write | Sequence[Write] | None = None
    delete: Write | Sequence[Write] | None = None
    options: Statuses | None = None
    no_ids: str = ""
    module: str = ""
    number: int = 0

    @property
    def api(self) -> bool:
        """Speaks JSON, and says no instead of showing the sign-in page."""
        return self.path.startswith("/api/")

    @property
    def label(self) -> str:
        return f"{self.module}-{self.name}{self.number or ''}"

    def writes(self, method: str) -> list[Write]:
        """The ways to write with a method; none when it is not served."""
        found = getattr(self, method.lower(), None)
        if method in ("GET", "HEAD", "OPTIONS") or found is None:
            return []
        return [found] if isinstance(found, Write) else list(found)

    def reads(self, method: str) -> Statuses | None:
        """What a method that only reads answers; None when it is not served."""
        if method == "OPTIONS":
            return self.options
        return self.get if method in ("GET", "HEAD") else None


def members(status: int) -> dict[str, Status]:
    """Members of any role; the same as the bare number."""
    return dict.fromkeys(MEMBERS, status)


def planners(status: int) -> dict[str, Status]:
    """Coordinators and club admins; other members are told that only a coordinator can."""
    return {"member": 403, "bench_lead": 403, "coordinator": status, "admin": status}


def leads(status: int) -> dict[str, Status]:
    """Bench leads, coordinators and club admins."""
    return planners(status) | {"bench_lead": status}


def everybody(status: int) -> dict[str, Status]:
    """Anybody at all, signed in or not."""
    return dict.fromkeys(ROLES, status)


def expected(cell: Cell, statuses: Statuses) -> dict[str, Status]:
    """The status for each role, with what outsiders and people who are not signed in get."""
    said: Mapping[str, Status] = members(statuses) if isinstance(statuses, int) else dict(statuses)
    usual: dict[str, Status] = {"anonymous": API_ANONYMOUS if cell.api else TO_SIGN_IN}
    return {role: said.get(role, usual.get(role, NOT_YOURS)) for role in ROLES}
