"""Calendar replies: from the bytes of a mail to what they change. Pure: no database, no network, no clock."""
