"""Pages of sites, stands and zones."""
