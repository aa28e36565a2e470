"""What crossed from another process as bytes, made into what it was."""

import pickle


def unpacked(packed: bytes) -> object:
    """Return what was packed; what it raises depends on the bytes.

    Only bytes of our own processes, or of the scheduler and the workers of a cluster, come here.
    """
    # Bytes can make Python do anything when they are unpickled. These come from whoever can have a
    # worker run any function as it is: Dask offers just that, so no door opens that was shut. Who
    # may reach a cluster is settled by its network and TLS: docs/more-than-one-machine.md.
    return pickle.loads(packed)  # noqa: S301 -- bytes of our own cluster alone
