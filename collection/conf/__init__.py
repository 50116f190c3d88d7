"""Wiring. Loading settings makes the Celery app current, so that every process can send."""

from collection.conf.celery import app as celery_app

__all__ = ["celery_app"]
