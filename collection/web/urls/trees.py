"""Addresses of the register, of jobs and of sittings."""

from __future__ import annotations

from django.urls import path

from collection.web.views import (
    care,
    corrections,
    jobs,
    register,
    sittings,
    tree_counts,
    tree_events,
    tree_history,
    trees,
)

urlpatterns = [
    path("trees", register.trees_view, name="trees"),
    path("trees/new", register.new_tree, name="tree-new"),
    path("trees/mine", care.mine, name="trees-mine"),
    path("trees/of/<int:member_id>", care.trees_of, name="trees-of"),
    path("trees/of/<int:member_id>/consent", care.consent_for_all, name="trees-of-consent"),
    path("trees/<int:tree_id>/people", care.people, name="tree-people"),
    path("care/<int:care_id>/consent", care.consent, name="care-consent"),
    path("care/<int:care_id>/take-back", care.take_back, name="care-take-back"),
    path("care/<int:care_id>/ask-first", care.ask_first, name="care-ask-first"),
    path("care/<int:care_id>/end", care.end, name="care-end"),
    path("trees/<int:tree_id>/edit", register.edit_tree, name="tree-edit"),
    path("trees/<int:tree_id>/events/<slug:kind>", tree_events.event, name="tree-event"),
    path("trees/<int:tree_id>", trees.tree_view, name="tree"),
    path("trees/<int:tree_id>/jobs", trees.new_job, name="tree-job"),
    path("trees/<int:tree_id>/before", jobs.before, name="tree-before"),
    path("trees/<int:tree_id>/history", tree_history.history, name="tree-history"),
    path("trees/<int:tree_id>/counts", tree_counts.counts, name="tree-counts"),
    path("trees/<int:tree_id>/branches", tree_counts.branches, name="tree-branches"),
    path("branches/<int:branch_id>", tree_counts.branch, name="branch"),
    path("branches/<int:branch_id>/remove", tree_counts.remove, name="branch-remove"),
    path("trees/<int:tree_id>/signs", trees.sign, name="tree-sign"),
    path("jobs/<int:job_id>/window", trees.window, name="job-window"),
    path("jobs/<int:job_id>", jobs.job, name="job"),
    path("jobs/<int:job_id>/priority", jobs.priority, name="job-priority"),
    path("jobs/<int:job_id>/not-this-year", jobs.leave_for_this_year, name="job-not-this-year"),
    path("jobs/<int:job_id>/this-year", jobs.this_year, name="job-this-year"),
    path("jobs/<int:job_id>/done-before", jobs.done_before, name="job-done-before"),
    path("sittings/<int:sitting_id>/correct", corrections.put_right, name="sitting-correct"),
    path("sittings/new", sittings.new, name="sitting-new"),
]
