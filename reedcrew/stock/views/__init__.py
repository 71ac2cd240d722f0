"""Pages of the stock."""
