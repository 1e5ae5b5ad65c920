"""Make what an empty workshop needs before its first order; run again, it adds only what is missing."""

from __future__ import annotations

import getpass
import sys
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from shop.management.beginning import begin
from shop.people.models import Person, Role


class Command(BaseCommand):
    help = "Make the tables, stations, ordinary patterns and the first manager of a workshop."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--manager", default="", help="the first manager's sign-in name; asked for when left out")
        parser.add_argument("--password-stdin", action="store_true", help="read the password from standard input")

    def handle(self, *args: Any, **options: Any) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        manager = options["manager"] or self._asked()
        begun = begin(manager=manager, password=self._password(manager, options["password_stdin"]))
        self.stdout.write(f"{begun.stations} stations, {begun.patterns} patterns ({begun.new} new).")
        self.stdout.write(
            f"Manager {begun.manager.username} can sign in and add the others under People."
            if begun.manager
            else "The sign-ins were left as they are."
        )

    def _asked(self) -> str:
        """A name, where nobody can manage yet and somebody is there to answer."""
        if Person.objects.filter(role=Role.MANAGER, is_active=True).exists():
            return ""
        if not sys.stdin.isatty():
            raise CommandError("There is no manager yet: name one with --manager NAME --password-stdin.")
        return input("Sign-in name of the first manager: ").strip()

    def _password(self, manager: str, from_stdin: bool) -> str:
        if not manager or Person.objects.filter(username=manager).exists():
            return ""
        password = sys.stdin.readline().rstrip("\n") if from_stdin else getpass.getpass("Password: ")
        try:
            validate_password(password, Person(username=manager))
        except ValidationError as refused:
            raise CommandError(" ".join(refused.messages)) from refused
        return password
