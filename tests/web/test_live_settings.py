"""The settings of a real start, each tried in a process of its own: key, static files, headers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.test import Client

STRONG = "k" + "0123456789abcdefghijklmnopqrstuvwxyz" * 2
SERVER = {"DATABASE_URL": "postgres://teire@127.0.0.1:1/none"}  # a key is asked for before any connection

ASK_FOR_STATIC = """
import json, re, django
django.setup()
from django.core.management import call_command
from django.templatetags.static import static
from django.test import Client
call_command("collectstatic", interactive=False, verbosity=0)
address = static("web/teire.css")
client = Client(headers={"host": "localhost"})
answer, plain = client.get(address), client.get("/static/web/none.css")
body = b"".join(answer.streaming_content) if answer.streaming else answer.content
print(json.dumps({
    "address": address, "status": answer.status_code, "bytes": len(body), "type": answer["Content-Type"],
    "cache": answer["Cache-Control"], "policy": answer["Content-Security-Policy"], "none": plain.status_code,
}))
"""


def start(root: Path, folder: Path, code: str, **settings: str) -> subprocess.CompletedProcess[str]:
    """Run ``code`` on the live settings with only the given settings in the environment."""
    ours = ("DJANGO_", "TEIRE_", "DATABASE_URL", "REDIS_URL")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    kept |= {"DJANGO_SETTINGS_MODULE": "collection.conf.settings", "TEIRE_DATA_DIR": str(folder)}
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        env=kept | settings,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    ("key", "fault"),
    [
        ("", "DJANGO_SECRET_KEY is not set"),
        ("short", "DJANGO_SECRET_KEY is too weak"),
        ("a" * 60, "DJANGO_SECRET_KEY is too weak"),
        ("django-insecure-" + STRONG, "DJANGO_SECRET_KEY is too weak"),
    ],
)
def test_a_server_does_not_start_on_a_missing_or_weak_key(
    root: Path, tmp_path: Path, key: str, fault: str
) -> None:
    done = start(root, tmp_path, "import django; django.setup()", DJANGO_SECRET_KEY=key, **SERVER)
    assert done.returncode != 0
    assert fault in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_server_starts_on_a_strong_key(root: Path, tmp_path: Path) -> None:
    done = start(root, tmp_path, "import django; django.setup()", DJANGO_SECRET_KEY=STRONG, **SERVER)
    assert done.returncode == 0, done.stderr


def test_one_machine_makes_its_own_key_once_and_keeps_it_to_itself(root: Path, tmp_path: Path) -> None:
    code = "import django; django.setup(); from django.conf import settings; print(settings.SECRET_KEY)"
    first, second = (start(root, tmp_path, code).stdout.strip() for _ in range(2))
    assert len(first) >= 50
    assert first == second
    assert (tmp_path / "secret_key").stat().st_mode & 0o077 == 0


def test_static_files_carry_a_digest_and_are_served_by_the_app_for_ever(root: Path, tmp_path: Path) -> None:
    done = start(root, tmp_path, ASK_FOR_STATIC)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    name, digest, ending = found["address"].rsplit("/", 1)[1].split(".")
    assert (name, ending, len(digest)) == ("teire", "css", 12)
    assert found["status"] == 200
    assert found["bytes"] > 1000
    assert found["type"].startswith("text/css")
    assert "immutable" in found["cache"]
    assert "default-src 'self'" in found["policy"]
    assert found["none"] == 404


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/healthz", "/no-such-page/"])
def test_the_whole_stack_puts_its_headers_on_every_answer(client: Client, path: str) -> None:
    response = client.get(path)
    assert response["Content-Security-Policy"].startswith("default-src 'self'")
    assert response["X-Frame-Options"] == "DENY"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["X-Request-ID"]
