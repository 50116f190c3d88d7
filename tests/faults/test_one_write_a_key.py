"""Twenty equal writes at once with one request key, on either database: one row, and one answer."""

from __future__ import annotations

from tests.faults.real import Real

BUILD = """
from collection.usecases.program_keys import make_key
from tests.factories import MemberFactory, actor_of
print(make_key(actor=actor_of(MemberFactory(coordinator=True)), name="Sheet", days=30, reads_only=False)[1])
"""
# Twenty threads of one server ask together; four keys for programs, one request key.
ASK = """
import json, sys, threading
from pathlib import Path
from django.conf import settings
from django.db import connection
from django.test import Client
# The app that serves static files warns about a missing folder.
Path(settings.STATIC_ROOT).mkdir()
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


def test_twenty_equal_writes_at_once_make_one_row(real: Real):
    [secret] = real.run(BUILD)
    statuses, bodies, rows = real.run(ASK, secret)
    found = [int(status) for status in statuses.split()]
    assert len(found) == 20
    assert 201 in found
    assert set(found) <= {201, 409}
    assert (bodies, rows) == ("1", "1 1")
