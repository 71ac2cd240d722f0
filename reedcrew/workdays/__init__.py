"""Work days, sign-ups and the waiting list."""
