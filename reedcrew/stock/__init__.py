"""What gear the group has."""
