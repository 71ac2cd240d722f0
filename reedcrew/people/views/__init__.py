"""Pages of accounts, groups and people."""
