"""Formats in which this site differs from the framework's, by language."""
