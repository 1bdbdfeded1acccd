import pytest

from tests.check.small import Small, small_registry


@pytest.fixture(scope="session")
def pristine() -> Small:
    """The small registry as it is; a test that changes it takes `small`."""
    return small_registry()


@pytest.fixture
def small(pristine: Small) -> Small:
    """The small registry, for this test alone."""
    return pristine.copy()
