"""The gear list of a day: what is needed by which rule, what to borrow or buy, and what to pack from where."""
