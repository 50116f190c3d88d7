"""Addresses of people."""

from __future__ import annotations

from django.urls import path

from collection.web.views import door, habits, leaving, people, welcome, you

urlpatterns = [
    path("people", people.people_view, name="people"),
    path("people/new", people.new, name="person-new"),
    path("people/<int:member_id>", people.person_view, name="person"),
    path("people/<int:member_id>/change", people.change, name="person-change"),
    path("people/<int:member_id>/part", people.role, name="person-role"),
    path("people/<int:member_id>/contact", people.contact, name="person-contact"),
    path("people/<int:member_id>/contact/erase", people.erase_contact, name="person-contact-erase"),
    path("people/<int:member_id>/skills", people.skill, name="person-skill"),
    path("people/<int:member_id>/answers", people.says, name="person-says"),
    path("people/<int:member_id>/hours", people.habit, name="person-habit"),
    path("people/<int:member_id>/back", people.back, name="person-back"),
    path("people/<int:member_id>/leave", leaving.leave_view, name="person-leave"),
    path("people/<int:member_id>/welcome", welcome.invite, name="person-welcome"),
    path("people/<int:member_id>/welcome/back", welcome.take_back, name="welcome-back"),
    path("hours/<int:habit_id>", habits.change, name="habit-change"),
    path("hours/<int:habit_id>/end", habits.end, name="habit-end"),
    path("you", you.you_view, name="you"),
    path("you/answers", you.says, name="you-says"),
    path("you/hours", you.hours, name="you-hours"),
    path("you/mail", you.mail, name="you-mail"),
    path("you/look", you.theme, name="you-theme"),
    path("you/club", you.club, name="you-club"),
    path("you/password", door.change_password, name="password-change"),
]
