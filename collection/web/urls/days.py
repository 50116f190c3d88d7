"""Addresses of workdays and their plans."""

from __future__ import annotations

from django.urls import path

from collection.web.views import day_forms, day_held, days, plans

urlpatterns = [
    path("days", days.days_view, name="days"),
    path("days/new", day_forms.new, name="day-new"),
    path("days/<int:workday_id>", days.day_view, name="day"),
    path("days/<int:workday_id>/answers", days.answer, name="day-answer"),
    path("days/<int:workday_id>/change", day_forms.change, name="day-change"),
    path("days/<int:workday_id>/open", day_forms.open_day, name="day-open"),
    path("days/<int:workday_id>/move", day_forms.move, name="day-move"),
    path("days/<int:workday_id>/cancel", day_forms.cancel, name="day-cancel"),
    path("days/<int:workday_id>/missing", days.missing, name="day-missing"),
    path("days/<int:workday_id>/mine", day_held.mine, name="my-day"),
    path("days/<int:workday_id>/came", day_held.came, name="day-came"),
    path("days/<int:workday_id>/done", day_held.after, name="day-after"),
    path("days/<int:workday_id>/record", day_held.record, name="day-record"),
    path("days/<int:workday_id>/plan", plans.ask, name="day-plan"),
    path("plans/<int:plan_id>", days.plan_view, name="plan"),
    path("plans/<int:plan_id>/state", days.plan_state_view, name="plan-state"),
    path("plans/<int:plan_id>/send", plans.send, name="plan-send"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/move", plans.move, name="plan-move"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/leave-out", plans.leave_out, name="plan-leave-out"),
    path("plans/<int:plan_id>/jobs/<int:job_id>/put-back", plans.put_back, name="plan-put-back"),
    path("plans/<int:plan_id>/people/<int:member_id>/not-here", plans.not_here, name="plan-not-here"),
]
