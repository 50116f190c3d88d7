"""Addresses of the API."""

from __future__ import annotations

from typing import Any

from django.urls import path, register_converter

from api import estimates, gear, index, jobs, me, schema, trees
from api.operations import Noun


class IdConverter:
    """A row's id, no larger than every database keeps."""

    regex = "[1-9][0-9]{0,14}"

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: Any) -> str:
        return str(value)


class WordConverter:
    """A key that is a word."""

    regex = r"[A-Za-z0-9_~.\-]{1,80}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: Any) -> str:
        return str(value)


register_converter(IdConverter, "id")
register_converter(WordConverter, "word")


def at(route: str, view: type[Noun], name: str) -> Any:
    """An address of a noun; its name says that it is the API's."""
    return path(route, view.as_view(), name=f"api-{name}")


urlpatterns = [
    path("", index.index, name="api"),
    path("schema", schema.Document.as_view(), name="api-schema"),
    path("schema.yaml", schema.Document.as_view(renderer_classes=[schema.AsYaml]), name="api-schema-yaml"),
    at("me", me.Me, "me"),
    at("estimates", estimates.Estimates, "estimates"),
    at("trees", trees.Trees, "trees"),
    at("trees/<id:tree_id>", trees.Tree, "tree"),
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
    at("trees/<id:tree_id>/branches", trees.Branches, "branches"),
    at("trees/<id:tree_id>/care", trees.TreeCare, "tree-care"),
    at("branches/<id:branch_id>", trees.Branch, "branch"),
    at("care/<id:care_id>", trees.OneCare, "care"),
    at("care/<id:care_id>/consent", trees.CareConsent, "care-consent"),
    at("care/<id:care_id>/ask", trees.CareAsk, "care-ask"),
    at("wires", gear.Wires, "wires"),
    at("wires/<id:wire_id>", gear.Wire, "wire"),
    at("wires/<id:wire_id>/off", gear.WireOff, "wire-off"),
    at("wires/<id:wire_id>/looks", gear.WireLooks, "wire-looks"),
    at("guys", gear.Guys, "guys"),
    at("guys/<id:guy_id>", gear.Guy, "guy"),
    at("guys/<id:guy_id>/looks", gear.GuyLooks, "guy-looks"),
    at("jobs", jobs.Jobs, "jobs"),
    at("jobs/<id:job_id>", jobs.Job, "job"),
    at("jobs/<id:job_id>/not-this-year", jobs.JobNotThisYear, "job-not-this-year"),
    at("jobs/<id:job_id>/window", jobs.JobWindow, "job-window"),
    at("jobs/<id:job_id>/priority", jobs.JobPriority, "job-priority"),
    at("rounds", jobs.Rounds, "rounds"),
    at("rounds/<id:round_id>", jobs.Round, "round"),
]
