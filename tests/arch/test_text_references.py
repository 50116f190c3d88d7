"""Names written as text, which no import checker sees: settings, schedule, commands, README."""

from __future__ import annotations

import importlib
import re
import shlex

import pytest
from django.conf import settings
from django.core.management import get_commands, load_command_class
from django.utils.module_loading import import_string

from collection.conf.celery import app
from collection.conf.schedule import SCHEDULE
from tests.arch.files import ROOT

OURS = sorted(name for name, owner in get_commands().items() if owner in {"collection", "collection.web"})
CALL = re.compile(r"^\s*(?:\$ )?(python3 manage\.py .+?)\s*$", re.MULTILINE)


def fenced(text: str) -> str:
    """Only what stands in fenced blocks."""
    return "\n".join(re.findall(r"^```[^\n]*\n(.*?)^```", text, re.MULTILINE | re.DOTALL))


def test_every_name_in_the_settings_can_be_imported() -> None:
    options = settings.TEMPLATES[0]["OPTIONS"]
    for name in [*settings.MIDDLEWARE, *options["context_processors"]]:
        assert callable(import_string(name))
    for name in options["builtins"]:
        assert importlib.import_module(name).register


def test_every_task_in_the_schedule_is_one_that_a_worker_knows() -> None:
    for name in app.conf.include:
        importlib.import_module(name)
    assert {entry["task"] for entry in SCHEDULE.values()} <= set(app.tasks)


@pytest.mark.parametrize("name", OURS)
def test_every_command_says_what_it_is_for(name: str) -> None:
    command = load_command_class(get_commands()[name], name)
    assert len(command.help.split()) >= 3
    assert command.create_parser("manage.py", name).format_help()


def test_the_readme_shows_both_commands() -> None:
    calls = CALL.findall(fenced((ROOT / "README.md").read_text(encoding="utf-8")))
    assert "python3 manage.py demo" in calls
    assert "python3 manage.py test" in calls


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_every_command_a_page_shows_exists_and_takes_those_options(page: str) -> None:
    calls = CALL.findall(fenced((ROOT / page).read_text(encoding="utf-8")))
    assert calls
    for call in calls:
        _, _, name, *arguments = shlex.split(call, comments=True)
        if name == "test":  # manage.py itself hands this one to pytest
            continue
        parser = load_command_class(get_commands()[name], name).create_parser("manage.py", name)
        known = {option for action in parser._actions for option in action.option_strings}
        assert {word.split("=")[0] for word in arguments if word.startswith("--")} <= known, call


def test_the_full_check_calls_the_readmes_test_command_first() -> None:
    steps = re.findall(r"^step .+$", (ROOT / ".ci" / "run").read_text(encoding="utf-8"), re.MULTILINE)
    assert steps[0].endswith("python3 manage.py test")
