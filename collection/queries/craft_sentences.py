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
    "wire_height": lambda v: (
        _("A tree's height lies between %(low)g and %(high)g mm, not %(given)g. Measure it again.") % v
    ),
    "wire_light_twice": lambda v: (
        _("Thin bark: lay %(gauge_mm)g mm twice, side by side, instead of %(full_mm)g mm once.") % v
    ),
    "wire_metal": lambda v: _("Use aluminium or copper; %(given)s is not wound on trees.") % v,
    "wire_no_lighter": lambda v: (
        _("The rack has nothing lighter than %(gauge_mm)g mm. Pad the bark and go gently.") % v
    ),
    "wire_no_size": lambda v: (
        _("Measure the length and thickness of %(label)s. Then its wire can be worked out.") % v
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

# --- bends and guys ---------------------------------------------------------------------------

CRAFT_SENTENCES |= {
    "bend_arms_missing": lambda v: _(
        "The force at the hand needs both lengths of the lever. A screw or frame takes it otherwise."
    ),
    "bend_beyond_hands": lambda v: (
        _("Up to %(force_n).0f N at the hand is too much for three. Use a longer lever, or stages.") % v
    ),
    "bend_diameter": lambda v: (
        _("A branch to bend is %(low)g to %(high)g mm thick, not %(given)g. Measure it again.") % v
    ),
    "bend_drop": lambda v: (
        _("A drop above %(high).2f of the length is beyond the formula. Bend it in stages.") % v
    ),
    "bend_expert_leads": lambda v: _("Only an expert leads this bend."),
    "bend_large": lambda v: _("The bend is large, so the force comes from the large-deflection curve."),
    "bend_length_missing": lambda v: _("A drop needs the length of the branch. Measure bend to pull."),
    "bend_lever_half": lambda v: _("A lever has two lengths: pivot to branch, and pivot to hand."),
    "bend_lever_people": lambda v: _("One or two people hold a lever, not %(given)d.") % v,
    "bend_load": lambda v: (
        _("The load is beyond the formula, which ends at %(high)g. Bend it in stages.") % v
    ),
    "bend_no_length": lambda v: _("Without the branch's length there is no force. Measure bend to pull."),
    "bend_no_shape": lambda v: _("Say how far the branch is to move, or its radius, to have a force."),
    "bend_radius": lambda v: (
        _("The radius must be above half the branch's thickness, %(low)g mm. Measure it again.") % v
    ),
    "bend_ranks_only": lambda v: _(
        "These figures rank bends and warn. They never promise that wood will hold."
    ),
    "bend_size": lambda v: _("That size must lie between %(low)g and %(high)g. Measure it again.") % v,
    "bend_stubby": lambda v: (
        _("A branch shorter than %(least_mm).0f mm here is too stubby for the formula.") % v
    ),
    "bend_tightness": lambda v: _(
        "A curve this tight over this length is beyond the formula. Bend it in stages."
    ),
    "bend_wood_named": lambda v: (
        _("Stiffness is that of green %(wood)s (%(label)s), the nearest wood with a printed figure.") % v
    ),
    "bend_wood_not_listed": lambda v: _(
        "No wood like this is in the published table, so there is no force. Test it by hand first."
    ),
    "crew_force": lambda v: (
        _("It may take %(force_n).0f N at the hand, which asks for %(people)d people.") % v
    ),
    "crew_method": lambda v: _("This way of bending takes %(people)d people.") % v,
    "force_action": lambda v: _("There is no figure for %(given)s. Choose one from the table.") % v,
    "force_hours": lambda v: _("Pulling is worked out for up to 8 hours a day, not %(given)g.") % v,
    "force_people": lambda v: (
        _("A pull is shared by one to %(high)d people, not %(given)g. Use a lever or a jack.") % v
    ),
    "guy_angle": lambda v: (
        _("A guy meets the branch at %(low)g to %(high)g degrees, not %(given)g. Move the anchor.") % v
    ),
    "guy_days": lambda v: _("Look days are given for up to %(high)d days, not %(days)d.") % v,
    "guy_look_bite": lambda v: _("By now the loop may bite like a coil. Look, and move it if it marks."),
    "guy_look_gale": lambda v: _("It blew hard the day before. Look whether the guy has slipped."),
    "guy_look_growth": lambda v: _("In growth the loop is looked at every %(days)d days.") % v,
    "guy_stages": lambda v: _("Pull in %(low)d to %(high)d stages, not %(given)g.") % v,
    "guy_stretches": lambda v: (
        _("Wire of %(gauge_mm)g mm begins to stretch near %(stretches_n).0f N. Take a thicker one.") % v
    ),
    "heavy_angle": lambda v: (
        _("It turns %(angle_deg).0f degrees on %(diameter_mm)g mm of wood, so it is heavy.") % v
    ),
    "heavy_cut": lambda v: _("Wood is cut, hollowed or split for it, so it is heavy."),
    "heavy_hands": lambda v: (
        _("It may take %(force_n).0f N, more than one pair of hands gives, so it is heavy.") % v
    ),
    "heavy_thick": lambda v: (
        _("At %(diameter_mm)g mm the branch counts as heavy; for this kind it begins at %(limit_mm)g mm.") % v
    ),
    "heavy_tool": lambda v: _("A lever, jack or clamp is used, so it is heavy."),
    "wood_density": lambda v: (
        _("Density must lie between %(low).2f and %(high).2f here, not %(given)g. Weigh it again.") % v
    ),
    "wood_spread": lambda v: _("A spread of %(given)g is too wide to give a range.") % v,
    "wood_unknown": lambda v: _("The table of woods has no %(given)s. Choose one from the list.") % v,
}

# --- lifting ----------------------------------------------------------------------------------

# What the lifting equation does not cover, to follow "does not cover".
NOT_COVERED: dict[str, Callable[[], str]] = {
    "one_handed": lambda: _("lifting with one hand"),
    "over_8_hours": lambda: _("more than eight hours"),
    "seated_or_kneeling": lambda: _("sitting or kneeling"),
    "restricted_space": lambda: _("a tight space"),
    "unstable_load": lambda: _("a load that shifts"),
    "carry_push_pull": lambda: _("carrying, pushing or pulling"),
    "barrow_or_shovel": lambda: _("a wheelbarrow or a shovel"),
    "fast": lambda: _("fast lifting"),
    "slippery_floor": lambda: _("a slippery floor"),
    "temperature": lambda: _("this heat or cold"),
    "humidity": lambda: _("this damp or dry air"),
}
BEYOND: dict[str, Callable[[], str]] = {
    "h": lambda: _("The hands reach further than 63 cm, so the equation gives nothing. Get closer."),
    "v": lambda: _("The hands are above 175 cm, so the equation gives nothing. Lower the bench."),
    "d": lambda: _("It moves through more than 175 cm, so the equation gives nothing. Lift in two steps."),
    "a": lambda: _("The body twists beyond 135 degrees, so the equation gives nothing. Turn the feet."),
    "f": lambda: _("Lifts come too fast for the equation. Rest between them."),
    "c": lambda: _("The grip is beyond the equation. Use a strap."),
}


def _people(values: Values, one: str, more: str) -> str:
    return (one if values["people"] == 1 else more) % values


CRAFT_SENTENCES |= {
    "club_steps": lambda v: _("The club's steps must rise, above 0 kg and up to 500 kg."),
    "hse_column": lambda v: _("The HSE figures have two columns. Choose women or men."),
    "hse_push_far": lambda v: _("Beyond %(most_m)g m a push needs a closer look. Rest on the way.") % v,
    "hse_zone": lambda v: _("The HSE figures have no %(given)s. Give the height of the hands.") % v,
    "lift_carry": lambda v: _("A way is %(low)g to %(high)g m, not %(given)g.") % v,
    "lift_club": lambda v: _people(
        v, _("By the club's rule one person moves this."), _("The club's rule asks for %(people)d people.")
    ),
    "lift_club_aid": lambda v: _("The club's rule asks for a lifting aid above %(aid_kg)g kg.") % v,
    "lift_coupling": lambda v: _("A grip is good, fair or poor. Choose one."),
    "lift_first_step": lambda v: (
        _("One standard's first step finds %(mass_kg).0f kg too much for %(groups)d of four groups.") % v
    ),
    "lift_hands": lambda v: (
        _("Hands are %(low)g to %(high)g cm away or high, not %(given)g. Measure again.") % v
    ),
    "lift_hours": lambda v: _("Lifting in one go lasts up to 8 hours. Plan a rest."),
    "lift_hse": lambda v: _people(
        v,
        _("The HSE filter for one person is %(together_kg).1f kg here."),
        _("The HSE filter for %(people)d people is %(together_kg).1f kg here."),
    ),
    "lift_hse_aid": lambda v: (
        _("The HSE filter for three is %(together_kg).1f kg here. It wants a lifting aid.") % v
    ),
    "lift_hse_far": lambda v: (
        _("The HSE figures hold for carrying %(most_m)g m. Use a trolley for %(carry_m)g m.") % v
    ),
    "lift_load": lambda v: _("A load is %(low)g to %(high)g kg, not %(given)g. Weigh it again.") % v,
    "lift_niosh": lambda v: _people(
        v,
        _("The NIOSH index for one person is %(index).1f, not above its goal of 1."),
        _("The NIOSH index for one person is %(index).1f, so it takes %(people)d people."),
    ),
    "lift_niosh_aid": lambda v: (
        _("The NIOSH index for one person is %(index).1f. It wants a lifting aid.") % v
    ),
    "lift_often": lambda v: _("Lifts a minute are %(low)g to %(high)g, not %(given)g.") % v,
    "lift_parts": lambda v: _("Name at least one kind of lift."),
    "lift_ranks_only": lambda v: _(
        "These figures say when to get help. Local rules and your own back come first."
    ),
    "lift_scope": lambda v: _("We ask nothing about %(given)s when something is lifted.") % v,
    "lift_together": lambda v: (
        _("Together that is %(per_min)g lifts a minute, beyond the table. Spread them out.") % v
    ),
    "lift_twist": lambda v: _("A body twists %(low)g to %(high)g degrees, not %(given)g.") % v,
    "lift_width": lambda v: _("A pot is %(low)g to %(high)g cm wide, not %(given)g. Measure again.") % v,
    "lift_with_aid": lambda v: _("Use a trolley or hoist, with at least %(people)d people.") % v,
    "mass_range": lambda v: (
        _("That must lie between %(low)g and %(high)g, not %(given)g. Measure it again.") % v
    ),
    "mass_unknown": lambda v: _("Weigh the tree, or give its pot's volume or its height."),
    "niosh_beyond": lambda v: BEYOND[v["factor"]](),
    "niosh_outside": lambda v: (
        _("Not computable: the lifting equation does not cover %(what)s.")
        % {"what": NOT_COVERED[v["what"]]()}
    ),
    "team_none": lambda v: _("Name at least one person who lifts."),
    "team_of_four": lambda v: _("No figure is published for four people. Use a lifting aid."),
    "team_too_many": lambda v: _("A team of %(given)d cannot lift one pot together. Use a lifting aid.") % v,
}
