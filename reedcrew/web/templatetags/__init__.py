"""Template tags: ``{% load reedcrew %}``."""
