#!/usr/bin/env python3
"""One door to every command: ``python3 manage.py demo``, ``python3 manage.py test``.

Plain old syntax on purpose: an old Python must get as far as the sentence that says it is too old.
"""

import os
import sys

HERE = os.path.dirname(os.path.abspath(__file__))


def main():
    if HERE not in sys.path:
        sys.path.insert(0, HERE)
    if sys.version_info < (3, 8):  # noqa: UP036 - an old interpreter reads this line too
        sys.exit("This needs Python 3.11 or newer. Install a newer Python and run the same command with it.")
    from collection import bootstrap

    bootstrap.ready(HERE, sys.argv)
    os.umask(0o077)  # the database and the mails hold addresses: nobody else on the machine reads them
    if sys.argv[1:2] == ["test"]:
        return run_tests(sys.argv[2:])
    if sys.argv[1:2] == ["demo"]:  # the sample clubs keep a database of their own, and mail nobody
        os.environ.setdefault("TEIRE_DATA_DIR", os.path.join(HERE, "var", "demo"))
        os.environ.pop("EMAIL_URL", None)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "collection.conf.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
    return 0


def run_tests(arguments):
    """Run pytest here, in the folder of the project, on the test settings."""
    os.chdir(HERE)
    os.environ["DJANGO_SETTINGS_MODULE"] = "collection.conf.settings_test"
    import pytest

    if not arguments:  # the whole suite: two processes, each file in one of them
        arguments = ["-n", "2", "--dist", "loadfile"]
    return int(pytest.main(arguments))


if __name__ == "__main__":
    sys.exit(main())
