"""Every address of the site, with arguments that exist, for tests that walk all of them."""
