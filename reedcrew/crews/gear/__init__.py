"""The gear of one day: what its plan promises, who was handed what, and what came back."""
