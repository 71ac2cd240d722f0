"""The rules of the trade: pure, typed, without Django, I/O, clock or unseeded chance."""
