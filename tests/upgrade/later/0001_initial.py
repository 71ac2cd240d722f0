"""The app's own first migration."""

from importlib import import_module

Migration = import_module("reedcrew.operation.migrations.0001_initial").Migration
