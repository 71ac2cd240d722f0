"""Forms of the fieldbook, short enough for wet hands."""
