"""Addresses of the pages."""

from __future__ import annotations

from django.contrib.auth import views as auth
from django.urls import path

from collection.web.views import days, health, pages, plans, programme, sittings, trees

urlpatterns = [
    path("", pages.home, name="home"),
    path("sign-in", auth.LoginView.as_view(redirect_authenticated_user=True), name="sign-in"),
    path("sign-out", auth.LogoutView.as_view(), name="sign-out"),
    path("season", pages.season_view, name="season"),
    path("season/again", pages.season_again, name="season-again"),
    path("programme", programme.all_rows, name="programme"),
    path("programme/<str:key>", programme.one_row, name="programme-row"),
    path("trees", pages.trees_view, name="trees"),
    path("trees/<int:tree_id>", pages.tree_view, name="tree"),
    path("trees/<int:tree_id>/jobs", trees.new_job, name="tree-job"),
    path("trees/<int:tree_id>/counts", trees.counts, name="tree-counts"),
    path("trees/<int:tree_id>/signs", trees.sign, name="tree-sign"),
    path("jobs/<int:job_id>/window", trees.window, name="job-window"),
    path("jobs/<int:job_id>/not-this-year", trees.leave_for_this_year, name="job-not-this-year"),
    path("bends/<int:bend_id>/sign", trees.sign_bend, name="bend-sign"),
    path("days", pages.days_view, name="days"),
    path("days/new", days.new, name="day-new"),
    path("days/<int:workday_id>", pages.day_view, name="day"),
    path("days/<int:workday_id>/answers", days.answer, name="day-answer"),
    path("days/<int:workday_id>/plan", pages.day_plan, name="day-plan"),
    path("plans/<int:plan_id>/state", pages.plan_state_view, name="plan-state"),
    path("plans/<int:plan_id>/send", plans.send, name="plan-send"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/move", plans.move, name="plan-move"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/leave-out", plans.leave_out, name="plan-leave-out"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/put-back", plans.put_back, name="plan-put-back"),
    path("plans/<int:plan_id>/people/<int:member_id>/not-here", plans.not_here, name="plan-not-here"),
    path("sittings/new", sittings.new, name="sitting-new"),
    path("estimate", pages.estimate_view, name="estimate"),
    path("numbers/<slug:kind>/<str:key>", pages.number_view, name="number"),
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
]
