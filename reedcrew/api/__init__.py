"""What other programs get of a group: a read API with tokens, and webhooks that tell of its days."""
