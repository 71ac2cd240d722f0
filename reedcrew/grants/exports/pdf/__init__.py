"""Papers for a funder, a school or an employer, set with typst."""
