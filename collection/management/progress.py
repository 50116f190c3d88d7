"""A sign of life while a command works: a line whenever two seconds pass without one."""

from __future__ import annotations

import threading
import time
from types import TracebackType
from typing import TextIO

QUIET_S = 2.0


class Progress:
    """Lines with the time since the start; in between, "still working" every two quiet seconds.

    Use as a context: the sign of life ends with it, also when the work fails.
    """

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._began = self._last = time.monotonic()
        self._doing = ""
        self._lock = threading.Lock()
        self._over = threading.Event()
        self._watch = threading.Thread(target=self._look, daemon=True)

    def say(self, text: str) -> None:
        """Write a line now; it also names what goes on after it."""
        with self._lock:
            self._doing = text.rstrip(" .")
            self._write(text)

    def __enter__(self) -> Progress:
        self._watch.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._over.set()
        self._watch.join()

    def _look(self) -> None:
        while not self._over.wait(0.2):
            with self._lock:
                if time.monotonic() - self._last >= QUIET_S:
                    self._write(f"... still working ({self._doing})" if self._doing else "... still working")

    def _write(self, text: str) -> None:
        self._last = time.monotonic()
        self._out.write(f"[{self._last - self._began:5.1f} s] {text}\n")
        self._out.flush()
