"""What keeps shared work from being done; each message tells place, reason and mend."""


class SharingError(Exception):
    """Work could not be shared, or a part of it not be done."""

    kind = "sharing"


class NoClusterError(SharingError):
    """No scheduler answers at an address, or it went away, or it has no workers."""

    kind = "no-cluster"


class UnlikeError(SharingError):
    """A worker runs another version, so that its answers might differ."""

    kind = "unlike-workers"


class WorkerDiedError(SharingError):
    """A part took its worker along, again and again."""

    kind = "worker-died"


class PartFailedError(SharingError):
    """An error of a part that cannot cross to another process as what it was."""

    kind = "part-failed"
