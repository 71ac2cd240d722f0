"""Pages about other programs."""
