"""Databases of released versions, kept as rows, and every migration run on them."""
