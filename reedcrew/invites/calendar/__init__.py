"""Calendar objects as bytes: events and their rules in, RFC 5545 and RFC 5546 text out; no database, no clock."""
