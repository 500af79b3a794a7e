"""What holds for all tests."""

import pytest
from hypothesis import settings
from xdist.remote import Producer
from xdist.scheduler import WorkStealingScheduling

# Time is no measure on a shared machine, and many examples of one law cost more than they find.
settings.register_profile("transposary", deadline=None, max_examples=60)
settings.load_profile("transposary")


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> WorkStealingScheduling:
    """Lets the process that is ready first take from the other: tests in a browser all come first."""
    return WorkStealingScheduling(config, log)
