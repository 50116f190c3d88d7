"""Every table, one file per noun.

Files point one way: message > sitting > workday > job > gear > tree > program > member > reference > club.
"""

from collection.models.account import Account
from collection.models.club import Bench, Club, Site
from collection.models.gear import Guy, Look, Wire, WireStock
from collection.models.job import Bend, Estimate, Job, JobHold, Round, RoundTree
from collection.models.member import Contact, Declaration, Member, MemberSkill, Welcome
from collection.models.message import Accepted, Change, Lease, Message, Notice, RequestKey, Upload
from collection.models.program import ProgramKey
from collection.models.reference import ClubRow, Pace, PaceSet, Programme, Rule, TaskType
from collection.models.sitting import Incident, Sitting, SittingMember, SittingTask
from collection.models.tree import Branch, Care, Count, Tree, TreeEvent, TreeSign
from collection.models.workday import (
    Assignment,
    Attendance,
    Habit,
    Invitation,
    Offer,
    Place,
    Plan,
    Workday,
)

__all__ = [
    "Accepted",
    "Account",
    "Assignment",
    "Attendance",
    "Bench",
    "Bend",
    "Branch",
    "Care",
    "Change",
    "Club",
    "ClubRow",
    "Contact",
    "Count",
    "Declaration",
    "Estimate",
    "Guy",
    "Habit",
    "Incident",
    "Invitation",
    "Job",
    "JobHold",
    "Lease",
    "Look",
    "Member",
    "MemberSkill",
    "Message",
    "Notice",
    "Offer",
    "Pace",
    "PaceSet",
    "Place",
    "Plan",
    "ProgramKey",
    "Programme",
    "RequestKey",
    "Round",
    "RoundTree",
    "Rule",
    "Site",
    "Sitting",
    "SittingMember",
    "SittingTask",
    "TaskType",
    "Tree",
    "TreeEvent",
    "TreeSign",
    "Upload",
    "Welcome",
    "Wire",
    "WireStock",
    "Workday",
]
