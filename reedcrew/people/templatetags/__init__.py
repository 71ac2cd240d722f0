"""Template tags of the people app."""
