"""Forms of the people app: they check shape and leave meaning to the services."""
