"""Work for the tests of sharing: told apart by process, slow, failing, deadly."""

import os
import signal
import time

import numpy as np
from threadpoolctl import threadpool_info


def whose(number):
    return number, os.getpid()


def whose_slowly(number):
    time.sleep(0.05)
    return number, os.getpid()


class Sums:
    """Floating sums that depend on their order: each part draws its own numbers."""

    def __init__(self, seed, pause=0.0):
        self.seed, self.pause = seed, pause
        self.about = np.random.default_rng(seed).lognormal(size=1000)

    def __call__(self, part):
        time.sleep(self.pause)
        drawn = np.random.default_rng([self.seed, part]).lognormal(0, 3, (100, 1000))
        return (drawn * self.about).sum(axis=0)


class Products:
    """Products of matrices, whose last digits depend on how many threads share them."""

    def __init__(self, seed):
        self.seed = seed

    def __call__(self, part):
        drawn = np.random.default_rng([self.seed, part]).lognormal(0, 3, (1000, 100))
        return drawn.T @ drawn


def threads(_):
    """How many threads multiply matrices for NumPy in the process that is asked."""
    return max(each["num_threads"] for each in threadpool_info() if each["user_api"] == "blas")


class DiesOnce:
    """Kills its process at one question, the first time."""

    def __init__(self, at, flag, do=abs):
        self.at, self.flag, self.do = at, flag, do

    def __call__(self, number):
        if number == self.at and not self.flag.exists():
            self.flag.touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return self.do(number)


def dies(number):
    if number == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return number
