"""The register: trees, what is known of them, and what happens to them."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Day, Id, Number, Several, Text, Whole, YesNo, optional
from api.operations import Asked, Noun, edits, makes, reads
from api.shapes import shown
from api.words import CONDITIONS, COUNTED, GROUPS, OUT, SIGNS, STAGES
from collection.queries.records import growth as growth_records
from collection.queries.records import moving as moving_records
from collection.queries.records import trees as records
from collection.queries.register import STATES, Wanted
from collection.queries.slices import Slice
from collection.usecases import counts, tree_events, trees

SIZE = {"required": False, "allow_null": True, "min_value": 0.001, "max_value": 99_999}
UNKNOWN = {"required": False, "allow_null": True}
SAID = {"required": False, "allow_blank": True}


class TreeQuery(Body):
    """What to look for; the same as on the page."""

    query = Text(**SAID, max_length=100, help_text="Words of the number, the names, the kind or the place.")
    group = Choice(choices=GROUPS, required=False)
    stage = Choice(choices=STAGES, required=False)
    site = Id(required=False)
    bench = Id(required=False)
    carer = Id(required=False, help_text="A member who owns or cares for the tree.")
    state = Choice(choices=STATES, required=False)


class TreeFields(Body):
    """What may be written of a tree; lengths in mm, mass in kg."""

    name = Text(**SAID, max_length=120)
    species = Text(**SAID, max_length=120)
    common_name = Text(**SAID, max_length=120)
    group = Choice(choices=GROUPS)
    stage = Choice(choices=STAGES)
    style = Text(**SAID, max_length=60)
    batch = Whole(**UNKNOWN, min_value=2, max_value=10_000, help_text="How many like trees; empty for one.")
    height_mm = Number(**SIZE)
    spread_mm = Number(**SIZE)
    trunk_mm = Number(**SIZE)
    pot = Text(**SAID, max_length=120)
    pot_litres = Number(**SIZE)
    mass_kg = Number(**SIZE)
    mass_weighed = YesNo(required=False)
    site_id = Id()
    bench_id = Id(**UNKNOWN)
    may_travel = YesNo(required=False)
    brought_by_id = Id(**UNKNOWN)
    condition = Choice(choices=CONDITIONS, required=False)
    no_hard_work_until = Day(**UNKNOWN)
    no_hard_work_why = Text(**SAID)
    leave_alone_until = Day(**UNKNOWN)
    leave_alone_why = Text(**SAID)
    acquired_on = Day(**UNKNOWN)
    note = Text(**SAID, max_length=10_000)


class NewTree(TreeFields):
    """A tree for the register."""

    accession = Text(max_length=30, help_text="The tree's number for ever.")
    on = Day(help_text="The day it came in.")


TreeChanges = optional(TreeFields, "TreeChanges")


class Trees(Noun):
    noun = "trees"

    @reads(shown(records.TreeLine), query=TreeQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """Trees in the collection by number, narrowed as on the page."""
        found = dict(asked.query)
        site, bench = found.pop("site", None), found.pop("bench", None)
        where = f"bench:{bench}" if bench else f"site:{site}" if site else ""
        narrowed = Wanted(**found, where=where)
        return records.tree_lines(asked.actor, asked.wanted, narrowed, today=asked.today)

    @makes(shown(records.TreeRecord), body=NewTree, at="api-tree")
    def post(self, asked: Asked) -> records.TreeRecord:
        """Put a tree on the register."""
        tree = trees.add_tree(actor=asked.actor, today=asked.today, **asked.body)
        return records.tree_record(asked.actor, tree)


class Tree(Noun):
    noun = "trees"

    @reads(shown(records.TreeRecord))
    def get(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """One tree."""
        return records.tree_record(asked.actor, tree_id)

    @edits(shown(records.TreeRecord), body=TreeChanges)
    def patch(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """Change what is written of a tree."""
        trees.change_tree(
            actor=asked.actor, tree_id=tree_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.tree_record(asked.actor, tree_id)


class TreeGrowth(Noun):
    noun = "trees"

    @reads(shown(growth_records.GrowthRecord))
    def get(self, asked: Asked, tree_id: int) -> growth_records.GrowthRecord:
        """How its cut sites, shoots and hours grow; no years while nobody has counted its cut sites."""
        return growth_records.growth_record(asked.actor, tree_id)


class TreeMoving(Noun):
    noun = "trees"

    @reads(shown(moving_records.MovingRecord))
    def get(self, asked: Asked, tree_id: int) -> moving_records.MovingRecord:
        """How many people move a tree, or that it wants a lifting aid, and which rule decides."""
        return moving_records.moving_record(asked.actor, tree_id)


class TreeEvents(Noun):
    noun = "trees"

    @reads(shown(records.TreeHappening), paged=True)
    def get(self, asked: Asked, tree_id: int) -> Slice[Any]:
        """What happened to a tree, newest first."""
        return records.tree_happenings(asked.actor, tree_id, asked.wanted)


class Out(Body):
    """How a tree left."""

    how = Choice(choices=OUT)
    on = Day()
    note = Text(**SAID, max_length=150)


class TreeOut(Noun):
    noun = "trees"

    @edits(shown(records.TreeRecord), body=Out)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree leaves the collection."""
        tree_events.take_out(
            actor=asked.actor, tree_id=tree_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.tree_record(asked.actor, tree_id)


class Death(Body):
    """Of what a tree died, as far as anybody knows."""

    cause = Text(max_length=200)
    on = Day()


class TreeDeath(Noun):
    noun = "trees"

    @edits(shown(records.TreeRecord), body=Death)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree died."""
        tree_events.record_death(
            actor=asked.actor, tree_id=tree_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.tree_record(asked.actor, tree_id)


class Loan(Body):
    """To whom a tree is lent, and until when if that is agreed."""

    to = Text(max_length=150)
    on = Day()
    until = Day(**UNKNOWN)


class TreeLoan(Noun):
    noun = "trees"

    @makes(shown(records.TreeRecord), body=Loan)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree is lent."""
        tree_events.lend(actor=asked.actor, tree_id=tree_id, **asked.body)
        return records.tree_record(asked.actor, tree_id)


class Show(Body):
    """Where and when a tree is shown."""

    where = Text(max_length=150)
    on = Day()
    until = Day()


class TreeShow(Noun):
    noun = "trees"

    @makes(shown(records.TreeRecord), body=Show)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree goes to a show."""
        tree_events.send_to_show(actor=asked.actor, tree_id=tree_id, **asked.body)
        return records.tree_record(asked.actor, tree_id)


class Move(Body):
    """Where a tree stands from now on."""

    site_id = Id()
    bench_id = Id(required=False, allow_null=True, default=None)
    on = Day()
    why = Text(**SAID, max_length=150)


class TreeMove(Noun):
    noun = "trees"

    @edits(shown(records.TreeRecord), body=Move)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree stands somewhere else from now on."""
        tree_events.move_tree(
            actor=asked.actor, tree_id=tree_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.tree_record(asked.actor, tree_id)


class Back(Body):
    """When a tree came back."""

    on = Day()
    note = Text(**SAID, max_length=150)


class TreeBack(Noun):
    noun = "trees"

    @edits(shown(records.TreeRecord), body=Back)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """The tree is back from a loan or a show, or in the collection again."""
        tree_events.bring_back(
            actor=asked.actor, tree_id=tree_id, version=asked.version, today=asked.today, **asked.body
        )
        return records.tree_record(asked.actor, tree_id)


class Amount(Body):
    """One count."""

    kind = Choice(choices=COUNTED)
    amount = Number(min_value=0, max_value=100_000)


class Counted(Body):
    """Counts of one day."""

    on = Day()
    guessed = YesNo(required=False)
    counts = Several(child=Amount(), min_length=1, max_length=60)


class TreeCounts(Noun):
    noun = "trees"

    @reads(shown(records.CountRecord), paged=True)
    def get(self, asked: Asked, tree_id: int) -> Slice[Any]:
        """Everything counted on a tree, newest first."""
        return records.tree_counts(asked.actor, tree_id, asked.wanted)

    @makes(shown(records.TreeRecord), body=Counted)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """Write down what was counted."""
        said = asked.body
        counts.record_counts(
            actor=asked.actor,
            tree_id=tree_id,
            on=said["on"],
            guessed=said.get("guessed", False),
            counts={one["kind"]: one["amount"] for one in said["counts"]},
        )
        return records.tree_record(asked.actor, tree_id)


class Sign(Body):
    """A sign on a tree."""

    sign = Choice(choices=SIGNS)
    on = Day()


class TreeSigns(Noun):
    noun = "trees"

    @reads(shown(records.SignRecord), paged=True)
    def get(self, asked: Asked, tree_id: int) -> Slice[Any]:
        """Signs seen on a tree, newest first."""
        return records.tree_signs(asked.actor, tree_id, asked.wanted)

    @makes(shown(records.TreeRecord), body=Sign)
    def post(self, asked: Asked, tree_id: int) -> records.TreeRecord:
        """Write down a sign, such as buds swelling."""
        trees.see_sign(actor=asked.actor, tree_id=tree_id, **asked.body)
        return records.tree_record(asked.actor, tree_id)
