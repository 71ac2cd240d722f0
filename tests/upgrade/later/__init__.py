"""An invented later version of one app: its own first migration, and two that follow it."""
