"""Pages of the hours ledger and of grants."""
