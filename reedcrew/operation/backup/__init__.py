"""Backup and restore: one encrypted file holds the rows of one moment and the photos, with a checksum of each.

The file is an age file (age-encryption.org/v1) around a compressed tar, so that it can be opened without Reedcrew too:
``head.json`` says what it is, then come the database and ``media/``, and ``sums.json`` at the end says what must be in
it. It is locked with a public key; the key that opens it never needs to be on the machine that is backed up.
"""
