"""Settings of the test run: the same as live, with a known key, fast hashes and plain static names."""

from __future__ import annotations

import os
import tempfile

os.environ.setdefault("DJANGO_SECRET_KEY", "test-only-" + "abcdefghijklmnopqrstuvwxyz0123456789" * 2)
os.environ.setdefault("TEIRE_DATA_DIR", tempfile.mkdtemp(prefix="teire-test-"))
os.environ.setdefault("TEIRE_HTTPS", "0")

from collection.conf.settings import *  # noqa: F403
from collection.conf.settings import STORAGES

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = STORAGES | {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
ALLOWED_HOSTS = ["testserver", "localhost", "127.0.0.1"]
LOCAL = {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
CACHES = {"default": LOCAL, "asked": LOCAL}
