"""Addresses of workdays and their plans."""

from __future__ import annotations

from django.urls import path

from collection.web.views import days, plans

urlpatterns = [
    path("days", days.days_view, name="days"),
    path("days/new", days.new, name="day-new"),
    path("days/<int:workday_id>", days.day_view, name="day"),
    path("days/<int:workday_id>/answers", days.answer, name="day-answer"),
    path("days/<int:workday_id>/plan", days.day_plan, name="day-plan"),
    path("plans/<int:plan_id>/state", days.plan_state_view, name="plan-state"),
    path("plans/<int:plan_id>/send", plans.send, name="plan-send"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/move", plans.move, name="plan-move"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/leave-out", plans.leave_out, name="plan-leave-out"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/put-back", plans.put_back, name="plan-put-back"),
    path("plans/<int:plan_id>/people/<int:member_id>/not-here", plans.not_here, name="plan-not-here"),
]
