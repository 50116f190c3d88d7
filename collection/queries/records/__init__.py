"""Rows as a program reads them: plain columns with ids and versions, in lists that go on by a cursor."""
