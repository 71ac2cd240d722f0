"""Help on the rules of the trade: what each says, why, its values and its source. The values stay where they are."""
