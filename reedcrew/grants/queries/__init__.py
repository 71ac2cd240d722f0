"""What the pages of hours and grants, and the exports, read."""
