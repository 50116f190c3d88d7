"""The demo's people are invented: nothing may be mailed to them, whatever mail server is named."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from django.conf import settings

# The command's own help is asked for, so that the settings are those it would work with.
ASK = """
import sys, manage
sys.argv = ["manage.py", {command!r}, "--help"]
try:
    manage.main()
except SystemExit:
    from django.conf import settings
    print(settings.EMAIL_BACKEND)
"""


@pytest.mark.parametrize(("command", "way"), [("demo", "filebased"), ("serve", "smtp")])
def test_only_the_demo_does_without_the_mail_server_that_is_named(command, way, tmp_path):
    named = {"EMAIL_URL": "smtp://127.0.0.1:9", "TEIRE_DATA_DIR": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-c", ASK.format(command=command)],
        cwd=settings.BASE_DIR,
        env=os.environ | named | {"DJANGO_SETTINGS_MODULE": "collection.conf.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[-1] == f"django.core.mail.backends.{way}.EmailBackend"
