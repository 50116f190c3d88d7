"""Sign-in. No row of work points here; people of a club are members."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower


class AccountManager(BaseUserManager["Account"]):
    def create_user(self, email: str, password: str | None = None, **fields: Any) -> Account:
        """Make an account; without a password it cannot sign in until one is set."""
        account = self.model(email=self.normalize_email(email).lower(), **fields)
        account.set_password(password)
        account.save(using=self._db)
        return account


class Account(AbstractBaseUser):
    email = models.EmailField(unique=True)
    is_active = models.BooleanField(default=True)
    joined_at = models.DateTimeField(auto_now_add=True)
    theme = models.CharField(
        max_length=5, blank=True, default="", choices=[("light", "light"), ("dark", "dark")]
    )

    objects = AccountManager()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = []

    class Meta:
        constraints = [models.UniqueConstraint(Lower("email"), name="account_email_once")]

    def __str__(self) -> str:
        return self.email
