"""Calendar messages and outgoing mail."""
