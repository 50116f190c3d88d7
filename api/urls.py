"""Addresses of the API."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.urls import path, register_converter
from django.urls.converters import StringConverter

from api import (
    bends,
    branches,
    care,
    club,
    days,
    estimates,
    gear,
    index,
    jobs,
    me,
    members,
    plans,
    schema,
    season,
    sittings,
    told,
    trees,
)
from api.operations import Noun
from api.words import DECLARED, FAMILY, NUMBER_KINDS


class IdConverter:
    """A row's id, no larger than every database keeps."""

    regex = "[1-9][0-9]{0,14}"

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: Any) -> str:
        return str(value)


class WordConverter(StringConverter):
    """A key that is a word."""

    regex = r"[A-Za-z0-9_~.\-]{1,80}"


def one_of(words: Iterable[str]) -> type[StringConverter]:
    """A converter for one of some words; any other leads nowhere."""
    return type("OneOf", (StringConverter,), {"regex": "|".join(words)})


register_converter(IdConverter, "id")
register_converter(WordConverter, "word")
register_converter(one_of(FAMILY), "family")
register_converter(one_of(DECLARED), "declared")
register_converter(one_of(NUMBER_KINDS), "number")


def at(route: str, view: type[Noun], name: str) -> Any:
    """An address of a noun; its name says that it is the API's."""
    return path(route, view.as_view(), name=f"api-{name}")


urlpatterns = [
    path("", index.index, name="api"),
    path("schema", schema.Document.as_view(), name="api-schema"),
    path("schema.yaml", schema.Document.as_view(renderer_classes=[schema.AsYaml]), name="api-schema-yaml"),
    at("me", me.Me, "me"),
    at("club", club.Club, "club"),
    at("sites", club.Sites, "sites"),
    at("sites/<id:site_id>", club.Site, "site"),
    at("sites/<id:site_id>/retired", club.SiteRetired, "site-retired"),
    at("benches", club.Benches, "benches"),
    at("benches/<id:bench_id>", club.Bench, "bench"),
    at("benches/<id:bench_id>/retired", club.BenchRetired, "bench-retired"),
    at("members", members.Members, "members"),
    at("members/<id:member_id>", members.Member, "member"),
    at("members/<id:member_id>/role", members.MemberRole, "member-role"),
    at("members/<id:member_id>/last-day", members.MemberLastDay, "member-last-day"),
    at("members/<id:member_id>/left", members.MemberLeft, "member-left"),
    at("members/<id:member_id>/consent", care.MemberConsent, "member-consent"),
    at("members/<id:member_id>/contact", members.MemberContact, "member-contact"),
    at("members/<id:member_id>/mail", members.MemberMail, "member-mail"),
    at("members/<id:member_id>/skills", members.MemberSkills, "member-skills"),
    at("members/<id:member_id>/skills/<family:family>", members.MemberSkill, "member-skill"),
    at("members/<id:member_id>/declarations", members.MemberDeclarations, "member-declarations"),
    at(
        "members/<id:member_id>/declarations/<declared:kind>", members.MemberDeclaration, "member-declaration"
    ),
    at("members/<id:member_id>/habits", members.MemberHabits, "member-habits"),
    at("habits/<id:habit_id>", members.Habit, "habit"),
    at("habits/<id:habit_id>/end", members.HabitEnd, "habit-end"),
    at("estimates", estimates.Estimates, "estimates"),
    at("trees", trees.Trees, "trees"),
    at("trees/<id:tree_id>", trees.Tree, "tree"),
    at("trees/<id:tree_id>/wire-needed", gear.WireNeeded, "tree-wire-needed"),
    at("trees/<id:tree_id>/moving", trees.TreeMoving, "tree-moving"),
    at("trees/<id:tree_id>/growth", trees.TreeGrowth, "tree-growth"),
    at("trees/<id:tree_id>/events", trees.TreeEvents, "tree-events"),
    at("trees/<id:tree_id>/out", trees.TreeOut, "tree-out"),
    at("trees/<id:tree_id>/death", trees.TreeDeath, "tree-death"),
    at("trees/<id:tree_id>/loan", trees.TreeLoan, "tree-loan"),
    at("trees/<id:tree_id>/show", trees.TreeShow, "tree-show"),
    at("trees/<id:tree_id>/move", trees.TreeMove, "tree-move"),
    at("trees/<id:tree_id>/back", trees.TreeBack, "tree-back"),
    at("trees/<id:tree_id>/counts", trees.TreeCounts, "tree-counts"),
    at("trees/<id:tree_id>/signs", trees.TreeSigns, "tree-signs"),
    at("trees/<id:tree_id>/done-before", jobs.TreeDoneBefore, "tree-done-before"),
    at("trees/<id:tree_id>/branches", branches.Branches, "branches"),
    at("trees/<id:tree_id>/care", care.TreeCare, "tree-care"),
    at("branches/<id:branch_id>", branches.Branch, "branch"),
    at("care/<id:care_id>", care.OneCare, "care"),
    at("care/<id:care_id>/consent", care.CareConsent, "care-consent"),
    at("care/<id:care_id>/ask", care.CareAsk, "care-ask"),
    at("wires", gear.Wires, "wires"),
    at("wires/<id:wire_id>", gear.Wire, "wire"),
    at("wires/<id:wire_id>/clock", gear.WireClock, "wire-clock"),
    at("wires/<id:wire_id>/off", gear.WireOff, "wire-off"),
    at("wires/<id:wire_id>/looks", gear.WireLooks, "wire-looks"),
    at("guys", gear.Guys, "guys"),
    at("guys/<id:guy_id>", gear.Guy, "guy"),
    at("guys/<id:guy_id>/off", gear.GuyOff, "guy-off"),
    at("guys/<id:guy_id>/looks", gear.GuyLooks, "guy-looks"),
    at("wire-clocks", gear.WireClocks, "wire-clocks"),
    at("wire-stock", gear.WireStock, "wire-stock"),
    at("jobs", jobs.Jobs, "jobs"),
    at("jobs/<id:job_id>", jobs.Job, "job"),
    at("jobs/<id:job_id>/not-this-year", jobs.JobNotThisYear, "job-not-this-year"),
    at("jobs/<id:job_id>/window", jobs.JobWindow, "job-window"),
    at("jobs/<id:job_id>/priority", jobs.JobPriority, "job-priority"),
    at("rounds", jobs.Rounds, "rounds"),
    at("rounds/<id:round_id>", jobs.Round, "round"),
    at("rounds/<id:round_id>/walked", sittings.RoundWalked, "round-walked"),
    at("bends", bends.Bends, "bends"),
    at("bends/<id:bend_id>", bends.Bend, "bend"),
    at("bends/<id:bend_id>/figures", bends.BendFigures, "bend-figures"),
    at("bends/<id:bend_id>/signed", bends.BendSigned, "bend-signed"),
    at("bends/<id:bend_id>/refused", bends.BendRefused, "bend-refused"),
    at("bends/<id:bend_id>/lead", bends.BendLead, "bend-lead"),
    at("bends/<id:bend_id>/helpers", bends.BendHelpers, "bend-helpers"),
    at("bends/<id:bend_id>/places", bends.BendPlaces, "bend-places"),
    at("bends/<id:bend_id>/invitations", bends.BendInvitations, "bend-invitations"),
    at("invitations", bends.Invitations, "invitations"),
    at("invitations/<id:invitation_id>", bends.Invitation, "invitation"),
    at("invitations/<id:invitation_id>/accepted", bends.InvitationAccepted, "invitation-accepted"),
    at("invitations/<id:invitation_id>/declined", bends.InvitationDeclined, "invitation-declined"),
    at("invitations/<id:invitation_id>/withdrawn", bends.InvitationWithdrawn, "invitation-withdrawn"),
    at("places/<id:place_id>/given-back", bends.PlaceGivenBack, "place-given-back"),
    at("workdays", days.Workdays, "workdays"),
    at("workdays/<id:workday_id>", days.Workday, "workday"),
    at("workdays/<id:workday_id>/open", days.WorkdayOpen, "workday-open"),
    at("workdays/<id:workday_id>/date", days.WorkdayDate, "workday-date"),
    at("workdays/<id:workday_id>/cancelled", days.WorkdayCancelled, "workday-cancelled"),
    at("workdays/<id:workday_id>/offers", days.WorkdayOffers, "workday-offers"),
    at("workdays/<id:workday_id>/offers/<id:member_id>", days.WorkdayOffer, "workday-offer"),
    at("workdays/<id:workday_id>/wire", gear.DayWire, "workday-wire"),
    at("workdays/<id:workday_id>/attendance", days.WorkdayAttendance, "workday-attendance"),
    at("workdays/<id:workday_id>/recorded", days.WorkdayRecorded, "workday-recorded"),
    at("workdays/<id:workday_id>/plans", plans.WorkdayPlans, "workday-plans"),
    at("plans/<id:plan_id>", plans.Plan, "plan"),
    at("plans/<id:plan_id>/send", plans.PlanSend, "plan-send"),
    at("plans/<id:plan_id>/move", plans.PlanMove, "plan-move"),
    at("plans/<id:plan_id>/leave-out", plans.PlanLeaveOut, "plan-leave-out"),
    at("plans/<id:plan_id>/put-back", plans.PlanPutBack, "plan-put-back"),
    at("plans/<id:plan_id>/not-here", plans.PlanNotHere, "plan-not-here"),
    at("sittings", sittings.Sittings, "sittings"),
    at("sittings/<id:sitting_id>", sittings.Sitting, "sitting"),
    at("sittings/<id:sitting_id>/corrections", sittings.SittingCorrection, "sitting-correction"),
    at("season", season.Season, "season"),
    at("season/again", season.SeasonAgain, "season-again"),
    at("programme", season.Programme, "programme"),
    at("programme/<word:key>", season.ProgrammeRow, "programme-row"),
    at("numbers/<number:kind>/<word:key>", season.Number, "number"),
    at("notices", told.Notices, "notices"),
    at("messages", told.Messages, "messages"),
]
