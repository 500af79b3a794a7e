"""What holds for all tests."""

from hypothesis import settings

# Time is no measure on a shared machine, and many examples of one law cost more than they find.
settings.register_profile("transposary", deadline=None, max_examples=60)
settings.load_profile("transposary")
