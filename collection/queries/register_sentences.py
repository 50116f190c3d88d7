"""Sentences about the register: trees, their people, what happens to them, counts and sittings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from collection.queries.speech import day

Values = Mapping[str, Any]


def _tree_away(v: Values) -> str:
    words = {"where": v["where"], "until": day(v["until"]) if v["until"] else ""}
    if v["kind"] == "show":
        return _("The tree is at a show until %(until)s: %(where)s.") % words
    if v["until"]:
        return _("The tree is lent until %(until)s, to %(where)s.") % words
    return _("The tree is lent to %(where)s. Nobody has said until when.") % words


def _no_hard_work(v: Values) -> str:
    said = _("No hard work on this tree until %(until)s.") % {"until": day(v["until"])}
    return f"{said} {v['why']}" if v["why"] else said


REGISTER_SENTENCES: dict[str, Callable[[Values], str]] = {
    "away_already": lambda v: _("The tree is away on that day already. Write down that it is back first."),
    "away_days": lambda v: _("Write a last day on or after the first, and within three years."),
    "batch_range": lambda v: _("A batch has from 2 to 10,000 trees. Leave it empty for a single tree."),
    "bench_elsewhere": lambda v: _("This bench is at another site. Choose a bench of the site, or none."),
    "branch_clock": lambda v: _("Write an hour of the clock, from 1 to 12. The front is 6."),
    "branch_field_unknown": lambda v: _("A branch has no %(given)s that could be changed here.") % v,
    "branch_has_wire": lambda v: (
        _("Wire is still on branch %(label)s. Write down that it came off, then take the branch off.") % v
    ),
    "branch_label_missing": lambda v: _("Give the branch a short label, like B1, of up to 20 letters."),
    "branch_side": lambda v: _("Write how many side branches it has, from 0 to 1,000."),
    "care_role": lambda v: _("Choose owner or carer."),
    "carers_only": lambda v: _("Only the tree's owner, its carers and coordinators can say this."),
    "cause_needed": lambda v: _("Write what it died of, as far as anybody knows, or write: not known."),
    "condition_unknown": lambda v: _("Choose sound, weak, sick, collected or imported."),
    "consent_day": lambda v: _("Choose a day from today on, and within three years."),
    "corrected_already": lambda v: _(
        "Somebody has put this sitting right already. Look at the newer one in the history."
    ),
    "count_thickness": lambda v: _("Write a thickness above 0 and up to 500 mm, like 12."),
    "count_wired": lambda v: _("Say whether these branches are wired: yes or no."),
    "day_ahead": lambda v: _("This day has not come yet. Choose today or an earlier day."),
    "day_long_ago": lambda v: _("That is long ago. Write a day or a year from %(first)s on.") % v,
    "job_not_left_out": lambda v: _("This job is not left out. Look at the tree's page again."),
    "leave_alone_reason": lambda v: _(
        "Say why: only a weak tree, or its owner's wish, keeps everybody's hands off."
    ),
    "lent_to": lambda v: _("Write to whom the tree is lent."),
    "moved_nowhere": lambda v: _("The tree stands there already. Choose where it goes."),
    "no_hard_work": _no_hard_work,
    "not_away": lambda v: _("The tree is not away. There is nothing to bring back."),
    "not_your_sitting": lambda v: _(
        "Only who worked, who wrote it down, or a coordinator can put this right."
    ),
    "owner_only": lambda v: _("Only the owner of the tree, or a coordinator he told, can say this."),
    "own_trees_only": lambda v: _("Only the owner himself and coordinators see this list."),
    "show_where": lambda v: _("Write which show it is."),
    "tag_unknown": lambda v: _("No tree has this tag. Look at the number again."),
    "tree_away": _tree_away,
    "tree_gone": lambda v: _("This tree is no longer in the collection."),
    "way_out": lambda v: _("Choose how it left: given away, sold, back to its owner, or another way."),
}
