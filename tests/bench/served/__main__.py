"""Runs the measurement of one benchmark in this process, and prints what it returns as JSON."""

import json
import sys
from importlib import import_module

import django
from django.core.management import call_command

if __name__ == "__main__":
    django.setup()
    call_command("migrate", verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    name, *arguments = sys.argv[1:]
    print(json.dumps(import_module(f"tests.bench.{name}").measure(*arguments)))
