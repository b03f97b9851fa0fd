"""A preview that looks for saves ten times as often, so that a test waits a tenth as long for what it shows."""

__all__ = ["OFTEN"]

# Run before a preview starts, in its own process.
OFTEN = """
from tornado import ioloop

class Often(ioloop.PeriodicCallback):
    def __init__(self, callback, callback_time, jitter=0):
        super().__init__(callback, callback_time / 10, jitter)

ioloop.PeriodicCallback = Often
"""
