"""Forms of the ledger, of grants and of earlier work."""
