"""A long list comes in by pieces: others write meanwhile, a killed process loses and doubles nothing."""

from __future__ import annotations

import signal

import pytest

from tests.faults.real import Real, let_go

BUILD = """
import sys
from collection.models import Upload
from collection.usecases import uploads
from tests.factories import SiteFactory, coordinator
from tests.usecases.importing.sheets import text
actor = coordinator(SiteFactory(name="Alder Yard").club)
numbered = sys.argv[1] == "numbered"
rows = [["No", "Species", "Notes"]] if numbered else [["Species", "Notes"]]
for n in range(450):
    rows.append([*([f"{n:05d}"] if numbered else []), "Larch", f"{n} " + "x" * 500])
upload = uploads.bring(actor=actor, kind="trees", file_name="long.csv", data=text(rows))
uploads.work_on(upload)
uploads.take(actor=actor, upload_id=upload, version=Upload.objects.get().version)
print(Upload.objects.get().state)
"""
# Dies inside a piece, all of it written and nothing of it committed.
DIE = """
import os, signal, sys
from collection.usecases import uploads
real, left = uploads._keep, int(sys.argv[1])
def keep(*given):
    global left
    real(*given)
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
uploads._keep = keep
uploads.work_on(1)
"""
EXPIRE = """
from datetime import timedelta
from django.utils import timezone
from collection.models import Upload
Upload.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
"""
SWEEP = "from collection.usecases import sweep; sweep.work_out()"
LOOK = """
from collection.models import *
upload, file = Upload.objects.get(), Accepted.objects.first()
trail = Change.objects.filter(table="tree").count()
print(upload.state, Tree.objects.count(), TreeEvent.objects.count(), trail)
print(file and (file.rows, file.half, len(file.made["tree"])))
print(Tree.objects.values("accession").distinct().count(), Tree.objects.values("note").distinct().count())
"""
GIVE_UP = """
from collection.models import Upload
from datetime import timedelta
from django.utils import timezone
from collection.usecases import uploads
Upload.objects.update(attempts=3, lease_until=timezone.now() - timedelta(seconds=1))
uploads.tidy_uploads()
"""
UNDO = """
from collection.models import *
from collection.queries.errors import Refused
from collection.usecases.take_back import take_back
from tests.factories import actor_of
file = Accepted.objects.get()
try:
    print(take_back(actor=actor_of(file.by), accepted_id=file.pk).gone, Tree.objects.count())
except Refused as refused:
    print(refused.reason.code)
"""
# Stands between two pieces until another process has written.
PAUSE = """
stopped = []
from django.db import transaction
from collection.usecases import uploads
keep = uploads._keep
def kept(upload, step):
    keep(upload, step)
    if not stopped:
        stopped.append(1)
        transaction.on_commit(lambda: turn(0))
uploads._keep = kept
uploads.work_on(1)
"""
WRITE = """
from tests.factories import TreeFactory
from collection.models import Change, Site, Tree
from collection.queries.access import house
from collection.usecases.edit import change_of
site = Site.objects.get()
tree = TreeFactory(site=site, accession="by hand")
change_of(tree, house(site.club), before={}, after={}).save()
print(Tree.objects.count())
"""


@pytest.mark.parametrize("numbers", ["numbered", "without"])
def test_a_process_killed_in_a_piece_leaves_whole_pieces_and_the_next_goes_on(real: Real, numbers: str):
    assert real.run(BUILD, numbers) == ["taking"]
    real.run(DIE, "0", expect=-signal.SIGKILL)
    assert real.run(LOOK) == ["taking 0 0 0", "None", "0 0"]
    real.run(EXPIRE)
    real.run(DIE, "1", expect=-signal.SIGKILL)
    assert real.run(LOOK) == ["taking 200 200 200", "(200, True, 200)", "200 200"]
    real.run(EXPIRE)
    real.run(SWEEP)
    assert real.run(LOOK) == ["taken 450 450 450", "(450, False, 450)", "450 450"]
    assert real.run(UNDO) == ["450 0"]


def test_a_list_half_in_is_not_taken_back_while_it_comes_and_wholly_once_it_is_given_up(real: Real):
    real.run(BUILD, "numbered")
    real.run(DIE, "1", expect=-signal.SIGKILL)
    assert real.run(UNDO) == ["import_undo_running"]
    real.run(GIVE_UP)
    assert real.run(LOOK)[:2] == ["unreadable 200 200 200", "(200, True, 200)"]
    assert real.run(UNDO) == ["200 0"]


@pytest.mark.parametrize("numbers", ["numbered", "without"])
def test_somebody_writes_between_two_pieces_and_both_are_kept(real: Real, numbers: str):
    real.run(BUILD, numbers)
    [child] = real.at_the_line(PAUSE, 1)
    assert real.run(WRITE) == ["201"]
    let_go([child])
    real.end(child)
    assert real.run(LOOK)[1:] == ["(450, False, 450)", "451 451"]
