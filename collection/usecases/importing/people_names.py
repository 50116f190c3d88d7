"""Finding the member a cell means, by name or by e-mail address."""

from __future__ import annotations

import re
from difflib import get_close_matches

from collection.models import Club, Contact, Member
from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.vocabulary import key

CLUB_WORDS = frozenset({"club", "the club", "club owned", "society", "verein", "klub", "asociacion"})
BETWEEN = re.compile(r"\s*(?:[,;/&+\n\u3001]|\band\b|\bund\b|\by\b|\bet\b)\s*")


class Directory:
    """Members of a club by plain name and by e-mail address: two queries, whatever the size."""

    def __init__(self, club: Club) -> None:
        self.members = {key(member.name): member for member in Member.objects.filter(club=club)}
        contacts = Contact.objects.filter(club=club).exclude(email="")
        self._by_email: dict[str, list[int]] = {}
        for email, member_id in contacts.values_list("email", "member_id"):
            self._by_email.setdefault(email.lower(), []).append(member_id)
        self._by_id = {member.pk: member for member in self.members.values()}
        self._club_words = CLUB_WORDS | {key(club.name)}

    def find(self, text: str) -> Member:
        """The member of that name or address.

        Raises:
            CannotRead: When nobody, or more than one person, is meant.
        """
        if "@" in text:
            found = self._by_email.get(text.strip().lower(), [])
            if len(found) != 1:
                raise CannotRead("import_email_unknown" if not found else "import_email_shared", value=text)
            return self._by_id[found[0]]
        member = self.members.get(key(text))
        if member is None:
            near = get_close_matches(key(text), self.members, n=1, cutoff=0.6)
            closest = self.members[near[0]].name if near else ""
            raise CannotRead("import_member_unknown", value=text, near=closest)
        return member

    def owners(self, text: str) -> list[Member]:
        """The members a cell such as "Ana Bell and Ben Cole" names; none when the club itself is meant.

        Raises:
            CannotRead: When one of them is nobody we know.
        """
        if key(text) in self._club_words:
            return []
        if key(text) in self.members:
            return [self.members[key(text)]]
        return [self.find(part) for part in BETWEEN.split(text) if part]
