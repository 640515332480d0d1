"""stovelint: heat review of build files for site-built masonry heaters."""

__version__ = "0.1.0"


def _one_thread() -> None:
    """Keep linear algebra on one thread, unless the caller has said otherwise.

    The matrices here are small: threads cost more than they give, and the order of a sum (so the
    last bit of a result) must not depend on how many cores a machine has.
    """
    import os

    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


_one_thread()
