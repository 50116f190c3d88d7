"""Sentences about figures of the craft: wire, bends, guys and lifting; what is said and what refused."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]

# --- wire -------------------------------------------------------------------------------------

CRAFT_SENTENCES: dict[str, Callable[[Values], str]] = {
    "size_above_zero": lambda v: _("A size must be above 0, not %(given)g. Measure it again.") % v,
    "wire_anchor": lambda v: _("Lay %(low)g to %(high)g turns round the parent, not %(given)g.") % v,
    "wire_angle": lambda v: (
        _("The coil lies at %(low)g to %(high)g degrees from the branch, not %(given)g.") % v
    ),
    "wire_angle_unusual": lambda v: (
        _("Teachers name %(low)g to %(high)g degrees. You chose %(angle_deg)g, so check a turn first.") % v
    ),
    "wire_branch": lambda v: (
        _("That size of branch must lie between %(low)g and %(high)g mm. Measure it again.") % v
    ),
    "wire_gauge": lambda v: (
        _("Wire for trees is %(low)g to %(high)g mm thick, not %(given)g. Measure it again.") % v
    ),
    "wire_light_twice": lambda v: (
        _("Thin bark: lay %(gauge_mm)g mm twice, side by side, instead of %(full_mm)g mm once.") % v
    ),
    "wire_metal": lambda v: _("Use aluminium or copper; %(given)s is not wound on trees.") % v,
    "wire_no_lighter": lambda v: (
        _("The rack has nothing lighter than %(gauge_mm)g mm. Pad the bark and go gently.") % v
    ),
    "wire_none_holds": lambda v: (
        _("Even two wires of %(thickest_mm)g mm are too weak. Use a guy, or plan a heavy bend.") % v
    ),
    "wire_number": lambda v: _("There is no %(system)s gauge %(given)s. Give the thickness in mm.") % v,
    "wire_offcut": lambda v: _("Offcut is a share between %(low)g and %(high)g, not %(given)g.") % v,
    "wire_pair": lambda v: _("One wire serves one branch or two. Give %(given)d branches a wire each.") % v,
    "wire_pair_unlike": lambda v: (
        _("The two branches differ, %(thick_mm)g and %(thin_mm)g mm. Give each its own wire.") % v
    ),
    "wire_ratio": lambda v: _("Wire is %(low)g to %(high)g of the branch's thickness, not %(given)g.") % v,
    "wire_stock": lambda v: _("The rack cannot hold %(given)g g. Weigh it again.") % v,
    "wire_tail": lambda v: _("A tail is %(low)g to %(high)g mm long, not %(given)g.") % v,
    "wire_two_parallel": lambda v: (
        _("Nothing on the rack is thick enough. Lay two wires of %(gauge_mm)g mm side by side.") % v
    ),
}
