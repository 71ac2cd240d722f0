"""Servers that fail while a real worker sends: nothing is lost, and what is repeated is the same mail."""
