"""The server profile as a club would run it: pages, workers and clock beside PostgreSQL and Redis."""

from __future__ import annotations

import signal
from collections.abc import Iterator

import pytest
import requests

from tests.server.stack import Stack, stack_in, within

pytestmark = pytest.mark.server


@pytest.fixture(scope="module")
def stack(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stack]:
    with stack_in(tmp_path_factory.mktemp("server")) as made:
        made.redis()
        made.manage("migrate", "-v0")
        made.manage("collectstatic", "--no-input", "-v0")
        made.found()
        made.web()
        yield made


@pytest.fixture
def browser(stack: Stack) -> requests.Session:
    return stack.signed_in()


def newest(stack: Stack) -> tuple[str, int]:
    _, state, attempts = stack.plans()[-1]
    return str(state), int(attempts)


def test_a_plan_is_worked_out_by_the_worker_as_soon_as_it_is_asked_for(stack, browser):
    stack.worker()
    stack.ask_for_a_plan(browser)
    assert within(60, lambda: newest(stack) == ("ready", 1)), stack.log("worker")
    assert "workers.plans.work_out" in stack.log("worker")
    page = browser.get(stack.url(f"/days/{stack.day}"), timeout=30)
    assert "This plan has not been sent out yet." in page.text
    assert stack.stop("worker") == 0


def test_the_clock_finds_a_plan_whose_message_was_lost(stack, browser):
    stack.ask_for_a_plan(browser)
    stack.ask_redis("FLUSHALL")
    stack.worker()
    stack.beat()
    stack.beat("second-beat")
    assert newest(stack)[0] == "waiting"
    assert within(150, lambda: newest(stack)[0] == "ready", every=1), stack.log("worker")
    assert newest(stack) == ("ready", 1)
    for name in ("beat", "second-beat", "worker"):
        stack.stop(name)


def test_a_worker_that_is_told_to_stop_finishes_and_goes(stack, browser):
    stack.worker()
    stack.ask_for_a_plan(browser)
    assert within(30, lambda: newest(stack)[0] in ("working", "ready"), every=0.02)
    assert stack.stop("worker", signal.SIGTERM, seconds=30) == 0
    assert newest(stack) == ("ready", 1)


def test_pages_work_and_a_plan_waits_while_redis_is_down(stack, browser):
    stack.stop("redis", signal.SIGKILL)
    assert stack.ask_for_a_plan(browser) < 10
    assert browser.get(stack.url("/season"), timeout=30).status_code == 200
    again = stack.signed_in()
    assert again.get(stack.url("/trees"), timeout=30).status_code == 200
    assert newest(stack)[0] == "waiting"
    stack.redis()
    stack.worker()
    stack.beat()
    assert within(150, lambda: newest(stack) == ("ready", 1), every=1), stack.log("worker")
    for name in ("beat", "worker"):
        stack.stop(name)


def test_a_redis_that_hangs_holds_no_page_up(stack, browser):
    stack.running["redis"].send_signal(signal.SIGSTOP)
    try:
        assert stack.ask_for_a_plan(browser) < 10
        again = stack.signed_in()
        assert again.get(stack.url("/trees"), timeout=10).status_code == 200
        page = browser.get(stack.url(f"/days/{stack.day}"), timeout=30)
        assert "waiting to be worked out" in page.text
    finally:
        stack.running["redis"].send_signal(signal.SIGCONT)


def test_a_worker_killed_at_work_leaves_the_plan_to_another(stack, browser):
    stack.ask_redis("FLUSHALL")
    stack.worker("first")
    stack.ask_for_a_plan(browser)
    assert within(30, lambda: newest(stack)[0] == "working", every=0.01), stack.plans()
    stack.stop("first", signal.SIGKILL)
    state, attempts = newest(stack)
    if state == "working":  # killed before it wrote: its claim runs out, as it would after five minutes
        stack.ask(
            "UPDATE collection_plan SET lease_until = now() - interval '1 second' WHERE state = 'working'"
        )
    stack.worker("second")
    stack.manage("work", "--once")
    assert within(60, lambda: newest(stack)[0] == "ready"), stack.log("second")
    assert newest(stack)[1] == attempts + (state == "working")
    stack.stop("second")
