"""Sites, stands, zones and what is known of them."""
