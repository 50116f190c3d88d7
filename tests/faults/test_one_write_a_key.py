"""Twenty equal writes at once with one request key, on a real file: one row, and one answer."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from collection.usecases.program_keys import make_key
from tests.factories import MemberFactory, actor_of
print(make_key(actor=actor_of(MemberFactory(coordinator=True)), name="Sheet", days=30, reads_only=False)[1])
"""
# Twenty threads of one server ask together; four keys for programs, one request key.
ASK = """
import django; django.setup()
import json, sys, threading
from django.db import connection
from django.test import Client
together, answers = threading.Barrier(20), []
headers = {"Authorization": f"Bearer {sys.argv[1]}", "Idempotency-Key": "the-same-key-1"}
body = json.dumps({"name": "A new ground", "kind": "ground"})
def ask():
    together.wait()
    client = Client(raise_request_exception=False)
    answer = client.post("/api/v1/sites", body, content_type="application/json", headers=headers)
    answers.append((answer.status_code, answer.content))
    connection.close()
threads = [threading.Thread(target=ask) for _ in range(20)]
[thread.start() for thread in threads]
[thread.join() for thread in threads]
from collection.models import RequestKey, Site
print(*sorted(status for status, _ in answers))
print(len({content for status, content in answers if status == 201}))
print(Site.objects.count(), RequestKey.objects.count())
"""


def test_twenty_equal_writes_at_once_make_one_row(tmp_path: Path):
    settings = {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test", "TEIRE_DATA_DIR": str(tmp_path)}
    env = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | settings

    def run(code: str, *words: str) -> list[str]:
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            cwd=ROOT,
            env=env,
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.splitlines()

    [secret] = run(BUILD)
    statuses, bodies, rows = run(ASK, secret)
    found = [int(status) for status in statuses.split()]
    assert len(found) == 20
    assert 201 in found
    assert set(found) <= {201, 409}
    assert (bodies, rows) == ("1", "1 1")
