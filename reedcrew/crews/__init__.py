"""The plan of one day: water pairs, shore roles, gear list."""
