"""Base pages, elements, widgets and static files; knows no other app."""
