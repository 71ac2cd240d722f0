"""A judge of day plans that shares no rule and no number with the product; see ``limits`` for why."""
