"""Hours ledger, grants and exports."""
