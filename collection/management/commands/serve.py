"""Serve the site on one machine: the pages, and one child process for the background work."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from argparse import ArgumentParser
from contextlib import suppress
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application

MOST_PORTS = 50


class Command(BaseCommand):
    help = "Serve the site on this machine, with the background work beside it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on (this machine only)")
        parser.add_argument("--port", type=int, default=8000, help="first port to try")

    def handle(self, *args: Any, host: str, port: int, **options: Any) -> None:
        import waitress

        call_command("collectstatic", interactive=False, verbosity=0)
        listener = free_port(host, port)
        address = f"http://{host}:{listener.getsockname()[1]}/"
        worker = start_worker(address)
        self.stdout.write(f"The site is open at {address}  Stop it with Ctrl-C.")
        self.stdout.flush()
        try:
            with suppress(KeyboardInterrupt):
                waitress.serve(get_wsgi_application(), sockets=[listener], threads=8, _quiet=True)
        finally:
            worker.terminate()
            with suppress(subprocess.TimeoutExpired):
                worker.wait(timeout=10)


def free_port(host: str, first: int) -> socket.socket:
    """A listening socket on the first free port from ``first`` on.

    Raises:
        CommandError: If fifty ports in a row are taken.
    """
    for port in range(first, first + MOST_PORTS):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, port))
        except OSError:
            listener.close()
            continue
        listener.listen(128)
        return listener
    raise CommandError(
        f"Ports {first} to {first + MOST_PORTS - 1} are all in use. Stop a program or give --port."
    )


def start_worker(address: str) -> subprocess.Popen[bytes]:
    """The child process that does the background work; it ends when this process does.

    Links in its mails lead to ``address`` unless TEIRE_URL names another.
    """
    manage = settings.BASE_DIR / "manage.py"
    return subprocess.Popen(
        [sys.executable, str(manage), "work", "--parent", str(os.getpid())],
        stdin=subprocess.DEVNULL,
        env={"TEIRE_URL": address} | os.environ,
    )
