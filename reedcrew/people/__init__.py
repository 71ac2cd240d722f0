"""Accounts, groups, roles and volunteer profiles."""
