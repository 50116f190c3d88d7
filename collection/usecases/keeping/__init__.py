"""Backups of the whole house: database and pictures in one file, read back and compared."""
