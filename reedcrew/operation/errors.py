"""Why a backup could not be made or restored, in sentences for an operator."""


class BackupError(Exception):
    """A backup cannot be made, read or restored; the sentence says why and what to do."""
